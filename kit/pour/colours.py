"""Which colour lies where: fields that compete along the contours of the current.

Each palette colour has a field; the strongest wins. How sharply it wins says how
crisp the edge is, how far the colours bled, and how much a pixel averages: the
striations thin as the film is stretched [Ottino1989]_, and a place that cannot be
resolved tends to the mix of the palette.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel
from kit.pour.block import (
    ACROSS,
    ACROSS_X,
    ACROSS_Y,
    ASIDE_X,
    ASIDE_Y,
    BAND,
    BLEED,
    CRISP,
    CROWD_X,
    CROWD_Y,
    FIELDS,
    FLOW_X,
    FLOW_Y,
    FOOT,
    FRAY0,
    FRAY1,
    FRAYED,
    J00,
    J01,
    J10,
    J11,
    LONG,
    LONG_X,
    LONG_Y,
    NDX,
    NDY,
    NV,
    NX,
    NY,
    Q_X,
    Q_Y,
    S1,
    S2,
    S3,
    SHARP,
    SHARP_VEIL,
    SLOW_A,
    SLOW_B,
    STEEP,
    STRETCH_X,
    STRETCH_Y,
    SWAY,
    SWAY_X,
    SWAY_Y,
    U0,
    U1,
    U2,
    U3,
    U4,
    U5,
    U6,
    U7,
    U8,
    U9,
    VEIL,
    VEIL_ACROSS,
    VEIL_LONG,
    VEIL_Q,
    VEIL_SWAY,
    VEIL_WIDE,
    W0,
    W0_X,
    W0_Y,
    W1,
    W1_X,
    W1_Y,
    W2,
    W2_X,
    W2_Y,
    W3,
    W4,
    W5,
    WIDE,
    WIDE_X,
    WIDE_Y,
    N,
    Q,
)  # fmt: skip
from kit.pour.composition import Lie
from kit.pour.noise import F, noise, noise_alone, power_of_e


class Paint(NamedTuple):
    """Palette and knobs as a kernel reads them; one column of each array a colour.

    Parameters
    ----------
    share, start : (P,) float32
        Share of the palette, and the head start that brings the floor to it.
    rules, lives : (P,) float32
        Side of the current a colour rules, -1 to 1; whether it lives in it.
    cos, sin : (P,) float32
        Phase among the colours, which sets them apart in every octave.
    long, wide : (P,) float32
        How fast a colour's ribbons begin and end along the pour and across. [1/ft]
    lines : (P,) float32
        How far a colour is poured in long lines instead of patches, 0 to 1.
    broad : float32
        Fineness of its patches, less on a large floor.
    kappa : float32
        Ribbons from the calm to the current.
    crisp, meld, wisps, veil, glow, silk, veins, lace : float32
        Knobs of the flow.
    """

    share: NDArray[np.float32]
    start: NDArray[np.float32]
    rules: NDArray[np.float32]
    lives: NDArray[np.float32]
    cos: NDArray[np.float32]
    sin: NDArray[np.float32]
    long: NDArray[np.float32]
    wide: NDArray[np.float32]
    lines: NDArray[np.float32]
    broad: np.float32
    kappa: np.float32
    crisp: np.float32
    meld: np.float32
    wisps: np.float32
    veil: np.float32
    glow: np.float32
    silk: np.float32
    veins: np.float32
    lace: np.float32


_IN_FILM = (Q, SWAY, LONG, WIDE)
_IN_VEIL = (VEIL_Q, VEIL_SWAY, VEIL_LONG, VEIL_WIDE)
_SHARPEST, _SMOKIEST = F(1800), F(30)
"""Steepness of the sharpest and the smokiest edge."""
_SHARPEST_VEIL = F(14)
_VEILED = F(0.015)
"""How far a veil smears what it lies on, for each build that it is thicker than most."""
_RUNS_OUT, _LEFT = F(0.45), F(0.45)
"""Lead of the veil's strongest colour at which half of it is left; what is on average."""
WISPS_PER_FT = (F(0.42), F(0.95), F(2.3), F(5.2), F(11.0), F(27.0))
"""Waves a foot of the six wisps, the broadest first."""
_CURL = (F(0.28), F(0.12), F(0.05))
"""What the first of them add to the coordinate across the current. [ft]"""
_FRAYS = F(1.05)
"""How far fields sway where an edge frays, by which as many places change hands as blur
would have mixed: the logistic's deviation over that of two fields' difference."""
_NIBBLED_FT = F(0.0035)
"""How far even the cleanest cut frays. [ft]"""
_SWAY = F(1.5)
"""What the sway adds to the coordinate across the current. [ft]"""
_SWAY_LONG, _SWAY_WIDE = F(0.13), F(0.25)
"""Waves a foot, along the pour and across, by which contours sway."""
_LINE_TOP, _LINE_FALL = F(0.62), F(2.3)
"""A line's field beside its middle, and how fast it falls: mean and spread of noise."""
_LINE_ROUND = F(0.10)
"""How wide its middle is rounded, that pixels wider than a line have its mean."""
_WIDE, _LONG, _SHARE = (F(0.36), F(1.05)), (F(0.13), F(0.33)), (F(0.70), F(0.24))
"""Waves a foot across and along the current of each octave of drift, and its weight."""


