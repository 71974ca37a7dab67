"""What the faces of a room look like: paint, wood, doors, the bars of windows.

A row of `skins` a face: kind, linear sRGB, width and height in metres, a number
of its own. Casings are drawn on their wall from `doors` and windows.
"""

from __future__ import annotations

import math

from kit.look.compiled import Grid, Rgb, formula
from kit.look.grain import hashed

PLAIN, WALL, WOOD, FRONT, PANE, ART, DOOR, SECTIONAL, BEYOND, GLOBE, FOOT, LEAF = range(12)
SKIRTING_M = 0.11
CASING_M = 0.07
BAR_M = 0.028
FRAME_M, PANE_M = 0.05, 0.75
CROSSBAR = 0.68
"""Height of a window's cross bar, as a part of the window's."""
LOW_WINDOW_M = 0.75
"""A window no higher than this has no cross bar and looks up, out of a cellar."""
THRESHOLD_M, MOULDING_M = 0.024, 0.024
"""Height of the sill under the way out, and width of the mouldings about a panel."""
SECTION_M = 0.53
"""Height of a garage door's sections, about."""


@formula
def smooth(x: float, low: float, high: float) -> float:
    """Rise from 0 at `low` to 1 at `high` without a corner."""
    t = min(1.0, max(0.0, (x - low) / (high - low)))
    return t * t * (3.0 - 2.0 * t)


@formula
def wave(x: float, y: float, salt: int) -> float:
    """Value noise in [-1, 1] on the unit lattice."""
    i, j = math.floor(x), math.floor(y)
    u, v = x - i, y - j
    u, v = u * u * (3.0 - 2.0 * u), v * v * (3.0 - 2.0 * v)
    a = hashed(i, j, salt) * (1 - u) + hashed(i + 1, j, salt) * u
    b = hashed(i, j + 1, salt) * (1 - u) + hashed(i + 1, j + 1, salt) * u
    return 2.0 * (a * (1 - v) + b * v) - 1.0


@formula
def albedo(face: int, u: float, v: float, skins: Grid, doors: Grid, windows: Grid) -> Rgb:
    """Linear sRGB that a place of a face scatters back."""
    kind = int(skins[face, 0])
    r, g, b = skins[face, 1], skins[face, 2], skins[face, 3]
    wide, high = skins[face, 4], skins[face, 5]
    if kind == WALL:
        return _wall(face, u * wide, v * high, r, g, b, doors, windows)
    if kind == WOOD:
        return _wood(u * wide, v * high, wide < high, skins[face, 6], r, g, b)
    if kind == FRONT:
        return _front(u * wide, v * high, wide, high, skins[face, 6], r, g, b)
    if kind == ART:
        return _art(u, v, wide, high, skins[face, 6])
    if kind == PANE:
        return (0.0, 0.0, 0.0) if glass(u, v, wide, high) > 0.5 else (0.80, 0.79, 0.77)
    return _joinery(kind, u, v, wide, high, skins[face, 6], r, g, b)


@formula
def _joinery(
    kind: int, u: float, v: float, wide: float, high: float, own: float, r: float,
    g: float, b: float,
) -> Rgb:  # fmt: skip
    """Doors, what lies beyond them, a column's foot; anything else is plain paint."""
    if kind == DOOR:
        return _doors(u * wide, v * high, wide, high, own)
    if kind == LEAF:
        return _leaf(u * wide, v * high, wide, high)
    if kind == SECTIONAL:
        return _sectional(u * wide, v * high, wide, high)
    if kind == BEYOND:
        return _beyond(u, v, high, r, g, b)
    if kind == FOOT:
        seam = 1.0 - 0.85 * math.exp(-((v * high / 0.014) ** 2))
        return r * seam, g * seam, b * seam
    return r, g, b


