"""Stairs, steps and free edges: surfaces and lengths beside the flat of the floor."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kit.site.stairs import Edge, Stairs, Step
from kit.takeoff.trail import Figure, spoken, summed
from kit.units import feet_inches


@dataclass(frozen=True)
class Stepped:
    """What is coated up and down, and where the film ends in the open.

    Parameters
    ----------
    treads_m2 : float
        Treads, which lie flat. [m²]
    uprights_m2 : float
        Risers, undersides of nosings, faces of steps, on which a thick film sags. [m²]
    steps : int
        How many there are: treads, or coated risers where these are more.
    nosings_m : float
        Edges of treads and of the floor above a flight. [m]
    edges_m : float
        Where the film ends in the open: free edges and open sides of stairs. [m]
    trail : tuple of Figure
    """

    treads_m2: float = 0.0
    uprights_m2: float = 0.0
    steps: int = 0
    nosings_m: float = 0.0
    edges_m: float = 0.0
    trail: tuple[Figure, ...] = ()

    @property
    def coated_m2(self) -> float:
        """All of it that is coated. [m²]"""
        return self.treads_m2 + self.uprights_m2


def stepped_of(
    stairs: Iterable[Stairs] = (), steps: Iterable[Step] = (), edges: Iterable[Edge] = ()
) -> Stepped:
    """Measure stairs, steps and free edges.

    A flight of n risers has n nosings, the topmost on the floor above. A tread is
    counted from the edge of its nosing back to the riser, an upright by its height, and
    the underside of a nosing once more by its overhang. An open side runs up riser and
    tread in turn; a closed one is an edge against a wall and needs none.

    Raises
    ------
    SheetError
        If a size is none that anybody could walk on.
    """
    treads, uprights, nosings, open_edges = [], [], [], []
    count = 0
    for flight in stairs:
        width_m, tread_m, riser_m, nosing_m = flight.sizes_m()
        wide = feet_inches(width_m)
        count += max(flight.tread_count, flight.risers if flight.coat_risers else 0)
        treads.append(
            Figure(
                f"{flight.name}, treads",
                flight.tread_count * width_m * tread_m,
                "m²",
                f"{flight.tread_count} × {wide} × {feet_inches(tread_m, nearest=8)}",
            )
        )
        uprights += _uprights(flight, width_m, riser_m, nosing_m)
        nosings.append(
            Figure(
                f"{flight.name}, nosings",
                flight.risers * width_m,
                "m",
                f"{flight.risers} × {wide}",
            )
        )
        if flight.open_sides:
            open_edges.append(_side(flight, tread_m, riser_m))
    for step in steps:
        length_m, height_m = step.sizes_m()
        how = f"{spoken(length_m, 'm')} × {feet_inches(height_m, nearest=8)}"
        uprights.append(
            Figure(f"{step.where}, face of the step", length_m * height_m, "m²", how)
        )
        nosings.append(Figure(f"{step.where}, edge of the step", length_m, "m", "as long"))
    open_edges += [
        Figure(f"{edge.where}, edge", edge.length_m(), "m", "as surveyed") for edge in edges
    ]
    flat = summed("Treads", "m²", treads)
    upright = summed("Risers and faces", "m²", uprights)
    nosed = summed("Nosings and step edges", "m", nosings)
    free = summed("Free edges", "m", open_edges)
    return Stepped(
        treads_m2=float(flat.value),
        uprights_m2=float(upright.value),
        steps=count,
        nosings_m=float(nosed.value),
        edges_m=float(free.value),
        trail=tuple(figure for figure in (flat, upright, nosed, free) if figure.parts),
    )


def _uprights(
    flight: Stairs, width_m: float, riser_m: float, nosing_m: float
) -> list[Figure]:
    if not flight.coat_risers:
        return []
    wide = feet_inches(width_m)
    risers = Figure(
        f"{flight.name}, risers",
        flight.risers * width_m * riser_m,
        "m²",
        f"{flight.risers} × {wide} × {feet_inches(riser_m, nearest=8)}",
    )
    if not nosing_m:
        return [risers]
    below = Figure(
        f"{flight.name}, under the nosings",
        flight.risers * width_m * nosing_m,
        "m²",
        f"{flight.risers} × {wide} × {feet_inches(nosing_m, nearest=8)}",
    )
    return [risers, below]


def _side(flight: Stairs, tread_m: float, riser_m: float) -> Figure:
    one_m = flight.tread_count * tread_m + flight.risers * riser_m
    sides = f"{flight.open_sides} sides" if flight.open_sides > 1 else "1 side"
    how = (
        f"{sides} × ({flight.tread_count} × {feet_inches(tread_m, nearest=8)}"
        f" + {flight.risers} × {feet_inches(riser_m, nearest=8)})"
    )
    return Figure(f"{flight.name}, open sides", flight.open_sides * one_m, "m", how)
