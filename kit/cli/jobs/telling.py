"""``jobs show``, ``compare``, ``note`` and ``attach``: what is known of one job."""

from __future__ import annotations

import argparse
from itertools import pairwise
from pathlib import Path

from kit.cli.jobs.reading import add_who, read_fields, who
from kit.errors import BookError


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the actions and what they ask for."""
    act = actions.add_parser("show", help="a job's revisions and what was noted of it")
    act.add_argument("job", metavar="ID")
    act.set_defaults(act=show)
    act = actions.add_parser("compare", help="two revisions of a job, in words")
    act.add_argument("job", metavar="ID")
    act.add_argument("before", type=int, metavar="REVISION")
    act.add_argument("after", type=int, metavar="REVISION", nargs="?")
    act.set_defaults(act=compare)
    act = actions.add_parser(
        "note", help="note a fact: payment paid=2500.00 day=2026-11-25 how=check"
    )
    act.add_argument("job", metavar="ID")
    act.add_argument("kind", metavar="KIND")
    act.add_argument("fields", nargs="*", metavar="NAME=VALUE")
    act.add_argument("--mark", default="", help="a word for it: twice is noted once")
    add_who(act)
    act.set_defaults(act=noted)
    act = actions.add_parser("attach", help="keep a photo or another file with a job")
    act.add_argument("job", metavar="ID")
    act.add_argument("file", type=Path)
    act.add_argument("--photo", action="store_true")
    act.add_argument("--says", default="", help="what it shows")
    add_who(act)
    act.set_defaults(act=attached_to)
    act = actions.add_parser("mark", help="note where a job stands")
    act.add_argument("job", metavar="ID")
    act.add_argument("stands", choices=("talking", "out", "done"))
    act.set_defaults(act=mark)


def show(given: argparse.Namespace) -> None:
    """Print the history of a job."""
    from kit.book import Book, compared, facts_of, standing

    with Book() as book:
        history = book.history(given.job)
        facts = facts_of(book, given.job)
        said = {
            later.number: "; ".join(
                compared(book, given.job, earlier.number, later.number)[:4]
            )
            for earlier, later in pairwise(history)
        }
    print(f"job {history[0].job_id}")
    for revision in history:
        total = "" if revision.total is None else f"{revision.total:,.2f}"
        by = " ".join(part for part in (revision.who, revision.note) if part)
        print(
            f"{revision.number:>4}  {revision.when:%Y-%m-%d %H:%M}  {total:>12}  "
            f"{said.get(revision.number, revision.finish)}{f'  ({by})' if by else ''}"
        )
    counted = {noted.number for noted in standing(facts)}
    for noted in facts:
        told = noted.fact.model_dump(mode="json", by_alias=True, exclude_defaults=True)
        words = ", ".join(f"{name} {value}" for name, value in told.items())
        back = (
            ""
            if noted.number in counted or noted.fact.KIND == "withdrawn"
            else " [taken back]"
        )
        print(
            f"{noted.number:>4}  {noted.when:%Y-%m-%d %H:%M}  {noted.fact.KIND:<10}"
            f"{words[:110]}{back}{f'  ({noted.who})' if noted.who else ''}"
        )


def compare(given: argparse.Namespace) -> None:
    """Print what two revisions differ in."""
    from kit.book import Book, compared
    from kit.stock import read_shelf

    called = {finish.key: finish.name for finish in read_shelf().finishes}
    with Book() as book:
        after = given.after or book.newest(given.job).number
        said = compared(book, given.job, given.before, after, called=called)
    print("\n".join(said) or "They say the same.")


def noted(given: argparse.Namespace) -> None:
    """Note a fact of a job."""
    from kit.book import Book, note
    from kit.book.facts import FACTS
    from kit.record import filled

    kind = FACTS.get(given.kind)
    if kind is None or given.kind == "file":
        words = " or ".join(word for word in FACTS if word != "file")
        raise BookError("kind", found=given.kind, expected=f"{words}; files by jobs attach")
    fact = filled(kind, read_fields(given.fields), where=given.kind, family=BookError)
    with Book() as book:
        kept = note(book, given.job, fact, who=who(given), mark=given.mark)
    print(f"job {kept.job_id}, fact {kept.number}: {given.kind}")


def attached_to(given: argparse.Namespace) -> None:
    """Keep a file with a job."""
    from kit.book import Book, attach

    try:
        content = given.file.read_bytes()
    except OSError as error:
        raise BookError(
            f"file {given.file}", found=error.strerror, expected="a file that can be read"
        ) from None
    with Book() as book:
        kept = attach(
            book, given.job, content,
            name=given.file.name, says=given.says, who=who(given),
            shows="photo" if given.photo else "file",
        )  # fmt: skip
    print(f"job {kept.job_id}, fact {kept.number}: {given.file.name}")


def mark(given: argparse.Namespace) -> None:
    """Note where a job stands."""
    from kit.book import Book

    with Book() as book:
        book.mark(given.job, given.stands)
