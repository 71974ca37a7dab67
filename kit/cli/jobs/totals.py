"""``jobs totals`` and ``jobs charts``: what the book comes to, for its owner."""

from __future__ import annotations

import argparse
from pathlib import Path

from kit.writing import write_file


def add(actions: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the actions and what they ask for."""
    act = actions.add_parser("totals", help="by month and status; won, asked, earned")
    act.add_argument("--csv", type=Path, metavar="FILE.csv", help="asked and earned")
    act.set_defaults(act=totals)
    act = actions.add_parser("charts", help="the same as pictures")
    act.add_argument("--out", type=Path, required=True, metavar="DIR")
    act.set_defaults(act=charts)


def totals(given: argparse.Namespace) -> None:
    """Print what the book comes to."""
    from kit.book import Book
    from kit.book.sheets import earned_csv
    from kit.book.totals import earned, month_totals, wins
    from kit.cli.asking import ending

    with Book() as book:
        months, won, jobs = month_totals(book), wins(book), earned(book)
    if given.csv:
        print(write_file(ending(given.csv, (".csv",)), earned_csv(jobs), mode=0o600))
        return
    print(f"{'month':<10}{'stands':<10}{'jobs':>6}{'total':>16}")
    for row in months:
        print(f"{row.month:<10}{row.stands:<10}{row.jobs:>6}{row.total:>16,.2f}")
    rate = "" if won.rate is None else f", {won.rate:.0%} of those answered"
    print(f"\nproposals: {won.won} won, {won.lost} lost, {won.waiting} waiting{rate}")
    known = [j for j in jobs if j.margin_asked is not None and j.margin_earned is not None]
    if known:
        print(f"\n{'job':<12}{'asked':>14}{'cost':>14}{'margin asked':>14}{'earned':>10}")
        for job in known:
            print(
                f"{job.job_id:<12}{job.asked:>14,.2f}{job.cost:>14,.2f}"
                f"{job.margin_asked:>14.1%}{job.margin_earned:>10.1%}"
            )


def charts(given: argparse.Namespace) -> None:
    """Draw what the book comes to."""
    from kit.bench.book_charts import drawn
    from kit.book import Book
    from kit.book.totals import earned, month_totals, wins

    with Book() as book:
        pictures = drawn(month_totals(book), wins(book), earned(book))
    for name, content in pictures.items():
        print(write_file(given.out / name, content, mode=0o600))
