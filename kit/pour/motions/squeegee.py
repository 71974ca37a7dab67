"""Long straight pulls of a wide squeegee, there and back, that spread the pour."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Strokes
from kit.pour.motions.stroke import Hand, lay_strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground


class Squeegee(Motion):
    """Straight pulls in the lanes in which a room is poured, before anything else."""

    kind: Literal["squeegee"] = "squeegee"
    place: ClassVar[int] = 5

    drag: float = knob(0.34, 0.0, 1.1, says="How fully the film follows the blade.")
    length_m: float = knob(
        5.5, 1.0, 8.0, unit="m", says="Length of a pull.", ends=("short", "long")
    )
    blade_m: float = knob(
        1.1, 0.4, 1.5, unit="m", says="Width of the blade.", ends=("narrow", "wide")
    )
    stray: float = knob(
        0.10, 0.0, 0.8, says="How far pulls stray from the lane. [rad]",
        ends=("true", "loose"),
    )  # fmt: skip

    def lays(self, ground: Ground, salt: int) -> Strokes:
        hand = Hand(
            spacing_m=2.4 * self.blade_m, radius_m=1.3 * self.blade_m,
            length_m=self.length_m, curve=0.12, spread=self.stray, back=0.1,
            alternate=False, moments=4, lanes=True,
        )  # fmt: skip

        def weight(
            x_m: NDArray[np.float64], y_m: NDArray[np.float64]
        ) -> NDArray[np.float64]:
            where = (
                0.35
                + 0.65 * ground.band(x_m, y_m)
                + 0.40 * ground.noise(x_m, y_m, 3.6, salt)
            )
            return self.drag * np.clip(where, 0.0, 1.1)

        return lay_strokes(ground, salt, hand, weight)
