"""The third pass: short turns of the trowel within the currents only."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Strokes
from kit.pour.motions.stroke import Hand, lay_strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground


class Trowel(Motion):
    """Short turns of the trowel, any way, where the film already runs.

    Calm places are left alone: small strokes everywhere read as camouflage.
    """

    kind: Literal["trowel"] = "trowel"
    place: ClassVar[int] = 30

    drag: float = knob(0.44, 0.0, 1.1, says="How fully the film follows the trowel.")
    length_m: float = knob(
        1.3, 0.4, 2.5, unit="m", says="Length of a turn.", ends=("short", "long")
    )
    width_m: float = knob(
        0.65,
        0.3,
        1.2,
        unit="m",
        says="Reach of a turn to either side.",
        ends=("narrow", "wide"),
    )
    curve: float = knob(
        1.8, 0.0, 3.0, says="Turn within one stroke. [rad]", ends=("flat", "round")
    )

    def lays(self, ground: Ground, salt: int) -> Strokes:
        hand = Hand(
            spacing_m=1.68 * self.width_m, radius_m=self.width_m, length_m=self.length_m,
            curve=self.curve, spread=9.0, back=0.16, alternate=False, moments=5,
        )  # fmt: skip

        def weight(
            x_m: NDArray[np.float64], y_m: NDArray[np.float64]
        ) -> NDArray[np.float64]:
            where = (
                -0.50
                + 0.95 * ground.band(x_m, y_m)
                + 0.80 * ground.noise(x_m, y_m, 2.74, salt)
            )
            return self.drag * np.clip(where, 0.0, 1.1)

        return lay_strokes(ground, salt, hand, weight)
