"""Doors, doorways and windows of a room: the first two are the plan's, windows are ours.

A doorway to a room of the plan stands open, its floor runs on, its leaf is folded back
where it has one, see `leaves`; the way out is shut: a panelled door, two leaves, or a
garage door by its width. Windows go where the plan shows no room behind the wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from kit.look.camera import Array, Stand
from kit.look.stands import FAR_M, Ground
from kit.plan.floor import FloorPlan, PlannedRoom

DOOR_M, WIDE_DOOR_M, GARAGE_DOOR_M = 2.04, 2.20, 2.44
LEAF_M, PAIR_M = 1.25, 2.1
"""Widest door of one leaf and of two; what is wider is a garage door."""
SHUT_M, GARAGE_SHUT_M = 0.06, 0.09
"""How deep in its wall a shut door lies."""
BEYOND_M, ASIDE_M = 3.4, 1.8
"""How far back and aside the space beyond a doorway is built."""
SILL_M, HEAD_BELOW_M, REVEAL_M = 0.72, 0.42, 0.13
WINDOW_M, PIER_M = 2.9, 1.0
LOW_WIDE_M, LOW_HIGH_M, LOW_HEAD_M, LOW_PIER_M = 0.85, 0.42, 0.24, 1.7
"""Windows of a cellar: width, height, below the ceiling, apart."""
GLAZED_M = 0.44
"""Height of the row of panes in a garage door."""
SIDE_M = 0.35
"""Wall left either side of a window."""
LEAST_M2, NARROW_M = 4.0, 2.2
"""A smaller room has no window; along a narrower one they would be too near."""
_MOST_WINDOWS = 5
_WALL_M = 0.65
"""Two rooms closer than this share a wall."""


@dataclass(frozen=True)
class Opening:
    """A door or doorway on a wall. [m]"""

    wall: int
    low: float
    high: float
    head: float
    depth: float
    deep: float = 0.0
    left: float = 0.0
    right: float = 0.0

    @property
    def is_open(self) -> bool:
        """Whether one sees and walks through."""
        return self.deep > 0.0

    @property
    def is_garage_door(self) -> bool:
        """Whether it is made of sections that roll up."""
        return not self.is_open and self.high - self.low > PAIR_M

    @property
    def row(self) -> tuple[float, ...]:
        """As `trace.Solids.doorways` has it."""
        return (
            self.wall, self.low, self.high, 0.0, self.head, self.depth, self.deep,
            self.left, self.right,
        )  # fmt: skip


def openings_of(
    plan: FloorPlan, room: PlannedRoom, walls: Array, height_m: float
) -> list[Opening]:
    """Every door and doorway of a room, laid on the wall it is in."""
    found = []
    highest = height_m - 0.12
    for line, other, there in _lines(plan, room):
        laid = _laid(np.asarray(line.coords)[[0, -1]], walls)
        if laid is None:
            continue
        wall, low, high = laid
        wide = high - low
        if other is None:
            head = DOOR_M if wide <= PAIR_M else GARAGE_DOOR_M - 0.3
            depth = SHUT_M if wide <= PAIR_M else GARAGE_SHUT_M
            found.append(Opening(wall, low, high, min(head, highest), depth))
        else:
            head = min(DOOR_M if wide <= LEAF_M else WIDE_DOOR_M, highest)
            thick = max(float(line.distance(there)), 0.02)
            space = _space(walls[wall], low, high, thick, other.outline)
            found.append(Opening(wall, low, high, head, thick, *space))
    return found


def _lines(
    plan: FloorPlan, room: PlannedRoom
) -> list[tuple[shapely.LineString, PlannedRoom | None, shapely.LineString]]:
    """Openings on this room's walls; the room beyond and the opening on its side."""
    rooms = {r.name: r for r in plan.rooms}
    out = plan.way_out.opening
    lines: list[tuple[shapely.LineString, PlannedRoom | None, shapely.LineString]] = []
    if plan.way_out.room == room.name:
        lines.append((out, None, out))
    for threshold in plan.thresholds:
        for here in (0, 1):
            if threshold.rooms[here] == room.name:
                other = rooms[threshold.rooms[1 - here]]
                lines.append((threshold.opening[here], other, threshold.opening[1 - here]))
    return lines


def _laid(ends: Array, walls: Array) -> tuple[int, float, float] | None:
    """Wall that both ends lie on, and where along it."""
    best, found = 0.06, None
    for wall, (x, y, ux, uy, length, nx, ny) in enumerate(walls):
        along = (ends - [x, y]) @ [ux, uy]
        off = float(np.abs((ends - [x, y]) @ [nx, ny]).max())
        low, high = float(along.min()), float(along.max())
        if off < best and low > -0.05 and high < length + 0.05:
            best, found = off, (wall, max(low, 0.0), min(high, float(length)))
    return found if found and found[2] - found[1] > 0.05 else None


def _space(
    row: Array, low: float, high: float, thick: float, other: shapely.Polygon
) -> tuple[float, float, float]:
    """How far back, left and right one sees through a doorway."""
    along, back = row[2:4], -row[5:7]
    step_m = 0.02
    middle = row[:2] + 0.5 * (low + high) * along + (thick + step_m) * back
    deep = min(max(step_m + _walk(other, middle, back), 0.3), BEYOND_M)
    inside = middle + 0.5 * min(deep, 1.0) * back
    half = 0.5 * (high - low)
    left, right = (
        min(max(_walk(other, inside, way) - half, 0.0), ASIDE_M) for way in (-along, along)
    )
    return thick + deep, left, right


