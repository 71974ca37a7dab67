"""The second pass: arcs of the arm, left and right in turn."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Strokes
from kit.pour.motions.stroke import Hand, lay_strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground


ROUND_COLUMNS_M = 2.4
"""Near columns the arm swings round them, whatever the current does. [m]"""


class Arcs(Motion):
    """Arcs at arm's length that fold the currents, left and right in turn."""

    kind: Literal["arcs"] = "arcs"
    place: ClassVar[int] = 20

    drag: float = knob(0.74, 0.0, 1.1, says="How fully the film follows the arc.")
    length_m: float = knob(
        5.0, 1.0, 7.0, unit="m", says="Length of an arc.", ends=("short", "long")
    )
    width_m: float = knob(
        1.65,
        0.6,
        2.2,
        unit="m",
        says="Reach of an arc to either side.",
        ends=("narrow", "wide"),
    )
    curve: float = knob(
        0.85, 0.0, 2.5, says="Turn within one arc. [rad]", ends=("flat", "round")
    )

    def lays(self, ground: Ground, salt: int) -> Strokes:
        hand = Hand(
            spacing_m=1.63 * self.width_m, radius_m=self.width_m, length_m=self.length_m,
            curve=self.curve, spread=0.22, back=0.10, alternate=True, moments=7,
        )  # fmt: skip

        def weight(
            x_m: NDArray[np.float64], y_m: NDArray[np.float64]
        ) -> NDArray[np.float64]:
            where = (
                0.06
                + 1.00 * ground.band(x_m, y_m)
                + 0.22 * ground.noise(x_m, y_m, 2.74, salt)
                + 0.80 * np.exp(-((ground.columns(x_m, y_m) / ROUND_COLUMNS_M) ** 2))
            )
            return self.drag * np.clip(where, 0.03, 1.1)

        return lay_strokes(ground, salt, hand, weight)
