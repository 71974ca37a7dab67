"""Every choice a person makes at the table, as a pure step from one Job to the next."""

from __future__ import annotations

import math
import re
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
_LEAST_TENTHS = 10 * LEAST_PERCENT
_PERCENT = re.compile(r"\d{1,3}([.,]\d*)?", re.ASCII)


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
    tenths = _tenths(job)
    if not 0 <= place < len(tenths) - 1:
        raise SheetError("border", found=place + 1, expected=f"1 to {len(tenths) - 1}")
    asked = 10 * round(percent - sum(tenths[:place]) / 10)
    most = tenths[place] + tenths[place + 1] - _LEAST_TENTHS
    return _with_left(job, place, min(max(asked, _LEAST_TENTHS), most))


def with_share(job: Job, place: int, text: str) -> Job:
    """Set the share of one pigment as typed, in percent; a neighbor gives or takes.

    That is the next one, of the last one the one before, as when a border is moved.

    Raises
    ------
    SheetError
        If it is not a number, or more than the neighbor can give.
    """
    tenths, place = _tenths(job), _place(job, place)
    typed = text.strip().removesuffix("%").strip()
    if not _PERCENT.fullmatch(typed):
        raise SheetError("share", found=typed or "nothing", expected="a number of percent")
    asked = round(10 * float(typed.replace(",", ".")))
    border = min(place, len(tenths) - 2)
    both = tenths[border] + tenths[border + 1]
    if not _LEAST_TENTHS <= asked <= both - _LEAST_TENTHS:
        most = (both - _LEAST_TENTHS) / 10
        beside = "next color" if border == place else "color before"
        raise SheetError(
            "share",
            found=text,
            expected=f"{LEAST_PERCENT} to {most:g} percent; the {beside} gives or takes",
        )
    return _with_left(job, border, asked if border == place else both - asked)


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


def _tenths(job: Job) -> list[int]:
    """Shares in tenths of a percent, which sum to 1000."""
    return whole_percents([c.share for c in job.recipe.palette.colours], total=1000)


def _with_left(job: Job, place: int, left: int) -> Job:
    """Give the left of two neighbors so many tenths of a percent, the right the rest."""
    tenths = _tenths(job)
    tenths[place : place + 2] = [left, tenths[place] + tenths[place + 1] - left]
    return _with_shares(job, [one / 10 for one in tenths])


def _with_shares(
    job: Job, percents: Sequence[float], pigments: Sequence[str] | None = None
) -> Job:
    keys = pigments or [c.pigment for c in job.recipe.palette.colours]
    return _with_colours(
        job,
        [_colour(k, p / 100) for k, p in zip(keys, percents, strict=True)],
    )


def _with_colours(job: Job, colours: Sequence[Colour]) -> Job:
    palette = job.recipe.palette.changed(colours=tuple(colours))
    return job.changed(recipe=job.recipe.changed(palette=palette))
