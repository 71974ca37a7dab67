"""A chip for the screen, worked out without kernels for pictures."""

from __future__ import annotations

import numpy as np
import pytest

from kit.look.chip import chip_line
from kit.look.colour import difference, lab, srgb_decoded
from kit.look.paints import paints_for
from kit.look.sight import swatch

pytestmark = pytest.mark.jit


@pytest.mark.parametrize("finish", ["matte", "satin", "gloss"])
@pytest.mark.parametrize("key", ["gull_white", "kelp_teal", "kettle_copper", "lamp_soot"])
def test_a_chip_on_the_screen_is_the_chip_on_paper(pigments, tints, finishes, key, finish):
    """Along the middle, where the paper's chip has ripples and glints to average out."""
    paints = paints_for((pigments[key],), tints["soot_black"])
    line = chip_line(paints, finishes[finish], index=1.55, steps=8)
    chip = swatch(paints, finishes[finish], width_px=320, height_px=160, index=1.55)
    middle = srgb_decoded(chip.rgb[60:100] / 255).reshape(40, 8, 40, 3).mean(axis=(0, 2))
    assert line.shape == (8, 3)
    assert line.min() >= 0.0
    assert line.max() <= 1.0
    off = difference(lab(middle), lab(line))
    assert np.mean(off) < 2.5
    assert np.max(off) < 6.0
