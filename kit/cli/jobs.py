"""``jobs [WORDS]``: what the book holds."""

from __future__ import annotations

import argparse


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("jobs", help="what the job book holds")
    verb.add_argument(
        "words", nargs="*", metavar="WORD", help="found in client, title, number, finish"
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """List the jobs, the latest first."""
    from kit.book import Book
    from kit.stock import read_shelf

    with Book() as book:
        called = {finish.key: finish.name for finish in read_shelf().finishes}
        entries = book.jobs(" ".join(given.words), called=called)
        where = book.place
    if not entries and given.words:
        print(f"No job in {where} is found by these words.")
        return
    if not entries:
        print(f"The book at {where} is empty. `pourtable demo` puts a first job in it.")
        return
    print(f"{len(entries)} in {where}")
    for entry in entries:
        total = "" if entry.total is None else f"{entry.total:,.2f}"
        who = f"{entry.number:<10}{entry.client:<28.27}{entry.title:<28.27}"
        kept = f"revision {entry.revision}, {entry.when:%Y-%m-%d %H:%M}"
        print(
            f"{entry.job_id:<10}{who}{entry.finish:<12}{total:>12}  {entry.stands:<9}{kept}"
        )
