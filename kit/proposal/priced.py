"""The price as the client reads it, from the offer and nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.proposal import figures, wording
from kit.proposal.measures import Measures
from kit.proposal.shown import AllowanceRow, ExtraRow, OptionRow, PaymentRow, Price

if TYPE_CHECKING:
    import datetime
    from decimal import Decimal

    from kit.bid import ExtraOption, FinishOption, Offer, Payment


def price_of(offer: Offer, until: datetime.date, measures: Measures) -> Price:
    """Write an offer and the last day it stands."""
    say, locale = measures.words, measures.words.locale
    priced = _Priced(offer, measures)
    return Price(
        total=figures.asked(offer.total, offer.currency, locale),
        total_bare=figures.bare(offer.total, locale, offer.currency),
        per_area=figures.asked(priced.per_area(offer.total), offer.currency, locale),
        symbol=figures.symbol(offer.currency, locale),
        area=figures.tenths(measures.of_area(_m2(offer)), locale),
        unit=measures.area_unit,
        per=measures.per_area,
        basis=say.told(offer.area_basis),
        tax_note=say.told(offer.tax_note),
        discount_note=say.told(offer.discount_note) if offer.discount_note else "",
        open_until=figures.long_date(until, locale),
        open_until_short=figures.short_date(until, locale),
        options=tuple(map(priced.option, offer.options)),
        extras=tuple(priced.extra(e) for e in offer.extras if e.unit_price is None),
        allowances=tuple(
            priced.allowance(e) for e in offer.extras if e.unit_price is not None
        ),
    )


def payment_rows(
    payments: tuple[Payment, ...], measures: Measures, currency: str
) -> tuple[PaymentRow, ...]:
    """Write the parts of the price, each with the day it is due."""
    say = measures.words
    return tuple(
        PaymentRow(
            say.told(part.due),
            f"{part.share * 100:.0f}",
            figures.bare(part.amount, say.locale, currency),
        )
        for part in payments
    )


def _m2(offer: Offer) -> float:
    from kit.units import M2_PER_FT2

    return float(offer.area_sqft) * M2_PER_FT2


class _Priced:
    """Rows of one offer."""

    def __init__(self, offer: Offer, measures: Measures) -> None:
        self.offer = offer
        self.measures = measures
        self.say = measures.words
        self.locale = measures.words.locale

    def per_area(self, amount: Decimal) -> Decimal:
        return self.measures.price_per_area(
            amount, self.offer.area_sqft, self.offer.currency
        )

    def bare(self, amount: Decimal) -> str:
        return figures.bare(amount, self.locale, self.offer.currency)

    def difference(self, amount: Decimal) -> str:
        return figures.difference(amount, self.locale, self.offer.currency)

    def option(self, option: FinishOption) -> OptionRow:
        return OptionRow(
            name=self.say.told(option.name),
            says=self.say.told(option.says),
            per_area=self.bare(self.per_area(option.total)),
            total=self.bare(option.total),
            asked=figures.asked(option.total, self.offer.currency, self.locale),
            difference=self.difference(option.difference),
            chosen=option.chosen,
        )

    def extra(self, extra: ExtraOption) -> ExtraRow:
        adds = extra.adds
        says = self.say.told(extra.says)
        amount = wording.amount_words(extra, self.offer, self.measures)
        return ExtraRow(
            name=self.say.told(extra.name),
            says=says,
            amount=self.say.told(extra.blocked) or amount or _first(says),
            per_area="" if adds is None else self.bare(self.per_area(adds)),
            adds=self._added(adds),
            taken=extra.counts,
        )

    def allowance(self, extra: ExtraOption) -> AllowanceRow:
        return AllowanceRow(
            name=self.say.told(extra.name),
            says=self.say.told(extra.blocked) or _first(self.say.told(extra.says)),
            amount=self.say.told(extra.amount),
            each=wording.each_words(extra, self.offer, self.say),
            adds=self._added(extra.adds),
            taken=extra.counts,
        )

    def _added(self, adds: Decimal | None) -> str:
        return "" if adds is None else self.difference(adds)


def _first(sentence: str) -> str:
    """First words of a sentence, up to where it begins to explain."""
    words = sentence.split(":", maxsplit=1)[0]
    return f"{words[:1].lower()}{words[1:]}"
