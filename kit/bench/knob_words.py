"""Knobs in the words of the screen, made from the records that declare them."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from kit.knobs import Knob, knobs_of
from kit.units import M_PER_IN

_FILM = {"wisps", "veil", "glow", "silk", "veins", "lace"}
"""Knobs of what floats in the film; all others are moves of the trowel."""


def knob_figures(record: BaseModel) -> list[dict[str, Any]]:
    """Every knob of a record with its value, in the order they were declared."""
    return [_figures(knob, getattr(record, knob.name)) for knob in knobs_of(type(record))]


def knob_name(knob: Knob) -> str:
    """The knob's name without its unit: ``ribbon_m`` is read as Ribbon."""
    name = knob.name.removesuffix(f"_{knob.unit}") if knob.unit else knob.name
    return name.replace("_", " ").capitalize()


def knob_value(knob: Knob, value: float) -> str:
    """A length in inches; nothing else has a number that the words at its ends lack."""
    return f"{value / M_PER_IN:.0f} in" if knob.unit == "m" else ""


def _figures(knob: Knob, value: float) -> dict[str, Any]:
    return {
        "name": knob.name,
        "group": "film" if knob.name in _FILM else "moves",
        "label": knob_name(knob),
        "says": knob.says,
        "ends": list(knob.ends),
        "low": knob.low,
        "high": knob.high,
        "start": knob.start,
        "value": value,
        "shown": knob_value(knob, value),
    }
