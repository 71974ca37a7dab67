"""A number that a person may turn, declared beside the maths it turns.

A knob is a pydantic field that also carries its unit and two words for its
ends. Sliders, sheets, stored jobs and error lines all read it from there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

from pydantic import BaseModel, Field


def knob(
    start: float,
    low: float,
    high: float,
    *,
    says: str,
    unit: str = "",
    ends: tuple[str, str] = ("less", "more"),
) -> Any:
    """Declare a knob as the default of a record's field.

    Parameters
    ----------
    start, low, high : float
        Where it stands at first, and the range it may be turned in.
    says : str
        What it does, in a sentence a contractor understands.
    unit : str
        Unit of the number, "" for a plain share. [SI]
    ends : (str, str)
        One word for each end of the slider.
    """
    return Field(
        default=start,
        ge=low,
        le=high,
        strict=True,
        description=says,
        json_schema_extra={"knob": True, "unit": unit, "ends": list(ends)},
    )


@dataclass(frozen=True)
class Knob:
    """A knob as a screen needs it: name, range, unit, words."""

    name: str
    start: float
    low: float
    high: float
    unit: str
    says: str
    ends: tuple[str, str]


def knobs_of(record: type[BaseModel]) -> tuple[Knob, ...]:
    """List the knobs of a record, in the order they were declared.

    Examples
    --------
    >>> class Swirl(BaseModel):
    ...     reach_m: float = knob(0.45, 0.05, 3.0, unit="m", says="How far it turns.")
    >>> [(k.name, k.low, k.high, k.unit) for k in knobs_of(Swirl)]
    [('reach_m', 0.05, 3.0, 'm')]
    """
    found = []
    for name, field in record.model_fields.items():
        extra = field.json_schema_extra
        if not (isinstance(extra, dict) and extra.get("knob")):
            continue
        bounds = {type(m).__name__: m for m in field.metadata}
        first, second = cast("list[str]", extra["ends"])
        found.append(
            Knob(
                name=name,
                start=float(field.default),
                low=float(bounds["Ge"].ge),
                high=float(bounds["Le"].le),
                unit=str(extra["unit"]),
                says=field.description or "",
                ends=(first, second),
            )
        )
    return tuple(found)
