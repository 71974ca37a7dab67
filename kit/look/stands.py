"""Where a client would stand to look at a floor: three places that any room has.

To the window: across the room, facing the wall that the windows are in. From the
doorway: a step inside one. Along the wall: near one end of the longest. Every
place is judged by what would be seen: floor, depth, nothing near in the way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, product
from typing import NamedTuple

import numpy as np
import shapely

from kit.look.camera import LENSES, LOOKS, MOST_SHIFT, Array, Stand, floor_part, shift_for
from kit.plan.views import Standing

CLEAR_M = (0.45, 0.30, 0.20, 0.12)
"""Room an eye wants around it; the first that leaves any place to stand is taken."""
AGAINST_M = 0.40
"""How far the eye stays from the wall behind."""
FAR_M = 60.0
_RATIO = 0.625
"""Height by width of the picture by which places are judged."""
_TOO_LITTLE, _TOO_LOW, _TOO_NEAR_M = 0.36, 0.60, 3.0
"""Floor's part, shift, and depth ahead at which a wall is taken away instead."""
_OPTIONS = 14
DOOR_WORTH, NO_DOOR_WORTH = 0.55, 0.5
"""Gain of a view to the window that shows a door too; worth of three without any."""
_DOOR_PART = 0.05
"""Least of a picture's width that a door must take to be seen as one."""
_AWAY_M = 1.3
"""How far before a wall that is taken away an eye may stand."""


class Place(NamedTuple):
    """A place that might do: eye, unit way, depth of a wall taken away, its worth."""

    eye: Array
    ahead: Array
    near_m: float
    worth: float


@dataclass(frozen=True, eq=False)
class Ground:
    """What stands are looked for in.

    Parameters
    ----------
    outline, poured : shapely.Polygon
    walls : (W, 7) array
        See `trace.Solids`.
    doors : (D, 4) array
        Wall, from, to, head. [m]
    free_m : (W, 2) array
        Stretch of each wall where a window may be, from and to. [m]
    leaves : (L, 3) array
        Wall, from and to of every leaf of a door that hangs before it. [m]
    """

    outline: shapely.Polygon
    poured: shapely.Polygon
    walls: Array
    doors: Array
    free_m: Array
    leaves: Array

    def standing_room(self) -> shapely.Geometry:
        """Where an eye may be."""
        for clear in CLEAR_M:
            inner = self.poured.buffer(-clear)
            if not inner.is_empty:
                return inner
        return self.poured

    def edges(self) -> Array:
        """Where the floor ends, (S, 4): ends of straight lines. [m]"""
        outline = self.poured.simplify(0.02)
        rings = [outline.exterior, *outline.interiors]
        corners = [np.asarray(ring.coords) for ring in rings]
        return np.concatenate([np.hstack([c[:-1], c[1:]]) for c in corners])


class Seen(NamedTuple):
    """A stand, what its picture is worth, and whether it shows the leaf of a door."""

    worth: float
    stand: Stand
    door: bool = False


def stands_in(ground: Ground) -> dict[Standing, Stand]:
    """Choose three stands that show most, each unlike the others."""
    edges, room = ground.edges(), ground.standing_room()
    shapely.prepare(room)
    found: dict[Standing, list[Seen]] = {}
    for name, places in _PLACES.items():
        inside = [p for p in places(ground) if room.covers(shapely.Point(p.eye))]
        best = _best(inside, edges)
        if not best or _is_cramped(best[0].stand):
            best = _best(_walls_away(ground, name), edges) or best
        best = [seen._replace(door=_shows_door(ground, seen.stand)) for seen in best]
        found[name] = best or [Seen(1.0, _anywhere(room, edges))]
    return _together(found)


def _together(found: dict[Standing, list[Seen]]) -> dict[Standing, Stand]:
    """Choose one of each name so that the three are good and show three things."""

    def worth(three: tuple[Seen, ...]) -> float:
        total = three[0].worth  # the first is what papers show: it counts twice
        for seen, options in zip(three, found.values(), strict=True):
            total *= seen.worth / options[0].worth
        for one, other in combinations(three, 2):
            total *= _unlike(one.stand, other.stand)
        return total if any(seen.door for seen in three) else NO_DOOR_WORTH * total

    chosen = max(product(*found.values()), key=worth)
    return {name: seen.stand for name, seen in zip(found, chosen, strict=True)}


def _is_cramped(stand: Stand) -> bool:
    """Tell whether one would see little but his own feet."""
    shift, floor = _framed(stand)
    return floor < _TOO_LITTLE or (shift > _TOO_LOW and stand.depth_m < _TOO_NEAR_M)


def _framed(stand: Stand) -> tuple[float, float]:
    """Shift of the picture from a stand, and floor's part of it."""
    high = stand.half_wide * _RATIO
    shift = shift_for(stand.reach_m, stand.near_m, stand.depth_m, high)
    return shift, float(floor_part(stand.reach_m, high, shift))