@kernel()
def lay_contours(
    s: NDArray[np.float32],
    lie: Lie,
) -> None:
    """Coordinate across the current, a little swayed.

    Across runs fast where the current is steep and slowly in the calm, so all
    that is drawn in it is fine in the one and broad in the other.
    """
    scale = F(0.45) * lie.scale_ft
    c0, c1, c2 = _CURL[0], _CURL[1], _CURL[2]
    d0, d1, d2 = c0 * WISPS_PER_FT[0], c1 * WISPS_PER_FT[1], c2 * WISPS_PER_FT[2]
    for i in range(N):
        s[NX + i], s[NY + i] = _SWAY_LONG * s[LONG + i], _SWAY_WIDE * s[WIDE + i]
    noise(s, lie.salts[3])
    for i in range(N):
        along, aside = _SWAY_LONG * s[NDX + i], _SWAY_WIDE * s[NDY + i]
        sway_x = along * s[LONG_X + i] + aside * s[WIDE_X + i]
        sway_y = along * s[LONG_Y + i] + aside * s[WIDE_Y + i]
        s[SWAY + i], s[SWAY_X + i], s[SWAY_Y + i] = s[NV + i], sway_x, sway_y
        curl = c0 * s[W0 + i] + c1 * s[W1 + i] + c2 * s[W2 + i]
        curl_x = d0 * s[W0_X + i] + d1 * s[W1_X + i] + d2 * s[W2_X + i]
        curl_y = d0 * s[W0_Y + i] + d1 * s[W1_Y + i] + d2 * s[W2_Y + i]
        s[ACROSS + i] = scale * s[Q + i] + _SWAY * s[NV + i] + curl
        s[ACROSS_X + i] = scale * s[Q_X + i] + _SWAY * sway_x + curl_x
        s[ACROSS_Y + i] = scale * s[Q_Y + i] + _SWAY * sway_y + curl_y


@kernel(forceinline=True)
def favor(s: NDArray[np.float32], current: int) -> None:
    """Set what favors colours, but for fine wisps, where the current is that of a row.

    U0 and U3 are two fields for all colours, U8 how strongly drift adds to them, U9 how
    one-sided the place is.
    """
    for i in range(N):
        s[U0 + i], s[U3 + i] = F(0.55) * s[SLOW_A + i], F(0.55) * s[SLOW_B + i]
        s[U8 + i] = max(F(0.28) + F(0.78) * s[BAND + i] + F(0.35) * s[SLOW_B + i], F(0.1))
        # the two sides of the current have their rulers
        e = power_of_e(F(3.4) * s[current + i])
        s[U9 + i] = (e - F(1)) / (e + F(1))


