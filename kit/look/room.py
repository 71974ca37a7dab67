"""A planned room made solid: walls to the ceiling, window, doors, lamps, furniture.

The outline, its columns, islands and doorways are the plan's own; window,
lamps, height and furniture are ours, placed so that the floor stays in view.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from kit.look import things as made
from kit.look.camera import Array, Stand
from kit.look.faces import Faces, cut
from kit.look.furnish import Furnisher, strip
from kit.look.leaves import FOOT_M, THICK_M, Leaf, leaves_of
from kit.look.openings import (
    LEAF_M,
    Opening,
    free_stretches,
    glazing,
    openings_of,
    window_walls,
    windows_in,
)
from kit.look.skins import BEYOND, DOOR, LOW_WINDOW_M, PANE, PLAIN, SECTIONAL, WALL
from kit.look.stands import FAR_M, Ground, stands_in
from kit.look.things import Rgb, Things
from kit.look.trace import Solids
from kit.plan.floor import FloorPlan, PlannedRoom
from kit.plan.views import Standing

HEIGHTS_M = (2.60, 3.30)
"""Ceilings of a room up to 50 m² and from 120 m²; the plan does not tell."""
CELLAR_M = 2.55
ISLAND_M = 0.92
LAMPS_APART_M, LAMPS_FROM_ENDS = 2.6, 0.35
"""Least distance of ceiling lamps; that of the outermost from the walls, by it."""
LAMP_RADIUS = 0.075 / 1.9
"""Radius of a lamp by its distance from the next: rooms of all sizes are lit alike."""
DIM = 0.09
"""Window to floor, by area, below which lamps are on by day."""
_PART_OF_WAY = 0.9
"""Part of the way to an eye behind a wall that the space beyond a doorway takes up."""
WALL_PAINT: Rgb = (0.755, 0.715, 0.650)
BEYOND_PAINT: Rgb = (0.745, 0.72, 0.67)
CEILING_PAINT: Rgb = (0.82, 0.815, 0.80)
FRAME_PAINT: Rgb = (0.80, 0.79, 0.77)


@dataclass(frozen=True, eq=False)
class Room:
    """Everything of a room that light can meet.

    Parameters
    ----------
    doors : (D, 4) array
        Casings: wall, from, to along it, head. [m]
    skins : (F, 7) array
        What each face looks like, see `skins`.
    fill : (2, 3, 3) array
        Corner, two sides of soft openings behind the eye; only their light is used.
    lamps : (L, 4) array
        Ceiling lamps, place and radius. [m]
    lamps_by_day : bool
        A cellar, or a room with little window.
    stands : dict
        Where it is looked at from.
    """

    name: str
    outline: shapely.Polygon
    solids: Solids
    faces: Faces
    skins: Array
    doors: Array
    fill: Array
    lamps: Array
    lamps_by_day: bool
    stands: dict[Standing, Stand]

    @cached_property
    def underfoot(self) -> shapely.Geometry:
        """All floor that can be seen: of the room, in its doorways and beyond them."""
        return _underfoot(self.outline, self.solids)

    def globes_lit(self, evening: bool) -> Array:
        """Globes that are on, (S, 4)."""
        return self.solids.globes if evening else self.solids.globes[:0]

    def lamps_lit(self, evening: bool) -> Array:
        """Ceiling lamps that are on, (L, 4)."""
        return self.lamps if evening or self.lamps_by_day else self.lamps[:0]


def solid_room(plan: FloorPlan, room: PlannedRoom) -> Room:
    """Build the room around the plan's outline and furnish it."""
    outline = shapely.Polygon(shapely.remove_repeated_points(room.outline, 0.01).exterior)
    outline = shapely.geometry.polygon.orient(outline.simplify(0.004), 1.0)
    walls = _walls(outline)
    height = _height(plan, outline)
    openings = openings_of(plan, room, walls, height)
    neighbours = [other.outline for other in plan.rooms if other is not room]
    doors = _rows([(o.wall, o.low, o.high, o.head) for o in openings
                   if not o.is_garage_door], 4)  # fmt: skip
    leaves = leaves_of(openings, walls, room.poured)
    shut = [(o.wall, o.low, o.high) for o in openings if not o.is_open]
    opened = [(leaf.wall, *leaf.stretch) for leaf in leaves]
    covered = _rows([*((o.wall, o.low, o.high) for o in openings), *opened], 3)
    under = shapely.union_all([leaf.footprint(walls[leaf.wall]) for leaf in leaves])
    ground = Ground(
        outline, room.poured.difference(under), walls,
        _rows([(o.wall, o.low, o.high, o.head) for o in openings], 4),
        free_stretches(walls, covered, neighbours), _rows([*shut, *opened], 3),
    )  # fmt: skip
    stands = stands_in(ground)
    away = _taken_away(walls, stands)
    leaves = [leaf for leaf in leaves if leaf.wall not in away]
    openings = [_before_the_eye(o, away.get(o.wall)) for o in openings]
    lit = window_walls(ground, list(stands.values()))
    rows = windows_in(ground, lit, height, below_grade=plan.below_grade)
    windows = _rows([*rows, *glazing(openings)], 6)
    things = Things()
    _fixed(things, outline, room.poured, height)
    _boards(things, walls, [row for row in windows if int(row[0]) not in away])
    _hang(things, leaves, walls)
    swept = shapely.union_all([leaf.sweep(walls[leaf.wall]) for leaf in leaves])
    covered = np.vstack([covered, windows[:, :3]])
    Furnisher(
        things, ground, list(stands.values()), openings, windows, covered, swept
    ).furnish()
    first = stands["room"]
    glass_m2 = float(
        ((windows[:, 2] - windows[:, 1]) * (windows[:, 4] - windows[:, 3])).sum()
    )
    by_day = plan.below_grade or glass_m2 < DIM * outline.area
    lamps = _lamps(outline, walls[lit[0]] if lit else walls[0], height)
    fill = _fill(outline, walls, first) if len(lit) < 2 and not by_day else _NO_FILL
    solids = Solids(
        walls, height, _rows(things.boxes, 8), _rows(things.drums, 5),
        _rows(things.groups, 8), windows, _rows([o.row for o in openings], 9),
        _rows(things.globes, 4),
    )  # fmt: skip
    skins = _skins(solids, things, openings)
    floor = _underfoot(outline, solids)
    return Room(
        room.name, outline, solids, cut(solids, floor.bounds), skins, doors, fill,
        lamps, by_day, stands,
    )  # fmt: skip


