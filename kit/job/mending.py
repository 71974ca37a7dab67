"""What is done where a room cannot be left dry: each fix tried, and told with its order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from kit.errors import PlanError
from kit.plan.lanes import PourOrder
from kit.plan.mending import Fix, in_parts, with_an_exit
from kit.plan.refusing import NoOrderError

if TYPE_CHECKING:
    from kit.job.working import Workup

Way = TypeVar("Way")
MOST_ROOMS = 4
"""Rooms of one floor that are mended at most."""
IN_SHOES = (
    "spiked shoes in the flood coat, where a lane is left over film that still closes "
    "over their marks"
)


@dataclass(frozen=True)
class Mendable:
    """A floor as it is poured, with what is done for it.

    Parameters
    ----------
    answers : Workup
        Its plan may have a second exit, or a room in parts.
    shoes : bool
        Spiked shoes are worn in flood coats where a room is not left dry.
    says : tuple of str
        What is done, in words; nothing where nothing must be.
    """

    answers: Workup
    shoes: bool = False
    says: tuple[str, ...] = ()


def mended(
    fix: Fix,
    refusal: NoOrderError,
    floor: Mendable,
    planned: Callable[[Mendable], Way],
    *,
    deep: int = MOST_ROOMS,
) -> Way | None:
    """Plan a floor with a fix, in every room that asks for it; None where it does not do.

    Parameters
    ----------
    fix : {"exit", "shoes", "days"}
    refusal : NoOrderError
        Of that floor.
    floor : Mendable
    planned : callable
        Plans a floor; raises a `PlanError` where that cannot be done.
    deep : int
        Rooms that may still be mended.
    """
    for other in _otherwise(fix, refusal, floor):
        try:
            return planned(other)
        except NoOrderError as again:
            if deep > 1 and not again.room.startswith(refusal.room):
                found = mended(fix, again, other, planned, deep=deep - 1)
                if found is not None:
                    return found
        except PlanError:
            continue
    return None


def _otherwise(fix: Fix, refusal: NoOrderError, floor: Mendable) -> Iterator[Mendable]:
    """The floor with the fix in the room that was refused, one try after the other."""
    plan = floor.answers.plan
    if fix == "shoes":
        if refusal.is_slow and not floor.shoes:
            yield replace(floor, shoes=True, says=(*floor.says, IN_SHOES))
        return
    if fix == "days" and not refusal.is_slow:
        return
    tries = (
        in_parts(plan, refusal.room)
        if fix == "days"
        else with_an_exit(plan, refusal.room, refusal.behind)
    )
    for one in tries:
        answers = replace(floor.answers, plan=one.plan)
        yield replace(floor, answers=answers, says=(*floor.says, one.says))


def fix_in_words(fix: Fix, floor: Mendable, order: PourOrder) -> str:
    """A fix, how it is chosen, and the order that it gives."""
    days = []
    for day in range(1, order.days + 1):
        rooms = dict.fromkeys(lane.room for lane in order.of_day(day))
        days.append(" → ".join(rooms))
    turns = days[0] if len(days) == 1 else "; ".join(
        f"day {number}: {rooms}" for number, rooms in enumerate(days, start=1)
    )  # fmt: skip
    in_shoes = sum(lane.in_shoes for lane in order.lanes)
    worn = f", shoes in {in_shoes} of them" if in_shoes else ""
    words = f"{'; '.join(floor.says)} ({len(order.lanes)} lanes{worn}, {turns} → out)"
    return f"--fix {fix}: {words}"


def refused(
    refusal: NoOrderError,
    tried: Sequence[Fix],
    ways: Mapping[Fix, str],
    idle: Mapping[Fix, str],
) -> PlanError:
    """The refusal of a floor, with the order that each fix gives.

    Parameters
    ----------
    refusal : NoOrderError
    tried : sequence of Fix
    ways, idle : mapping of Fix to str
        Orders whose days can be planned, and those whose days cannot.
    """
    found = str(refusal.found)
    if ways:
        return PlanError(refusal.about, found=found, expected=" — or ".join(ways.values()))
    none = f"--fix {tried[0]} gives no" if len(tried) == 1 else "no --fix gives an"
    words = f"{refusal.expected}; {none} order whose days can be planned"
    if idle:
        words += f"; without days there is {' — or '.join(idle.values())}"
    return PlanError(refusal.about, found=found, expected=words)
