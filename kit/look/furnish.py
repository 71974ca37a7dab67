"""Furniture placed along the walls, where it tells the size of a room and hides little."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from kit.look import things as made
from kit.look.camera import EYE_M, Array, Stand, floor_part, shift_for
from kit.look.openings import Opening
from kit.look.stands import _RATIO, Ground, reach_from
from kit.look.things import Things

LEAST_M2 = 9.0
"""A smaller floor stays bare."""
PASSAGE_M = 0.95
"""Left free before a piece, so that one can walk past."""
STILL_SEEN = 0.375
"""Floor's part of each picture that furniture leaves."""
SLIM_M = 0.4
"""What is not as wide hides no floor to speak of, and may stand before a window."""
_EYE_M = 1.0
"""Left free about an eye even of such."""
_TALL_M = 1.0
MIRRORED = 0.93
"""How far down the picture a lamp is mirrored at the most."""
LEAST_LAMP_M, LAMP_M = 0.45, 1.45
"""Heights at which a lamp's globe may hang."""
_LAMP_SIZE, _LAMP_GAP_M = (0.30, 0.30), 0.22
_LAMP_OFF_M = _LAMP_GAP_M + _LAMP_SIZE[1] / 2
_LOW_FROM_M, _TALL_FROM_M = 2.0, 3.4
"""Nearest to the eye that pieces below and above `_TALL_M` may stand."""
_CUT_M, _SLIVER = 3.0, 0.85
"""What the edge of another picture cuts is no nearer to that eye, but for a sliver."""
_OVER_M = 0.9
"""Nothing hangs over higher furniture."""
_BARE_M, _MOST_PRINTS = 1.5, 3
"""Bare wall that a print wants, and how many are hung."""


@dataclass(frozen=True)
class Piece:
    """A piece of furniture and where it is wished for, as a stand sees it.

    Parameters
    ----------
    make : callable
    wide, deep, high, gap : float
        Size, and distance from the wall. [m]
    aside : float
        Side by depth, right positive.
    far : float
        Depth. [m]
    """

    make: made.Maker
    wide: float
    deep: float
    high: float
    gap: float
    aside: float
    far: float


