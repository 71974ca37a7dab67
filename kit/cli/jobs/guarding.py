"""``jobs backup``, ``check``, ``restore`` and ``torture``: is the book safe."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime

from kit.cli.jobs.reading import read_day
from kit.errors import BookError


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the actions and what they ask for."""
    act = actions.add_parser("backup", help="copy the book now; the copies there are")
    act.set_defaults(act=backup)
    act = actions.add_parser("check", help="read the whole book and check every seal")
    act.set_defaults(act=check)
    act = actions.add_parser("restore", help="put a copy in the place of a damaged book")
    act.add_argument("day", nargs="?", metavar="DAY", help="else the newest whole copy")
    act.set_defaults(act=restore)
    act = actions.add_parser("torture", help="faults done to books of their own, counted")
    act.add_argument("--minutes", type=float, default=1.0, metavar="N")
    act.add_argument(
        "--office", metavar="URL", help="an empty PostgreSQL database, for its faults too"
    )
    act.add_argument("--seed", type=int)
    act.set_defaults(act=torture)


def backup(given: argparse.Namespace) -> None:  # noqa: ARG001
    """Copy the book and name the copies."""
    from kit.book import Book
    from kit.book.backups import back_up, backups_of

    with Book() as book:
        print(back_up(book).path)
        for copy in backups_of(book.place):
            print(f"{copy.day}  {copy.path.stat().st_size:>12,} bytes")


def check(given: argparse.Namespace) -> int:  # noqa: ARG001
    """Print what was looked at and what is wrong; 1 if anything is."""
    from kit.book import Book
    from kit.book.checking import examine

    with Book() as book:
        seen, where = examine(book), book.place
    print(
        f"{where}: {seen.jobs} jobs, {seen.revisions} revisions, {seen.facts} facts, "
        f"{seen.files} files; {'all whole' if seen.is_whole else 'DAMAGED'}"
    )
    for fault in seen.faults:
        print(f"  {fault}")
    if seen.unnamed:
        print(f"  {seen.unnamed} files that no job names, left by a cut; they do no harm")
    return int(not seen.is_whole)


def restore(given: argparse.Namespace) -> None:
    """Put a copy back and say where the damaged book went."""
    from kit.book import Book, book_place
    from kit.book.backups import backups_of
    from kit.book.backups import restore as put_back

    place = book_place()
    chosen = None
    if day := read_day("DAY", given.day):
        copies = backups_of(place)
        chosen = next((copy for copy in copies if copy.day == day), None)
        if chosen is None:
            days = ", ".join(str(copy.day) for copy in copies[:10])
            raise BookError("DAY", found=given.day, expected=f"that of a copy: {days}")
    backup, aside = put_back(place, chosen, now=datetime.now(UTC))
    with Book() as book:
        count = len(book.jobs())
    print(f"{place} is as it was after {backup.day}: {count} jobs")
    print(f"what was there before is in {aside}")


def torture(given: argparse.Namespace) -> int:
    """Print the fault table; 1 if anything was lost or broken."""
    from kit.measure.torture import tortured

    print(f"{'fault':<38}{'times':>7}{'kept':>8}{'lost':>6}{'broken':>8}  ")
    well = True
    for row in tortured(minutes=given.minutes, office=given.office, seed=given.seed):
        print(
            f"{row.name:<38}{row.tries:>7}{row.kept:>8}{row.lost:>6}{row.broken:>8}"
            f"  {row.told}",
            flush=True,
        )
        well &= row.is_survived
    print("nothing lost, nothing broken" if well else "NOT SURVIVED")
    return int(not well)