def _underfoot(outline: shapely.Polygon, solids: Solids) -> shapely.Geometry:
    parts = [outline]
    for wall, low, high, _, _, deep, back, left, right in solids.doorways:
        row = solids.walls[int(wall)]
        wide = high - low + left + right
        middle = low - left + 0.5 * wide
        parts.append(strip(row, middle, wide, -max(deep, back), 0.0))
    return shapely.union_all(parts, grid_size=1e-6)


_NO_FILL: Array = np.zeros((0, 4, 3))


def _rows(given: Sequence[tuple[float, ...]], width: int) -> Array:
    return np.array(given, dtype=np.float64).reshape(-1, width)


def _height(plan: FloorPlan, outline: shapely.Polygon) -> float:
    if plan.below_grade:
        return CELLAR_M
    return float(np.interp(outline.area, (50.0, 120.0), HEIGHTS_M))


def _walls(outline: shapely.Polygon) -> Array:
    """Walls of a ring run counterclockwise, so that inside is on the left."""
    corners = np.asarray(outline.exterior.coords)
    start, step = corners[:-1], np.diff(corners, axis=0)
    length = np.linalg.norm(step, axis=1)
    unit = step / length[:, None]
    return np.column_stack([start, unit, length, -unit[:, 1], unit[:, 0]])


