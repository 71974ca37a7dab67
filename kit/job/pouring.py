"""How the floor that was shown is poured: lanes, ribbons, buckets."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from kit.coats.system import Coat
from kit.errors import PlanError
from kit.plan.lanes import PourOrder, Zone
from kit.stock.cures import RECOAT_AT_C
from kit.stock.shelf import Shelf
from kit.units import square_feet
from kit.work.batches import mixing_plan
from kit.work.mixers import Mixers
from kit.work.mixing import MixingPlan

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from kit.job.pictures import Pictures
    from kit.job.records import Job
    from kit.job.working import Workup
    from kit.pour.ribbons import Ribbon

SET_UP_H = 2.0
"""Of a day that is not for pouring: setting up, knocking down bubbles, cleaning. [h]"""
SAME_M2 = 0.05
"""Floors that differ by less are the same to whoever lays them. [m²]"""


@dataclass(frozen=True)
class Pouring:
    """How a floor is poured.

    Parameters
    ----------
    ribbons : tuple of Ribbon
        Which color is poured where, of the design that was shown.
    mixings : tuple of MixingPlan
        Every pass of every coat, from the slab up.
    people : int
    """

    ribbons: tuple[Ribbon, ...]
    mixings: tuple[MixingPlan, ...]
    people: int

    @property
    def flood(self) -> MixingPlan:
        """The first coat that has the colors."""
        return next(one for one in self.mixings if one.kind == "flood")

    @property
    def order(self) -> PourOrder:
        """Lanes of the flood coat."""
        return self.flood.order


def pouring_of(
    job: Job,
    answers: Workup,
    pictures: Pictures,
    *,
    people: int | None = None,
    slab_c: float = RECOAT_AT_C,
    zones: Sequence[Zone] = (),
    shoes: bool = False,
) -> Pouring:
    """Plan how the floor that was shown is poured.

    Parameters
    ----------
    job : Job
    answers : Workup
        Of that job.
    pictures : Pictures
        Of that job: the ribbons are those of its pictures.
    people : int, optional
        On site; the firm's usual crew.
    slab_c : float
        Temperature of the slab, from which all times follow. [°C]
    zones : sequence of Zone
        What is poured in one go, in turn; what a day has the hours for where left out.
    shoes : bool
        Spiked shoes may be worn in flood coats, where a room is not left dry.

    Raises
    ------
    PlanError
        If there is no safe order, a bucket or an edge would be too old, or nobody said
        by which door the crew leaves.
    MeasureError
        If the slab is too cold or too warm for a product.
    """
    from kit.pour.ribbons import ribbons_of, shares_within

    if not answers.plan.way_out.is_marked:
        raise PlanError(
            "way out", found="none marked", expected="the door by which the crew leaves"
        )
    shelf = pictures.shelf
    crew = shelf.house.crew if people is None else people
    ribbons = ribbons_of(pictures.poured)
    colours = len(job.recipe.palette.colours)
    day_min = max(shelf.house.hours_per_day - SET_UP_H, 1.0) * 60.0 if not zones else inf

    def as_shown(order: PourOrder) -> Sequence[Sequence[float]]:
        shares = shares_within(ribbons, [lane.shape for lane in order.lanes], colours)
        rows: Sequence[Sequence[float]] = (shares / shares.sum()).tolist()
        return rows

    wanted: list[tuple[Coat, str, Mixers]] = []
    for coat in answers.system.coats:
        mixers = Mixers(
            product=coat.product,
            cure=shelf.cure(coat.product),
            slab_c=slab_c,
            people=crew,
            rate_m2_h=_rate(coat, answers, shelf),
            batch_l=shelf.house.batch_l,
            colours=max(len(coat.pigments), 1),
            shoes=shoes and coat.kind == "flood",
        )
        for again in range(coat.passes):
            name = f"{coat.name}, pass {again + 1}" if coat.passes > 1 else coat.name
            wanted.append((coat, name, mixers))

    def in_lanes(lane_m2: dict[str, float]) -> tuple[MixingPlan, ...]:
        return tuple(
            mixing_plan(
                coat, answers.plan, mixers, as_shown if len(coat.pigments) > 1 else None,
                name=name, day_min=day_min, zones=zones,
                lane_m2=None if mixers.shoes else lane_m2,
            )
            for coat, name, mixers in wanted
        )  # fmt: skip

    # one set of lanes for all coats: a zone ends at the same line in each of them
    most_m2 = min(mixers.pace.most_m2 for _, _, mixers in wanted if not mixers.shoes)
    lane_m2 = {room.name: most_m2 for room in answers.plan.rooms}
    mixings = in_lanes(lane_m2)
    while finer := _finer([m for m in mixings if not m.order.pace.shoes_min], lane_m2):
        lane_m2 |= finer
        mixings = in_lanes(lane_m2)
    _check_ends(mixings)
    return Pouring(ribbons, mixings, crew)


def _finer(mixings: Sequence[MixingPlan], lane_m2: Mapping[str, float]) -> dict[str, float]:
    """Rooms in which a coat needed smaller lanes than were asked for. [m²]"""
    return {
        room: least_m2
        for room, asked_m2 in lane_m2.items()
        if (least_m2 := min(plan.order.lane_m2[room] for plan in mixings))
        < asked_m2 * (1.0 - 1e-9)
    }


def _check_ends(mixings: Sequence[MixingPlan]) -> None:
    """See that a zone ends where it does in every coat, and no coat laps onto bare slab."""
    first = mixings[0].order
    for plan in mixings[1:]:
        if plan.order.days != first.days:
            raise PlanError(
                plan.name,
                found=f"{plan.order.days} zones, and {first.days} of {mixings[0].name}",
                expected="the same zones in every coat: other lanes or a floor in fewer",
            )
        for day in range(1, first.days):
            own_m2, other_m2 = (
                sum(lane.area_m2 for lane in order.of_day(day))
                for order in (plan.order, first)
            )
            if abs(own_m2 - other_m2) > SAME_M2:
                raise PlanError(
                    f"{plan.name}, zone {day}",
                    found=f"{square_feet(own_m2):.0f} sq ft over "
                    f"{square_feet(other_m2):.0f} of {mixings[0].name}",
                    expected="zones that end at the same line: a floor in other zones",
                )


def _rate(coat: Coat, answers: Workup, shelf: Shelf) -> float:
    """Floor that one person lays in an hour, of the work that the bid counts. [m²/h]"""
    if coat.kind == "wear":
        return answers.system.finish.rate_m2_h / shelf.house.crew
    every = [*shelf.tasks, *(t for extra in answers.system.extras for t in extra.tasks)]
    rates = {task.key: task.per_person_h for task in every}
    found = rates.get(f"lay_{coat.kind}") or rates.get("lay_seal")
    if found is None:
        raise PlanError(f"[task.lay_{coat.kind}]", expected="a rate at which it is laid")
    return found
