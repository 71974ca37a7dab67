"""What several verbs ask for: a sheet, a size, a file to write."""

from __future__ import annotations

import argparse
import getpass
import os
import re
import sys
from pathlib import Path

from kit.errors import OutputError, PaperError, SheetError

PASSPHRASE = "KIT_SEAL_PASSPHRASE"
"""Name in the environment of what opens the key of a seal."""
_SIZE = re.compile(r"(\d{1,6})[x×](\d{1,6})")


def add_sheet(verb: argparse.ArgumentParser, *, optional: bool = False) -> None:
    """Ask for a measure sheet."""
    verb.add_argument(
        "sheet",
        metavar="SHEET",
        type=Path,
        nargs="?" if optional else None,
        help="measure sheet (TOML)" + (", else the demo's" if optional else ""),
    )


def add_prices(verb: argparse.ArgumentParser) -> None:
    """Ask for a price book; `front` sees to it that prices are taken from it."""
    verb.add_argument(
        "--prices",
        metavar="BOOK",
        type=Path,
        help="price book (.xlsx or .csv), else the one in use",
    )


def ask_passphrase(words: str) -> str:
    """Take a passphrase from the environment, or from whoever sits at the terminal.

    Raises
    ------
    PaperError
        If it is not in the environment and nobody can be asked.
    """
    if (known := os.environ.get(PASSPHRASE)) is not None:
        return known
    if not sys.stdin.isatty():
        raise PaperError(
            "passphrase of the seal key",
            found="nobody at a terminal to ask",
            expected=f"it in {PASSPHRASE}",
        )
    return getpass.getpass(words)


def read_size(text: str) -> tuple[int, int]:
    """Read a size such as ``1600x1000``. [px]"""
    match = _SIZE.fullmatch(text.strip().lower())
    if match is None:
        raise SheetError("--size", found=text, expected="width x height, such as 1600x1000")
    return int(match[1]), int(match[2])


def ending(path: Path, allowed: tuple[str, ...]) -> Path:
    """Check that a file to write has a name whose ending says what it is."""
    if path.suffix.lower() not in allowed:
        raise OutputError(
            "--out", found=path.name, expected=f"a name ending in {' or '.join(allowed)}"
        )
    return path
