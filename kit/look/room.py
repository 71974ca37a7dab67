"""A planned room made solid: walls to the ceiling, window, doors, lamps, furniture.

The outline, its columns, islands and doorways are the plan's own; window,
lamps, height and furniture are ours, placed so that the floor stays in view.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.look import things as made
from kit.look.camera import Stand, stand_in
from kit.look.faces import Faces, cut
from kit.look.skins import PANE, PLAIN, WALL
from kit.look.things import Rgb, Things
from kit.look.trace import Solids
from kit.plan.floor import FloorPlan, PlannedRoom

Array = NDArray[np.float64]

HEIGHTS_M = (2.60, 3.30)
"""Ceilings of a room up to 50 m² and from 120 m²; the plan does not tell."""
ISLAND_M = 0.92
SILL_M, HEAD_BELOW_M, REVEAL_M = 0.72, 0.42, 0.13
WINDOW_M, PIER_M = 2.9, 1.0
DOOR_M = 2.04
WALL_PAINT: Rgb = (0.735, 0.705, 0.650)
CEILING_PAINT: Rgb = (0.82, 0.815, 0.80)


@dataclass(frozen=True, eq=False)
class Room:
    """Everything of a room that light can meet.

    Parameters
    ----------
    doors : (D, 4) array
        Wall, from, to along it, head. [m]
    skins : (F, 7) array
        What each face looks like, see `skins`.
    fill : (2, 3, 3) array
        Corner, two sides of soft openings behind the eye; only their light is used.
    lamps : (L, 3) array
        Ceiling lamps. [m]
    """

    name: str
    outline: shapely.Polygon
    solids: Solids
    faces: Faces
    skins: Array
    doors: Array
    fill: Array
    lamps: Array
    lamp_spacing_m: float
    stand: Stand


def solid_room(plan: FloorPlan, room: PlannedRoom) -> Room:
    """Build the room around the plan's outline and furnish it."""
    outline = shapely.Polygon(shapely.remove_repeated_points(room.outline, 0.01).exterior)
    outline = shapely.geometry.polygon.orient(outline.simplify(0.004), 1.0)
    walls = _walls(outline)
    doors = _doors(plan, room, walls)
    free = _free_stretches(walls, doors)
    stand = stand_in(outline, room.poured, walls, free)
    height = float(np.interp(outline.area, (50.0, 120.0), HEIGHTS_M))
    windows = _windows(stand, free, height)
    things = Things()
    _fixed(things, outline, room.poured, height)
    _furnish(things, outline, room.poured, walls, doors, stand)
    spacing, lamps = _lamps(outline, walls, stand, height)

    def rows(given: list[tuple[float, ...]], width: int) -> Array:
        return np.array(given, dtype=np.float64).reshape(-1, width)

    solids = Solids(
        walls, height, rows(things.boxes, 8), rows(things.drums, 5),
        rows(things.leaves, 9), rows(things.groups, 10), windows,
    )  # fmt: skip
    return Room(
        room.name, outline, solids, cut(solids, outline.bounds), _skins(solids, things),
        doors, _fill(outline, walls, stand), lamps, spacing, stand,
    )  # fmt: skip


def _walls(outline: shapely.Polygon) -> Array:
    """Walls of a ring run counterclockwise, so that inside is on the left."""
    corners = np.asarray(outline.exterior.coords)
    start, step = corners[:-1], np.diff(corners, axis=0)
    length = np.linalg.norm(step, axis=1)
    unit = step / length[:, None]
    return np.column_stack([start, unit, length, -unit[:, 1], unit[:, 0]])


def _doors(plan: FloorPlan, room: PlannedRoom, walls: Array) -> Array:
    """Doorways of this room, each laid on the wall it is in."""
    lines = [plan.way_out.opening] if plan.way_out.room == room.name else []
    for threshold in plan.thresholds:
        lines += [
            line
            for name, line in zip(threshold.rooms, threshold.opening, strict=True)
            if name == room.name
        ]
    found = []
    for line in lines:
        ends = np.asarray(line.coords)[[0, -1]]
        best = (0.06, 0, 0.0, 0.0)
        for wall, (x, y, ux, uy, length, nx, ny) in enumerate(walls):
            along = (ends - [x, y]) @ [ux, uy]
            off = float(np.abs((ends - [x, y]) @ [nx, ny]).max())
            low, high = float(along.min()), float(along.max())
            if off < best[0] and low > -0.05 and high < length + 0.05:
                best = (off, wall, max(low, 0.0), min(high, length))
        if best[3] > best[2]:
            found.append((best[1], best[2], best[3], DOOR_M))
    return np.array(found, dtype=np.float64).reshape(-1, 4)