def _walk(outline: shapely.Polygon, start: Array, way: Array) -> float:
    """Length of a straight walk to the next wall. [m]"""
    crossing = shapely.LineString([start, start + FAR_M * way]).intersection(
        outline.exterior
    )
    return 0.0 if crossing.is_empty else float(shapely.Point(start).distance(crossing))


def free_stretches(
    walls: Array, covered: Array, neighbours: Sequence[shapely.Polygon]
) -> Array:
    """Widest stretch of each wall that has no door and no room behind, (W, 2). [m]

    Parameters
    ----------
    covered : (K, 3) array
        Wall, from and to of what else is there. [m]
    """
    found = []
    for wall, row in enumerate(walls):
        taken = [(a - 0.2, b + 0.2) for w, a, b in covered if int(w) == wall]
        taken += _behind(row, neighbours)
        low, best = 0.0, (0.0, 0.0)
        for start, stop in [*sorted(taken), (float(row[4]), float(row[4]))]:
            if start - low > best[1] - best[0]:
                best = (low, start)
            low = max(low, stop)
        found.append(best)
    return np.array(found)


def _behind(row: Array, neighbours: Sequence[shapely.Polygon]) -> list[tuple[float, float]]:
    """Stretches of a wall with a room behind it."""
    ends = np.array([row[:2], row[:2] + row[4] * row[2:4]])
    strip = shapely.Polygon(np.vstack([ends, ends[::-1] - _WALL_M * row[5:7]]))
    found = []
    for other in neighbours:
        shared = strip.intersection(other)
        for part in shapely.get_parts(shared):
            if part.area > 1e-3:
                along = (shapely.get_coordinates(part) - row[:2]) @ row[2:4]
                found.append((float(along.min()) - 0.1, float(along.max()) + 0.1))
    return found


def window_walls(ground: Ground, stands: Sequence[Stand]) -> list[int]:
    """One or two walls for windows: that which the first stand faces, and one more.

    Weighed by how wide a window fits and how much of the picture shows the wall.
    """
    fits = np.clip(np.diff(ground.free_m)[:, 0] - 2 * SIDE_M, 0.0, 6.0)
    fits[fits < 0.5] = 0.0
    if ground.outline.area < LEAST_M2:
        return []
    narrow = np.array([_across(ground.outline, row) < NARROW_M for row in ground.walls])
    if (fits * ~narrow).max() > 0.0:
        fits = fits * ~narrow
    shown = np.array([_walls_shown(ground.walls, stand) for stand in stands])
    first = np.sqrt(fits) * (shown[0] + 0.01)
    if first.max() <= 0.0:
        return []
    chosen = [int(np.argmax(first))]
    facing = ground.walls[:, 5:7] @ ground.walls[chosen[0], 5:7] < 0.9
    second = np.sqrt(fits) * (shown[1:].sum(axis=0) + 0.01) * facing * (fits > 0.8)
    second[chosen[0]] = 0.0
    if second.max() > 0.0:
        chosen.append(int(np.argmax(second)))
    return chosen


def _across(outline: shapely.Polygon, row: Array) -> float:
    """How far the room runs before the middle of a wall. [m]"""
    middle = row[:2] + 0.5 * row[4] * row[2:4] + 0.02 * row[5:7]
    return _walk(outline, middle, row[5:7])


def _walls_shown(walls: Array, stand: Stand) -> Array:
    """Share of the looks across a picture that end on each wall."""
    eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
    across = np.linspace(-1.0, 1.0, 41)[:, None] * stand.half_wide
    ways = ahead + across * np.array([ahead[1], -ahead[0]])
    start, step = walls[:, :2] - eye, walls[:, 2:4]
    turned = ways[:, :1] * step[:, 1] - ways[:, 1:] * step[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        far = (start[:, 0] * step[:, 1] - start[:, 1] * step[:, 0]) / turned
        at = (start[:, 0] * ways[:, 1:] - start[:, 1] * ways[:, :1]) / turned
    met = (at >= 0.0) & (at <= walls[:, 4]) & (far > stand.near_m + 1e-6)
    far = np.where(met, far, np.inf)
    ends = np.argmin(far, axis=1)[np.isfinite(far).any(axis=1)]
    return np.bincount(ends, minlength=len(walls)) / len(ways)


def windows_in(
    ground: Ground, chosen: Sequence[int], height_m: float, *, below_grade: bool
) -> list[tuple[float, ...]]:
    """Put windows into the walls chosen, rows as in `trace.Solids`."""
    found: list[tuple[float, ...]] = []
    for wall in chosen:
        low, high = (float(v) for v in ground.free_m[wall])
        wide, pier = (LOW_WIDE_M, LOW_PIER_M) if below_grade else (WINDOW_M, PIER_M)
        count = int((high - low + pier - 2 * SIDE_M) // (wide + pier))
        count = min(max(count, 1), _MOST_WINDOWS)
        alone = 0.3 if count == 1 and not below_grade else 0.0
        wide = min(wide + alone, high - low - 2 * SIDE_M)
        if wide < 0.5:
            continue
        head = height_m - (LOW_HEAD_M if below_grade else HEAD_BELOW_M)
        sill = head - LOW_HIGH_M if below_grade else SILL_M
        step = (high - low) / count
        for k in range(count):
            middle = low + (k + 0.5) * step
            row = (middle - wide / 2, middle + wide / 2, sill, head, REVEAL_M)
            found.append((float(wall), *row))
    return found


def glazing(openings: Sequence[Opening]) -> list[tuple[float, ...]]:
    """Rows of panes above the sections of garage doors, as windows."""
    return [
        (float(o.wall), o.low, o.high, o.head + 0.02, o.head + 0.02 + GLAZED_M, o.depth)
        for o in openings
        if o.is_garage_door
    ]
