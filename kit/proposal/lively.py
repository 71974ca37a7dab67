"""The part of a picture of the floor in which its colors are spread the widest."""

from __future__ import annotations

import numpy as np
from PIL import Image

SMALL_PX = 200
"""Width at which colors are compared; what is finer is not color of the pour."""
STEPS = 12


def liveliest(
    picture: Image.Image, across: float, high: float, *, within: tuple[float, float]
) -> tuple[float, float]:
    """Find the part of a size whose colors are spread the widest, by [Hasler2003].

    Parameters
    ----------
    picture : Image
    across, high : float
        Size of the part, as shares of the picture's width and height in (0, 1].
    within : tuple of float
        Share of the height, from the top, above and below which it may not lie. In [0, 1].

    Returns
    -------
    tuple of float
        Its left and upper edge, as shares of width and height.
    """
    tall = max(1, round(SMALL_PX * picture.height / picture.width))
    small = picture.convert("RGB").resize((SMALL_PX, tall), Image.Resampling.BOX)
    red, green, blue = np.moveaxis(np.asarray(small, dtype=np.float64), -1, 0)
    opponents = np.stack([red - green, (red + green) / 2 - blue])

    def spread(left: float, top: float) -> float:
        rows = slice(round(top * tall), max(round((top + high) * tall), 1))
        columns = slice(round(left * SMALL_PX), round((left + across) * SMALL_PX))
        part = opponents[:, rows, columns]
        return float(
            np.hypot(*part.std(axis=(1, 2))) + 0.3 * np.hypot(*part.mean(axis=(1, 2)))
        )

    lefts = np.linspace(0.0, 1.0 - across, STEPS)
    tops = np.linspace(within[0], max(within[0], within[1] - high), STEPS)
    places = [(float(left), float(top)) for top in tops[::-1] for left in lefts]
    return max(places, key=lambda place: spread(*place))
