"""Pigment in the film: what it is, and the truing of a floor to the shares bought.

What is drawn is what is ordered: the head start of each colour in the contest is
set so that the finished film of the whole floor holds the palette's shares.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.lanes import room_for
from kit.plan.floor import FloorPlan
from kit.pour.block import SHARP, SHARP_VEIL, SIZE, THICK, VEIL, N
from kit.pour.colours import Paint
from kit.pour.composition import Lie
from kit.pour.film import Film
from kit.pour.kernel import CONTEST, NO_PLANES, fill_planes, part_colours
from kit.pour.laid import Laid
from kit.pour.noise import F
from kit.pour.places import EACH, Places, places_at

SAMPLES = 36_000
"""Places of the floor on which its shares are trued."""
SAMPLE_FOOT_M = 0.002
"""Fineness at which they are trued. [m]"""
NEAR_ENOUGH = 2e-4
"""Largest gap between a share bought and a share laid at which truing ends."""
LEAST_GAIN = 1e-5
"""A round that changes every share by less has come as far as head starts reach."""
MOST_ROUNDS = 40
BOLDEST_STEP = 0.3
"""Head starts are mended by no more than this in a round."""


def pigment_in(film: Film) -> NDArray[np.float64]:
    """Share of each palette colour, (P,), in all the film of the places given.

    A colour's pigment at a place is its share of the lower film times that film's
    thickness, plus its share of the veil times the veil's: both are poured, so
    both are bought. Even places over a floor thus stand for its volume of film.
    """
    places = tuple(range(1, film.shares.ndim))
    film_of_it = film.shares * film.thickness + film.veil_shares * film.veil
    amount = np.atleast_1d(film_of_it.sum(axis=places, dtype=np.float64))
    share: NDArray[np.float64] = amount / amount.sum()
    return share


def trued(
    plan: FloorPlan, laid: Laid, lie: Lie, paint: Paint, *, samples: int = SAMPLES
) -> Paint:
    """Mend the head starts until the whole floor holds the palette's shares.

    The contest of the colours is drawn once at even places over the floor; what
    the head starts do to it is then solved by Newton's method, whose slopes are mended
    by what each step did [Broyden1965]: the cells, which they leave out, follow too. The
    share laid grows with a colour's own head start, so there is but one answer.
    """
    places = even_places(plan, samples, SAMPLE_FOOT_M)
    colours, count = paint.share.size, places.east.size
    blocks = -(-count // N)
    fields = np.empty((blocks, 2 * colours + len(CONTEST), N), np.float32)
    fill_planes(
        places.east, places.north, places.foot, 1, EACH, laid, lie, paint, NO_PLANES, fields
    )
    share = paint.share / paint.share.sum(dtype=np.float64)
    slopes, step, lacked = None, np.zeros(colours), np.zeros(colours)
    for _ in range(MOST_ROUNDS):
        amounts = np.empty((blocks, colours, colours + 1), np.float32)
        weigh(fields, count, paint, amounts)
        total = amounts.sum(axis=0, dtype=np.float64)
        amount, steep = total[:, 0] / total[:, 0].sum(), total[:, 1:] / total[:, 0].sum()
        lack = share - amount
        if np.abs(lack).max() < NEAR_ENOUGH:
            break
        gained = lacked - lack
        if slopes is None:
            # all head starts alike change nothing: hold their sum, and a colour that
            # is not there yet by a little slope of its own
            slopes = steep + np.ones_like(steep) / colours + 1e-3 * np.eye(colours)
        elif np.abs(gained).max() < LEAST_GAIN:
            break
        else:
            slopes += np.outer(gained - slopes @ step, step) / (step @ step)
        lacked, step = lack, np.linalg.solve(slopes, lack)
        step *= min(1.0, BOLDEST_STEP / np.abs(step).max())
        paint = paint._replace(start=(paint.start + step).astype(np.float32))
    return paint


def even_places(plan: FloorPlan, samples: int, footprint_m: float) -> Places:
    """About so many places evenly over the floor, in a line of near neighbours."""
    west, south, east, north = plan.bounds_m
    step = np.sqrt(plan.surface.area / samples)
    x, y = np.meshgrid(
        np.arange(west + step / 2, east, step), np.arange(south + step / 2, north, step)
    )
    row, column = np.indices(x.shape)
    order = np.lexsort((column.ravel() // 16, row.ravel() // 16))
    x, y = x.ravel()[order], y.ravel()[order]
    inside = shapely.contains_xy(plan.surface, x, y)
    return places_at(x[inside], y[inside], footprint_m, (west, south))


@kernel()
def weigh(
    fields: NDArray[np.float32], count: int, paint: Paint, amounts: NDArray[np.float32]
) -> None:  # fmt: skip
    """Fill `amounts` (B, P, 1 + P): pigment of each colour, and its slope by head start.

    Cells are left out of the slope, in which they are small.
    """
    colours = paint.share.size
    both = 2 * colours
    s = room_for(SIZE)
    for block in range(fields.shape[0]):
        lanes = min(N, count - block * N)
        mix, veil = fields[block, :colours].copy(), fields[block, colours:both].copy()
        for k in range(len(CONTEST)):
            for i in range(N):
                s[CONTEST[k] + i] = fields[block, both + k, i]
        part_colours(s, mix, veil, paint)
        amounts[block] = F(0)
        for j in range(colours):
            for i in range(lanes):
                lower, upper = s[THICK + i] * mix[j, i], s[VEIL + i] * veil[j, i]
                amounts[block, j, 0] += lower + upper
                lower, upper = lower * s[SHARP + i], upper * s[SHARP_VEIL + i]
                amounts[block, j, 1 + j] += lower + upper
                for k in range(colours):
                    amounts[block, j, 1 + k] -= lower * mix[k, i] + upper * veil[k, i]
