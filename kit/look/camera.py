"""How a client who stands in a room sees it.

The camera looks level, so uprights stay upright; the picture is shifted down,
as an architect's lens is, so that the floor fills most of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

EYE_M = 1.60
LENSES = (0.643, 0.78, 0.92)
"""Tangents of half the view: 65.5° across where there is depth, up to 85° in a closet."""
FLOOR_PART, LEAST_FLOOR = 0.52, 0.39
"""Parts of the picture that are floor: wished, and fought for at the ceiling's cost."""
OVERHEAD_M = 0.62
"""Above the eye, at the wall looked at: what must still be in the picture."""
MOST_SHIFT, LAST_SHIFT = 0.36, 0.95
"""Shifts by the picture's height: usual, and where a passage would show little floor."""
LOOKS = 25
"""Looks across a picture at which a stand is judged."""


@dataclass(frozen=True)
class Camera:
    """A level eye. [m, unit vectors]"""

    x: float
    y: float
    z: float
    ahead: tuple[float, float]
    width_px: int
    height_px: int
    half_wide: float
    shift: float

    @property
    def pixel(self) -> float:
        """Width of a pixel at a distance of one, ahead."""
        return 2.0 * self.half_wide / self.width_px

    def row(self) -> Array:
        """The numbers kernels need: eye, ahead, pixel, width, height, shift in pixels."""
        return np.array([
            self.x, self.y, self.z, *self.ahead, self.pixel,
            self.width_px, self.height_px, self.shift * self.height_px,
        ])  # fmt: skip


@dataclass(frozen=True, eq=False)
class Stand:
    """A place to look from, and how far the floor runs from there.

    Parameters
    ----------
    x, y : float
        In the room; in one too small to stand in, before the wall that is taken away.
    ahead : (float, float)
        Unit direction.
    depth_m : float
        To the wall looked at.
    half_wide : float
        Tangent of half the view across.
    reach_m : (LOOKS,) array
        How deep, ahead, floor runs along looks spread evenly across the picture.
    near_m : float
        Depth of the wall taken away; 0 in the room.
    """

    x: float
    y: float
    ahead: tuple[float, float]
    depth_m: float
    half_wide: float
    reach_m: Array
    near_m: float = 0.0


def camera_at(stand: Stand, width_px: int, height_px: int) -> Camera:
    """Frame the view from a stand: floor below, the wall's window still whole.

    The picture is shifted down, by a share of its height, until the floor
    fills `FLOOR_PART` of it, further only where it would not fill `LEAST_FLOOR`.
    """
    half_high = stand.half_wide * height_px / width_px
    shift = shift_for(stand.reach_m, stand.near_m, stand.depth_m, half_high)
    return Camera(
        stand.x, stand.y, EYE_M, stand.ahead, width_px, height_px, stand.half_wide, shift
    )


_SHIFTS = np.linspace(0.0, LAST_SHIFT, 96)


def shift_for(reach_m: Array, near_m: float, depth_m: float, half_high: float) -> float:
    """Shift of the picture, as a share of its height."""
    lowest = EYE_M / near_m if near_m else np.inf
    usable = _SHIFTS[half_high * (1.0 + 2.0 * _SHIFTS) <= lowest]
    shifts = usable if len(usable) else _SHIFTS[:1]
    floor = floor_part(reach_m, half_high, shifts)
    whole = min((1.0 - OVERHEAD_M / (depth_m * half_high)) / 2.0, MOST_SHIFT)
    framed = shifts[(floor >= FLOOR_PART) | (shifts >= whole)]
    shift = float(framed[0]) if len(framed) else float(shifts[-1])
    if floor[shifts == shift][0] < LEAST_FLOOR:
        enough = np.flatnonzero(floor >= LEAST_FLOOR)
        shift = float(shifts[enough[0] if len(enough) else int(np.argmax(floor))])
    return shift


def floor_part(reach_m: Array, half_high: float, shift: float | Array) -> Array:
    """Part of the picture that is floor, for shifts of any shape.

    Parameters
    ----------
    reach_m : (..., LOOKS) array
    half_high : float
        Tangent of half the view upright.
    """
    shift = np.asarray(shift, dtype=np.float64)[..., None]
    top, foot = -half_high * (1.0 - 2.0 * shift), half_high * (1.0 + 2.0 * shift)
    far = np.maximum(EYE_M / np.maximum(reach_m, 1e-3), top)
    part: Array = np.maximum(foot - far, 0.0).mean(axis=-1) / (2.0 * half_high)
    return part
