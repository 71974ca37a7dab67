"""The paper of a change order: one page, what changes, at what, nothing of the owner's."""

from __future__ import annotations

import datetime
import os
from dataclasses import replace
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdf
import pytest
from PIL import Image

from kit.errors import PaperError
from kit.job import PaperChoices, workup
from kit.job.change import priced_change
from kit.press.showing import declared_fields
from kit.proposal import owners_figures, words_in
from kit.proposal.change_order import ChangeView, change_view, press_change, told_changes
from kit.proposal.measures import Measures

pytestmark = pytest.mark.paper
KEPT = Path(__file__).parent / "golden"
DAY = datetime.date(2026, 12, 4)
AGREED = Decimal("7836.21")


def with_rooms(job, *rooms):
    return job.changed(site=job.site.changed(rooms=rooms))


def longer_store(job):
    walls = ("E 9'", "N 6' 6\"", "W 9'", "S 6' 6\"")
    return with_rooms(
        job, *(r.changed(walls=walls) if r.name == "Store" else r for r in job.site.rooms)
    )


def with_cracks(job, length):
    return job.changed(site=job.site.changed(slab=job.site.slab.changed(cracks=length)))


@pytest.fixture(scope="module")
def larger(demo_job):
    """The store is longer, the finish another, the cracks more, and a shelf is moved."""
    after = with_cracks(longer_store(demo_job), "40 ft").changed(finish="gloss")
    said = {"said": "The shelf by the kiln is moved and set back.", "extra_days": 1}
    return priced_change(demo_job, after, agreed=AGREED, extra=Decimal(180), **said)


@pytest.fixture(scope="module")
def in_spanish(demo_job):
    """The store is not poured after all, on A4, in meters."""
    paper = PaperChoices(page="a4", units="metric")
    job = demo_job.changed(language="es", paper=paper)
    rooms = [room for room in job.site.rooms if room.name != "Store"]
    doorways = [d for d in job.site.doorways if "Store" not in d.between]
    site = job.site.changed(rooms=tuple(rooms), doorways=tuple(doorways))
    after = job.changed(site=site, recipe=job.recipe.changed(seed=12))
    return priced_change(job, after, agreed=AGREED)


def words(pdf):
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def told(change):
    job = change.after
    return told_changes(change, Measures(words_in(job.language), job.paper.units))


@pytest.mark.parametrize("name", ["larger", "in_spanish"])
def test_the_page_looks_as_it_did(request, name):
    """KIT_GOLDEN=write keeps it anew."""
    view = change_view(request.getfixturevalue(name), number=1, day=DAY)
    (page,) = press_change(view, ppi=36.0).pages
    place = KEPT / f"change_order_{name}.png"
    if os.environ.get("KIT_GOLDEN") == "write":
        place.write_bytes(page)
    shown, kept = (
        np.asarray(Image.open(file).convert("L"), float) for file in (BytesIO(page), place)
    )
    assert shown.shape == kept.shape
    assert np.abs(shown - kept).mean() < 0.5


def test_it_says_what_changes_and_what_that_comes_to(larger):
    difference = workup(larger.after).offer.total - workup(larger.before).offer.total + 180
    assert larger.difference == difference
    assert larger.total == AGREED + difference
    assert told(larger) == (
        "The floor is finished in gloss, no longer in matte.",
        "Store measures 58.5\N{NO-BREAK SPACE}sq\N{NO-BREAK SPACE}ft, "
        "no longer 45.5\N{NO-BREAK SPACE}sq\N{NO-BREAK SPACE}ft.",
        "Now in the price: Chasing and filling 40\N{NO-BREAK SPACE}ft of cracks.",
        "No longer in the price: Chasing and filling 14\N{NO-BREAK SPACE}ft of cracks.",
        "The shelf by the kiln is moved and set back.",
    )
    paper = words(press_change(change_view(larger, number=2, day=DAY)).pdf)
    for said in (
        "Change order 2", "proposal 2611-07 of November 25, 2026", "December 4, 2026",
        "7,836.21", f"{difference:,.2f}", f"{larger.total:,.2f}", "12.22",
        "58.5 sq ft", "filling 40 ft", "shelf by the kiln", "two days longer",
        "five days on site, no longer three", "Ines Quarrie, for Slipway Pottery",
    ):  # fmt: skip
        assert said in paper, said


def test_it_speaks_the_language_and_the_measures_of_the_job(in_spanish):
    view = change_view(in_spanish, number=1, day=DAY)
    paper = words(press_change(view).pdf)
    assert view.page.name == "a4"
    for said in (
        "Orden de cambio 1", "Store ya no se vierte.", "4 de diciembre de 2026", "m²",
        "lo guardamos con el número 12", "$ por m²", "Acepto este cambio por − $",
    ):  # fmt: skip
        assert said in paper.replace("\N{NO-BREAK SPACE}", " "), said
    assert "sq ft" not in paper


def test_the_same_change_is_the_same_bytes(larger):
    view = change_view(larger, number=1, day=DAY)
    assert press_change(view).pdf == press_change(view).pdf


def test_a_change_of_nothing_tells_nothing_and_has_no_paper(demo_job):
    change = priced_change(demo_job, demo_job, agreed=AGREED)
    assert (told(change), change.difference, change.days) == ((), 0, 0)
    with pytest.raises(PaperError, match="lacks what changes"):
        press_change(change_view(change, number=1, day=DAY))


def test_a_cheaper_floor_has_a_minus_and_fewer_days_are_said(demo_job, larger):
    back = priced_change(larger.after, demo_job, agreed=larger.total, extra_days=-1)
    view = change_view(back, number=3, day=DAY)
    assert view.difference.startswith("−")
    assert view.days == (
        "The work takes two days less: two days on site, no longer four days."
    )


def test_what_was_agreed_stands_though_the_shelf_went_up(demo_job):
    change = priced_change(demo_job, demo_job.changed(finish="gloss"), agreed=Decimal(7000))
    now = workup(demo_job.changed(finish="gloss")).offer.total
    assert change.total == 7000 + now - workup(demo_job).offer.total


def test_nothing_of_the_owners_is_on_it_and_the_gate_would_see_it(larger):
    own = owners_figures(larger.old, larger.new)
    printed = {f"{a:f}" for a in (larger.agreed, larger.difference, larger.total)}
    withheld = tuple(figure for figure in own if figure not in printed)
    view = change_view(larger, number=1, day=DAY)
    assert press_change(view, withheld=withheld).pdf
    leak = replace(view, changes=(*view.changes, f"It costs us {larger.new.bid.cost}."))
    with pytest.raises(PaperError, match="figure withheld"):
        press_change(leak, withheld=withheld)


def test_no_field_of_it_could_hold_a_number_of_the_owners():
    numbers = [n for n, kind in declared_fields(ChangeView).items() if kind in (int, float)]
    assert numbers == []


def test_what_the_change_costs_is_known_only_if_all_of_it_is(demo_job, larger):
    assert larger.cost is None
    more = replace(larger, extra_cost=Decimal(90))
    assert more.cost == larger.new.bid.cost - larger.old.bid.cost + 90
    assert replace(larger, extra=Decimal(0)).cost is not None
