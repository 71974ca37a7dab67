"""The ribbons of a floor as they are poured, before any stroke of the trowel.

The picture asks of every place where its film came from and which color was poured
there. Asked without a stroke, the same question, with the same recipe and seed, tells
what to pour where. Film that is fine as smoke is not poured as smoke: colors are
evened out over the width of a hand and the strongest one takes the place, each helped
or held back until all of them take the shares that are mixed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage
from shapely.geometry.base import BaseGeometry

from kit.pour.kernel import NO_FIELDS, fill_planes
from kit.pour.laid import RECORD, Laid
from kit.pour.places import EACH, places_on_grid
from kit.pour.poured import PouredFloor

SQUARES = 60_000
"""About so many squares tell where a floor's ribbons lie."""
FINEST_M, COARSEST_M = 0.03, 0.10
EVENED_M = 0.07
"""Over which colors are evened out: nobody pours finer than the width of a hand. [m]"""
LEAST_M2 = 0.12
"""Smaller patches are poured with what lies round them: a foot by a foot or so. [m²]"""
NEAR_ENOUGH = 2e-3
_ROUNDS, _STEPS = 6, 60
_FAINT = 1e-6


@dataclass(frozen=True)
class Ribbon:
    """One piece of floor that one color is poured on.

    Parameters
    ----------
    number : int
        From 1.
    colour : int
        Its place in the palette.
    shape : shapely geometry
        Where it is poured. [m]
    share : float
        Its part of the whole flood coat, in (0, 1]; a color's ribbons together have
        the color's share.
    """

    number: int
    colour: int
    shape: BaseGeometry
    share: float


def ribbons_of(poured: PouredFloor) -> tuple[Ribbon, ...]:
    """Tell which color is poured where, so that trowelled it becomes this floor.

    Returns
    -------
    tuple of Ribbon
        They cover the floor once, and their shares sum to 1 (MRB-09: a volume is its
        area times its film, so shares of the area are shares of the coat).
    """
    plan = poured.plan
    west, _, _, north = plan.bounds_m
    step_m = float(np.clip(np.sqrt(plan.surface.area / SQUARES), FINEST_M, COARSEST_M))
    parts, inside = _poured_at(poured, step_m)
    shares = np.array(poured.recipe.palette.shares)
    label = _strongest(parts, inside, shares, step_m)
    corner_m = (west - step_m, north + step_m)
    pieces, colours = _outlines(label, corner_m, step_m)
    pieces = shapely.intersection(pieces, plan.surface)
    return _numbered(pieces, colours, shares)


def shares_within(
    ribbons: Sequence[Ribbon], shapes: Sequence[BaseGeometry], colours: int
) -> NDArray[np.float64]:
    """Part of the whole coat that each color has within each shape, (S, P).

    Parameters
    ----------
    ribbons : sequence of Ribbon
    shapes : sequence of shapely geometries
        Lanes or other parts of the floor. [m]
    colours : int
        Colors of the palette.
    """
    found = np.zeros((len(shapes), colours))
    tree = shapely.STRtree([ribbon.shape for ribbon in ribbons])
    for row, shape in enumerate(shapes):
        for n in tree.query(shape, predicate="intersects"):
            ribbon = ribbons[int(n)]
            both_m2 = shapely.intersection(ribbon.shape, shape).area
            found[row, ribbon.colour] += ribbon.share * both_m2 / ribbon.shape.area
    return found


def untouched(laid: Laid) -> Laid:
    """The same floor without a stroke or creep on it."""
    return laid._replace(
        records=np.zeros((0, RECORD), np.float32),
        starts=np.zeros(0, np.int32),
        level_ints=np.zeros((0, 4), np.int32),
        level_feet=np.zeros((0, 5), np.float32),
        ripples=np.zeros((0, 4), np.float32),
        drift_ft=np.float32(0),
    )


