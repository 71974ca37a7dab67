"""Rooms that cannot be laid and left dry as they are, with what would free them."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString, Point, Polygon

from kit.errors import PlanError
from kit.plan.floor import PlannedRoom
from kit.plan.heading import Heading
from kit.plan.pace import BODY_M, PASSES_M, REACH_M, Pace
from kit.units import feet_inches, square_feet


class NoOrderError(PlanError):
    """A room that cannot be laid and left dry as it is.

    Parameters
    ----------
    about, found, expected
        As `PlanError` takes them.
    room : str
    behind : shapely.Polygon, optional
        Where of it nobody gets, behind a neck; all of it where left out. [m]
    is_slow : bool
        One gets out, but not while an edge is wet.
    """

    def __init__(
        self,
        about: str,
        *,
        found: object,
        expected: str,
        room: str,
        behind: Polygon | None = None,
        is_slow: bool = False,
    ) -> None:
        super().__init__(about, found=found, expected=expected)
        self.room, self.behind, self.is_slow = room, behind, is_slow


def check_passable(room: PlannedRoom, door: LineString, heading: Heading) -> None:
    """See that a person gets from all of a room to the door by which it is left."""
    about = f'room "{room.name}"'
    if door.length < PASSES_M:
        onto = f'the doorway to "{heading.through}"' if heading.through else "the way out"
        raise NoOrderError(
            about,
            found=f"no way out: {onto} is {feet_inches(door.length)} wide",
            expected=f"{feet_inches(PASSES_M)} to pass, or a second exit",
            room=room.name,
        )
    shape = room.poured
    if shape.area > (1.0 - 1e-9) * shape.convex_hull.area:
        return  # no neck without a corner that turns back or a column
    standing = shape.buffer(-BODY_M + 1e-3)
    parts = list(getattr(standing, "geoms", [standing]))
    if len(parts) < 2:
        return
    main = min(parts, key=lambda part: part.distance(door))
    for part in parts:
        if part is main or part.is_empty:
            continue
        away = max(main.distance(corner) for corner in _corners(part))
        if away > REACH_M:
            at = f"{square_feet(part.area):.0f} sq ft behind a neck narrower than"
            raise NoOrderError(
                about,
                found=f"no way out for {at} {feet_inches(PASSES_M)}",
                expected="a second exit: nobody passes there, in spiked shoes or another "
                "day no more than today",
                room=room.name,
                behind=part,
            )


def _corners(part: Polygon) -> Iterator[Point]:
    yield from (Point(at) for at in part.exterior.coords)


def too_slow(room: PlannedRoom, pace: Pace, oldest_min: float | None) -> NoOrderError:
    """A refusal of lanes that are closed too late, or of none that can be left dry."""
    people = "1 person" if pace.people == 1 else f"{pace.people} people"
    about = f'room "{room.name}"'
    fixes = "more people at it, a cooler slab, or a taped joint and two days"
    if oldest_min is None:
        widest = square_feet(pace.most_m2)
        return NoOrderError(
            about,
            found=f"no lanes that {people} can lay and leave dry; one may have "
            f"{widest:.0f} sq ft",
            expected=fixes,
            room=room.name,
            is_slow=True,
        )
    return NoOrderError(
        about,
        found=f"an edge {oldest_min:.0f} min old when {people} come back to it",
        expected=f"at most {pace.edge_min:.0f} min: {fixes}",
        room=room.name,
        is_slow=True,
    )
