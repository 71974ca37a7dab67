"""``price SHEET [--json]``: the owner's bid, to read or for a program."""

from __future__ import annotations

import argparse
import json

from kit.bid import Bid, owner_json
from kit.cli.asking import add_prices, add_sheet
from kit.job import Job, workup


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "price", help="the owner's bid: lines, total, price per square foot"
    )
    add_sheet(verb)
    add_prices(verb)
    verb.add_argument(
        "--json", action="store_true", help="one JSON object, money as strings"
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Price the sheet and print the bid."""
    answers = workup(Job.from_sheet(given.sheet))
    if given.json:
        print(json.dumps(owner_json(answers.bid), indent=2, ensure_ascii=False))
        return
    print(in_words(answers.bid))


def in_words(bid: Bid) -> str:
    """Lay the bid out for a terminal, figures right."""
    rows = [f"{line.label:<34}{line.amount:>14,.2f}   {line.how}" for line in bid.lines]
    rows += ["─" * 48, f"{'Total':<34}{bid.total:>14,.2f}"]
    rows += [
        f"{'Per sq ft':<34}{bid.price_per_sqft:>14,.2f}   of {bid.area_sqft:,.1f} sq ft",
        "",
    ]
    rows += [f"{'Finish':<22}{'Per sq ft':>12}{'Total':>14}{'Difference':>14}"]
    for option in bid.options:
        mark = "•" if option.chosen else " "
        rows.append(
            f"{mark} {option.name:<20}{option.price_per_sqft:>12,.2f}"
            f"{option.total:>14,.2f}{option.difference:>+14,.2f}"
        )
    rows += _extra_rows(bid)
    rows += [f"\n! {c.about}: {c.says} {c.fix}" for c in bid.concerns]
    return "\n".join(rows)


def _extra_rows(bid: Bid) -> list[str]:
    """A row an extra: what it asks and costs, or why it cannot be switched."""
    if not bid.extras:
        return []
    rows = ["", f"{'Extra':<34}{'Adds':>14}{'To cost':>14}{'Days':>6}"]
    for priced in bid.extras:
        option = priced.option
        row = f"{'•' if option.counts else ' '} {option.name:<32}"
        if option.adds is None or priced.cost is None:
            rows.append(f"{row}{'—':>14}   {option.blocked}")
            continue
        row += f"{option.adds:>+14,.2f}{priced.cost:>+14,.2f}{priced.days:>+6}"
        rows.append(f"{row}   {option.much(bid.currency)}".rstrip())
    return rows
