"""The ground all stored records stand on: frozen, strict about names, finite."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from kit.errors import KitError, SheetError


class Record(BaseModel):
    """A record that a person fills in or that is kept.

    Frozen, so an edit makes a new one (`changed`); unknown names are refused;
    no number may be NaN or infinite. Each field carries its unit, range and a
    sentence, from which screens, files and errors all speak.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    def changed(self, **fields: Any) -> Any:
        """Return a copy with `fields` replaced, checked like a new record."""
        return type(self).model_validate({**dict(self), **fields})


def complaint(
    error: ValidationError, *, where: str = "", family: type[KitError] = SheetError
) -> KitError:
    """Turn pydantic's first fault into one line: field, found, expected.

    Parameters
    ----------
    error : pydantic.ValidationError
        What pydantic raised.
    where : str
        Prefix that says which file or table the record came from.
    family : type of KitError
        The error to make.
    """
    faults = error.errors(include_url=False)
    first = faults[0]
    raised = first.get("ctx", {}).get("error")
    if isinstance(raised, KitError):
        return raised
    field = spoken_path(first["loc"])
    about = ", ".join(part for part in (where, field) if part) or "record"
    kind = first["type"]
    if kind == "missing":
        return family(about, found="nothing", expected="a value")
    if kind == "extra_forbidden":
        return family(about, found="a name that is not known here", expected="it to be removed or spelt right")
    expected = first["msg"].removeprefix("Value error, ").removeprefix("Input should be ")
    return family(about, found=first["input"], expected=expected)


def spoken_path(path: tuple[int | str, ...]) -> str:
    """Write a pydantic location as a person counts: ``room 2, walls 3``."""
    words: list[str] = []
    for step in path:
        if isinstance(step, int) and words:
            words[-1] = f"{words[-1]} {step + 1}"
        else:
            words.append(str(step))
    return ", ".join(words)