@kernel()
def shuffle(
    s: NDArray[np.float32], value: int, octave: int, paint: Paint, salt: np.uint32
) -> None:
    """Add an octave of drift to one field, and its slope on the floor to the next rows."""
    wide, long = paint.broad * _WIDE[octave], paint.broad * _LONG[octave]
    for i in range(N):
        s[NX + i], s[NY + i] = s[ACROSS + i] * wide, s[LONG + i] * long
    noise(s, salt)
    for i in range(N):
        weight = _SHARE[octave] * s[U8 + i]
        x, y = weight * wide * s[NDX + i], weight * long * s[NDY + i]
        s[value + i] += weight * s[NV + i]
        s[value + N + i] += x * s[CROWD_X + i] + y * s[STRETCH_X + i]
        s[value + 2 * N + i] += x * s[CROWD_Y + i] + y * s[STRETCH_Y + i]


@kernel(forceinline=True)
def run_ribbon(
    s: NDArray[np.float32], k: int, paint: Paint, rows: tuple[int, int, int, int]
) -> None:
    """Set the place in one colour's ribbons, which begin and end in a way of their own.

    They are drawn in four rows: current, sway, along the pour and across it.
    """
    current, sway, along, across = rows
    head, long, wide = F(13.7) * F(k), paint.long[k], paint.wide[k]
    for i in range(N):
        s[NX + i] = paint.kappa * s[current + i] + F(0.42) * s[sway + i] + head
        s[NY + i] = s[along + i] * long + s[across + i] * wide


@kernel(forceinline=True)
def draw_in_lines(s: NDArray[np.float32], part: np.float32) -> None:
    """Turn patches of the last noise into lines, by a part: its zero set runs on and on."""
    if part <= F(0):
        return
    kept, fall, top = F(1) - part, part * _LINE_FALL, part * _LINE_TOP
    for i in range(N):
        value = s[NV + i]
        off2 = value * value + _LINE_ROUND * _LINE_ROUND
        down = fall / np.sqrt(off2)
        s[NV + i] = kept * value + top - down * off2
        down = kept - down * value
        s[NDX + i] *= down
        s[NDY + i] *= down


@kernel()
def hold(s: NDArray[np.float32], field: int, k: int, paint: Paint) -> None:
    """Fill a row with one colour's field, from its ribbons in NV and all that favors it."""
    cos, sin = paint.cos[k], paint.sin[k]
    rules, lives = F(0.88) * paint.rules[k], paint.lives[k]
    for i in range(N):
        own = F(0.95) * s[NV + i] + cos * s[U0 + i] + sin * s[U3 + i]
        live = lives * (F(0.75) * s[BAND + i] - F(0.50))
        s[NX + i] = own + rules * s[U9 + i] + live
    for i in range(N):
        s[field + i] = s[NX + i]