def _to_window(ground: Ground) -> Iterator[Place]:
    """Places across the room from each wall, a step aside, a little turned."""
    for wall, row in enumerate(ground.walls):
        inward, along = row[5:7], row[2:4]
        low, high = ground.free_m[wall]
        window = float(np.clip((high - low - 0.7) / 2.4, 0.04, 1.0))
        for part in (0.5, 0.35, 0.65, 0.2, 0.8):
            foot = row[:2] + (low + part * (high - low)) * along
            depth = _clear_way(ground.outline, foot + 0.02 * inward, inward)
            if depth < 1.0:
                continue
            for back in (depth - AGAINST_M, 0.86 * depth, 0.7 * depth):
                for turn in (0.10, -0.10, 0.26, -0.26, 0.42, -0.42):
                    c, s = math.cos(turn), math.sin(turn)
                    ahead = np.array(
                        [-inward[0] * c + inward[1] * s, -inward[1] * c - inward[0] * s]
                    )
                    aside = min(0.5 * math.tan(abs(turn)) * back, 1.2)
                    eye = foot + back * inward + math.copysign(aside, turn) * along
                    worth = window * min(depth / 6.5, 1.0) * (0.8 + 0.2 * back / depth)
                    worth *= (1.0 - 0.4 * abs(turn)) * (1.0 - 0.4 * abs(part - 0.5))
                    if _is_door_seen(ground, eye, ahead, LENSES[0]):
                        worth *= 1.0 + DOOR_WORTH
                    yield Place(eye, ahead, 0.0, worth)


def _shows_door(ground: Ground, stand: Stand) -> bool:
    eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
    return _is_door_seen(ground, eye, ahead, stand.half_wide)


def _is_door_seen(ground: Ground, eye: Array, ahead: Array, lens: float) -> bool:
    """Tell whether a leaf is whole in the picture and not looked at along its wall."""
    right = np.array([ahead[1], -ahead[0]])
    for wall, low, high in ground.leaves:
        row = ground.walls[int(wall)]
        ends = row[:2] + np.array([[low], [high]]) * row[2:4] + 0.02 * row[5:7] - eye
        far, side = ends @ ahead, ends @ right
        if far.min() < 1.0 or np.abs(side / far).max() > 0.95 * lens:
            continue
        wide = float(np.ptp(side / far)) / (2.0 * lens)
        sight = shapely.MultiLineString([[eye, eye + end] for end in ends])
        if wide > _DOOR_PART and ground.outline.buffer(0.01).covers(sight):
            return True
    return False


def _from_doors(ground: Ground) -> Iterator[Place]:
    """Places a step inside each doorway, looking anywhere into the room."""
    for wall, low, high, _ in ground.doors:
        row = ground.walls[int(wall)]
        middle = row[:2] + 0.5 * (low + high) * row[2:4]
        for step in (0.35, 0.6, 1.1):
            for turn in np.radians(np.arange(-63.0, 64.0, 9.0)):
                ahead = math.cos(turn) * row[5:7] + math.sin(turn) * row[2:4]
                yield Place(middle + step * row[5:7], ahead, 0.0, 1.0 - 0.15 * step)


def _along_walls(ground: Ground) -> Iterator[Place]:
    """Places near either end of the long walls, looking along them and into the room."""
    longest = float(ground.walls[:, 4].max())
    for row in ground.walls:
        length, inward = float(row[4]), row[5:7]
        if length < 0.72 * longest:
            continue
        for way, start in ((1.0, 0.0), (-1.0, length)):
            along = way * row[2:4]
            for off in (0.6, 0.9, 1.4, 2.2):
                for step in (0.5, 0.15 * length):
                    eye = row[:2] + start * row[2:4] + step * along + off * inward
                    for turn in (0.0, 0.10, 0.20, 0.32):
                        ahead = math.cos(turn) * along + math.sin(turn) * inward
                        yield Place(eye, ahead, 0.0, length / longest)


def _walls_away(ground: Ground, name: Standing) -> Iterator[Place]:
    """Places before a wall that is taken away, as many steps back as it is wide."""
    doors = {int(door[0]) for door in ground.doors}
    for wall, row in enumerate(ground.walls):
        inward, half = row[5:7], 0.5 * float(row[4])
        middle = row[:2] + half * row[2:4]
        depth = _clear_way(ground.outline, middle + 0.02 * inward, inward)
        worth = 1.0 + 0.5 * (name == "doorway" and wall in doors)
        if name == "room":
            facing = ground.walls[:, 5:7] @ inward < -0.9
            worth += 0.5 * float((np.diff(ground.free_m)[:, 0] * facing).max() > 1.0)
        for part in (0.55, 0.8, 1.0):
            away = part * min(0.96 * half / LENSES[-1], _AWAY_M)
            yield Place(middle - away * inward, inward, away, worth * min(depth / 2.0, 1.0))


