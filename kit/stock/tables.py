"""TOML files as tables, each knowing where it stands, so that a complaint can say it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from importlib.resources.abc import Traversable
from typing import Any

from kit.errors import ShelfError


@dataclass(frozen=True)
class Table:
    """One table of a shelf file: ``[finish.matte]`` is kind ``finish``, key ``matte``."""

    file: str
    kind: str
    key: str
    fields: Mapping[str, Any]

    @property
    def where(self) -> str:
        """File and table, as a person finds it."""
        return f"{self.file}, [{self.kind}.{self.key}]"


def read_tables(folder: Traversable, kinds: tuple[str, ...]) -> tuple[Table, ...]:
    """Read every table of every TOML file in `folder`, files in order of name.

    Raises
    ------
    ShelfError
        If a file is not TOML, holds a kind not among `kinds`, or a key that another
        file holds too.
    """
    found: dict[tuple[str, str], Table] = {}
    for table in _tables(folder):
        if table.kind not in kinds:
            raise ShelfError(
                table.where, found=table.kind, expected=f"one of {', '.join(kinds)}"
            )
        first = found.setdefault((table.kind, table.key), table)
        if first is not table:
            raise ShelfError(
                table.where, found=f"the same in {first.file}", expected="one table a key"
            )
    return tuple(found.values())


def _tables(folder: Traversable) -> Iterator[Table]:
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if not file.name.endswith(".toml"):
            continue
        for kind, keyed in _parsed(file).items():
            if not isinstance(keyed, dict) or not all(
                isinstance(t, dict) for t in keyed.values()
            ):
                raise ShelfError(
                    file.name, found=kind, expected=f"tables like [{kind}.key]"
                )
            for key, fields in keyed.items():
                yield Table(file.name, kind, key, fields)


def _parsed(file: Traversable) -> dict[str, Any]:
    try:
        # Decimal keeps a price exactly as it was typed.
        return tomllib.loads(file.read_text("utf-8"), parse_float=Decimal)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ShelfError(file.name, found=str(error), expected="TOML") from None