@kernel()
def run_colours(s: NDArray[np.float32], paint: Paint, lie: Lie) -> None:
    """Fill each colour's field in the film, and how steep they are: row STEEP."""
    favor(s, Q)
    for i in range(N):
        s[U1 + i], s[U2 + i], s[U4 + i], s[U5 + i] = F(0), F(0), F(0), F(0)
        s[U6 + i] = F(0)
    for octave in range(2):
        shuffle(s, U0, octave, paint, lie.salts[4 + 2 * octave])
        shuffle(s, U3, octave, paint, lie.salts[5 + 2 * octave])
    kappa = paint.kappa
    for i in range(N):
        j00, j01, j10, j11 = s[J00 + i], s[J01 + i], s[J10 + i], s[J11 + i]
        x = kappa * s[Q_X + i] + F(0.42) * s[SWAY_X + i]
        y = kappa * s[Q_Y + i] + F(0.42) * s[SWAY_Y + i]
        s[FLOW_X + i], s[FLOW_Y + i] = j00 * x + j10 * y, j01 * x + j11 * y
        x, y = s[WIDE_X + i], s[WIDE_Y + i]
        s[ASIDE_X + i], s[ASIDE_Y + i] = j00 * x + j10 * y, j01 * x + j11 * y
    colours = paint.share.size
    for k in range(colours):
        run_ribbon(s, k, paint, _IN_FILM)
        noise(s, lie.salts[8])
        draw_in_lines(s, paint.lines[k])
        hold(s, FIELDS + 2 * k * N, k, paint)
        cos, sin, long, wide = paint.cos[k], paint.sin[k], paint.long[k], paint.wide[k]
        for i in range(N):
            along, across = F(0.95) * s[NDX + i], F(0.95) * s[NDY + i]
            far, aside = across * long, across * wide
            gx = along * s[FLOW_X + i] + far * s[STRETCH_X + i] + aside * s[ASIDE_X + i]
            gy = along * s[FLOW_Y + i] + far * s[STRETCH_Y + i] + aside * s[ASIDE_Y + i]
            gx += cos * s[U1 + i] + sin * s[U4 + i]
            gy += cos * s[U2 + i] + sin * s[U5 + i]
            s[U6 + i] += gx * gx + gy * gy
    per = F(1.6) / F(colours)
    for i in range(N):
        qx = s[J00 + i] * s[Q_X + i] + s[J10 + i] * s[Q_Y + i]
        qy = s[J01 + i] * s[Q_X + i] + s[J11 + i] * s[Q_Y + i]
        s[STEEP + i] = np.sqrt(per * s[U6 + i]) + F(0.5) * np.sqrt(qx * qx + qy * qy)


@kernel()
def run_colours_in_veil(s: NDArray[np.float32], paint: Paint, lie: Lie) -> None:
    """Fill each colour's field in the veil, which has fewer waves than the film's."""
    favor(s, VEIL_Q)
    wide, long = paint.broad * _WIDE[0], paint.broad * _LONG[0]
    for pair in range(2):
        for i in range(N):
            s[NX + i] = s[VEIL_ACROSS + i] * wide
            s[NY + i] = s[VEIL_LONG + i] * long
        noise_alone(s, lie.salts[4 + pair])
        value = U0 + pair * (U3 - U0)
        for i in range(N):
            s[NDX + i] = s[value + i] + _SHARE[0] * s[U8 + i] * s[NV + i]
        for i in range(N):
            s[value + i] = s[NDX + i]
    for k in range(paint.share.size):
        run_ribbon(s, k, paint, _IN_VEIL)
        noise_alone(s, lie.salts[8])
        draw_in_lines(s, paint.lines[k])
        hold(s, FIELDS + (2 * k + 1) * N, k, paint)


