"""``jobs change``: what was agreed becomes something else, at a difference, on one page."""

from __future__ import annotations

import argparse
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from kit.cli.jobs.reading import add_who, read_amount, read_day, who
from kit.errors import BookError
from kit.money import ZERO
from kit.writing import writable_folder, write_file

if TYPE_CHECKING:
    from kit.book import Book
    from kit.job.change import Change


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the action and what it asks for."""
    act = actions.add_parser(
        "change", help="a change order for what was changed since it was agreed, as a PDF"
    )
    act.add_argument("job", metavar="ID")
    act.add_argument("--out", type=Path, required=True, metavar="FILE.pdf")
    act.add_argument(
        "--from", dest="since", type=int, metavar="REVISION",
        help="priced from this state; else from what was proposed and changed so far",
    )  # fmt: skip
    act.add_argument("--says", default="", help="what else changes, as the client reads it")
    act.add_argument(
        "--difference", metavar="AMOUNT", help="what that adds, or takes off with a minus"
    )
    act.add_argument("--cost", metavar="AMOUNT", help="what that is expected to cost you")
    act.add_argument("--days", type=int, default=0, help="by how many days it takes longer")
    act.add_argument("--day", metavar="DAY", help="of the paper; else today")
    add_who(act)
    act.set_defaults(act=change)


def change(given: argparse.Namespace) -> None:
    """Price the change, press its paper, and note it with the paper's hash."""
    from kit.book import Book, agreed_so_far, change_sent
    from kit.book.facts import ChangeOrder
    from kit.cli.asking import ending
    from kit.proposal import owners_figures, words_in
    from kit.proposal.change_order import change_view, press_change, told_changes
    from kit.proposal.measures import Measures
    from kit.record import filled

    out = ending(given.out, (".pdf",))
    day = read_day("--day", given.day) or date.today()
    with Book() as book:
        so_far = agreed_so_far(book, given.job)
        since = so_far.revision if given.since is None else given.since
        priced = _priced(book, given, since, so_far.total)
        words = told_changes(priced, Measures(words_in("en"), priced.after.paper.units))
        if not words:
            raise BookError(
                f"job {given.job}, change",
                found=f"nothing that was changed since revision {since}",
                expected="a changed job, or --says and --difference",
            )
        newest = book.newest(given.job)
        order = filled(
            ChangeOrder,
            {
                "says": "\n".join(words), "difference": str(priced.difference),
                "cost": None if priced.cost is None else str(priced.cost),
                "days": priced.days, "revision": newest.number,
            },
            where="change", family=BookError,
        )  # fmt: skip
        writable_folder(out.parent)
        printed = {f"{amount:f}" for amount in _printed(priced)}
        own = owners_figures(priced.old, priced.new)
        paper = press_change(
            change_view(priced, number=so_far.orders + 1, day=day),
            withheld=tuple(words for words in own if words not in printed),
        )
        write_file(out, paper.pdf)
        noted = change_sent(book, given.job, paper.pdf, order, who=who(given))
    print(out)
    print(
        f"job {noted.job_id}, fact {noted.number}: change order {so_far.orders + 1}, "
        f"{priced.agreed:,.2f} {priced.difference:+,.2f} = {priced.total:,.2f}"
    )


def _priced(book: Book, given: argparse.Namespace, since: int, agreed: Decimal) -> Change:
    from kit.job.change import priced_change

    extra = read_amount("--difference", given.difference) or ZERO
    if extra and not given.says:
        raise BookError("--says", found="nothing", expected="what the difference is for")
    return priced_change(
        book.at(given.job, since),
        book.latest(given.job),
        agreed=agreed,
        said=given.says,
        extra=extra,
        extra_cost=read_amount("--cost", given.cost),
        extra_days=given.days,
    )


def _printed(change: Change) -> tuple[Decimal, ...]:
    """Amounts that the paper says, which are the client's then."""
    return (change.agreed, abs(change.difference), change.total)
