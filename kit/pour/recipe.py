"""The recipe of a floor: palette, how it is poured, and the seed that fixes it."""

from __future__ import annotations

from pydantic import Field, SerializeAsAny, field_validator

from kit.knobs import knob
from kit.pour.motions import Motion, read_motions, usual_motions
from kit.pour.palette import Palette
from kit.record import Record

SEEDS = 2**31
"""Seeds run from 0 up to, not including, this."""


class Flow(Record):
    """How the floor is poured and worked, in knobs a contractor turns."""

    ribbon_m: float = knob(
        0.45, 0.15, 1.5, unit="m", says="Width of a poured ribbon before it is worked.",
        ends=("fine", "broad"),
    )  # fmt: skip
    sweep: float = knob(
        1.0, 0.5, 2.0, says="Scale of the whole composition against the floor.",
        ends=("many moves", "one move"),
    )  # fmt: skip
    calm: float = knob(
        0.5, 0.0, 1.0, says="How much of the floor lies quiet between the currents.",
        ends=("busy", "quiet"),
    )  # fmt: skip
    reach: float = knob(
        1.0, 0.4, 1.6, says="Length of every stroke against its usual length.",
        ends=("short", "long"),
    )  # fmt: skip
    turn: float = knob(
        1.0, 0.0, 2.0, says="How strongly the strokes curve.", ends=("straight", "curling")
    )
    crisp: float = knob(
        0.5, 0.0, 1.0, says="Share of edges that stay sharp instead of smoky.",
        ends=("smoky", "sharp"),
    )  # fmt: skip
    meld: float = knob(
        1.0, 0.3, 4.0, says="How far neighbouring colours bleed into each other.",
        ends=("apart", "melded"),
    )  # fmt: skip
    wisps: float = knob(
        1.0,
        0.0,
        3.0,
        says="Fine smoke that floats across the ribbons.",
        ends=("clean", "smoky"),
    )
    veil: float = knob(
        1.0, 0.0, 2.0, says="Thin upper film that floats over the ribbons.",
        ends=("none", "veiled"),
    )  # fmt: skip
    glow: float = knob(
        1.0, 0.0, 2.0, says="How much the seal coat glows through thin places.",
        ends=("covered", "open"),
    )  # fmt: skip
    silk: float = knob(
        1.0, 0.0, 2.0, says="How strongly the flakes lean and shimmer along the flow.",
        ends=("flat", "silky"),
    )  # fmt: skip
    veins: float = knob(
        1.0,
        0.0,
        3.0,
        says="Hair-thin lines drawn out by the trowel.",
        ends=("none", "veined"),
    )
    lace: float = knob(
        1.0, 0.0, 2.0, says="Cells and lacing where solvent opens the film.",
        ends=("none", "laced"),
    )  # fmt: skip
    motions: tuple[SerializeAsAny[Motion], ...] = Field(
        default_factory=usual_motions,
        min_length=1,
        max_length=12,
        description="Passes of the trowel, in the order they are worked.",
    )

    @property
    def moves(self) -> Flow:
        """What of it moves the trowel, all that is of the film at its usual."""
        return Flow(
            sweep=self.sweep, calm=self.calm, reach=self.reach, turn=self.turn,
            motions=self.motions,
        )  # fmt: skip

    @field_validator("motions", mode="before")
    @classmethod
    def _known(cls, given: object) -> object:
        """Read stored tables back as the motions they name."""
        return read_motions(given)


class Recipe(Record):
    """All that decides what lies where, besides the plan of the floor."""

    palette: Palette
    flow: Flow = Flow()
    seed: int = Field(
        ge=0,
        lt=SEEDS,
        strict=True,
        description="Number that fixes the floor. [0 to 2147483647]",
    )

    @property
    def pattern(self) -> tuple[tuple[float, ...], Flow, int]:
        """What of it decides where each color lies: shares, flow and seed, no pigment."""
        return self.palette.shares, self.flow, self.seed