def _free_stretches(walls: Array, doors: Array) -> Array:
    """Widest stretch of each wall without doors, (W, 2): from, to. [m]"""
    found = []
    for wall, row in enumerate(walls):
        taken = sorted((d[1] - 0.2, d[2] + 0.2) for d in doors if int(d[0]) == wall)
        edges = [0.0, *(e for pair in taken for e in pair), float(row[4])]
        found.append(
            max(zip(edges[::2], edges[1::2], strict=True), key=lambda f: f[1] - f[0])
        )
    return np.array(found)


def _windows(stand: Stand, free_m: Array, height_m: float) -> Array:
    """Put windows into the wall looked at, in its widest stretch free of doors."""
    low, high = free_m[stand.wall]
    count = max(1, int((high - low + PIER_M - 0.7) // (WINDOW_M + PIER_M)))
    width = min(WINDOW_M if count > 1 else WINDOW_M + 0.3, high - low - 0.7)
    if width < 0.5:
        return np.zeros((0, 6))
    if count == 1:
        middles = [min(max(stand.along_m, low + 0.35 + width / 2), high - 0.35 - width / 2)]
    else:
        step = (high - low) / count
        middles = [low + (k + 0.5) * step for k in range(count)]
    head = height_m - HEAD_BELOW_M
    return np.array([
        [stand.wall, m - width / 2, m + width / 2, SILL_M, head, REVEAL_M] for m in middles
    ])  # fmt: skip


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


def _furnish(things: Things, outline: shapely.Polygon, poured: shapely.Polygon,
             walls: Array, doors: Array, stand: Stand) -> None:  # fmt: skip
    """Place a cupboard left, a table right, a plant far off, as far as they fit."""
    free = poured.buffer(-0.005)
    for wall, low, high, _ in doors:
        row = walls[int(wall)]
        free = free.difference(_strip(row, 0.5 * (low + high), high - low + 0.3, 0.0, 0.95))
    eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
    lane = shapely.LineString([eye, eye + 0.86 * stand.depth_m * ahead]).buffer(
        min(0.75, 0.19 * walls[stand.wall, 4])
    )
    free = free.difference(shapely.union_all([lane, shapely.Point(eye).buffer(1.9)]))
    reach = min(5.2, 0.62 * stand.depth_m)
    wishes = (
        (made.sideboard, 1.76, 0.46, 0.02, -0.46, reach),
        (made.table, 1.72, 0.80, 0.10, 0.46, reach * 0.92),
        (made.plant, 0.62, 0.62, 0.08, -0.25, stand.depth_m - 0.6),
    )
    for make, wide, deep, gap, aside, far in wishes:
        shunned = -1 if make is made.plant else stand.wall
        spot = _spot(
            free, outline, walls, (wide, deep, gap), (aside, far), (eye, ahead), shunned
        )
        if spot is None:
            continue
        wall, at = spot
        row = walls[wall]
        x, y = row[:2] + at * row[2:4] + (gap + deep / 2) * row[5:7]
        along = (float(row[2]), float(row[3]))
        things.put(make, float(x), float(y), along)
        free = free.difference(_strip(row, at, wide + 0.25, 0.0, gap + deep + 0.2))
        if make is made.sideboard and wall != stand.wall:
            x, y = row[:2] + at * row[2:4] + 0.017 * row[5:7]
            things.put(made.framed_print, float(x), float(y), along)
        if make is made.table:
            _stools(things, free, row, at, gap + deep)


def _stools(
    things: Things, free: shapely.Polygon, row: Array, at: float, front_m: float
) -> None:
    """Two stools before the table, one pushed under, one drawn out."""
    for along, out in ((-0.42, -0.02), (0.38, 0.34)):
        x, y = row[:2] + (at + along) * row[2:4] + (front_m + out) * row[5:7]
        if out < 0.1 or free.buffer(0.2).contains(shapely.Point(x, y)):
            things.put(made.stool, float(x), float(y), (float(row[2]), float(row[3])))


def _strip(row: Array, at: float, wide: float, low: float, high: float) -> shapely.Polygon:
    """Rectangle along a wall, from `low` to `high` off it. [m]"""
    along, inward, start = row[2:4], row[5:7], row[:2]
    return shapely.Polygon([
        start + (at + a * wide / 2) * along + d * inward
        for a, d in ((-1, low), (1, low), (1, high), (-1, high))
    ])  # fmt: skip


def _spot(free: shapely.Polygon, outline: shapely.Polygon, walls: Array,
          piece: tuple[float, float, float], wish: tuple[float, float],
          view: tuple[Array, Array], shunned: int) -> tuple[int, float] | None:  # fmt: skip
    """Wall and place along it where a piece fits, nearest to where it is wished."""
    wide, deep, gap = piece
    eye, ahead = view
    right = np.array([ahead[1], -ahead[0]])
    best, spot = 1.2, None
    for wall, row in enumerate(walls):
        for at in np.arange(wide / 2 + 0.03, row[4] - wide / 2 - 0.02, 0.08):
            middle = row[:2] + at * row[2:4] + (gap + deep / 2) * row[5:7]
            far, side = float((middle - eye) @ ahead), float((middle - eye) @ right)
            if far < 1.5:
                continue
            cost = 2.6 * (side / far - wish[0]) ** 2 + ((far - wish[1]) / 4.0) ** 2
            cost += 0.35 * (wall == shunned)
            place = _strip(row, at, wide, gap, gap + deep)
            if cost >= best or not free.contains(place):
                continue
            if _in_frame(place, outline, eye, ahead, right):
                best, spot = cost, (wall, float(at))
    return spot


def _in_frame(place: shapely.Polygon, outline: shapely.Polygon, eye: Array, ahead: Array,
              right: Array) -> bool:  # fmt: skip
    """Tell whether all of a footprint is in the picture and no wall hides a corner."""
    corners = np.asarray(place.exterior.coords)[:4]
    far, side = (corners - eye) @ ahead, (corners - eye) @ right
    if far.min() < 1.5 or np.abs(side / far).max() > 0.70:
        return False
    start = eye + 0.5 * ahead
    clear = shapely.linestrings([[start, c + 0.05 * (start - c)] for c in corners])
    return bool(shapely.contains(outline.buffer(0.01), clear).all())


def _lamps(
    outline: shapely.Polygon, walls: Array, stand: Stand, height_m: float
) -> tuple[float, Array]:
    """Ceiling lamps on a square grid, its first row along the wall looked at.

    Lamps far from the eye are those that a floor mirrors into it.
    """
    spacing = max(1.9, math.sqrt(outline.area / 14.0))
    row = walls[stand.wall]
    start, along, inward = row[:2], row[2:4], row[5:7]
    eye_at = float((np.array([stand.x, stand.y]) - start) @ along)
    inner = outline.buffer(-0.5)
    spots = [
        start + (eye_at + (i + 0.5) * spacing) * along + (0.8 + j * spacing) * inward
        for i in range(-14, 14)
        for j in range(-14, 14)
    ]
    kept = [(*p, height_m) for p in spots if inner.contains(shapely.Point(p))]
    if not kept:
        point = outline.representative_point()
        kept = [(point.x, point.y, height_m)]
    return spacing, np.array(kept, dtype=np.float64)


def _fill(outline: shapely.Polygon, walls: Array, stand: Stand) -> Array:
    """Soft opening in the wall behind the eye: corner, width, height, inward. (1, 4, 3)"""
    ahead = np.array(stand.ahead)
    foot = np.array([stand.x, stand.y]) + ahead * (stand.depth_m * 0.5)
    line = shapely.LineString([foot, foot - 60.0 * ahead])
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


def _skins(solids: Solids, things: Things) -> Array:
    """One row a face, in the order of `trace.Solids`."""
    rows: list[tuple[float, ...]] = []
    rows += [(WALL, *WALL_PAINT, wall[4], solids.height, 0.0) for wall in solids.walls]
    rows += [(PLAIN, 0.3, 0.3, 0.3, 1.0, 1.0, 0.0), (PLAIN, *CEILING_PAINT, 1.0, 1.0, 0.0)]
    rows += [*things.box_skins, *things.drum_skins, *things.leaf_skins]
    for window in solids.windows:
        wide, high, deep = window[2] - window[1], window[4] - window[3], window[5]
        rows.append((PANE, 0.0, 0.0, 0.0, wide, high, 0.0))
        rows += [(PLAIN, 0.80, 0.79, 0.77, wide, deep, 0.0)] * 2
        rows += [(PLAIN, 0.80, 0.79, 0.77, deep, high, 0.0)] * 2
    return np.array(rows, dtype=np.float64)
