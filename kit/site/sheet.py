"""Reading a measure sheet: a TOML file that a contractor writes by hand."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kit.errors import SheetError
from kit.record import spoken_path
from kit.site.text import fault_in

LARGEST_SHEET_BYTES = 1_000_000


def read_sheet(path: Path) -> dict[str, Any]:
    """Read the tables of a measure sheet, refusing what no sheet can be.

    Raises
    ------
    SheetError
        If there is no such file, it is too large, not UTF-8, not TOML, or a
        text in it holds control, invisible or direction-turning characters.
    """
    about = f"measure sheet {path.name}"
    expected = "a measure sheet (TOML file)"
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise SheetError(about, found="a folder", expected=expected)
        if size > LARGEST_SHEET_BYTES:
            raise SheetError(
                about,
                found=f"{size / 1e6:.1f} MB",
                expected=f"at most {LARGEST_SHEET_BYTES / 1e6:.0f} MB",
            )
        text = path.read_bytes().decode("utf-8-sig")
    except (FileNotFoundError, NotADirectoryError):
        raise SheetError(about, found="no such file", expected=expected) from None
    except UnicodeDecodeError:
        raise SheetError(
            about, found="bytes that are not UTF-8", expected="a sheet saved as UTF-8"
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetError(about, found=reason, expected="a file that can be read") from None
    return tables(text, about=about)


def tables(text: str, *, about: str = "measure sheet") -> dict[str, Any]:
    """Parse the text of a sheet and check every word in it."""
    try:
        given = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        raise SheetError(about, found=str(error), expected="TOML") from None
    for path, words in _texts(given, ()):
        if fault := fault_in(words, lines=True):
            raise SheetError(
                spoken_path(path, given),
                found=fault,
                expected="text without control, invisible or direction-turning characters",
            )
    return given


def _texts(
    given: Any, path: tuple[int | str, ...]
) -> Iterator[tuple[tuple[int | str, ...], str]]:
    match given:
        case str():
            yield path, given
        case dict():
            for key, value in given.items():
                yield (*path, "a name"), key
                yield from _texts(value, (*path, key))
        case list():
            for index, value in enumerate(given):
                yield from _texts(value, (*path, index))