def _fixed(things: Things, outline: shapely.Polygon, poured: shapely.Polygon,
           height_m: float) -> None:  # fmt: skip
    """Stand up what the pour left out: round and square columns, islands."""
    left = outline.buffer(0.002).difference(poured.buffer(0.004))
    for part in getattr(left, "geoms", [left]):
        if part.is_empty or part.area < 0.008 or part.buffer(-0.03).is_empty:
            continue
        x, y = part.centroid.coords[0]
        roundness = 4 * math.pi * part.area / part.length**2
        column = part.area < 0.5
        height = height_m if column else ISLAND_M
        if column and roundness > 0.93:
            things.put(
                made.pillar(math.sqrt(part.area / math.pi) + 0.004, height),
                x,
                y,
                (1.0, 0.0),
            )
            continue
        corners = np.asarray(part.minimum_rotated_rectangle.exterior.coords)
        first, second = corners[1] - corners[0], corners[2] - corners[1]
        a, b = float(np.linalg.norm(first)), float(np.linalg.norm(second))
        middle = 0.5 * (corners[0] + corners[2])
        make = made.counter(a / 2, b / 2, height, made.CHALK if column else made.SLATE)
        along = first / a
        things.put(
            make, float(middle[0]), float(middle[1]), (float(along[0]), float(along[1]))
        )


def _boards(things: Things, walls: Array, windows: Sequence[Array]) -> None:
    """Lay a board under each window that one could lean on."""
    for wall, low, high, sill, head, _ in windows:
        if head - sill > LOW_WINDOW_M:
            row = walls[int(wall)]
            x, y = row[:2] + 0.5 * (low + high) * row[2:4]
            along = (float(row[2]), float(row[3]))
            things.put(made.window_board(high - low, sill), float(x), float(y), along)


def _taken_away(walls: Array, stands: dict[Standing, Stand]) -> dict[int, float]:
    """Walls that stands look through, and how far behind each the nearest eye is. [m]"""
    away: dict[int, float] = {}
    for stand in stands.values():
        if stand.near_m > 0.0:
            ways = walls[:, 5:7] @ np.array(stand.ahead)
            to_wall = np.abs(
                ((walls[:, :2] - [stand.x, stand.y]) * walls[:, 5:7]).sum(axis=1)
            )
            wall = int(np.argmin(np.abs(to_wall - stand.near_m) + 9.0 * (ways < 0.99)))
            away[wall] = min(stand.near_m, away.get(wall, stand.near_m))
    return away


def _before_the_eye(opening: Opening, eye_m: float | None) -> Opening:
    """End the space beyond a doorway before an eye that looks through its wall."""
    if eye_m is None or not opening.is_open:
        return opening
    deepest = max(_PART_OF_WAY * eye_m, opening.depth + 0.01)
    return replace(opening, deep=min(opening.deep, deepest))


def _hang(things: Things, leaves: Sequence[Leaf], walls: Array) -> None:
    """Hang the leaves of the doors that stand open."""
    for leaf in leaves:
        row = walls[leaf.wall]
        x, y = leaf.middle(row)
        along = leaf.along(row)
        make = made.door_leaf(leaf.wide, leaf.high, THICK_M, FOOT_M)
        things.put(make, float(x), float(y), (float(along[0]), float(along[1])))


def _lamps(outline: shapely.Polygon, row: Array, height_m: float) -> Array:
    """Ceiling lamps in rows along a wall, that of the windows, the first near it.

    Lamps far from the eye are those that a floor mirrors into it. Few and large ones, or
    their glow in a matte coat runs together into an even haze.
    """
    spacing = max(LAMPS_APART_M, math.sqrt(outline.area / 14.0))
    radius = LAMP_RADIUS * spacing
    start, along, inward = row[:2], row[2:4], row[5:7]
    corners = np.asarray(outline.exterior.coords) - start
    across, deep = corners @ along, corners @ inward
    inner = outline.buffer(-0.45)
    spots = [
        start + a * along + d * inward
        for a in _spread(float(across.min()), float(across.max()), spacing)
        for d in _spread(float(deep.min()), float(deep.max()), spacing)
    ]
    kept = [(*p, height_m, radius) for p in spots if inner.contains(shapely.Point(p))]
    if not kept:
        point = outline.representative_point()
        kept = [(point.x, point.y, height_m, radius)]
    return np.array(kept, dtype=np.float64)


