"""Turns about a point, here and there: the trowel goes once round and lifts."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Strokes
from kit.pour.motions.stroke import Hand, lay_strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground


class Swirl(Motion):
    """Round turns about a point, left and right in turn, a few to a floor."""

    kind: Literal["swirl"] = "swirl"
    place: ClassVar[int] = 40
    usual: ClassVar[bool] = False

    drag: float = knob(0.75, 0.0, 0.9, says="How fully the film follows the turn.")
    often: float = knob(
        0.5, 0.0, 1.0, says="How many places get a swirl.", ends=("few", "many")
    )
    across_m: float = knob(
        1.0, 0.4, 2.5, unit="m", says="Width of the ring that is turned.",
        ends=("small", "large"),
    )  # fmt: skip
    turns: float = knob(
        1.0, 0.3, 2.0, says="Turns about the point before the trowel lifts.",
        ends=("part", "twice"),
    )  # fmt: skip

    def lays(self, ground: Ground, salt: int) -> Strokes:
        hand = Hand(
            spacing_m=2.8 * self.across_m, radius_m=0.44 * self.across_m,
            length_m=2.0 * np.pi * 0.36 * self.across_m * self.turns,
            curve=2.0 * np.pi * self.turns, spread=9.0, back=0.5, alternate=True,
            moments=20, sway=0.0,
        )  # fmt: skip

        def weight(
            x_m: NDArray[np.float64], y_m: NDArray[np.float64]
        ) -> NDArray[np.float64]:
            where = 3.0 * (self.often - 0.3) + 2.0 * ground.noise(x_m, y_m, 3.1, salt)
            return self.drag * np.clip(where, 0.0, 1.0)

        return lay_strokes(ground, salt, hand, weight)
