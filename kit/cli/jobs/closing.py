"""``jobs close`` and ``jobs learn``: what a job took, and what that teaches."""

from __future__ import annotations

import argparse
import tomllib
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from kit.cli.jobs.reading import add_who, who
from kit.errors import BookError
from kit.record import filled
from kit.writing import write_file


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the actions and what they ask for."""
    act = actions.add_parser("close", help="tell what a job took; estimate beside actual")
    act.add_argument("job", metavar="ID")
    act.add_argument("actuals", type=Path, nargs="?", metavar="ACTUALS.toml")
    act.add_argument(
        "--draft", type=Path, metavar="ACTUALS.toml",
        help="write the estimate in that shape, to be corrected",
    )  # fmt: skip
    act.add_argument("--crew", default="", help="who did it; blank is the usual crew")
    add_who(act)
    act.set_defaults(act=close)
    act = actions.add_parser("learn", help="rates that closed jobs teach, with evidence")
    act.add_argument("--agree", metavar="TASK", help="bid by the learned rate from now on")
    act.add_argument("--take-back", metavar="TASK", help="bid by the shelf's rate again")
    act.add_argument("--crew", default="", help="whose; blank is the usual crew")
    add_who(act)
    act.set_defaults(act=learn)


def close(given: argparse.Namespace) -> None:
    """Write a draft, or note the actuals and lay them beside the estimate."""
    from kit.book import Book, facts_of, note, of_kind
    from kit.book.closing import as_estimated, held_against
    from kit.book.facts import Closed
    from kit.job import workup
    from kit.stock import read_shelf

    with Book() as book:
        answers = workup(book.latest(given.job))
        if given.draft:
            day = date.today()
            draft = as_estimated(answers, read_shelf(), day=day, crew=given.crew)
            print(write_file(given.draft, as_toml(draft).encode(), mode=0o600))
            return
        if given.actuals:
            closed = filled(Closed, _read(given.actuals), where=given.actuals.name)
            note(book, given.job, closed, who=who(given))
            book.mark(given.job, "done")
        told = of_kind(facts_of(book, given.job), Closed)
    if not told:
        raise BookError(
            f"job {given.job}", found="no actuals", expected="a file of them; see --draft"
        )
    print(f"{'':<34}{'estimate':>12}{'actual':>12}{'ratio':>8}")
    for row in held_against(answers, told[-1]):
        figures = (_figure(row.estimate), _figure(row.actual))
        ratio = "" if row.ratio is None else f"{row.ratio:.2f}"
        print(f"{row.about:<34}{figures[0]:>12}{figures[1]:>12}{ratio:>8} {row.unit}")


def learn(given: argparse.Namespace) -> None:
    """Print what closed jobs teach; agree to a rate, or take that back."""
    from kit.book import Book
    from kit.book.learning import agree, agreed_rates, learned_rates, take_back
    from kit.stock import read_shelf

    with Book() as book:
        rates = learned_rates(book, read_shelf())
        if given.agree:
            found = [r for r in rates if (r.task, r.crew) == (given.agree, given.crew)]
            if not found:
                raise BookError(
                    "--agree", found=given.agree,
                    expected="a task that closed jobs of this crew tell of",
                )  # fmt: skip
            agree(book, found[0], who=who(given))
        if given.take_back:
            take_back(book, given.take_back, given.crew, who=who(given))
        used = {(a.task, a.crew): a for a in agreed_rates(book)}
    if not rates:
        print("No job was closed with hours yet; `jobs close ID --draft FILE` begins one.")
    for rate in rates:
        agreed = used.get((rate.task, rate.crew))
        if agreed is None:
            tail = "not used until you agree (--agree)"
        else:
            tail = (
                f"agreed: {agreed.per_person_h:.4g} an hour, from {len(agreed.jobs)} jobs"
            )
        print(f"{rate.task}: {rate.says}; {tail}")
        for seen in rate.evidence:
            print(
                f"    {seen.job_id}  {seen.day}  {seen.units:g} in {seen.labor_h:g} h = "
                f"{seen.per_person_h:.4g} an hour"
            )


def as_toml(closed: Any) -> str:
    """Write actuals in the shape that they are read in."""
    return "\n".join(_lines(closed.model_dump(by_alias=True))) + "\n"


def _lines(told: dict[str, Any]) -> Iterator[str]:
    tables = {name: v for name, v in told.items() if isinstance(v, (list, tuple))}
    for name, value in told.items():
        if value is None:
            yield f"# {name} ="
        elif name not in tables:
            yield f"{name} = {_toml(value)}"
    for name, rows in tables.items():
        for row in rows:
            yield f"\n[[{name}]]"
            yield from _lines(row)


def _toml(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, Decimal):
        return f'"{value}"'
    escaped = str(value).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise BookError(
            str(path), found=error.strerror, expected="a file that can be read"
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        raise BookError(path.name, found=str(error), expected="TOML") from None


def _figure(value: float | None) -> str:
    return "—" if value is None else f"{value:,.2f}"
