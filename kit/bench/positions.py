"""Where things stand along a wall or in a room: in steps that a tape shows."""

from __future__ import annotations

from kit.site.lengths import shown_length, written_length
from kit.site.outline import Outline, length_of
from kit.units import M_PER_IN, feet_inches

FEET_STEP_M = M_PER_IN / 2
METRIC_STEP_M = 0.01


def is_metric(outline: Outline) -> bool:
    """Whether most walls of a room were measured in meters."""
    metric = [length_of(wall).rstrip().endswith("m") for wall in outline.walls]
    return 2 * sum(metric) > len(metric)


def step_m(outline: Outline) -> float:
    """Half an inch, or a centimeter in a room that is measured in meters. [m]"""
    return METRIC_STEP_M if is_metric(outline) else FEET_STEP_M


def stepped(length_m: float, outline: Outline) -> float:
    """The nearest whole step. [m]"""
    return round(length_m / step_m(outline)) * step_m(outline)


def shown_position(length_m: float, outline: Outline) -> str:
    """Show how far along something stands, in the measure of its room's walls."""
    length_m = max(length_m, 0.0)
    if is_metric(outline):
        return f"{length_m:.4f}".rstrip("0").rstrip(".") + " m"
    written = written_length(length_m)
    if written.endswith("m"):
        return feet_inches(length_m, nearest=8)
    return shown_length(written)