def _best(places: Iterable[Place], edges: Array) -> list[Seen]:
    """Find the places that show most, best first, no two of one corner and heading."""
    best: dict[tuple[int, ...], Seen] = {}
    for place in places:
        turn = math.atan2(place.ahead[1], place.ahead[0])
        about = (*(int(v // 1.2) for v in place.eye), round(turn / 0.7))
        for lens in LENSES if place.near_m else LENSES[:2]:
            if place.near_m and lens * place.near_m > 0.97 * _half_open(place, edges):
                continue
            stand = _stand(place, lens, edges)
            shift, floor = _framed(stand)
            worth = place.worth * _shown(stand, floor) * (1.0 - 0.35 * (lens - LENSES[0]))
            worth *= 1.0 - max(0.0, shift - MOST_SHIFT)
            if about not in best or worth > best[about].worth * 1.0001:
                best[about] = Seen(worth, stand)
    return sorted(best.values(), key=lambda seen: -seen.worth)[:_OPTIONS]


def _shown(stand: Stand, floor: float) -> float:
    """Worth of a picture: floor, depth, and nothing large near the eye."""
    reach = stand.reach_m - stand.near_m
    depth = float(np.minimum(reach, 9.0).mean()) / 9.0
    middle = 1.0 - 0.5 * np.abs(np.linspace(-1.0, 1.0, LOOKS))
    near = float((middle * np.clip((2.6 - stand.reach_m) / 1.6, 0.0, 1.0)).mean())
    before = float((middle * (reach < 0.45 * np.median(reach))).mean())
    large = float((reach < 0.22 * np.median(reach)).mean())
    good = 1.0 - 0.9 * near - 0.8 * before - 1.2 * large
    return max((min(floor, 0.56) + 0.5 * depth) * good, 1e-3)


def _unlike(stand: Stand, other: Stand) -> float:
    """Less where another stand shows nearly the same."""
    turned = float(np.dot(stand.ahead, other.ahead))
    apart = math.dist((stand.x, stand.y), (other.x, other.y))
    alike = max(0.0, turned) ** 2 * math.exp(-apart / (0.5 * other.depth_m + 0.5))
    return 1.0 - 0.5 * alike


def _stand(place: Place, lens: float, edges: Array) -> Stand:
    eye, ahead, near, _ = place
    reach = reach_from(edges, eye, ahead, lens, near)
    x, y = (float(v) for v in eye)
    way = (float(ahead[0]), float(ahead[1]))
    depth = float(reach[LOOKS // 2 - 2 : LOOKS // 2 + 3].max())
    return Stand(x, y, way, depth, lens, reach, near)


def _half_open(place: Place, edges: Array) -> float:
    """Half the width that is open where a wall is taken away. [m]"""
    eye, ahead, near, _ = place
    right = np.array([ahead[1], -ahead[0]])
    ends = edges.reshape(-1, 2, 2) - (eye + near * ahead)
    flat = np.abs(ends @ ahead).max(axis=1) < 0.02
    sides = np.sort(ends[flat] @ right, axis=1)
    open_here = sides[(sides[:, 0] < 0.0) & (sides[:, 1] > 0.0)]
    return float(np.abs(open_here).min()) if len(open_here) else 0.0


def reach_from(
    edges: Array, eye: Array, ahead: Array, half_wide: float, near_m: float
) -> Array:
    """Depth at which `LOOKS` looks across a picture first meet an edge. [m]

    Parameters
    ----------
    edges : (S, 4) array
        Ends of straight lines. [m]
    near_m : float
        Depth from which on edges count.
    """
    right = np.array([ahead[1], -ahead[0]])
    across = np.linspace(-1.0, 1.0, LOOKS)[:, None] * half_wide
    ways = ahead + across * right
    start, step = edges[:, :2] - eye, edges[:, 2:] - edges[:, :2]
    turned = ways[:, :1] * step[:, 1] - ways[:, 1:] * step[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        depth = (start[:, 0] * step[:, 1] - start[:, 1] * step[:, 0]) / turned
        part = (start[:, 0] * ways[:, 1:] - start[:, 1] * ways[:, :1]) / turned
    met = (part >= 0.0) & (part <= 1.0) & (depth > near_m + 1e-6)
    reach: Array = np.where(met, depth, FAR_M).min(axis=1)
    return reach


_PLACES: dict[Standing, Callable[[Ground], Iterator[Place]]] = {
    "room": _to_window,
    "doorway": _from_doors,
    "wall": _along_walls,
}


def _anywhere(room: shapely.Geometry, edges: Array) -> Stand:
    """Stand at any place inside and look where most floor is."""
    eye = np.asarray(room.representative_point().coords[0])
    ways = [np.array([math.cos(a), math.sin(a)]) for a in np.arange(0.0, 6.28, 0.39)]
    stands = [_stand(Place(eye, way, 0.0, 1.0), LENSES[-1], edges) for way in ways]
    return max(stands, key=lambda s: float(np.minimum(s.reach_m, 9.0).mean()))


def _clear_way(outline: shapely.Polygon, start: Array, way: Array) -> float:
    """Length of a straight walk to the next wall. [m]"""
    crossing = shapely.LineString([start, start + FAR_M * way]).intersection(
        outline.exterior
    )
    return 0.0 if crossing.is_empty else float(shapely.Point(start).distance(crossing))
