"""Small pictures kept from when they were looked at and found good.

After a wanted change of look, draw them anew with ``KIT_GOLDEN=write pytest
tests/look/test_golden.py`` and look at every one before keeping it.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kit.look.paints import paints_for
from kit.look.picture import Picture
from kit.look.sight import above, in_room, swatch

pytestmark = [pytest.mark.jit, pytest.mark.picture]

KEPT = Path(__file__).parent / "golden"
KEYS = ("gull_white", "kelp_teal", "lamp_soot")


@pytest.mark.parametrize("finish", ["matte", "gloss"])
@pytest.mark.parametrize(
    ("view", "mood"),
    [("above", "day"), ("room", "day"), ("room", "evening"), ("chip", "day")],
)
def test_pictures_look_as_they_did(
    view, mood, finish, ell, pour, pigments, tints, finishes
):
    paints = paints_for(tuple(pigments[k] for k in KEYS), tints["soot_black"])
    if view == "chip":
        picture = swatch(paints, finishes[finish], width_px=96, height_px=48)
    else:
        take = above if view == "above" else in_room
        sight = take(pour(), ell, width_px=128, height_px=96)
        picture = sight.shown(paints, finishes[finish], index=1.55, mood=mood)
    held(picture, f"{view}-{mood}-{finish}.png")


def held(picture: Picture, name: str) -> None:
    """Compare with the kept picture: no drift in the mean, few pixels far off."""
    file = KEPT / name
    if os.environ.get("KIT_GOLDEN") == "write":
        KEPT.mkdir(exist_ok=True)
        picture.save(file)
    kept = np.asarray(Image.open(file).convert("RGB"), dtype=np.float64)
    off = np.abs(picture.rgb - kept)
    assert off.mean() < 0.8
    assert np.mean(off.max(axis=2) > 24) < 0.01
