"""Paint a film: what its body and its flakes send back, before any light or coat is chosen.

One pass over kept places turns shares and thickness into ten numbers: linear sRGB of
body (scattered light), flake faces and flake flops, and the share that flakes cover.
Lights, sheen and mood then only weigh them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.lanes import room_for
from kit.look.compiled import Grid, loop, prange
from kit.look.kept import film_strips
from kit.look.mixture import Mixture, mixture_of
from kit.look.paints import Paints
from kit.look.strip import CHUNK, COVER, RED, SIZE, N, paint
from kit.pour.film import Film

Array = NDArray[np.float32]


def painted(film: Film, paints: Paints, index: float) -> Array:
    """Body, face and flop colour of every place of a film.

    Parameters
    ----------
    film : Film
        Any shape of places.
    paints : Paints
        As many colours as the film has shares.
    index : float
        Of the coat on top: the denser it is the more light it keeps inside,
        which is why a coated floor is darker and fuller than its powder.

    Returns
    -------
    (N, 10) float32 array
        Linear sRGB of body, face, flop, then the flakes' cover; in a white furnace body
        and face sum to at most 1.
    """
    places = np.arange(film.thickness.size)
    return painted_strips(
        film_strips(film, places[None, :]), len(places), mixture_of(paints, index)
    )


def painted_strips(rows: Array, pixels: int, mix: Mixture) -> Array:
    """Body, face, flop and cover, (N, 10), of the first sample of `kept.film_strips`."""
    out = np.empty((pixels, 10), dtype=np.float32)
    _paint(rows, mix, out)
    return out


@loop
def _paint(rows: Grid, mix: Mixture, out: Grid) -> None:
    """Fill `out` (N, 10)."""
    strips = len(rows)
    for chunk in prange((strips + CHUNK - 1) // CHUNK):
        s = room_for(SIZE)
        for strip in range(chunk * CHUNK, min((chunk + 1) * CHUNK, strips)):
            paint(s, rows[strip, 0], mix)
            for i in range(min(N, len(out) - strip * N)):
                for c in range(9):
                    out[strip * N + i, c] = s[RED + c * N + i]
                out[strip * N + i, 9] = s[COVER + i]
