"""Every choice a person makes at the table, as a pure step from one Job to the next."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kit.errors import SheetError
from kit.job import Job
from kit.pour.palette import FEWEST, MOST, Colour
from kit.pour.recipe import Flow
from kit.record import filled

_COPY = "Copy of "
_LONGEST_TITLE = 120
LEAST_PERCENT = 2
"""A smaller share of a pigment could not be dosed or seen."""


def with_finish(job: Job, finish: str) -> Job:
    """Lay another wear coat."""
    return job.changed(finish=finish)


def with_extra_switched(job: Job, extra: str) -> Job:
    """Take an extra, or leave it out again."""
    if extra in job.extras:
        return job.changed(extras=tuple(key for key in job.extras if key != extra))
    return job.changed(extras=(*job.extras, extra))


def with_knob(job: Job, name: str, value: float) -> Job:
    """Turn one knob of the flow."""
    if name not in Flow.model_fields:
        raise SheetError("flow", found=name, expected="the name of a knob")
    return job.changed(
        recipe=job.recipe.changed(flow=job.recipe.flow.changed(**{name: value}))
    )


def with_flow(job: Job, flow: Flow) -> Job:
    """Set every knob of the flow at once."""
    return job.changed(recipe=job.recipe.changed(flow=flow))


def with_tint(job: Job, tint: str) -> Job:
    """Tint the seal coat otherwise."""
    palette = job.recipe.palette.changed(tint=tint)
    return job.changed(recipe=job.recipe.changed(palette=palette))


def with_pigment(job: Job, place: int, pigment: str) -> Job:
    """Put another pigment in the place of one, its share kept."""
    colours = list(job.recipe.palette.colours)
    colours[_place(job, place)] = _colour(pigment, colours[place].share)
    return _with_colours(job, colours)


def with_added(job: Job, pigment: str) -> Job:
    """Add a pigment; it takes an even part of the floor from all the others."""
    colours = job.recipe.palette.colours
    if len(colours) >= MOST:
        raise SheetError("colors", found=f"{len(colours)}", expected=f"{MOST} at most")
    part = 1.0 / (len(colours) + 1)
    kept = [c.share * (1.0 - part) for c in colours]
    shares = whole_percents([*kept, part])
    return _with_shares(job, shares, [*(c.pigment for c in colours), pigment])


def without(job: Job, place: int) -> Job:
    """Take a pigment out; the others share what it leaves."""
    colours = list(job.recipe.palette.colours)
    if len(colours) <= FEWEST:
        raise SheetError("colors", found=f"{len(colours)}", expected=f"{FEWEST} at least")
    del colours[_place(job, place)]
    shares = whole_percents([c.share for c in colours])
    return _with_shares(job, shares, [c.pigment for c in colours])


def with_percent(job: Job, place: int, percent: float) -> Job:
    """Give one pigment a share in percent; the others keep their proportions."""
    if not math.isfinite(percent):
        raise SheetError("share", found=percent, expected="a number of percent")
    shares = [c.share for c in job.recipe.palette.colours]
    place = _place(job, place)
    most = 100 - LEAST_PERCENT * (len(shares) - 1)
    asked = min(max(round(percent), LEAST_PERCENT), most)
    rest = whole_percents(shares[:place] + shares[place + 1 :], total=100 - asked)
    return _with_shares(job, [*rest[:place], asked, *rest[place:]])


def with_border(job: Job, place: int, percent: float) -> Job:
    """Move the border between one pigment and the next, counted from the left end."""
    if not math.isfinite(percent):
        raise SheetError("share", found=percent, expected="a number of percent")
    shares = whole_percents([c.share for c in job.recipe.palette.colours])
    if not 0 <= place < len(shares) - 1:
        raise SheetError("border", found=place + 1, expected=f"1 to {len(shares) - 1}")
    start = sum(shares[:place])
    both = shares[place] + shares[place + 1]
    left = min(max(round(percent) - start, LEAST_PERCENT), both - LEAST_PERCENT)
    shares[place : place + 2] = [left, both - left]
    return _with_shares(job, shares)


def whole_percents(shares: Sequence[float], *, total: int = 100) -> list[int]:
    """Round shares to whole percents that sum to `total`, largest remainders first.

    >>> whole_percents([1 / 3, 1 / 3, 1 / 3])
    [34, 33, 33]
    """
    scale = (total - LEAST_PERCENT * len(shares)) / sum(shares)
    exact = [LEAST_PERCENT + share * scale for share in shares]
    if min(s * total / sum(shares) for s in shares) >= LEAST_PERCENT:
        exact = [share * total / sum(shares) for share in shares]
    whole = [math.floor(e + 1e-9) for e in exact]
    by_remainder = sorted(range(len(exact)), key=lambda i: whole[i] - exact[i])
    for i in by_remainder[: total - sum(whole)]:
        whole[i] += 1
    return whole


def as_copy(job: Job) -> Job:
    """Make a job beside this one: by its own name, with its designs, not yet signed."""
    title = job.title.removeprefix(_COPY)[: _LONGEST_TITLE - len(_COPY)]
    return job.changed(title=f"{_COPY}{title}", signed=None)


def _colour(pigment: str, share: float) -> Colour:
    return filled(Colour, {"pigment": pigment, "share": share}, where="colors")


def _place(job: Job, place: int) -> int:
    count = len(job.recipe.palette.colours)
    if not 0 <= place < count:
        raise SheetError("color", found=place + 1, expected=f"1 to {count}")
    return place


def _with_shares(
    job: Job, percents: Sequence[int], pigments: Sequence[str] | None = None
) -> Job:
    keys = pigments or [c.pigment for c in job.recipe.palette.colours]
    return _with_colours(
        job,
        [_colour(k, p / 100) for k, p in zip(keys, percents, strict=True)],
    )


def _with_colours(job: Job, colours: Sequence[Colour]) -> Job:
    palette = job.recipe.palette.changed(colours=tuple(colours))
    return job.changed(recipe=job.recipe.changed(palette=palette))