@kernel()
def contend(
    s: NDArray[np.float32], mix: NDArray[np.float32], veil: NDArray[np.float32],
    paint: Paint,
) -> None:  # fmt: skip
    """Fill `mix` and `veil` (P, N) with each colour's field, wisps and frayed edges added.

    Row SHARP tells how sharply the strongest field wins, less so below a thick veil. The
    veil parts as sharply as the film below, but never harder than smoke: row SHARP_VEIL.
    """
    for i in range(N):
        smoke = F(0.58) * paint.wisps * (F(1.08) - s[CRISP + i])
        fine = F(0.12) * s[S3 + i] + F(0.03) * s[W4 + i]
        loose = F(0.055) * s[W3 + i] + F(0.055) * s[W2 + i] + F(0.008) * s[W5 + i]
        wisp_a = smoke * (F(0.20) * s[S1 + i] + fine)
        wisp_b = smoke * (F(0.17) * s[S2 + i] + loose)
        steep, cr = s[STEEP + i], s[CRISP + i] * s[CRISP + i]
        edge = F(1) / (_SMOKIEST + (_SHARPEST - _SMOKIEST) * cr)
        edge += _VEILED * max(s[VEIL + i] - F(0.4), F(0))
        bled, foot = F(2) * s[BLEED + i], F(0.75) * s[FOOT + i]
        smoke2 = edge * edge + steep * steep * bled * bled
        pixel2 = steep * steep * foot * (foot + F(2) * bled)
        # what is drawn as threads and fingers is no smoke any more
        left = F(1) - s[FRAYED + i]
        sharp = F(1) / np.sqrt(smoke2 * left + pixel2)
        s[SHARP + i] = sharp
        s[SHARP_VEIL + i] = min(sharp, _SHARPEST_VEIL / np.sqrt(left))
        nibbled = steep * _NIBBLED_FT
        reach = np.sqrt(_FRAYS * _FRAYS * smoke2 + nibbled * nibbled)
        over = max(reach, _FRAYS / _SHARPEST_VEIL)
        s[U0 + i] = wisp_a + reach * s[FRAY0 + i]
        s[U1 + i] = wisp_b + reach * s[FRAY1 + i]
        s[U2 + i] = wisp_a + over * s[FRAY1 + i]
        s[U3 + i] = wisp_b - over * s[FRAY0 + i]
    for k in range(paint.share.size):
        cos, sin, field = paint.cos[k], paint.sin[k], FIELDS + 2 * k * N
        for i in range(N):
            mix[k, i] = s[field + i] + cos * s[U0 + i] + sin * s[U1 + i]
            veil[k, i] = s[field + N + i] + cos * s[U2 + i] + sin * s[U3 + i]


@kernel()
def find_strongest(
    s: NDArray[np.float32], mix: NDArray[np.float32], paint: Paint
) -> None:  # fmt: skip
    """Fill row U7 with the strongest of the fields in `mix` (P, N)."""
    for i in range(N):
        s[U7 + i] = F(-1e9)
    for k in range(paint.share.size):
        start = paint.start[k]
        for i in range(N):
            s[U7 + i] = max(s[U7 + i], mix[k, i] + start)


@kernel()
def thin_veil(s: NDArray[np.float32], veil: NDArray[np.float32], paint: Paint) -> None:
    """Let the veil run out where two of its colours meet: no edge of it is a cut one.

    Fills row U7 with its strongest field too.

    Parameters
    ----------
    veil : (P, N) float32
        Each colour's field in the veil, not yet settled.
    """
    for i in range(N):
        s[U7 + i], s[U8 + i] = F(-1e9), F(-1e9)
    for k in range(paint.share.size):
        start = paint.start[k]
        for i in range(N):
            field, best = veil[k, i] + start, s[U7 + i]
            s[U8 + i] = max(s[U8 + i], min(best, field))
            s[U7 + i] = max(best, field)
    for i in range(N):
        lead = s[U7 + i] - s[U8 + i]
        lead2, blur2 = lead * lead, F(1) / (s[SHARP + i] * s[SHARP + i])
        # where no pixel tells its colours apart, what is left of it on average
        left = lead2 + _LEFT * blur2
        s[VEIL + i] *= left / (lead2 + blur2 + _RUNS_OUT * _RUNS_OUT)


@kernel()
def settle(
    s: NDArray[np.float32], mix: NDArray[np.float32], sharp: int, paint: Paint
) -> None:
    """Turn fields (P, N) into shares, by how sharply the strongest, row U7, wins."""
    colours = paint.share.size
    for i in range(N):
        s[U9 + i] = F(0)
        s[U8 + i] = s[sharp + i]
    for k in range(colours):
        share, start = paint.share[k], paint.start[k]
        for i in range(N):
            won = share * power_of_e(s[U8 + i] * (mix[k, i] + start - s[U7 + i]))
            mix[k, i] = won
            s[U9 + i] += won
    for i in range(N):
        s[U9 + i] = F(1) / s[U9 + i]
    for k in range(colours):
        for i in range(N):
            mix[k, i] *= s[U9 + i]
