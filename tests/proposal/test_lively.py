"""The part of a picture whose colors are spread the widest."""

import numpy as np
import pytest
from PIL import Image

from kit.proposal.lively import liveliest


def striped(rows: slice, columns: slice) -> Image.Image:
    """Gray stripes, strong in light and dark, with a patch of two colors."""
    pixels = np.full((300, 400, 3), 40, dtype=np.uint8)
    pixels[:, ::40] = 240
    pixels[rows, columns] = (200, 90, 40)
    pixels[rows, columns.start : (columns.start + columns.stop) // 2] = (40, 90, 200)
    return Image.fromarray(pixels)


@pytest.mark.parametrize(
    ("rows", "columns"),
    [(slice(180, 230), slice(0, 200)), (slice(240, 290), slice(200, 400))],
    ids=["left", "right"],
)
def test_the_part_with_two_colors_is_taken_and_not_that_of_light_and_dark(rows, columns):
    left, top = liveliest(striped(rows, columns), 0.5, 1 / 6, within=(0.6, 1.0))
    assert left * 400 == pytest.approx(columns.start, abs=20)
    assert top * 300 == pytest.approx(rows.start, abs=15)


def test_it_lies_where_it_may():
    picture = striped(slice(0, 60), slice(100, 300))
    _, top = liveliest(picture, 0.8, 0.25, within=(0.6, 0.97))
    assert 0.6 <= top <= 0.97 - 0.25 + 1e-9