def _poured_at(
    poured: PouredFloor, step_m: float
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Share of each color (P, H, W) on squares, a margin round them; which are floor."""
    west, south, east, north = poured.plan.bounds_m
    wide, high = (
        int(np.ceil((b - a) / step_m)) + 2 for a, b in ((west, east), (south, north))
    )
    places = places_on_grid(
        west_m=west - step_m, north_m=north + step_m, pixel_m=step_m, width_px=wide,
        height_px=high, samples=1, corner_m=(west, south),
    )  # fmt: skip
    paint, lie = poured._paint, poured._ground.lie
    count = paint.share.size
    planes = np.empty((2 * count + 4, *places.rows_and_columns), np.float32)
    fill_planes(
        places.east, places.north, places.foot, places.tile_height, EACH,
        untouched(poured.laid), lie, paint, planes, NO_FIELDS,
    )  # fmt: skip
    amount = planes[:count] * planes[2 * count]
    amount = amount + planes[count : 2 * count] * planes[2 * count + 1]
    x = west - step_m + (np.arange(wide) + 0.5) * step_m
    y = north + step_m - (np.arange(high) + 0.5) * step_m
    inside = shapely.contains_xy(poured.plan.surface, *np.meshgrid(x, y))
    # far off the floor nothing lies
    whole = np.maximum(amount.sum(axis=0, dtype=np.float64), _FAINT)
    return amount / whole, inside


def _strongest(
    parts: NDArray[np.float64],
    inside: NDArray[np.bool_],
    shares: NDArray[np.float64],
    step_m: float,
) -> NDArray[np.int64]:
    """The color of each square, such that all have their shares of the floor."""
    sigma = EVENED_M / step_m
    weight = np.maximum(ndimage.gaussian_filter(inside.astype(float), sigma), _FAINT)
    evened = np.array([ndimage.gaussian_filter(p * inside, sigma) / weight for p in parts])
    score = np.log(np.maximum(evened, _FAINT))
    on_floor, goal, help_ = score[:, inside], shares.copy(), np.zeros(len(shares))
    label, poured = np.zeros(inside.shape, np.int64), inside.copy()
    for _ in range(_ROUNDS):
        help_ = _helped(on_floor, goal, help_)
        # a speck once left out stays out: one that came and went would never settle
        label = _without_specks(
            (score + help_[:, None, None]).argmax(axis=0), poured, step_m
        )
        lack = shares - np.bincount(label[inside], minlength=len(shares)) / inside.sum()
        if np.abs(lack / shares).max() < NEAR_ENOUGH:
            break
        goal = np.maximum(goal + lack, 1e-4)
    return label


def _helped(
    score: NDArray[np.float64], goal: NDArray[np.float64], help_: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Head starts (P,) with which each color is strongest on its share of squares."""
    for step in range(_STEPS):
        won = np.bincount((score + help_[:, None]).argmax(axis=0), minlength=len(goal))
        help_ = help_ + np.log((goal * score.shape[1] + 1) / (won + 1)) / (1 + step / 8)
    centred: NDArray[np.float64] = help_ - help_.mean()
    return centred


def _without_specks(
    label: NDArray[np.int64], poured: NDArray[np.bool_], step_m: float
) -> NDArray[np.int64]:
    """Patches too small to pour, and what is not poured, as their neighbours.

    Parameters
    ----------
    poured : (H, W) bool array
        Squares that keep their color; small patches are taken out of it.
    """
    keep = poured.copy()
    least = LEAST_M2 / step_m**2
    for colour in range(int(label.max()) + 1):
        patches, _ = ndimage.label((label == colour) & poured)
        small = np.bincount(patches.ravel()) < least
        small[0] = False
        keep &= ~small[patches]
    if not keep.any():
        keep = poured.copy()
    poured &= keep
    nearest = ndimage.distance_transform_edt(
        ~keep, return_distances=False, return_indices=True
    )
    filled: NDArray[np.int64] = label[tuple(nearest)]
    return filled


def _outlines(
    label: NDArray[np.int64], corner_m: tuple[float, float], step_m: float
) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Patches of one label as polygons that share their edges, and their labels."""
    high, wide = label.shape
    framed = np.full((high + 2, wide + 2), -1, np.int64)
    framed[1:-1, 1:-1] = label
    row, column = np.nonzero(framed[:, 1:] != framed[:, :-1])
    upright = np.stack([column, row - 1, column, row], axis=1)
    row, column = np.nonzero(framed[1:] != framed[:-1])
    level = np.stack([column - 1, row, column, row], axis=1)
    ends = np.concatenate([upright, level]).astype(float)
    x = corner_m[0] + ends[:, ::2] * step_m
    y = corner_m[1] - ends[:, 1::2] * step_m
    lines = shapely.linestrings(np.stack([x, y], axis=2))
    faces = shapely.get_parts(shapely.polygonize(lines))
    middle = shapely.get_coordinates(shapely.point_on_surface(faces))
    at_row = ((corner_m[1] - middle[:, 1]) / step_m).astype(int)
    at_column = ((middle[:, 0] - corner_m[0]) / step_m).astype(int)
    smooth = shapely.coverage_simplify(faces, 1.6 * step_m, simplify_boundary=False)
    return smooth, label[at_row, at_column]


def _numbered(
    pieces: NDArray[np.object_], colours: NDArray[np.int64], shares: NDArray[np.float64]
) -> tuple[Ribbon, ...]:
    """Ribbons from the west; a color's areas stand for its share of the coat."""
    area = shapely.area(pieces)
    of_colour = np.bincount(colours, weights=area, minlength=len(shares))
    found: list[Ribbon] = []
    for n in np.argsort(shapely.bounds(pieces)[:, 0], kind="stable"):
        if area[n] <= _FAINT:
            continue
        colour = int(colours[n])
        share = float(shares[colour] * area[n] / of_colour[colour])
        found.append(Ribbon(len(found) + 1, colour, pieces[n], share))
    return tuple(found)
