"""The first pass: long pulls down the currents of the composition."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Strokes
from kit.pour.motions.stroke import Hand, lay_strokes

if TYPE_CHECKING:
    from kit.pour.ground import Ground


class Currents(Motion):
    """Long, wide pulls along the currents that set the lie of the whole floor."""

    kind: Literal["currents"] = "currents"
    place: ClassVar[int] = 10

    drag: float = knob(0.90, 0.0, 1.1, says="How fully the film follows the pull.")
    length_m: float = knob(
        7.4, 2.0, 10.0, unit="m", says="Length of a pull.", ends=("short", "long")
    )
    width_m: float = knob(
        2.1,
        0.9,
        3.0,
        unit="m",
        says="Reach of a pull to either side.",
        ends=("narrow", "wide"),
    )
    curve: float = knob(
        0.45, 0.0, 2.0, says="Turn within one pull. [rad]", ends=("straight", "curved")
    )

    def lays(self, ground: Ground, salt: int) -> Strokes:
        hand = Hand(
            spacing_m=1.48 * self.width_m, radius_m=self.width_m, length_m=self.length_m,
            curve=self.curve, spread=0.16, back=0.0, alternate=False, moments=8,
        )  # fmt: skip
        return lay_strokes(
            ground,
            salt,
            hand,
            lambda x_m, y_m: self.drag * (0.30 + 0.80 * ground.band(x_m, y_m)),
        )