@formula
def _wall(
    face: int, s: float, z: float, r: float, g: float, b: float, doors: Grid, windows: Grid,
) -> Rgb:  # fmt: skip
    """Paint, skirting with its shadow line, doors in their casings, window casings."""
    for d in range(len(doors)):
        if int(doors[d, 0]) != face:
            continue
        a, e, head = doors[d, 1], doors[d, 2], doors[d, 3]
        if a - CASING_M < s < e + CASING_M and z < head + CASING_M:
            out = max(a - s, s - e, z - head)
            line = 0.82 if out > CASING_M - 0.007 else 0.95
            if 0.010 < out < 0.018:
                line = 0.80
            return 0.78 * line, 0.77 * line, 0.745 * line
    for n in range(len(windows)):
        if int(windows[n, 0]) != face:
            continue
        a, e, sill, head = windows[n, 1], windows[n, 2], windows[n, 3], windows[n, 4]
        if a - 0.06 < s < e + 0.06 and sill - 0.06 < z < head + 0.06:
            return 0.80, 0.79, 0.765
    if z < SKIRTING_M:
        lip = 1.05 if z > SKIRTING_M - 0.012 else 1.0
        foot = 1.0 - 0.62 * math.exp(-z / 0.006)
        return 0.76 * lip * foot, 0.75 * lip * foot, 0.725 * lip * foot
    edge = 1.0 - 0.25 * math.exp(-(((z - SKIRTING_M) / 0.005) ** 2))
    mottle = 1.0 + 0.006 * wave(s * 9.0, z * 9.0, 11)
    mottle += 0.012 * wave(s * 0.9 + 0.35 * z, z * 1.3, 12) + 0.007 * wave(
        s * 2.7, z * 3.1 - 0.4 * s, 13
    )
    return r * edge * mottle, g * edge * mottle, b * edge * mottle


@formula
def _beyond(u: float, v: float, high: float, r: float, g: float, b: float) -> Rgb:
    """Paint a space beyond a doorway: its far wall, sides and ceiling, see `trace`."""
    side = 0.90 if u < 0.0 or u > 1.0 else 1.0
    if v > 1.0:
        return 0.78, 0.775, 0.76
    if v * high < SKIRTING_M:
        return 0.76 * side, 0.75 * side, 0.725 * side
    return r * side, g * side, b * side


@formula
def _doors(x: float, z: float, wide: float, high: float, leaves: float) -> Rgb:
    """Draw one shut leaf over its threshold, or two that open from their middle."""
    if z < THRESHOLD_M:
        lip = 1.25 if z > THRESHOLD_M - 0.005 else 1.0
        return 0.20 * lip, 0.165 * lip, 0.115 * lip
    each = wide / max(1.0, leaves)
    if x > each:
        x = wide - x
    if min(x, each - x) < 0.004 or z > high - 0.005 or z < THRESHOLD_M + 0.006:
        return 0.09, 0.09, 0.085
    lock = x - (each - 0.055)
    if abs(lock) < 0.022 and 0.90 < z < 1.06:
        return 0.045, 0.043, 0.041
    if -0.115 < lock < 0.012 and 0.995 < z < 1.013:
        return 0.025, 0.024, 0.023
    # the lever throws a soft shadow on the leaf
    under = math.exp(-(((z - 0.985) / 0.012) ** 2)) if -0.12 < lock < 0.01 else 0.0
    r, g, b = _leaf(x, z, each, high)
    shade = 1.0 - 0.35 * under
    return r * shade, g * shade, b * shade


@formula
def _leaf(x: float, z: float, wide: float, high: float) -> Rgb:
    """Draw a painted leaf with two sunk panels in mouldings."""
    shade = 1.0
    stile = min(0.115, 0.16 * wide)
    for low, top in ((0.22, 0.86), (1.06, high - 0.125)):
        side, rise = min(x - stile, wide - stile - x), min(z - low, top - z)
        inner = min(side, rise)
        if inner <= 0.0:
            continue
        # light comes from above: the upper slope lies in shade, the lower is lit
        if inner < MOULDING_M:
            slope = 1.0
            if rise < side:
                slope = 0.74 if z > 0.5 * (low + top) else 1.16
            else:
                slope = 0.88 if x < 0.5 * wide else 1.05
            shade *= slope * (1.0 - 0.30 * math.exp(-((inner / 0.003) ** 2)))
        else:
            shade *= 0.965 - 0.22 * math.exp(-(((inner - MOULDING_M) / 0.004) ** 2))
    return 0.43 * shade, 0.44 * shade, 0.425 * shade


