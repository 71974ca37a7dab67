"""The last motion is the film's own: it levels, and creeps a little as it does."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

from kit.knobs import knob
from kit.pour.motions.motion import Motion, Ripple

if TYPE_CHECKING:
    from kit.pour.ground import Ground


class Levelling(Motion):
    """The slow creep of a levelling film, as curl noise [Bridson2007]_."""

    kind: Literal["levelling"] = "levelling"
    place: ClassVar[int] = 90

    creep_m: float = knob(
        0.015, 0.0, 0.03, unit="m", says="How far the film creeps while it levels.",
        ends=("stiff", "runny"),
    )  # fmt: skip

    def lays(self, ground: Ground, salt: int) -> Ripple:  # noqa: ARG002
        return Ripple((self.creep_m, 0.12 * self.creep_m), (0.34, 0.098), 0.15)
