"""One floor priced in any finish with any extras, each combination only once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kit.bid.build_up import bid_for
from kit.bid.records import BuildUp, ExtraCost, ExtraOption, FinishOption
from kit.coats.stack import system_for
from kit.coats.system import System
from kit.pour.palette import Palette
from kit.stock.extras import Extra, why_not
from kit.stock.house import House
from kit.stock.records import Finish
from kit.stock.shelf import Shelf
from kit.stock.terms import NO_DISCOUNT, Discount
from kit.takeoff.figures import Takeoff
from kit.takeoff.trail import spoken
from kit.work.doing import work_for
from kit.work.records import Work


@dataclass(frozen=True)
class Floor:
    """A floor as it was priced: what goes down, who does it, what is asked."""

    system: System
    work: Work
    built: BuildUp


class Pricing:
    """Price one floor over and over.

    Parameters
    ----------
    takeoff : Takeoff
    palette : Palette
    shelf : Shelf
    discount : Discount
        Taken off in every finish and with every extra.
    """

    def __init__(
        self,
        takeoff: Takeoff,
        palette: Palette,
        shelf: Shelf,
        discount: Discount = NO_DISCOUNT,
    ) -> None:
        self.takeoff = takeoff
        self.palette = palette
        self.shelf = shelf
        self.discount = discount
        self._floors: dict[tuple[str, ...], Floor] = {}

    def floor(self, finish: Finish, extras: Sequence[Extra] = ()) -> Floor:
        """The whole floor in a finish with the extras taken.

        Raises
        ------
        ShelfError
            If a colour, the tint or a product is not on the shelf.
        SheetError
            If the discount is more than the price.
        """
        key = (finish.key, *(extra.key for extra in extras))
        if key not in self._floors:
            system = system_for(self.takeoff, self.palette, finish, self.shelf, extras)
            work = work_for(self.takeoff, system, self.shelf)
            built = bid_for(self.takeoff, system, work, self.shelf, self.discount)
            self._floors[key] = Floor(system, work, built)
        return self._floors[key]

    def finishes(self, chosen: Finish, extras: Sequence[Extra]) -> tuple[FinishOption, ...]:
        """Every finish on the shelf, with the same extras."""
        asked = self.floor(chosen, extras).built
        options = []
        for finish in self.shelf.finishes:
            built = self.floor(finish, extras).built
            option = FinishOption(
                finish=finish.key,
                name=finish.name,
                says=finish.says,
                total=built.total,
                price_per_sqft=built.price_per_sqft,
                difference=built.total - asked.total,
                chosen=finish.key == chosen.key,
            )
            options.append(option)
        return tuple(options)

    def extras(self, finish: Finish, taken: Sequence[Extra]) -> tuple[ExtraCost, ...]:
        """Every extra on the shelf, switched by itself while all else stays."""
        return tuple(self._switched(extra, finish, taken) for extra in self.shelf.extras)

    def _switched(self, extra: Extra, finish: Finish, taken: Sequence[Extra]) -> ExtraCost:
        is_taken = extra in taken
        blocked = why_not(extra, taken, self.shelf.extras, finish)
        now, then = self.floor(finish, taken), None
        if not blocked:
            then = self.floor(finish, self._turned(extra, taken))
        allowance, house = extra.allowance, self.shelf.house
        option = ExtraOption(
            extra=extra.key,
            name=extra.name,
            says=extra.says,
            amount=self._amount(extra),
            unit_price=allowance.price if allowance else None,
            unit=allowance.unit if allowance else "",
            before_tax=_is_taxed(house),
            difference=then.built.total - now.built.total if then else None,
            taken=is_taken,
            counts=is_taken and finish.key not in extra.given_by,
            blocked=blocked,
            scope=extra.scope,
            left_out=extra.left_out,
        )
        if then is None:
            return ExtraCost(option, None, None, None, None)
        without, with_it = (then, now) if is_taken else (now, then)
        return ExtraCost(
            option,
            with_it.built.cost - without.built.cost,
            with_it.built.margin - without.built.margin,
            with_it.work.crew_hours - without.work.crew_hours,
            with_it.work.days - without.work.days,
        )

    def _turned(self, extra: Extra, taken: Sequence[Extra]) -> tuple[Extra, ...]:
        """The extras with one of them switched, in the order of the shelf."""
        return tuple(e for e in self.shelf.extras if (e in taken) != (e is extra))

    def _amount(self, extra: Extra) -> str:
        if extra.allowance:
            return f"{extra.allowance.quantity:f} {extra.allowance.unit}"
        return spoken(self.takeoff.base_m, "m") if extra.base else ""


def _is_taxed(house: House) -> bool:
    """Whether tax comes on top of the price of an allowance, which counts as service."""
    shares = {"price": house.tax_share, "classes": house.service_tax_share}
    return shares.get(house.tax_on, 0) > 0
