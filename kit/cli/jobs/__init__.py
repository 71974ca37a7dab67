"""``jobs [WORDS]`` lists the book; ``jobs ACTION …`` does something with it."""

from __future__ import annotations

import argparse

from kit.cli.jobs import carrying, changing, closing, guarding, listing, telling, totals
from kit.cli.parsing import Parser

ROOMS = (listing, telling, changing, closing, totals, carrying, guarding)
"""Each names its actions with ``add(actions)``."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "jobs",
        help="what the job book holds, and what is done with it",
        description="Without an action: jobs in which every WORD is found.",
        epilog=f"actions: {', '.join(_actions(_parser()))}; jobs ACTION --help tells more",
    )
    verb.add_argument("words", nargs=argparse.REMAINDER, metavar="WORD | ACTION …")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> int | None:
    """List the jobs, the latest first, or do what is asked."""
    parser = _parser()
    if not given.words or given.words[0] not in _actions(parser):
        listing.listed(given.words)
        return None
    asked = parser.parse_args(given.words)
    done: int | None = asked.act(asked)
    return done


def _parser() -> argparse.ArgumentParser:
    parser = Parser(prog="pourtable jobs")
    actions = parser.add_subparsers(title="actions", required=True, metavar="ACTION")
    for room in ROOMS:
        room.add(actions)
    return parser


def _actions(parser: argparse.ArgumentParser) -> list[str]:
    groups = parser._subparsers._group_actions if parser._subparsers else []
    return [name for group in groups for name in (group.choices or ())]