@dataclass
class Furnisher:
    """Places pieces one by one, each in what the ones before left free.

    Parameters
    ----------
    covered : (K, 3) array
        Wall, from and to of doors, their open leaves and windows. [m]
    swept : shapely.Geometry
        Floor that doors pass over.
    """

    things: Things
    ground: Ground
    stands: Sequence[Stand]
    openings: Sequence[Opening]
    windows: Array
    covered: Array
    swept: shapely.Geometry
    free: shapely.Geometry = field(init=False)
    slim: shapely.Geometry = field(init=False)
    edges: Array = field(init=False)
    placed: set[made.Maker] = field(default_factory=set, init=False)
    prints: list[Array] = field(default_factory=list, init=False)

    def __post_init__(self) -> None:
        self.edges = self.ground.edges()
        free = self.ground.poured.buffer(-0.005).difference(self.swept)
        for opening in self.openings:
            row = self.ground.walls[opening.wall]
            middle = 0.5 * (opening.low + opening.high)
            before = opening.high - opening.low + 0.3
            free = free.difference(strip(row, middle, before, 0.0, 1.1))
        self.free = free.difference(shapely.union_all([self._lane(s) for s in self.stands]))
        eyes = shapely.MultiPoint([(stand.x, stand.y) for stand in self.stands])
        self.slim = free.difference(eyes.buffer(_EYE_M))

    def _lane(self, stand: Stand) -> shapely.Geometry:
        """Floor in the middle of a picture, and around its eye."""
        eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
        first = stand is self.stands[0]
        ahead_m = (0.80 if first else 0.45) * min(stand.depth_m, 14.0)
        lane = shapely.LineString([eye, eye + ahead_m * ahead])
        return lane.buffer(0.6 if first else 0.45).union(shapely.Point(eye).buffer(1.6))

    def furnish(self) -> None:
        """Place a lamp, then every other piece once, before the first stand it suits."""
        if self.ground.poured.area < LEAST_M2:
            return
        self._stand_lamp(self.stands[0])
        for stand in self.stands:
            for piece in _wishes(stand):
                spot = None if piece.make in self.placed else self._spot(piece, stand)
                if spot is not None:
                    self._put(piece, *spot)
        for stand in self.stands:
            self._hang_print(stand)

    def _stand_lamp(self, stand: Stand) -> None:
        """Stand a lamp where the floor mirrors it into the first picture.

        It stands far off, no higher than its image is seen over the picture's foot.
        """
        half_high = stand.half_wide * _RATIO
        shift = shift_for(stand.reach_m, stand.near_m, stand.depth_m, half_high)
        foot = MIRRORED * half_high * (1.0 + 2.0 * shift)
        found = []
        for part, aside in ((1.0, 0.34), (1.0, -0.34), (0.85, 0.45), (0.85, -0.45)):
            far = part * stand.depth_m - 0.35
            piece = Piece(
                made.floor_lamp(LAMP_M), *_LAMP_SIZE, LAMP_M, _LAMP_GAP_M, aside, far
            )
            spot = self._spot(piece, stand)
            if spot is not None:
                wall, at = spot
                row = self.ground.walls[wall]
                x, y = row[:2] + at * row[2:4] + _LAMP_OFF_M * row[5:7]
                there = (x - stand.x) * stand.ahead[0] + (y - stand.y) * stand.ahead[1]
                found.append((min(foot * there - EYE_M, LAMP_M), piece, spot))
        if found:
            height, piece, spot = max(found, key=lambda option: option[0])
            if height > LEAST_LAMP_M:
                make = made.floor_lamp(height)
                self._put(replace(piece, make=make, high=height), *spot)

    def _put(self, piece: Piece, wall: int, at: float) -> None:
        row = self.ground.walls[wall]
        x, y = row[:2] + at * row[2:4] + (piece.gap + piece.deep / 2) * row[5:7]
        along = (float(row[2]), float(row[3]))
        self.things.put(piece.make, float(x), float(y), along)
        self.placed.add(piece.make)
        if piece.make is made.table:
            self._stools(row, at, piece.gap + piece.deep)
        taken = strip(row, at, piece.wide + 0.25, 0.0, piece.gap + piece.deep + 0.2)
        self.free, self.slim = self.free.difference(taken), self.slim.difference(taken)
        if piece.wide >= SLIM_M:
            self.edges = np.vstack([self.edges, _around(row, at, piece)])
        if piece.make is made.sideboard and self._wall_is_bare(wall, at, 1.2):
            self._hang(row, at)
        if piece.high > _OVER_M:
            covered = (wall, at - piece.wide / 2, at + piece.wide / 2)
            self.covered = np.vstack([self.covered, covered])

    def _hang_print(self, stand: Stand) -> None:
        """Hang a print in the middle of the bare wall that a stand sees best."""
        if any(_sees(self.ground, stand, place) > 0.0 for place in self.prints):
            return
        spots = []
        for wall, row in enumerate(self.ground.walls):
            spans = sorted((a, b) for w, a, b in self.covered if int(w) == wall)
            low, length = 0.0, float(row[4])
            for start, stop in [*spans, (length, length)]:
                at = 0.5 * (low + start)
                place = row[:2] + at * row[2:4] + 0.02 * row[5:7]
                seen = _sees(self.ground, stand, place)
                facing = -float(row[5:7] @ np.array(stand.ahead))
                if start - low > _BARE_M and facing > 0.35 and seen > 0.0:
                    spots.append((seen * facing, wall, at))
                low = max(low, stop)
        if spots and len(self.prints) < _MOST_PRINTS:
            _, wall, at = max(spots)
            self._hang(self.ground.walls[wall], at)

    def _hang(self, row: Array, at: float) -> None:
        place = row[:2] + at * row[2:4] + 0.017 * row[5:7]
        along = (float(row[2]), float(row[3]))
        make = made.framed_print(len(self.prints) % 2)
        self.things.put(make, float(place[0]), float(place[1]), along)
        self.prints.append(place)

    def _wall_is_bare(self, wall: int, at: float, wide: float) -> bool:
        """Tell whether nothing covers the wall about a place."""
        spans = [(a, b) for w, a, b in self.covered if int(w) == wall]
        return all(at + wide / 2 < low or at - wide / 2 > high for low, high in spans)

    def _stools(self, row: Array, at: float, front_m: float) -> None:
        """Two stools before the table, one pushed under, one drawn out."""
        for along, out in ((-0.42, -0.02), (0.38, 0.34)):
            x, y = row[:2] + (at + along) * row[2:4] + (front_m + out) * row[5:7]
            if out < 0.1 or self.free.buffer(0.2).contains(shapely.Point(x, y)):
                beside = (float(row[2]), float(row[3]))
                self.things.put(made.stool, float(x), float(y), beside)

    def _spot(self, piece: Piece, stand: Stand) -> tuple[int, float] | None:
        """Wall and place along it where a piece fits, nearest to where it is wished."""
        eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
        right = np.array([ahead[1], -ahead[0]])
        spots = []
        for wall, row in enumerate(self.ground.walls):
            lit = 0.35 * bool(np.any(self.windows[:, 0] == wall))
            for at in np.arange(
                piece.wide / 2 + 0.03, row[4] - piece.wide / 2 - 0.02, 0.08
            ):
                middle = row[:2] + at * row[2:4] + (piece.gap + piece.deep / 2) * row[5:7]
                far, side = float((middle - eye) @ ahead), float((middle - eye) @ right)
                if far < 1.5:
                    continue
                cost = 2.6 * (side / far - piece.aside) ** 2 + lit
                cost += ((far - piece.far) / 4.0) ** 2
                if cost < 1.2:
                    spots.append((cost, wall, float(at)))
        for _, wall, at in sorted(spots):
            if self._fits(piece, wall, at, stand):
                return wall, at
        return None

    def _fits(self, piece: Piece, wall: int, at: float, stand: Stand) -> bool:
        row = self.ground.walls[wall]
        place = strip(row, at, piece.wide, piece.gap, piece.gap + piece.deep)
        free = self.free if piece.wide >= SLIM_M else self.slim
        if not free.contains(place):
            return False
        hides = piece.high > _TALL_M and piece.wide >= SLIM_M
        if hides and not self._wall_is_bare(wall, at, piece.wide + 0.1):
            return False
        past = strip(row, at, piece.wide, piece.gap, piece.gap + piece.deep + PASSAGE_M)
        if not self.ground.poured.buffer(0.01).contains(past):
            return False
        nearest = _TALL_FROM_M if piece.high > _TALL_M else _LOW_FROM_M
        if not _in_frame(place, self.ground.outline, stand, nearest):
            return False
        if piece.wide < SLIM_M:
            return True
        if any(_is_cut(place, other) for other in self.stands if other is not stand):
            return False
        edges = np.vstack([self.edges, _around(row, at, piece)])
        return all(_floor_left(other, edges) >= STILL_SEEN for other in self.stands)


