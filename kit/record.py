"""The ground all stored records stand on: frozen, strict about names, finite."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Self, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from kit.errors import KitError, SheetError

os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
"""No record asks for a plugin, and to look for some reads about all that is installed."""


class Record(BaseModel):
    """A record that a person fills in or that is kept.

    Frozen, so an edit makes a new one (`changed`); unknown names are refused;
    no number may be NaN or infinite. Each field carries its unit, range and a
    sentence, from which screens, files and errors all speak.
    """

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        allow_inf_nan=False,
        populate_by_name=True,
        defer_build=True,
    )

    def changed(self, **fields: Any) -> Self:
        """Return a copy with `fields` replaced, checked like a new record."""
        return filled(type(self), {**dict(self), **fields})


Filled = TypeVar("Filled", bound=BaseModel)


def filled(
    record: type[Filled],
    given: Mapping[str, Any],
    *,
    where: str = "",
    family: type[KitError] = SheetError,
) -> Filled:
    """Make a record from what a person gave, or complain in one line.

    Parameters
    ----------
    record : type
        The record to make.
    given : mapping
        Its fields, as read from a file or a screen.
    where : str
        File or table to name first in the complaint.
    family : type of KitError
        What to raise.
    """
    try:
        return record.model_validate(given)
    except ValidationError as error:
        raise complaint(error, given=given, where=where, family=family) from None


def complaint(
    error: ValidationError,
    *,
    given: Any = None,
    where: str = "",
    family: type[KitError] = SheetError,
) -> KitError:
    """Turn pydantic's first fault into one line: field, found, expected."""
    first = error.errors(include_url=False)[0]
    field = spoken_path(first["loc"], given)
    about = ", ".join(part for part in (where, field) if part) or error.title
    if first["type"] == "missing":
        return family(about, found="nothing", expected="it to be given")
    if first["type"] == "extra_forbidden":
        return family(
            about,
            found="a name that is not known here",
            expected="it to be spelt right or left out",
        )
    found = first["input"]
    if isinstance(found, Mapping | list | tuple):
        found = "a table" if isinstance(found, Mapping) else f"{len(found)} entries"
    elif isinstance(found, date):
        found = found.isoformat()
    return family(about, found=found, expected=_expected(first))


_PLAIN = {
    "string_type": "text in quotation marks",
    "string_too_short": "some text",
    "string_too_long": "at most {max_length} characters",
    "too_long": "at most {max_length} entries",
    "too_short": "at least {min_length} entries",
    "int_type": "a whole number",
    "int_parsing": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "float_parsing": "a number",
    "finite_number": "a number, not infinity",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "date_type": "a date such as 2026-11-25, without quotation marks",
    "date_from_datetime_parsing": "a date such as 2026-11-25",
    "date_from_datetime_inexact": "a date such as 2026-11-25, without a time",
    "greater_than": "more than {gt}",
    "greater_than_equal": "at least {ge}",
    "less_than": "less than {lt}",
    "less_than_equal": "at most {le}",
    "tuple_type": "a list in square brackets",
    "model_type": "a table",
    "literal_error": "{expected}",
}
"""What pydantic's faults are called at the table, by pydantic's own types."""


def _expected(fault: ErrorDetails) -> str:
    if plain := _PLAIN.get(fault["type"]):
        return plain.format(**fault.get("ctx", {}))
    return fault["msg"].removeprefix("Value error, ").removeprefix("Input should be ")


def spoken_path(path: Sequence[int | str], given: Any = None) -> str:
    """Say where a field is: by the thing's own name, else as a person counts.

    >>> spoken_path(("room", 0, "walls", 2), {"room": [{"name": "Hall"}]})
    'room "Hall", walls 3'
    """
    words: list[str] = []
    for step in path:
        given = _inside(given, step)
        if isinstance(step, int) and words:
            name = given.get("name") if isinstance(given, Mapping) else None
            words[-1] += f' "{name[:40]}"' if isinstance(name, str) else f" {step + 1}"
        else:
            words.append(str(step))
    return ", ".join(words)


def _inside(given: Any, step: int | str) -> Any:
    try:
        return given[step]
    except (KeyError, IndexError, TypeError):
        return None
