"""A strip of places in one small array, and what film and flakes send back there.

Work goes strip by strip so that every step is one plain loop over 256 places in
single precision, which the compiler turns into wide instructions; all rows stay
in the fastest cache.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from kit.look.compiled import Grid, formula, inlined
from kit.look.mixture import Mixture
from kit.look.optics import fade

N = 256
"""Places of a strip."""
CHUNK = 16
"""Strips a thread takes at a time."""
THICK, VEIL, LOW, HIGH = (N * row for row in range(4))
SHARE = 4 * N
"""Rows of a kept film, see `kept.film_strips`; pairs of pigments follow one another."""
_PAIR = 4 * N
_A, _S, _VEIL_A, _VEIL_S = (N * row for row in range(4))
COVER, _ONE, _TWO = _A, _S, _VEIL_A
"""Rows that `paint` leaves: share of light met by flakes; and what it is worked from."""
RED, GREEN, BLUE = (N * row for row in range(4, 7))
"""Rows to work in: scattered light."""
FACE = 7 * N
"""Red, green, blue that the flakes mirror; three more rows: what they scatter."""
OWN = 13 * N
"""Rows from here on belong to the view."""
SIZE = OWN + 8 * N

FLAKE_SHARE = 0.62
"""Of the light that a fully covered film returns, the part that flakes mirror."""

_F = np.float32


@formula
def paint(s: Grid, film: Grid, mix: Mixture) -> None:
    """Fill the rows of scattered light and of flakes from those of a kept strip."""
    scatter(s, film, mix)
    _flakes(s, film, mix)


@formula
def scatter(s: Grid, film: Grid, mix: Mixture) -> None:
    """Fill the rows of scattered light."""
    for i in range(3 * N):
        s[RED + i] = _F(0.0)
    for band in range(len(mix.ground)):
        if band == 0 or mix.pairs > 1:
            _mix_others(s, film, mix, band)
        _add_band(
            s, film, mix.total[band], mix.scattering[band],
            mix.more_total[band, 0], mix.more_total[band, 1],
            mix.more_scattering[band, 0], mix.more_scattering[band, 1],
            mix.ground[band], mix.inside,
            mix.to_rgb[band, 0], mix.to_rgb[band, 1], mix.to_rgb[band, 2],
        )  # fmt: skip
    leaves = _F(1.0) - mix.inside
    for i in range(N):
        share = leaves * (_F(1.0) - film[LOW + i] - film[HIGH + i])
        s[RED + i] = share * max(s[RED + i], _F(0.0))
        s[GREEN + i] = share * max(s[GREEN + i], _F(0.0))
        s[BLUE + i] = share * max(s[BLUE + i], _F(0.0))


@formula
def _mix_others(s: Grid, film: Grid, mix: Mixture, band: int) -> None:
    """Add K + S and S of all but the last and the first two pigments by share."""
    for i in range(4 * N):
        s[_A + i] = _F(0.0)
    for p in range(2, 2 * mix.pairs):
        a, c = mix.more_total[band, p], mix.more_scattering[band, p]
        low = SHARE + p // 2 * _PAIR + p % 2 * N
        high = low + 2 * N
        for i in range(N):
            s[_A + i] += film[low + i] * a
            s[_S + i] += film[low + i] * c
            s[_VEIL_A + i] += film[high + i] * a
            s[_VEIL_S + i] += film[high + i] * c


@formula
def _add_band(
    s: Grid, film: Grid, a0: Any, c0: Any, a1: Any, a2: Any, c1: Any, c2: Any, ground: Any,
    inside: Any, red: Any, green: Any, blue: Any,
) -> None:  # fmt: skip
    """Add one band's light: film on ground, veil on film, coat on all.

    `optics.kubelka_munk` twice and the coat's inner mirror, [Saunderson1942]_,
    kept as one fraction, numerator over denominator, until the end.
    """
    for i in range(N):
        one, two = film[SHARE + i], film[SHARE + N + i]
        a = a0 + s[_A + i] + one * a1 + two * a2
        c = c0 + s[_S + i] + one * c1 + two * c2
        p, q = _layer(a, c, film[THICK + i])
        over = p * (c - ground * a) + ground * q
        under = p * (a - ground * c) + q
        one, two = film[SHARE + 2 * N + i], film[SHARE + 3 * N + i]
        a = a0 + s[_VEIL_A + i] + one * a1 + two * a2
        c = c0 + s[_VEIL_S + i] + one * c1 + two * c2
        p, q = _layer(a, c, film[VEIL + i])
        top = p * (c * under - a * over) + over * q
        bottom = p * (a * under - c * over) + under * q
        light = top / (bottom - inside * top)
        s[RED + i] += red * light
        s[GREEN + i] += green * light
        s[BLUE + i] += blue * light


@inlined
def _layer(a: Any, c: Any, thick: Any) -> tuple[Any, Any]:
    """Give a fraction p / q for which the film, [Kubelka1948]_, on a ground g is

    R = (p (S - g (K + S)) + g q) / (p ((K + S) - g S) + q).

    It is X tanh(z) / z, z² = ((K + S)² - S²) X², for a film X thick; tanh(z) / z is a
    fraction of quartics in z², fitted within 3.4e-4 of it for z up to 8 and within
    1.5 % up to 150, where every film has long closed.
    """
    w = (a - c) * (a + c) * thick * thick
    p = _F(0.999662239) + w * (
        _F(0.10387439)
        + w * (_F(1.09946542e-3) + w * (_F(9.85141272e-7) + w * _F(2.9308025e-11)))
    )
    q = _F(1.0) + w * (
        _F(0.435722039)
        + w * (_F(0.014191843) + w * (_F(4.63077016e-5) + w * _F(9.31648296e-9)))
    )
    return thick * p, q


@formula
def _flakes(s: Grid, film: Grid, mix: Mixture) -> None:
    """Fill what the flakes mirror and scatter, by share of film and of veil."""
    for i in range(N):
        low, high = film[LOW + i], film[HIGH + i]
        s[COVER + i] = low + high
        s[_ONE + i] = low * film[SHARE + i] + high * film[SHARE + 2 * N + i]
        s[_TWO + i] = low * film[SHARE + N + i] + high * film[SHARE + 3 * N + i]
    for c in range(6):
        own, one, two = mix.flakes[c], mix.more_flakes[0, c], mix.more_flakes[1, c]
        to = FACE + c * N
        for i in range(N):
            s[to + i] = s[COVER + i] * own + s[_ONE + i] * one + s[_TWO + i] * two
        for p in range(2, 2 * mix.pairs):
            more = mix.more_flakes[p, c]
            below = SHARE + p // 2 * _PAIR + p % 2 * N
            above = below + 2 * N
            for i in range(N):
                share = film[LOW + i] * film[below + i] + film[HIGH + i] * film[above + i]
                s[to + i] += share * more


@formula
def add_flakes(
    s: Grid, film: Grid, mix: Mixture, mirrored: Grid, off: Grid, share: Any, to: int
) -> None:
    """Add what flakes send up to three rows from `to` on, without the rows of flakes.

    Parameters
    ----------
    mirrored, off : (N,) arrays
        Light that the flakes mirror, and light that meets them aslant.
    share : float32
        Of the pixel, that these places take.
    """
    for i in range(N):
        low, high = film[LOW + i], film[HIGH + i]
        lit, aslant = share * mirrored[i], share * off[i]
        cover = low + high
        one = low * film[SHARE + i] + high * film[SHARE + 2 * N + i]
        two = low * film[SHARE + N + i] + high * film[SHARE + 3 * N + i]
        s[FACE + i], s[FACE + 3 * N + i] = lit * cover, aslant * cover
        s[FACE + N + i], s[FACE + 4 * N + i] = lit * one, aslant * one
        s[FACE + 2 * N + i], s[FACE + 5 * N + i] = lit * two, aslant * two
    for c in range(3):
        face, face_one, face_two = (
            mix.flakes[c],
            mix.more_flakes[0, c],
            mix.more_flakes[1, c],
        )
        flop, flop_one = mix.flakes[3 + c], mix.more_flakes[0, 3 + c]
        flop_two = mix.more_flakes[1, 3 + c]
        for i in range(N):
            lit = s[FACE + i] * face + s[FACE + N + i] * face_one
            lit += s[FACE + 2 * N + i] * face_two
            aslant = s[FACE + 3 * N + i] * flop + s[FACE + 4 * N + i] * flop_one
            s[to + c * N + i] += lit + aslant + s[FACE + 5 * N + i] * flop_two
    for p in range(2, 2 * mix.pairs):
        below = SHARE + p // 2 * _PAIR + p % 2 * N
        above = below + 2 * N
        for c in range(3):
            face, flop = share * mix.more_flakes[p, c], share * mix.more_flakes[p, 3 + c]
            for i in range(N):
                part = film[LOW + i] * film[below + i] + film[HIGH + i] * film[above + i]
                s[to + c * N + i] += part * (mirrored[i] * face + off[i] * flop)


@formula
def flake_cover(thickness: Any, veil: Any) -> tuple[Any, Any]:
    """Share of light met by flakes of film and veil, together at most `FLAKE_SHARE`."""
    low = _F(1.0) - fade(_F(1.5) * thickness * thickness)
    high = _F(0.55) * (_F(1.0) - fade(_F(1.1) * veil))
    through = fade(_F(0.9) * veil)
    return _F(FLAKE_SHARE) * low * through, _F(FLAKE_SHARE) * high
