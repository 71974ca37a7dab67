"""Short pulls across the current, out of one colour and into the next."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Strokes
from kit.pour.motions.stroke import Hand, lay_strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground


class Flick(Motion):
    """Quick pulls across the ribbons where they run close, from either side."""

    kind: Literal["flick"] = "flick"
    place: ClassVar[int] = 50
    usual: ClassVar[bool] = False

    drag: float = knob(0.75, 0.0, 1.1, says="How fully the film follows the flick.")
    length_m: float = knob(
        0.9, 0.2, 1.8, unit="m", says="Length of a flick.", ends=("short", "long")
    )
    width_m: float = knob(
        0.34, 0.2, 0.9, unit="m", says="Reach of a flick to either side.",
        ends=("narrow", "wide"),
    )  # fmt: skip
    hook: float = knob(
        0.5, 0.0, 2.5, says="Turn at the end of a flick. [rad]", ends=("straight", "hooked")
    )

    def lays(self, ground: Ground, salt: int) -> Strokes:
        hand = Hand(
            spacing_m=2.6 * self.width_m, radius_m=self.width_m, length_m=self.length_m,
            curve=self.hook, spread=0.35, back=0.5, alternate=False, moments=5,
            turned=np.pi / 2,
        )  # fmt: skip

        def weight(
            x_m: NDArray[np.float64], y_m: NDArray[np.float64]
        ) -> NDArray[np.float64]:
            where = (
                -0.25
                + 1.0 * ground.band(x_m, y_m)
                + 0.9 * ground.noise(x_m, y_m, 1.9, salt)
            )
            return self.drag * np.clip(where, 0.0, 1.0)

        return lay_strokes(ground, salt, hand, weight)
