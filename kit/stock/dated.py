"""Which prices are the owner's own, of what day, and which are too old to bid with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from kit.errors import Concern


@dataclass(frozen=True)
class Dated:
    """A figure of the owner's and the day on which he had it.

    Parameters
    ----------
    what : str
        ``Self-leveling clear epoxy, kit of 3 gal``.
    day : date
    at : tuple of str
        Sheet, thing and figure, as a book names its row.
    is_price : bool
        Whether it is money, which goes stale.
    """

    what: str
    day: date
    at: tuple[str, str, str]
    is_price: bool = True


@dataclass(frozen=True)
class PriceBook:
    """What a price book gave to the shelf.

    Parameters
    ----------
    file : str
        Its name, as complaints and concerns give it.
    dated : tuple of Dated
        Every figure that bears its day.
    foreign : tuple of str
        Prices that the shelf gives because the book does not, or gives undated.
    """

    file: str
    dated: tuple[Dated, ...]
    foreign: tuple[str, ...]

    def concerns(self, day: date, *, lasts_days: int) -> tuple[Concern, ...]:
        """What is wrong with bidding by these prices on a day.

        Parameters
        ----------
        day : date
            Of the bid.
        lasts_days : int
            Age up to which a price is trusted, >= 1. [d]
        """
        prices = [figure for figure in self.dated if figure.is_price]
        old = [price for price in prices if (day - price.day).days > lasts_days]
        concerns = []
        if old:
            oldest = min(old, key=lambda price: price.day)
            concerns.append(
                Concern(
                    "stale prices",
                    f"{len(old)} of the {len(prices)} prices in {self.file} are more "
                    f"than {lasts_days} days old; the oldest, {oldest.what}, is of "
                    f"{oldest.day.isoformat()}.",
                    "Ask again, and write the price and its day into the book.",
                )
            )
        if self.foreign:
            others = len(self.foreign) - 1
            more = f" and {others} more" if others else ""
            concerns.append(
                Concern(
                    "prices that are not yours",
                    f"{self.foreign[0]}{more}: {self.file} gives no price of a day for "
                    "it, so the made-up one of the shelf is used.",
                    "Write your price and its day into the book.",
                )
            )
        return tuple(concerns)
