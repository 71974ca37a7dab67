"""Reading what actions are given: amounts, days, fields of facts, who it is."""

from __future__ import annotations

import argparse
import getpass
import os
import tomllib
from collections.abc import Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from kit.errors import BookError, SheetError


def add_who(act: argparse.ArgumentParser) -> None:
    """Ask who notes it; ``KIT_WHO``, or who this computer takes it to be, unless told."""
    act.add_argument("--who", metavar="NAME", default=None, help="who notes it")


def who(given: argparse.Namespace) -> str:
    """Name of who notes it, or nothing where nobody knows."""
    if given.who is not None:
        return str(given.who)
    if named := os.environ.get("KIT_WHO"):
        return named
    try:
        return getpass.getuser()[:80]
    except (OSError, KeyError, ImportError):
        return ""


def read_amount(about: str, text: str | None) -> Decimal | None:
    """Read an amount of money such as ``7,751.95``."""
    if text is None:
        return None
    try:
        return Decimal(text.replace(",", "").removeprefix("$"))
    except InvalidOperation:
        raise SheetError(about, found=text, expected="an amount such as 7751.95") from None


def read_day(about: str, text: str | None) -> date | None:
    """Read a day such as ``2026-11-25``."""
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise SheetError(about, found=text, expected="a day such as 2026-11-25") from None


def read_fields(given: Sequence[str]) -> dict[str, Any]:
    """Read ``name=value`` pairs: a day, number, yes or no as such, all else as text."""
    fields: dict[str, Any] = {}
    for pair in given:
        name, equals, text = pair.partition("=")
        if not equals:
            raise BookError("field", found=pair, expected="name=value")
        if name in fields:
            raise BookError(name, found="it twice", expected="it once")
        fields[name] = _value(text)
    return fields


def _value(text: str) -> Any:
    if text in {"yes", "no"}:
        return text == "yes"
    try:
        value = tomllib.loads(f"x = {text}\n")["x"]
    except (tomllib.TOMLDecodeError, KeyError, RecursionError):
        return text
    # money is read from its text, never from a float
    return value if isinstance(value, (bool, int, date)) else text
