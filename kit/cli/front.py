"""The front door: reads the command, runs its verb, turns trouble into one line."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Sequence
from contextlib import AbstractContextManager, nullcontext
from importlib import import_module
from pathlib import Path

from kit import __version__
from kit.cli.parsing import BAD_INPUT, Parser
from kit.errors import KitError

VERBS = {
    **{verb: verb for verb in ("demo", "propose", "price", "prices", "days", "plan")},
    **{verb: verb for verb in ("render", "showing")},
    "open": "table",
    **{verb: verb for verb in ("outline", "jobs", "office", "doctor", "bench")},
}
"""Module of every verb, with ``add(verbs)``, which names its own ``run``."""

UNEXPECTED = 70


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 2 bad input, 70 our fault."""
    words = sys.argv[1:] if arguments is None else arguments
    parser = _parser(words)
    given = parser.parse_args(words)
    try:
        with _prices_from(getattr(given, "prices", None)):
            return int(given.run(given) or 0)
    except KitError as error:
        print(f"{parser.prog}: {error}", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print(f"{parser.prog}: stopped", file=sys.stderr)
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except Exception:
        where = _logged()
        print(
            f"{parser.prog}: something went wrong that is not your doing; "
            f"what happened is written in {where}",
            file=sys.stderr,
        )
        return UNEXPECTED


def _prices_from(book: Path | None) -> AbstractContextManager[None]:
    if book is None:
        return nullcontext()
    from kit.stock.pricebook.place import using

    return using(book)


def _parser(words: Sequence[str]) -> argparse.ArgumentParser:
    """Parse what is said; of the verbs only the one that is named is loaded."""
    parser = Parser(
        prog="pourtable",
        description="Measure, show, price and propose a poured metallic floor.",
        epilog="Start with: pourtable demo",
    )
    parser.add_argument("--version", action="version", version=f"pourtable {__version__}")
    verbs = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    named = [VERBS[word] for word in words[:1] if word in VERBS]
    for module in named or VERBS.values():
        import_module(f"kit.cli.{module}").add(verbs)
    return parser


def _logged() -> Path | str:
    from platformdirs import user_log_path

    try:
        file = user_log_path("pourtable", ensure_exists=True) / "pourtable.log"
        handler = logging.FileHandler(file, encoding="utf-8")
    except OSError:
        return "no log (its folder cannot be written)"
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    logger = logging.getLogger("kit.cli")
    logger.propagate = False
    logger.addHandler(handler)
    logger.exception("unexpected")
    logger.removeHandler(handler)
    handler.close()
    return file
