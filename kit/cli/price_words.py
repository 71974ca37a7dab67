"""The owner's bid laid out for a terminal, figures right."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import TYPE_CHECKING

from kit.bid import Bid, Payment, deposit_rule
from kit.job import Workup
from kit.money import minor_unit, shown
from kit.stock import Shelf
from kit.takeoff import Figure

if TYPE_CHECKING:
    from decimal import Decimal

    from kit.bid.risk import Risk

LABEL, AMOUNT, WIDE = 34, 14, 96


def in_words(answers: Workup, shelf: Shelf, risk: Risk | None = None) -> str:
    """Lay out quantities, price, alternates, payments, risk and concerns."""
    bid, system = answers.bid, answers.system
    trails = [coat.trail for coat in system.coats] + [fill.trail for fill in system.fills]
    coats = [figure for trail in trails for figure in trail if figure.unit in ("µm", "l")]
    rows = [
        *_figures("Takeoff", answers.takeoff.trail),
        *_figures("Coats", coats),
        *_figures("Order", (purchase.bought for purchase in system.purchases)),
        *_figures("Left over", (left.figure for left in system.leftovers)),
        *_figures("Work", answers.work.trail[-2:]),
        *_price_rows(bid),
        *_kept_rows(bid),
        *_option_rows(bid),
        *_extra_rows(bid),
        *_payment_rows(answers.payments, shelf),
        *(_risk_rows(risk) if risk else ()),
    ]
    rows += [f"\n! {c.about}: {c.says} {c.fix}" for c in answers.concerns]
    return "\n".join(rows).lstrip("\n")


def _figures(head: str, figures: Iterable[Figure]) -> list[str]:
    rows = [f"{one.name:<{LABEL}}{one.spoken:>{AMOUNT}}" for one in figures]
    return ["", head, *rows]


def _price_rows(bid: Bid) -> list[str]:
    rows = ["", f"Price, {bid.currency}"]
    for line in bid.lines:
        first, *more = wrap(line.how, WIDE - LABEL - AMOUNT - 3) or [""]
        rows.append(f"{_line(line.label, _plain(line.amount, bid))}   {first}")
        rows += [" " * (LABEL + AMOUNT + 3) + words for words in more]
    rows.append("─" * (LABEL + AMOUNT))
    rows.append(_line("Total", _plain(bid.total, bid)))
    each = _line("Per sq ft", _plain(bid.price_per_sqft, bid))
    rows.append(f"{each}   of {bid.area_sqft:,.1f} sq ft")
    return rows


def _kept_rows(bid: Bid) -> list[str]:
    """Margin beside markup, which are not the same, and the price not to go below."""
    return [
        "",
        _line("Cost", _plain(bid.cost, bid)),
        _line("Left", _plain(bid.margin, bid)),
        f"{_line('  margin', f'{bid.margin_share:.1%}')}   of the price before tax",
        f"{_line('  markup', f'{bid.markup_share:.1%}')}   of the cost, the same money",
        f"{_line('Floor price', _plain(bid.floor_price, bid))}   least to ask before tax",
    ]


def _option_rows(bid: Bid) -> list[str]:
    rows = [
        "",
        f"{'Finish':<{LABEL}}{'Total':>{AMOUNT}}{'Per sq ft':>12}{'Difference':>14}",
    ]
    for option in bid.options:
        name = f"{'•' if option.chosen else ' '} {option.name}"
        rows.append(
            f"{_line(name, _plain(option.total, bid))}"
            f"{_plain(option.price_per_sqft, bid):>12}"
            f"{_signed(option.difference, bid):>14}"
        )
    return rows


def _extra_rows(bid: Bid) -> list[str]:
    """A row an extra: what it asks and costs, or why it cannot be switched."""
    if not bid.extras:
        return []
    rows = ["", f"{'Extra':<{LABEL}}{'Adds':>{AMOUNT}}{'To cost':>14}{'Days':>6}"]
    for priced in bid.extras:
        option = priced.option
        name = f"{'•' if option.counts else ' '} {option.name}"
        if option.adds is None or priced.cost is None:
            rows.append(f"{_line(name, '—')}   {option.blocked}")
            continue
        row = f"{_line(name, _signed(option.adds, bid))}{_signed(priced.cost, bid):>14}"
        rows.append(f"{row}{priced.days:>+6}   {option.much(bid.currency)}".rstrip())
    return rows


def _payment_rows(payments: tuple[Payment, ...], shelf: Shelf) -> list[str]:
    currency = shelf.house.currency
    rows = [
        f"{_line(one.due, shown(one.amount, currency))}{float(one.share):>12.1%}"
        for one in payments
    ]
    return ["", "Payments", *rows, *wrap(deposit_rule(shelf), WIDE)]


def _risk_rows(risk: Risk) -> list[str]:
    """Figures of chance, to the whole unit: more digits would say more than is known."""
    rows = ["", f"Risk, {risk.currency}, {risk.draws:,} floors drawn, seed {risk.seed}"]
    marks = [("Cost as bid, no contingency", risk.planned), ("Mean", risk.mean)]
    marks += [(f"P{percent}", cost) for percent, cost in risk.quantiles.items()]
    marks += [("Contingency as bid", risk.contingency)]
    marks += [("Contingency for P80", risk.contingency_for_p80)]
    marks += [("Asked before tax", risk.price)]
    rows += [_line(name, f"{cost:,.0f}") for name, cost in marks]
    loss = _line("Chance of losing money", f"{risk.chance_of_loss:.2%}")
    rows.append(f"{loss}   ± {risk.sampling_error:.2%}, one sigma of the draws alone")
    over = _line("Chance of more cost than bid", f"{risk.chance_of_overrun:.0%}")
    more = _line("Chance of more days than bid", f"{risk.chance_of_more_days:.0%}")
    rows += [f"{over}   contingency in", f"{more}   {risk.planned_days} planned", ""]
    rows.append(f"{'What drives it':<{LABEL}}{'at its P10':>{AMOUNT}}{'at its P90':>14}")
    rows += [
        f"{_line(one.name, f'{one.cost_low:,.0f}')}{one.cost_high:>14,.0f}"
        for one in risk.drivers
    ]
    below, above = (risk.quantiles[k] / risk.quantiles[50] - 1.0 for k in (10, 90))
    own = f"This floor's own P10 and P90: {-below:.0%} below and {above:.0%} above its P50."
    rows += ["", *wrap(risk.ripeness.says, WIDE), own]
    rows += [row for note in risk.notes for row in wrap(note, WIDE)]
    return rows


def _line(name: str, amount: str) -> str:
    # a name too long for its column keeps a gap before the figure
    return f"{name:<{LABEL - 1}} {amount:>{AMOUNT}}"


def _plain(amount: Decimal, bid: Bid) -> str:
    digits = -int(minor_unit(bid.currency).adjusted())
    return f"{amount:,.{digits}f}".replace("-", "−")


def _signed(amount: Decimal, bid: Bid) -> str:
    sign = "−" if amount < 0 else "+"
    return sign + _plain(abs(amount), bid)
