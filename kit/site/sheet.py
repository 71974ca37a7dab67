"""Reading a measure sheet: a TOML file that a contractor writes by hand."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kit.errors import SheetError
from kit.record import spoken_path
from kit.site.climate import forecast_from_csv
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
    return _with_forecast(tables(text, about=about), path.parent)


def _with_forecast(sheet: dict[str, Any], folder: Path) -> dict[str, Any]:
    """The sheet with the rows of the forecast file it names, which lies beside it."""
    climate = sheet.get("climate")
    if not isinstance(climate, dict) or "forecast_file" not in climate:
        return sheet
    rest = {key: value for key, value in climate.items() if key != "forecast_file"}
    name, about = climate["forecast_file"], "climate, forecast_file"
    if "forecast" in rest:
        raise SheetError(about, found="a forecast in the sheet too", expected="only one")
    if not isinstance(name, str) or not name or Path(name).name != name:
        raise SheetError(about, found=name, expected="name of a CSV file beside the sheet")
    try:
        content = (folder / name).read_bytes()
        if len(content) > LARGEST_SHEET_BYTES:
            raise SheetError(about, found="a file too large", expected="at most 1 MB")
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SheetError(about, found="bytes that are not UTF-8", expected="CSV") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetError(about, found=f"{name}: {reason}", expected="a CSV file") from None
    return {**sheet, "climate": {**rest, "forecast": forecast_from_csv(text, about=name)}}


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