@formula
def _sectional(x: float, z: float, wide: float, high: float) -> Rgb:
    """Draw a garage door: sections with a groove between, two rows of pressed panels."""
    sections = max(3.0, math.floor(high / SECTION_M + 0.5))
    each = high / sections
    up = z - each * math.floor(z / each)
    if z < 0.025:
        return 0.03, 0.03, 0.03
    if min(x, wide - x) < 0.012 or z > high - 0.012:
        return 0.10, 0.10, 0.10
    shade = 0.42 if up < 0.006 else 0.90 if up < 0.014 else 1.0
    across = max(2.0, math.floor(wide / 0.62))
    step = wide / across
    k = x - step * math.floor(x / step)
    inner = min(k - 0.06, step - 0.06 - k, up - 0.10, each - 0.09 - up)
    if 0.0 < inner < 0.014:
        shade *= 0.80 if up > 0.5 * each or k < 0.5 * step else 1.07
    return 0.66 * shade, 0.665 * shade, 0.655 * shade


@formula
def _wood(
    x: float, y: float, upright: bool, salt: int, r: float, g: float, b: float,
) -> Rgb:  # fmt: skip
    """Grain along the longer side, boards a hand wide."""
    if upright:
        x, y = y, x
    board = math.floor(y / 0.11)
    tone = 0.86 + 0.28 * hashed(int(board), int(salt), 7)
    grain = wave(x * 2.2 + 9.0 * board, y * 62.0, int(salt)) + 0.6 * wave(
        x * 5.0, y * 210.0, 3
    )
    seam = 0.55 if y - 0.11 * board < 0.0022 else 1.0
    shade = tone * (1.0 + 0.13 * grain) * seam
    return r * shade, g * shade * (1.0 - 0.02 * grain), b * shade * (1.0 - 0.05 * grain)


@formula
def _front(
    x: float, z: float, wide: float, high: float, doors_wide: float, r: float, g: float,
    b: float,
) -> Rgb:  # fmt: skip
    """Cupboard doors with thin gaps and a finger groove."""
    each = wide / max(1.0, doors_wide)
    k = x - each * math.floor(x / each)
    gap = min(k, each - k, z, high - z)
    if gap < 0.0025:
        return r * 0.18, g * 0.18, b * 0.18
    lip = 0.5 if high - 0.045 < z < high - 0.028 and 0.3 * each < k < 0.7 * each else 1.0
    return r * lip, g * lip, b * lip


@formula
def _art(u: float, v: float, wide: float, high: float, own: float) -> Rgb:
    """Draw a framed print: wide mount, quiet washes or, where `own` is 1, two stones."""
    edge = min(min(u, 1.0 - u) * wide, min(v, 1.0 - v) * high)
    if edge < 0.018:
        return 0.055, 0.048, 0.042
    if edge < 0.10:
        return 0.78, 0.765, 0.73
    if own > 0.5:
        return _stones((u - 0.5) * wide, (v - 0.5) * high)
    low = 0.34 + 0.05 * math.sin(7.0 * u + 0.6)
    mid = 0.52 + 0.07 * math.sin(4.0 * u + 2.2)
    if v < low:
        return 0.13, 0.19, 0.22
    if v < mid:
        return 0.33, 0.40, 0.40
    sun = (u - 0.66) ** 2 * wide * wide + (v - 0.72) ** 2 * high * high
    if sun < 0.0035:
        return 0.72, 0.40, 0.20
    return 0.70, 0.64, 0.54


@formula
def _stones(x: float, y: float) -> Rgb:
    """Draw a small stone on a large one. [m from the print's middle]"""
    grain = 1.0 + 0.10 * wave(x * 70.0, y * 70.0, 61) + 0.08 * wave(x * 18.0, y * 22.0, 62)
    if (x / 0.105) ** 2 + ((y + 0.09) / 0.085) ** 2 < 1.0:
        return 0.115 * grain, 0.125 * grain, 0.135 * grain
    if ((x - 0.02) / 0.07) ** 2 + ((y - 0.055) / 0.06) ** 2 < 1.0:
        return 0.44 * grain, 0.30 * grain, 0.20 * grain
    return 0.68, 0.645, 0.575


@formula
def glass(u: float, v: float, wide: float, high: float) -> float:
    """1 where a pane is glass, 0 at its frame and bars."""
    x, z = u * wide, v * high
    if min(x, wide - x, z, high - z) < FRAME_M:
        return 0.0
    lights = max(1.0, math.floor(wide / PANE_M + 0.5))
    each = wide / lights
    k = x / each - math.floor(x / each + 0.5)
    if abs(k) * each < BAR_M and each * 0.5 < x < wide - each * 0.5:
        return 0.0
    return 0.0 if high > LOW_WINDOW_M and abs(z - CROSSBAR * high) < BAR_M else 1.0