def _spread(low: float, high: float, spacing: float) -> Array:
    """Places evenly along a length, about a spacing apart, a third of one from its ends."""
    count = round((high - low) / spacing)
    if count < 2:
        return np.array([0.5 * (low + high)])
    end = LAMPS_FROM_ENDS * (high - low) / count
    return np.linspace(low + end, high - end, count)


def _fill(outline: shapely.Polygon, walls: Array, stand: Stand) -> Array:
    """Soft opening in the wall behind the eye: corner, width, height, inward. (1, 4, 3)"""
    ahead = np.array(stand.ahead)
    foot = np.array([stand.x, stand.y]) + ahead * (stand.depth_m * 0.5)
    line = shapely.LineString([foot, foot - FAR_M * ahead])
    crossing = line.intersection(outline.exterior)
    reach = shapely.Point(foot).distance(crossing) if not crossing.is_empty else 1.0
    at = foot - reach * ahead
    offsets = [abs(float((at - w[:2]) @ w[5:7])) + (0.0 if w[5:7] @ ahead > 0.3 else 99.0)
               for w in walls]  # fmt: skip
    row = walls[int(np.argmin(offsets))]
    wide = min(max(2.6, outline.area / 22.0), row[4] - 0.4)
    along = min(
        max(float((at - row[:2]) @ row[2:4]), wide / 2 + 0.1), row[4] - wide / 2 - 0.1
    )
    start = row[:2] + (along - wide / 2) * row[2:4] + 0.02 * row[5:7]
    return np.array([[
        [*start, 0.5], [*(wide * row[2:4]), 0.0], [0.0, 0.0, 1.75], [*row[5:7], 0.0],
    ]])  # fmt: skip


def _skins(solids: Solids, things: Things, openings: Sequence[Opening]) -> Array:
    """One row a face, in the order of `trace.Solids`."""
    rows: list[tuple[float, ...]] = []
    rows += [(WALL, *WALL_PAINT, wall[4], solids.height, 0.0) for wall in solids.walls]
    rows += [(PLAIN, 0.3, 0.3, 0.3, 1.0, 1.0, 0.0), (PLAIN, *CEILING_PAINT, 1.0, 1.0, 0.0)]
    rows += [*things.box_skins, *things.drum_skins]
    for _, low, high, sill, head, deep in solids.windows:
        rows.append((PANE, 0.0, 0.0, 0.0, high - low, head - sill, 0.0))
        rows += _reveal(high - low, head - sill, deep)
    for opening in openings:
        wide, high = opening.high - opening.low, opening.head
        if opening.is_open:
            across = opening.left + wide + opening.right
            rows.append((BEYOND, *BEYOND_PAINT, across, solids.height, 0.0))
        elif opening.is_garage_door:
            rows.append((SECTIONAL, 0.0, 0.0, 0.0, wide, high, 0.0))
        else:
            rows.append((DOOR, 0.0, 0.0, 0.0, wide, high, 2.0 if wide > LEAF_M else 1.0))
        rows += _reveal(wide, high, opening.depth)
    rows += things.globe_skins
    return np.array(rows, dtype=np.float64)


def _reveal(wide: float, high: float, deep: float) -> list[tuple[float, ...]]:
    """Sill, head and sides of a recess."""
    flat = (PLAIN, *FRAME_PAINT, wide, deep, 0.0)
    upright = (PLAIN, *FRAME_PAINT, deep, high, 0.0)
    return [flat, flat, upright, upright]
