"""From a priced change to what its client reads: offers only, no bid is looked at."""

from __future__ import annotations

import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from kit.press.ownface import read_face
from kit.press.page import PAGES
from kit.proposal import figures
from kit.proposal.catalogue import Words, words_in
from kit.proposal.change_order.shown import ChangeView, SumRow
from kit.proposal.change_order.telling import told_changes
from kit.proposal.measures import Measures
from kit.proposal.shown import Client, Firm
from kit.proposal.viewing import FIGURES

if TYPE_CHECKING:
    from kit.job.change import Change
    from kit.press.accent import Srgb


def change_view(change: Change, *, number: int, day: datetime.date) -> ChangeView:
    """Show a change as its client may read it, as the job asks for its papers.

    Parameters
    ----------
    change : Change
    number : int
        Of the change order among those of its job, from 1.
    day : datetime.date
        Of the paper.

    Raises
    ------
    PaperError
        If the paper does not speak the language of the job, or a typeface cannot be read.
    """
    job = change.after
    say = words_in(job.language)
    measures = Measures(say, job.paper.units)
    client, firm, currency = job.site.client, job.firm, change.new.offer.currency
    place = job.title
    if client.address:
        place = say("paper.place", title=job.title, address=client.address)
    face = None
    if firm.font:
        face = read_face(Path(firm.font), needed=(*say.said.values(), FIGURES))
    names = [name for name in Firm.__slots__ if name != "logo"]
    return ChangeView(
        page=PAGES[job.paper.page],
        language=say.tag,
        title=say("change_order.title", number=str(number), client=client.name),
        number=job.number,
        order=str(number),
        dated=day,
        date=figures.long_date(day, say.locale),
        proposed=figures.long_date(change.before.date, say.locale),
        place=place,
        firm=Firm(**{name: getattr(firm, name) for name in names}),
        client=Client(client.name, client.person, client.address, client.email),
        changes=told_changes(change, measures),
        symbol=figures.symbol(currency, say.locale),
        per=measures.per_area,
        areas=_areas(change, measures),
        sums=_sums(change, measures),
        difference=_signed(change.difference, currency, say),
        total=figures.asked(change.total, currency, say.locale),
        days=_days(change, say),
        tint=_leading(change),
        accent=firm.accent,
        face=face,
    )


def _sums(change: Change, measures: Measures) -> tuple[SumRow, ...]:
    say, currency = measures.words, change.new.offer.currency

    def row(key: str, amount: Decimal, area_sqft: Decimal) -> SumRow:
        each = measures.price_per_area(amount, area_sqft, currency)
        told = (figures.bare(value, say.locale, currency) for value in (each, amount))
        return SumRow(say(f"change_order.{key}"), *told)

    return (
        row("before", change.agreed, change.old.offer.area_sqft),
        SumRow(
            say("change_order.difference"),
            "",
            figures.difference(change.difference, say.locale, currency),
        ),
        row("after", change.total, change.new.offer.area_sqft),
    )


def _areas(change: Change, measures: Measures) -> str:
    before, after = (measures.area(one.takeoff.net_m2) for one in (change.old, change.new))
    if before == after:
        return measures.words("change_order.area", area=after)
    return measures.words("change_order.areas", before=before, after=after)


def _days(change: Change, say: Words) -> str:
    before = change.old.work.days
    after = before + change.days

    def told(count: int) -> str:
        if count == 1:
            return say("change_order.one_day")
        return say("change_order.days", count=say.count(count))

    if not change.days:
        return say("change_order.days_same", days=told(after))
    key = "days_more" if change.days > 0 else "days_less"
    return say(
        f"change_order.{key}",
        difference=told(abs(change.days)),
        before=told(before),
        after=told(after),
    )


def _signed(amount: Decimal, currency: str, say: Words) -> str:
    sign = figures.MINUS if amount < 0 else figures.PLUS if amount > 0 else ""
    return f"{sign}{figures.asked(abs(amount), currency, say.locale)}"


def _leading(change: Change) -> Srgb:
    """The most colorful of the floor's colors, each as its film looks by itself."""
    from kit.look.colour import hex_of, rgb_of_bands
    from kit.look.paints import paints_for
    from kit.press.accent import accent_of

    palette, shelf = change.after.recipe.palette, change.shelf
    pigments = tuple(shelf.pigment(color.pigment) for color in palette.colours)
    paints = paints_for(pigments, shelf.tint(palette.tint))
    found: list[Srgb] = []
    for place in range(len(pigments)):
        alone = tuple(float(place == other) for other in range(len(pigments)))
        shown = hex_of(rgb_of_bands(paints.film_reflectance(alone)))
        red, green, blue = bytes.fromhex(shown[1:])
        found.append((red, green, blue))
    return accent_of(found)
