"""The pages as pictures, beside kept ones. KIT_GOLDEN=write keeps them anew."""

from __future__ import annotations

import os
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kit.press.page import A4
from kit.proposal import propose_with_pages
from kit.proposal.shown import Cancel, CancelRow

pytestmark = pytest.mark.paper
KEPT = Path(__file__).parent / "golden"
PPI = 36.0
"""A third of a screen's: words are grey bars, but nothing can move unseen."""
UNLIKE = 1.0
"""Mean difference of a page from its golden one that is let pass, of 255."""


def letter_in_english(make_view):
    return make_view()


def a4_in_spanish(make_view):
    days = CancelRow("Regla federal", "3", "se cuentan", "30 de noviembre de 2026")
    cancel = Cancel("Puede cancelar.", (days,), "Puede cancelar.", ("Falta el aviso.",))
    return make_view(
        page=A4, language="es", revision="2", changed="Cambios: el acabado.", cancel=cancel
    )


@pytest.mark.parametrize("make", [letter_in_english, a4_in_spanish])
def test_pages_look_as_they_did(make_view, make):
    pages = propose_with_pages(make(make_view), ppi=PPI).pages
    sheet = _beside(pages)
    place = KEPT / f"{make.__name__}.png"
    if os.environ.get("KIT_GOLDEN") == "write":
        place.parent.mkdir(exist_ok=True)
        sheet.save(place, optimize=True)
    with Image.open(place) as kept:
        assert sheet.size == kept.size
        apart = np.abs(np.asarray(sheet, float) - np.asarray(kept.convert("RGB"), float))
    wide = sheet.width // len(pages)
    for number in range(len(pages)):
        assert apart[:, number * wide : (number + 1) * wide].mean() < UNLIKE, number + 1


def test_a_line_that_moves_is_seen(make_view):
    """The tolerance is finer than one row more in a table."""
    first = propose_with_pages(make_view(), ppi=PPI).pages
    more = replace(make_view().payments[0], when="Later")
    moved = propose_with_pages(make_view(payments=(*make_view().payments, more)), ppi=PPI)
    differ = [
        np.abs(np.asarray(_opened(a), float) - np.asarray(_opened(b), float)).mean()
        for a, b in zip(first, moved.pages, strict=True)
    ]
    assert max(differ) > UNLIKE


def _beside(pages: tuple[bytes, ...]) -> Image.Image:
    images = [_opened(page) for page in pages]
    width, height = images[0].size
    sheet = Image.new("RGB", (width * len(images), height))
    for number, image in enumerate(images):
        sheet.paste(image, (number * width, 0))
    return sheet


def _opened(page: bytes) -> Image.Image:
    return Image.open(BytesIO(page)).convert("RGB")
