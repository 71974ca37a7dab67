"""A signature as the paper prints it: ink on a line, or a name that was typed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.press.showing import Line, Sentence, Shown
from kit.proposal import figures

if TYPE_CHECKING:
    from kit.job import Signature
    from kit.proposal.catalogue import Words

Spot = tuple[float, float]
"""Shares of the width and, downwards, of the height of the box that was signed in."""


@dataclass(frozen=True, slots=True)
class Signed(Shown):
    """A signature, whose it is and since when; without strokes it is the name, typed."""

    name: Line
    day: Line
    strokes: tuple[tuple[Spot, ...], ...]
    width_over_height: float
    alt: Sentence


def signed_words(signature: Signature | None, say: Words) -> Signed | None:
    """Show a signature as the client may read it, with its day in words."""
    if signature is None:
        return None
    day = figures.long_date(signature.day, say.locale)
    return Signed(
        name=signature.name,
        day=day,
        strokes=signature.strokes,
        width_over_height=float(signature.width_over_height),
        alt=say("acceptance.ink_alt", name=signature.name, day=day),
    )


def laid_out(
    signed: Signed, *, widest_pt: float, tallest_pt: float
) -> tuple[list[list[Spot]], float, float]:
    """Fit the ink of a signature, without the empty box around it, into a place on paper.

    Returns
    -------
    list of list of (float, float), float, float
        Its strokes right of and below its upper left corner, its width and its height. [pt]
    """
    across = signed.width_over_height
    rights = [x * across for stroke in signed.strokes for x, _ in stroke]
    downs = [y for stroke in signed.strokes for _, y in stroke]
    left, top = min(rights), min(downs)
    wide, tall = max(rights) - left, max(downs) - top
    # ink that fills a corner of the box only was meant as small as that
    scale = min(widest_pt / max(wide, across / 3), tallest_pt / max(tall, 1 / 3))
    paths = [
        [((x * across - left) * scale, (y - top) * scale) for x, y in stroke]
        for stroke in signed.strokes
    ]
    return paths, wide * scale, tall * scale
