"""``price SHEET``: the owner's bid, to read or for a program, with trail, risk, charts."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kit.bid import owner_json, payments_json, price_trail, risk_json
from kit.cli.asking import add_prices, add_sheet
from kit.cli.price_words import in_words
from kit.job import Job, Workup, workup
from kit.stock import Shelf, read_shelf
from kit.takeoff import RULES, Figure, told, trail_lines

if TYPE_CHECKING:
    from kit.bid.risk import Risk


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "price", help="the owner's bid: quantities, lines, total, alternates, payments"
    )
    add_sheet(verb)
    add_prices(verb)
    verb.add_argument(
        "--crew",
        metavar="NAME",
        help="at the learned rates that the owner agreed to; '' is the usual crew",
    )
    verb.add_argument(
        "--json", action="store_true", help="one JSON object, money as strings"
    )
    verb.add_argument(
        "--trail", action="store_true", help="how each figure came to be, down to the tape"
    )
    verb.add_argument(
        "--risk", action="store_true", help="what the cost may come to, and what drives it"
    )
    verb.add_argument("--draws", type=int, metavar="N", help="floors drawn for the risk")
    verb.add_argument("--seed", type=int, metavar="N", help="seed of these draws")
    verb.add_argument(
        "--charts", type=Path, metavar="DIR", help="write the owner's charts as PNG files"
    )
    verb.set_defaults(run=run)


def _shelf_of(crew: str | None) -> Shelf:
    """The shelf, at the rates agreed to for a crew if one is named."""
    if crew is None:
        return read_shelf()
    from kit.book import Book
    from kit.book.learning import agreed_rates, learned_shelf

    with Book() as book:
        return learned_shelf(read_shelf(), agreed_rates(book), crew)


def run(given: argparse.Namespace) -> None:
    """Price the sheet and print the bid."""
    job, shelf = Job.from_sheet(given.sheet), _shelf_of(given.crew)
    answers = workup(job, shelf)
    risk = None
    if given.risk or given.charts or given.draws is not None or given.seed is not None:
        risk = _risk(job, answers, shelf, given)
    written: list[Path] = []
    if given.charts and risk is not None:
        from kit.bench.owner_charts import write_charts

        written = write_charts(given.charts, answers.bid, risk)
    trail = _trail(answers) if given.trail else ()
    if given.json:
        print(json.dumps(_told(answers, shelf, risk, trail), indent=2, ensure_ascii=False))
        return
    print(in_words(answers, shelf, risk))
    if trail:
        print("\nHow it was measured\n" + "\n".join(f"  {rule}" for rule in RULES))
        print("\nHow each figure came to be")
        print("\n".join(trail_lines(trail, indent=1)))
    if written:
        print("\n" + "\n".join(f"wrote {path}" for path in written))


def _risk(job: Job, answers: Workup, shelf: Shelf, given: argparse.Namespace) -> Risk:
    from kit.bid.risk import DRAWS, SEED, risk_of

    return risk_of(
        answers.system,
        answers.work,
        answers.bid,
        shelf,
        slab_is_read=bool(job.site.slab.readings),
        draws=DRAWS if given.draws is None else given.draws,
        seed=SEED if given.seed is None else given.seed,
    )


def _trail(answers: Workup) -> tuple[Figure, ...]:
    bid = answers.bid
    price = price_trail(answers.takeoff, answers.system, answers.work, bid, bid.currency)
    return (*answers.takeoff.trail, price)


def _told(
    answers: Workup, shelf: Shelf, risk: Risk | None, trail: tuple[Figure, ...]
) -> dict[str, Any]:
    """All answers of the price as JSON values."""
    system, work = answers.system, answers.work
    layers = [one for purchase in system.purchases for one in purchase.made]
    written = {
        **owner_json(answers.bid),
        "takeoff": [_figure(figure) for figure in answers.takeoff.trail],
        "coats": [_figure(figure) for one in layers for figure in one.trail],
        "order": [_figure(purchase.bought) for purchase in system.purchases],
        "left_over": [_figure(left.figure) for left in system.leftovers],
        "work": [_figure(figure) for figure in work.trail],
        "payments": payments_json(answers.payments, shelf),
    }
    written["concerns"] = [
        {"about": one.about, "says": one.says, "fix": one.fix} for one in answers.concerns
    ]
    if risk is not None:
        written["risk"] = risk_json(risk)
    if trail:
        written["rules"] = list(RULES)
        written["trail"] = [told(figure) for figure in trail]
    return written


def _figure(figure: Figure) -> dict[str, Any]:
    """A figure without its parts, which the trail tells."""
    return {name: said for name, said in told(figure).items() if name != "parts"}
