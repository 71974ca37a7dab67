"""``prices [--out BOOK.xlsx]``: the price book in use, or a new one to fill in."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from kit.cli.asking import add_prices, ending
from kit.stock import read_shelf
from kit.stock.pricebook import ENDINGS, VARIABLE, book_in_use, write_book


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "prices", help="your own prices and rates, in a book that a spreadsheet opens"
    )
    add_prices(verb)
    verb.add_argument(
        "--out",
        type=Path,
        metavar="BOOK.xlsx",
        help="write a book of all figures as they stand, to fill in (.xlsx or .csv)",
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Write a new book, or read the one in use and tell what it holds."""
    shelf = read_shelf()
    if given.out:
        print(write_book(shelf, ending(given.out, ENDINGS)))
        return
    if shelf.book is None:
        print(
            "No price book is in use: all prices are the made-up ones of the shelf.\n"
            "Write one with --out BOOK.xlsx, fill it in, and name it with --prices or "
            f"{VARIABLE}."
        )
        return
    lasts = shelf.house.prices_last_days
    print(f"{book_in_use()}: {len(shelf.book.dated)} figures of yours, all is well")
    for concern in shelf.book.concerns(date.today(), lasts_days=lasts):
        print(f"\n! {concern.about}: {concern.says} {concern.fix}")