def _wishes(stand: Stand) -> tuple[Piece, ...]:
    """Furniture as a stand would like it: a cupboard left, a table right, more far off."""
    depth = stand.depth_m
    reach = min(8.0, 0.62 * depth)
    return (
        Piece(made.sideboard, 1.76, 0.46, 0.73, 0.02, -0.46, reach),
        Piece(made.table, 1.72, 0.80, 0.75, 0.10, 0.46, reach * 0.92),
        Piece(made.rack, 1.12, 0.36, 1.86, 0.02, -0.30, depth - 0.6),
        Piece(made.bench, 1.50, 0.40, 0.45, 0.05, 0.20, depth - 0.8),
        Piece(made.rushes, 0.28, 0.28, 1.30, 0.12, -0.52, depth - 0.5),
        Piece(made.chair, 0.46, 0.46, 0.84, 0.05, 0.40, depth - 0.5),
    )


def _sees(ground: Ground, stand: Stand, place: Array) -> float:
    """How large a place on a wall looks from a stand, 0 if it is not in the picture."""
    ahead, way = np.array(stand.ahead), place - np.array([stand.x, stand.y])
    far, side = float(way @ ahead), float(way @ np.array([ahead[1], -ahead[0]]))
    if far < max(1.6, stand.near_m + 0.1) or abs(side / far) > 0.78 * stand.half_wide:
        return 0.0
    start = place - (1.0 - (stand.near_m + 0.1) / far) * way
    sight = shapely.LineString([start, place])
    return 1.0 / far if ground.poured.buffer(0.03).covers(sight) else 0.0


def _is_cut(place: shapely.Polygon, stand: Stand) -> bool:
    """Tell whether the edge of a picture runs through a footprint that is near."""
    ahead = np.array(stand.ahead)
    ways = np.asarray(place.exterior.coords)[:4] - [stand.x, stand.y]
    far, side = ways @ ahead, np.abs(ways @ np.array([ahead[1], -ahead[0]]))
    inside = (far > max(stand.near_m, 0.05)) & (side < _SLIVER * stand.half_wide * far)
    return bool(inside.any() and not inside.all() and far.min() < _CUT_M)


def _floor_left(stand: Stand, edges: Array) -> float:
    """Floor's part of a picture before the first edges met; what is behind counts not."""
    eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
    high = stand.half_wide * _RATIO
    shift = shift_for(stand.reach_m, stand.near_m, stand.depth_m, high)
    reach = reach_from(edges, eye, ahead, stand.half_wide, stand.near_m)
    return float(floor_part(reach, high, shift))


def _around(row: Array, at: float, piece: Piece) -> Array:
    """Sides of a piece's footprint, (4, 4). [m]"""
    place = strip(row, at, piece.wide, piece.gap, piece.gap + piece.deep)
    corners = np.asarray(place.exterior.coords)
    return np.hstack([corners[:-1], corners[1:]])


def strip(row: Array, at: float, wide: float, low: float, high: float) -> shapely.Polygon:
    """Rectangle along a wall, from `low` to `high` off it. [m]"""
    along, inward, start = row[2:4], row[5:7], row[:2]
    return shapely.Polygon([
        start + (at + a * wide / 2) * along + d * inward
        for a, d in ((-1, low), (1, low), (1, high), (-1, high))
    ])  # fmt: skip


def _in_frame(
    place: shapely.Polygon, outline: shapely.Polygon, stand: Stand, nearest_m: float
) -> bool:
    """Tell whether all of a footprint is in the picture and no wall hides a corner."""
    eye, ahead = np.array([stand.x, stand.y]), np.array(stand.ahead)
    right = np.array([ahead[1], -ahead[0]])
    corners = np.asarray(place.exterior.coords)[:4]
    far, side = (corners - eye) @ ahead, (corners - eye) @ right
    if far.min() < nearest_m or np.abs(side / far).max() > 1.02 * stand.half_wide:
        return False
    start = eye + (stand.near_m + 0.1) * ahead
    clear = shapely.linestrings([[start, c + 0.05 * (start - c)] for c in corners])
    return bool(shapely.contains(outline.buffer(0.01), clear).all())
