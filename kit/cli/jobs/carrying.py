"""``jobs export`` and ``jobs import``: jobs with their history, from book to book."""

from __future__ import annotations

import argparse
from pathlib import Path

from kit.errors import BookError
from kit.writing import write_file


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the actions and what they ask for."""
    act = actions.add_parser("export", help="a job with its history as a file, or all")
    act.add_argument("job", metavar="ID", nargs="?")
    act.add_argument("--out", type=Path, required=True, metavar="FILE.json or DIR")
    act.set_defaults(act=export)
    act = actions.add_parser("import", help="take in such a file, or a folder of them")
    act.add_argument("path", type=Path, metavar="FILE.json or DIR")
    act.set_defaults(act=take)


def export(given: argparse.Namespace) -> None:
    """Write one job as a file, or the whole book into a folder."""
    from kit.book import Book
    from kit.book.whole import export_all, exported
    from kit.cli.asking import ending

    with Book() as book:
        if given.job is None:
            print(f"{export_all(book, given.out)} jobs in {given.out}")
            return
        out = ending(given.out, (".json",))
        print(write_file(out, exported(book, given.job), mode=0o600))


def take(given: argparse.Namespace) -> int:
    """Take in a file or a folder; 1 if a job went two ways and was left as it is."""
    from kit.book import Book
    from kit.book.whole import take_in, take_in_all

    with Book() as book:
        if given.path.is_dir():
            outcomes = list(take_in_all(book, given.path))
        else:
            outcomes = [take_in(book, _read(given.path), about=given.path.name)]
    for taken in outcomes:
        if taken.conflict:
            print(f"{taken.job_id}  left as it is: {taken.conflict}")
        else:
            print(f"{taken.job_id}  {taken.revisions} revisions, {taken.facts} facts added")
    return int(any(taken.conflict for taken in outcomes))


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise BookError(
            str(path), found=error.strerror, expected="a file that can be read"
        ) from None
