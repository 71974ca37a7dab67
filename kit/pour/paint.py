"""The recipe as the kernel reads it."""

from __future__ import annotations

import numpy as np

from kit.pour.colours import Paint
from kit.pour.recipe import Recipe

USUAL_RIBBON_M = 0.45
BEGINS = 0.35
"""Length over which a ribbon begins and ends, against the largest moves."""
FANNED = 0.5
"""Angle between the ways in which two colours begin and end. [rad]"""
LINES, PATCHES = 0.12, 0.44
"""Shares below which a colour that rules no side is poured in long lines, and above
which in patches."""
_SIDES = (1.0, -1.0, 0.0, 0.5, -0.5, 0.0)
_LIVES = (0.0, 0.0, 1.0, 0.0, 0.0, 1.0)


def paint_of(recipe: Recipe, scale_ft: float) -> Paint:
    """Give every colour its part, before any truing.

    The two largest colours rule the two sides of the current, the third lives
    in it as an accent, further ones lean to one side. What is little is poured in
    lines that run on, as scraps of it would look dropped.
    """
    shares, flow = np.array(recipe.palette.shares), recipe.flow
    count = len(shares)
    order = np.argsort(-shares, kind="stable")
    side = 1.0 if recipe.seed % 2 else -1.0
    rules, lives = np.zeros(count), np.zeros(count)
    rules[order] = side * np.array(_SIDES[:count])
    lives[order] = _LIVES[:count]
    phase = 2.0 * np.pi * (np.arange(count) + 0.5) / count
    fan = FANNED * (np.arange(count) - (count - 1) / 2)
    lines = np.clip((PATCHES - shares) / (PATCHES - LINES), 0.0, 1.0)
    lines[order[:2]] = 0.0
    # a line runs on for longer than a patch is long
    per_ft = (1.0 - 0.5 * lines) / (BEGINS * scale_ft)
    return Paint(
        share=shares.astype(np.float32),
        start=np.zeros(count, np.float32),
        rules=rules.astype(np.float32),
        lives=lives.astype(np.float32),
        cos=np.cos(phase).astype(np.float32),
        sin=np.sin(phase).astype(np.float32),
        long=(np.cos(fan) * per_ft).astype(np.float32),
        wide=(np.sin(fan) * per_ft).astype(np.float32),
        lines=lines.astype(np.float32),
        broad=np.float32(np.sqrt(18.0 / scale_ft)),
        kappa=np.float32(5.0 * (scale_ft / 34.0) ** 0.25 * USUAL_RIBBON_M / flow.ribbon_m),
        crisp=np.float32(flow.crisp),
        meld=np.float32(flow.meld),
        wisps=np.float32(flow.wisps),
        veil=np.float32(flow.veil),
        glow=np.float32(flow.glow),
        silk=np.float32(flow.silk),
        veins=np.float32(flow.veins),
        lace=np.float32(flow.lace),
    )
