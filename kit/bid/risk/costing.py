"""What a floor costs when it comes out otherwise, for many such floors at once.

It follows the bid's own rules: whole kits at the cheapest, whole days, set-up and trips
by the day, buckets by the batch, overtime beyond the plain day. With every factor at
one it is the bid, to the cent. Overhead stays as bid, for it is the firm's and not this
floor's; contingency is what the surprises are measured against; allowances are settled
as they are found. All three do not vary.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from kit.bid.direct import paid_per_h
from kit.bid.records import BuildUp
from kit.bid.risk.kits import kit_costs
from kit.coats.system import Coat, Fill, Purchase, System
from kit.stock.house import CoatKind, Driver, Stage
from kit.stock.risks import Spread
from kit.stock.shelf import Shelf
from kit.work.counting import BY_DAY
from kit.work.records import TaskHours, Work

Values = NDArray[np.float64]
Factors = Mapping[str, Values]
"""For the key of each spread the factors, one a floor, (N,)."""
_HAIR = 1e-9


class Costing:
    """The cost of one floor as a function of what may come out otherwise.

    Parameters
    ----------
    system, work, built
        The floor as it is bid.
    shelf : Shelf
    """

    def __init__(self, system: System, work: Work, built: BuildUp, shelf: Shelf) -> None:
        self.system = system
        self.work = work
        self.shelf = shelf
        self.planned = float(built.cost - built.sum_of("contingency"))
        one = {spread.key: np.ones(1) for spread in shelf.spreads}
        # what the model leaves out does not vary: overhead, allowances, cents of rounding
        self._rest = self.planned - float(self._varying(self._floors(one))[0])

    def outcomes(self, factors: Factors) -> tuple[Values, Values]:
        """Cost of each floor without contingency, and its days on site, both (N,).

        Parameters
        ----------
        factors : mapping
            A row of N factors for every spread of the shelf.
        """
        floors = self._floors(factors)
        return self._varying(floors) + self._rest, floors.all_days

    def _floors(self, factors: Factors) -> _Floors:
        return _Floors(self.system, self.work, self.shelf, factors)

    def _varying(self, floors: _Floors) -> Values:
        house = self.shelf.house
        bought = floors.kits() + floors.pigments() + floors.sundries("materials")
        tax = float(house.tax_share) if house.tax_on == "materials" else 0.0
        return (
            bought * (1.0 + tax)
            + floors.sundries("disposal")
            + floors.labor()
            + floors.equipment()
            + floors.charges()
            + floors.trips()
        )


class _Floors:
    """Many floors of one plan: their volumes, hours and days, and what these cost."""

    def __init__(self, system: System, work: Work, shelf: Shelf, factors: Factors) -> None:
        self.system, self.work, self.shelf = system, work, shelf
        self.house = shelf.house
        self._factors = factors
        self._products: dict[tuple[str, CoatKind | None, Stage | None], Values] = {}
        self._one = np.ones_like(next(iter(factors.values()), np.ones(1)))
        self.resin_price = self._by("resin_price")
        self.other_price = self._by("other_price")
        self.wage = float(paid_per_h(self.house)) * self._by("wage")
        waste = self.house.waste_share
        self._waste = (1.0 + waste * self._by("waste")) / (1.0 + waste)
        self._volumes = {id(coat): self._coat_l(coat) for coat in system.coats}
        self._elapsed = {stage.stage: self._elapsed_h(stage.stage) for stage in work.stages}
        self.days = {stage: self._stage_days(stage) for stage in self._elapsed}
        self.all_days: Values = sum(self.days.values(), 0.0 * self._one)

    def kits(self) -> Values:
        """Whole kits and grain."""
        return self.resin_price * _sum(self._kits(one) for one in self.system.purchases)

    def pigments(self) -> Values:
        """Pigment goes with the volume that carries it."""
        return self.resin_price * _sum(
            self._volumes[id(coat)] * (float(need.cost) / coat.volume_l)
            for coat in self.system.coats
            for need in coat.pigments
        )

    def sundries(self, line: str) -> Values:
        """What is used up, in whole pieces, of one line of the bid."""
        return self.other_price * _sum(
            self._pieces(need.sundry.driver, need.sundry.lasts, need.count)
            * float(need.sundry.price)
            for need in self.work.sundries
            if need.sundry.line == line
        )

    def labor(self) -> Values:
        """Hours of all tasks, and what overtime adds."""
        hours = self.house.crew * _sum(self._elapsed.values())
        hours = hours + _sum(
            self._task_h(task) for task in self.work.tasks if task.driver in BY_DAY
        )
        over_h = _sum(
            days * np.maximum(0.0, self._day_h(stage) - self.house.overtime_after_h)
            for stage, days in self.days.items()
        )
        more = float(self.house.overtime_factor - 1)
        return self.wage * (hours + more * self.house.crew * over_h)

    def equipment(self) -> Values:
        """Machines, on the days of their stages."""
        return self.other_price * _sum(
            self.days[stage] * float(need.equipment.price_per_day)
            for need in self.work.equipment
            for stage in need.equipment.stages
            if stage in self.days
        )

    def charges(self) -> Values:
        """What others charge for their part."""
        return self.other_price * _sum(
            np.maximum(
                float(need.charge.least),
                float(need.charge.price) * self._count(need.charge.driver, need.quantity),
            )
            for need in self.work.charges
        )

    def trips(self) -> Values:
        """A trip a day: the vehicle, and the crew on the road."""
        road = self.house.crew * self.house.trip_h * self.wage
        return self.all_days * (float(self.house.trip_price) * self.other_price + road)

    def _by(
        self, acts_on: str, *, coat: CoatKind | None = None, stage: Stage | None = None
    ) -> Values:
        """Product of all spreads that act on something."""
        meant = (acts_on, coat, stage)
        if meant not in self._products:
            factor = self._one
            for spread in self.shelf.spreads:
                if spread.acts_on == acts_on and _is_meant(spread, coat, stage):
                    factor = factor * self._factors[spread.key]
            self._products[meant] = factor
        return self._products[meant]

    def _coat_l(self, coat: Coat) -> Values:
        """Volume of a coat; what the hollows of the slab take up is no matter of film."""
        hollows_l = coat.takeup_l * (1.0 + coat.waste)
        film = self._by("film", coat=coat.kind)
        return (film * (coat.volume_l - hollows_l) + hollows_l) * self._waste

    def _kits(self, purchase: Purchase) -> Values:
        need_l = _sum(self._made_l(one) for one in purchase.made)
        grain = float(purchase.cost - purchase.order.cost)
        return kit_costs(purchase.product.packs, need_l) + grain

    def _made_l(self, made: Coat | Fill) -> Values:
        if isinstance(made, Coat):
            return self._volumes[id(made)]
        return made.volume_l * self._waste

    def _elapsed_h(self, stage: Stage) -> Values:
        """Hours by the clock of a stage, set-up left out."""
        return self._one * self._stage_h(stage) / self.house.crew

    def _stage_days(self, stage: Stage) -> Values:
        usable_h = self.house.hours_per_day - self.work.set_up_h
        whole = np.ceil(self._elapsed[stage] / usable_h - _HAIR)
        return np.maximum(float(self.system.passes(stage)), whole)

    def _day_h(self, stage: Stage) -> Values:
        days = np.maximum(self.days[stage], 1.0)
        return self.work.set_up_h + self._elapsed[stage] / days

    def _task_h(self, task: TaskHours) -> Values:
        """Person-hours of a task at the planned pace; setting up never waits for it."""
        return self._count(task.driver, task.labor_h, task.coats)

    def _stage_h(self, stage: Stage) -> Values:
        """Person-hours of a stage, set-up left out, at the pace that was drawn."""
        tasks = [t for t in self.work.tasks if t.stage == stage and t.driver not in BY_DAY]
        slower = self._by("hours", stage=stage) / self._by("pace", stage=stage)
        return slower * _sum(map(self._task_h, tasks))

    def _count(
        self, driver: Driver, planned: float, coats: Sequence[CoatKind] = ()
    ) -> Values:
        """A planned quantity, moved as its driver is: by buckets, by days, or not."""
        if driver in BY_DAY:
            return self.all_days * (planned / self.work.days)
        if driver == "batch":
            now = self._batches(coats)
            was = sum(coat.batches(self.house.batch_l) for coat in self._counted(coats))
            return planned * now / was if was else 0.0 * now
        return np.full(1, planned)

    def _pieces(self, driver: Driver, lasts: float, planned: int) -> Values:
        if driver == "batch":
            quantity = self._batches(())
        elif driver == "day":
            quantity = self.all_days
        elif driver == "person_day":
            quantity = self.all_days * self.house.crew
        else:
            return np.full(1, float(planned))
        return np.ceil(quantity / lasts - _HAIR)

    def _counted(self, coats: Sequence[CoatKind]) -> list[Coat]:
        return [coat for coat in self.system.coats if not coats or coat.kind in coats]

    def _batches(self, coats: Sequence[CoatKind]) -> Values:
        """Buckets of some coats: each pass, and each color of it, apart."""
        buckets = 0.0 * self._one
        for coat in self._counted(coats):
            shares = [need.share for need in coat.pigments] or [1.0]
            a_pass = self._volumes[id(coat)] / (coat.passes * self.house.batch_l)
            for share in shares:
                buckets = buckets + coat.passes * np.ceil(a_pass * share - _HAIR)
        return buckets


def _is_meant(spread: Spread, coat: CoatKind | None, stage: Stage | None) -> bool:
    if coat is not None and spread.coats:
        return coat in spread.coats
    if stage is not None and spread.stages:
        return stage in spread.stages
    return True


def _sum(values: Iterable[Values]) -> Values:
    return sum(values, np.zeros(1))
