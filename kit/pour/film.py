"""What lies on the floor at given places: colours, thickness, lean of the flakes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Plane = NDArray[np.float32]


@dataclass(frozen=True)
class Film:
    """The cured metallic coat at N places (or an H x W grid of them).

    All arrays are float32; ``...`` is the shape of the places asked for.

    Parameters
    ----------
    shares : (P, ...) array
        Share of each palette colour in the lower film, in [0, 1], summing to 1.
    thickness : (...) array
        Lower film over its nominal build; 1 is nominal, 0 bare seal coat.
    veil_shares : (P, ...) array
        Shares in the thin upper film that floated over the lower one.
    veil : (...) array
        Thickness of that veil, in nominal builds.
    lean : (2, ...) array
        Slope of the flakes from lying flat, along x and y. [rise over run]
    """

    shares: Plane
    thickness: Plane
    veil_shares: Plane
    veil: Plane
    lean: Plane
