"""``jobs [WORDS]`` and ``jobs find``: which jobs there are."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from kit.cli.jobs.reading import read_amount, read_day

if TYPE_CHECKING:
    from kit.book import JobEntry


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the action and what it asks for."""
    act = actions.add_parser("find", help="jobs by client, address, color, money, words")
    act.add_argument("words", nargs="*", metavar="WORD", help="begins a word anywhere")
    for name in ("client", "address", "color"):
        act.add_argument(f"--{name}", default="", help="begins a word there")
    act.add_argument("--stands", choices=("talking", "out", "signed", "done"))
    act.add_argument("--least", metavar="AMOUNT", help="priced at so much or more")
    act.add_argument("--most", metavar="AMOUNT", help="priced at so much or less")
    act.add_argument("--since", metavar="DAY", help="last kept on this day or later")
    act.add_argument("--until", metavar="DAY", help="last kept on this day or before")
    act.add_argument("--csv", metavar="FILE.csv", help="write them as a list instead")
    act.set_defaults(act=find)


def find(given: argparse.Namespace) -> None:
    """Print or write the jobs that are found."""
    from pathlib import Path

    from kit.book import Book, Sought, search
    from kit.book.sheets import jobs_csv
    from kit.cli.asking import ending
    from kit.writing import write_file

    sought = Sought(
        words=" ".join(given.words),
        client=given.client,
        address=given.address,
        color=given.color,
        stands=given.stands,
        least=read_amount("--least", given.least),
        most=read_amount("--most", given.most),
        since=read_day("--since", given.since),
        until=read_day("--until", given.until),
    )
    with Book() as book:
        entries = search(book, sought)
        where = book.place
    if given.csv:
        path = ending(Path(given.csv), (".csv",))
        print(write_file(path, jobs_csv(entries), mode=0o600))
        return
    print(f"{len(entries)} found in {where}")
    print_entries(entries)


def listed(words: list[str]) -> None:
    """List the jobs, the latest first."""
    from kit.book import Book
    from kit.stock import read_shelf

    with Book() as book:
        called = {finish.key: finish.name for finish in read_shelf().finishes}
        entries = book.jobs(" ".join(words), called=called)
        where, concerns = book.place, book.concerns
    for concern in concerns:
        print(f"! {concern.about}: {concern.says} {concern.fix}")
    if not entries and words:
        print(f"No job in {where} is found by these words.")
        return
    if not entries:
        print(f"The book at {where} is empty. `pourtable demo` puts a first job in it.")
        return
    print(f"{len(entries)} in {where}")
    print_entries(entries)


def print_entries(entries: Iterable[JobEntry]) -> None:
    """Print a line a job."""
    for entry in entries:
        total = "" if entry.total is None else f"{entry.total:,.2f}"
        who = f"{entry.number:<10}{entry.client:<28.27}{entry.title:<28.27}"
        kept = f"revision {entry.revision}, {entry.when:%Y-%m-%d %H:%M}"
        print(
            f"{entry.job_id:<10}{who}{entry.finish:<12}{total:>12}  {entry.stands:<9}{kept}"
        )
