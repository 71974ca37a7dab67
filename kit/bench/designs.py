"""Kept designs: up to four floors of one job to come back to, rename, lay side by side."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from kit.bench.differences import difference_words
from kit.bench.figures import per_area
from kit.bench.scenes import Side
from kit.bench.sizes import Sizes
from kit.bid.records import Offer
from kit.errors import SheetError
from kit.job import (
    MOST_DESIGNS,
    Design,
    Job,
    PaperChoices,
    design_of,
    finish_beside,
    workup,
)
from kit.money import shown
from kit.plan import UnfinishedError
from kit.record import filled
from kit.stock import Shelf

LAID = "design "
"""Begins the key of a design that lies on a side of the edge; its name follows."""


def with_kept(job: Job, name: str = "") -> Job:
    """Keep the floor as it now is, under a name or the next free one."""
    if len(job.designs) >= MOST_DESIGNS:
        raise SheetError(
            "kept designs",
            found=f"{len(job.designs)} of them",
            expected=f"{MOST_DESIGNS} at most; let one go first",
        )
    for design in job.designs:
        if is_as_kept(job, design):
            raise SheetError(
                "kept designs", found=f"this floor as {design.name}", expected="another one"
            )
    kept = {"name": name or _free_name(job), "recipe": job.recipe, "finish": job.finish}
    design = filled(Design, kept, where="kept design")
    return job.changed(designs=(*job.designs, design))


def with_name(job: Job, place: int, name: str) -> Job:
    """Call a kept design something else."""
    design = kept_at(job, place)
    given = {**dict(design), "name": name.strip()}
    renamed = filled(Design, given, where="kept design")
    return _with(job, place, (renamed,))


def dropped(job: Job, place: int) -> Job:
    """Let a kept design go."""
    kept_at(job, place)
    return _with(job, place, ())


def taken_up(job: Job, place: int) -> Job:
    """Make a kept design the floor in hand, in the finish it is shown in."""
    side = shown_beside(job, kept_at(job, place))
    return job.changed(recipe=side.recipe, finish=side.finish)


def kept_at(job: Job, place: int) -> Design:
    """The kept design at a place, counted from 0."""
    if not 0 <= place < len(job.designs):
        raise SheetError(
            "kept design", found=place + 1, expected=f"1 to {len(job.designs)}"
        )
    return job.designs[place]


def is_as_kept(job: Job, design: Design) -> bool:
    """Whether the floor in hand is this design, in the very finish it was kept in."""
    return (job.recipe, job.finish) == (design.recipe, design.finish)


def shown_beside(job: Job, design: Design) -> Side:
    """The floor of a kept design as it is shown and priced beside the one in hand."""
    finish = finish_beside(job.designs, design, job.finish)
    return Side(design.recipe, finish, design.name)


def side_of(job: Job, key: str) -> Side:
    """The floor that a side of the edge shows: this pour in a finish, or a kept design."""
    for design in job.designs:
        if key == LAID + design.name:
            return shown_beside(job, design)
    finish = job.finish if key.startswith(LAID) else key
    kept = design_of(job.designs, job.recipe, finish)
    return Side(job.recipe, finish, kept.name if kept else "")


def offer_for(job: Job, side: Side, shelf: Shelf) -> Offer | None:
    """What would be asked for the floor of a side, once there is a price at all."""
    return _offer(job.changed(recipe=side.recipe, finish=side.finish), shelf)


def figures_of_designs(job: Job, shelf: Shelf) -> list[dict[str, object]]:
    """Every kept design for the page: name, finish in words, and what it would cost."""
    now = _offer(job, shelf) if job.designs else None
    told = []
    for design in job.designs:
        side = shown_beside(job, design)
        finish = shelf.finish(side.finish)
        told.append(
            {
                "key": LAID + design.name,
                "name": design.name,
                "finish": finish.name,
                "slip": finish.slip,
                **_against(offer_for(job, side, shelf), now, Sizes.of(job)),
                "is_shown": (side.recipe, side.finish) == (job.recipe, job.finish),
                "is_as_kept": is_as_kept(job, design),
            }
        )
    return told


def _against(offer: Offer | None, now: Offer | None, sizes: Sizes) -> dict[str, object]:
    """What a design costs beside the floor in hand; no words where there is no price."""
    if offer is None or now is None:
        return dict.fromkeys(("per_sqft", "difference", "amount"), "") | {"is_more": False}
    apart = offer.total - now.total
    return {
        "per_sqft": per_area(offer.total, offer, sizes),
        "difference": difference_words(apart, offer.currency),
        "amount": shown(abs(apart), offer.currency) if apart else "",
        "is_more": apart > 0,
    }


@lru_cache(maxsize=64)
def _offer(job: Job, shelf: Shelf) -> Offer | None:
    try:
        return workup(job, shelf).offer
    except UnfinishedError:
        return None


def _with(job: Job, place: int, instead: tuple[Design, ...]) -> Job:
    designs = (*job.designs[:place], *instead, *job.designs[place + 1 :])
    return job.changed(designs=designs, paper=_paper_with(job, place, instead))


def _paper_with(job: Job, place: int, instead: tuple[Design, ...]) -> PaperChoices:
    """What the paper shows, where it names designs: the new name for the old, or none."""
    if job.paper.designs is None:
        return job.paper
    old, new = job.designs[place].name, [design.name for design in instead]
    named = (n for name in job.paper.designs for n in (new if name == old else [name]))
    return job.paper.changed(designs=tuple(named))


def _free_name(job: Job) -> str:
    names = {design.name for design in job.designs}
    usual = (f"Design {number}" for number in range(1, MOST_DESIGNS + 2))
    return next(name for name in usual if name not in names)


WISHES: dict[str, tuple[Callable[..., Job], dict[str, type]]] = {
    "keep": (with_kept, {}),
    "rename": (with_name, {"place": int, "name": str}),
    "drop": (dropped, {"place": int}),
    "take_up": (taken_up, {"place": int}),
}
"""What the page may ask for, as `wishes` ties it."""
