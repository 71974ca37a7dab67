"""The recipe as the kernel reads it, and the truing of the floor to its shares."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from kit.pour.colours import Paint
from kit.pour.film import Film
from kit.pour.recipe import Recipe

USUAL_RIBBON_M = 0.45
BEGINS_FT = 6.5
"""Length over which a ribbon begins and ends. [ft]"""
ROUNDS = 14
"""Times the shares are measured and the head starts mended."""
_SIDES = (1.0, -1.0, 0.0, 0.5, -0.5, 0.0)
_LIVES = (0.0, 0.0, 1.0, 0.0, 0.0, 1.0)


def paint_of(recipe: Recipe, scale_ft: float) -> Paint:
    """Give every colour its part, before any truing.

    The two largest colours rule the two sides of the current, the third lives
    in it as an accent, further ones lean to one side.
    """
    shares, flow = np.array(recipe.palette.shares), recipe.flow
    count = len(shares)
    order = np.argsort(-shares, kind="stable")
    side = 1.0 if recipe.seed % 2 else -1.0
    rules, lives = np.zeros(count), np.zeros(count)
    rules[order] = side * np.array(_SIDES[:count])
    lives[order] = _LIVES[:count]
    phase = 2.0 * np.pi * (np.arange(count) + 0.5) / count
    heading = 1.1 + 1.05 * np.arange(count)
    return Paint(
        share=shares.astype(np.float32),
        start=np.zeros(count, np.float32),
        rules=rules.astype(np.float32),
        lives=lives.astype(np.float32),
        cos=np.cos(phase).astype(np.float32),
        sin=np.sin(phase).astype(np.float32),
        east=(np.cos(heading) / BEGINS_FT).astype(np.float32),
        north=(np.sin(heading) / BEGINS_FT).astype(np.float32),
        kappa=np.float32(4.2 * np.sqrt(scale_ft / 34.0) * USUAL_RIBBON_M / flow.ribbon_m),
        crisp=np.float32(flow.crisp),
        meld=np.float32(flow.meld),
        wisps=np.float32(flow.wisps),
        veil=np.float32(flow.veil),
        glow=np.float32(flow.glow),
        silk=np.float32(flow.silk),
        veins=np.float32(flow.veins),
        lace=np.float32(flow.lace),
    )


def trued(
    paint: Paint, film_with: Callable[[Paint], Film], inside: NDArray[np.bool_]
) -> Paint:
    """Mend the head starts until the film of sample places has the palette's shares.

    Parameters
    ----------
    film_with : callable
        The film at the sample places under a paint.
    inside : (...) bool array
        Which of the sample places lie on the floor.
    """
    for turn in range(ROUNDS):
        lack = np.log(paint.share / np.maximum(shares_of(film_with(paint), inside), 1e-4))
        start = paint.start + (0.5 if turn < ROUNDS // 2 else 0.25) * lack.astype(
            np.float32
        )
        paint = paint._replace(start=(start - start.mean()).astype(np.float32))
    return paint


def shares_of(film: Film, inside: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Share of each colour, (P,), in all the film of the places marked, veil and all."""
    lower = (film.shares * film.thickness)[:, inside].sum(axis=1, dtype=np.float64)
    upper = (film.veil_shares * film.veil)[:, inside].sum(axis=1, dtype=np.float64)
    total: NDArray[np.float64] = lower + upper
    share: NDArray[np.float64] = total / total.sum()
    return share
