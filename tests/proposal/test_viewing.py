"""From a real job to its client's view: the offer in words, the bid nowhere."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from io import BytesIO

import numpy as np
import pytest
from bands import Bands
from PIL import Image
from shapely import LineString, box

from kit.bid import Line
from kit.errors import Concern, PaperError
from kit.look.sight import paints_for
from kit.look.sight import swatch as rendered_swatch
from kit.plan.floor import FloorPlan, PlannedRoom, WayOut
from kit.press.page import LETTER
from kit.press.showing import texts
from kit.proposal import client_view, owners_figures, propose
from kit.proposal.catalogue import words_in
from kit.proposal.measures import Measures
from kit.proposal.planned import plan_sheets
from kit.proposal.shots import reflection_at
from kit.proposal.wording import flow_words
from kit.stock import read_shelf

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
CANARY = "Quoll"


@pytest.fixture(scope="module")
def seen(demo_job, demo_workup):
    return client_view(demo_job, demo_workup, Bands(demo_job))


def spiked(record, depth=0):
    """A copy of the owner's records in which every text and figure is a canary."""
    if isinstance(record, Decimal):
        return Decimal("7391.46")
    if isinstance(record, str):
        return CANARY
    if isinstance(record, tuple):
        return tuple(spiked(item, depth + 1) for item in record)
    if is_dataclass(record) and not isinstance(record, type):
        return replace(
            record,
            **{f.name: spiked(getattr(record, f.name), depth + 1) for f in fields(record)},
        )
    return record


def test_the_first_paper_bears_no_number_of_a_revision(demo_job, demo_workup, seen):
    second = client_view(demo_job, demo_workup, Bands(demo_job), revision=(2, ("finish",)))
    assert (seen.revision, seen.changed) == ("", "")
    told = "Changed since the paper before: the finish."
    assert (second.revision, second.changed) == ("2", told)
    spanish = client_view(
        *(demo_job, demo_workup, Bands(demo_job)),
        language="es",
        revision=(3, ("price", "dates")),
    )
    assert spanish.changed == "Cambios desde el papel anterior: el precio y las fechas."


def test_nothing_of_the_bid_reaches_the_view(demo_job, demo_workup, seen):
    concern = (Concern(CANARY, CANARY, CANARY),)
    bid = replace(
        spiked(demo_workup.bid),
        lines=(Line(CANARY, Decimal("7391.46"), "margin", CANARY),),
        concerns=concern,
    )
    work = replace(demo_workup.work, crew_hours=7391.46, concerns=concern, trail=())
    loaded = replace(demo_workup, bid=bid, work=work, concerns=concern)
    assert client_view(demo_job, loaded, Bands(demo_job)) == seen


@pytest.mark.paper
def test_no_line_of_the_bid_is_on_the_paper(demo_workup, seen):
    pdf = propose(seen)
    said = "\n".join(p.extract_text() for p in pypdf.PdfReader(BytesIO(pdf)).pages)
    asked = {seen.price.total_bare, *(row.amount for row in seen.payments)}
    asked |= {option.total for option in seen.price.options}
    for line in demo_workup.bid.lines:
        figure = f"{line.amount:,.2f}"
        assert figure in asked or figure not in said, line.label
    for word in ("margin", "overhead", "contingency", "labor_h", "markup"):
        assert word not in said.lower()
    assert f"${demo_workup.offer.total:,.2f}" in said


@pytest.mark.paper
@pytest.mark.parametrize("licence", ["", "C-33 10417"])
def test_the_demo_with_its_blank_to_fill_in_is_six_pages(seen, licence):
    firm = replace(seen.firm, licence=licence)
    pages = pypdf.PdfReader(BytesIO(propose(replace(seen, firm=firm)))).pages
    assert len(pages) == 6


@pytest.mark.paper
def test_the_gate_looks_for_every_large_line_of_the_bid(demo_workup, seen):
    own = owners_figures(demo_workup)
    assert f"{demo_workup.bid.cost:.2f}" in own
    assert f"{demo_workup.offer.total:.2f}" not in own
    propose(seen, withheld=own)
    leaky = replace(seen, flow=f"It costs us {demo_workup.bid.cost:,.2f}.")
    with pytest.raises(PaperError, match="its reader may not read"):
        propose(leaky, withheld=own)


def test_the_offer_is_told_to_the_cent(demo_workup, seen):
    offer = demo_workup.offer
    assert seen.price.total == f"${offer.total:,.2f}"
    assert seen.price.per_area == f"${offer.price_per_sqft:,.2f}"
    assert [o.total for o in seen.price.options] == [
        f"{o.total:,.2f}" for o in offer.options
    ]
    assert sum(option.chosen for option in seen.price.options) == 1


def test_payments_as_printed_add_up_to_the_total_as_printed(seen):
    parts = [Decimal(row.amount.replace(",", "")) for row in seen.payments]
    assert sum(parts) == Decimal(seen.price.total_bare.replace(",", ""))
    assert sum(int(row.share) for row in seen.payments) == 100


def test_areas_as_printed_add_up_to_the_area_as_printed(seen):
    rows = [Decimal(row.area.replace(",", "")) for row in seen.plan.rooms]
    assert sum(rows) == Decimal(seen.plan.poured.area.replace(",", ""))
    assert seen.plan.poured.area == seen.price.area


def test_walls_are_rounded_each_by_itself_and_the_paper_says_so(demo_workup, seen):
    """The hall's 12 + 12 + 4 + 4 ft less its doorways of 3 ft, 4 ft and 32 in: 22.33."""
    hall = next(row for row in seen.plan.rooms if row.name == "Hall")
    assert hall.walls == "22.3"
    runs = [room.perimeter_m / 0.3048 for room in demo_workup.takeoff.rooms]
    told = [row.walls for row in seen.plan.rooms if row.walls]
    assert told == [f"{run:.1f}" for run in runs]
    assert seen.plan.poured.walls == f"{sum(runs):.1f}"
    assert seen.plan.basis.endswith("Walls are rounded, each by itself.")


def test_shares_of_the_swatches_make_a_whole(seen):
    assert sum(swatch.part for swatch in seen.swatches) == pytest.approx(1.0)
    assert all(0 <= channel <= 255 for swatch in seen.swatches for channel in swatch.srgb)


def test_a_swatch_is_a_chip_of_its_film_in_the_finish_chosen(demo_job, seen):
    """The same pixels as the renderer's own chip of that pigment, to the JPEG's error."""
    shelf, palette = read_shelf(), demo_job.recipe.palette
    coat = shelf.finish(demo_job.finish, about="finish")
    for swatch, colour in zip(seen.swatches, palette.colours, strict=True):
        shown = np.asarray(Image.open(BytesIO(swatch.chip.image)).convert("RGB"))
        pigment = shelf.pigment(colour.pigment)
        truth = rendered_swatch(
            paints_for((pigment,), shelf.tint(palette.tint)),
            coat,
            width_px=shown.shape[1],
            height_px=shown.shape[0],
            index=shelf.product(coat.product).index,
        ).rgb
        assert np.abs(shown.astype(float) - truth).mean() < 6.0
        assert swatch.srgb == pytest.approx(truth.mean(axis=(0, 1)), abs=0.51)
        assert swatch.chip.alt == f"{pigment.name} alone, as its film looks in matte."


def test_chips_are_as_wide_as_their_shares(seen):
    wide = [Image.open(BytesIO(swatch.chip.image)).width for swatch in seen.swatches]
    parts = [swatch.part for swatch in seen.swatches]
    assert [w / sum(wide) for w in wide] == pytest.approx(parts, abs=0.005)


def test_the_chosen_finish_stands_beside_the_one_most_unlike_it(seen):
    assert [sheen.name for sheen in seen.sheens] == ["Matte", "Gloss"]
    assert [sheen.chosen for sheen in seen.sheens] == [True, False]


def test_gloss_is_shown_beside_a_coat_without_grains(demo_job, demo_workup):
    """Matte with grip reads a little duller than matte, but is not only duller."""
    from kit.job import workup
    from kit.proposal.viewing import _sheens

    job = demo_job.changed(finish="gloss")
    sheens = _sheens(Bands(demo_job), workup(job).offer, Measures(words_in("en")))
    assert [sheen.name for sheen in sheens] == ["Matte", "Gloss"]
    assert [sheen.chosen for sheen in sheens] == [False, True]


def test_each_picture_is_asked_for_once(demo_job, demo_workup):
    bands = Bands(demo_job)
    client_view(demo_job, demo_workup, bands)
    assert bands.asked == [("room", "matte"), ("room", "gloss"), ("above", "matte")]


def test_the_cover_parts_where_the_finishes_differ_most(seen):
    assert seen.cover[0].picture.focus == pytest.approx(0.55, abs=0.02)


def test_alike_pictures_are_parted_in_the_middle():
    plain = np.zeros((40, 60, 3), np.uint8)
    assert reflection_at(plain, plain) == 0.5


def test_the_price_stands_for_as_many_days_as_the_job_says(demo_job, demo_workup, seen):
    assert (seen.date, seen.price.open_until) == ("November 25, 2026", "December 23, 2026")
    assert seen.price.open_until_short == "Dec 23"


def test_every_pictures_alternative_names_what_it_shows(seen):
    alts = [words for field, words in texts(seen) if field.endswith("alt")]
    assert all(words for words in alts if words != seen.pour.walls.alt)
    assert "matte" in seen.cover[0].picture.alt
    assert "Deep well" in seen.pour.picture.alt
    assert "Kiln alcove" in seen.plan.drawing.alt


def test_days_follow_the_work_and_the_coats_lie_in_their_order(demo_workup, seen):
    assert seen.days.bars[-1].last == demo_workup.work.days - 1
    assert [bar.pour for bar in seen.days.bars].count(True) == 1
    assert all(one.at > seen.days.bars[-1].last for one in seen.days.returns)


def test_turned_knobs_are_told_in_their_own_words(demo_job):
    flow, us = demo_job.recipe.flow, Measures(words_in("en"))
    assert "more quiet" in flow_words(flow.changed(calm=1.0), us)
    assert "more busy" in flow_words(flow.changed(calm=0.0), us)
    inches = round(flow.ribbon_m / 0.0254)
    assert re.search(rf"about {inches} inches", flow_words(flow, us))


@pytest.mark.parametrize("feet", [32.5, 48.8, 65.1])
def test_a_plan_whose_lengths_stand_far_out_still_fits_the_page(demo_workup, feet):
    """Each as wide as its scale allows; the farthest lengths are beyond the way out."""
    wide, high, cut = feet * 0.3048, 4.0, 0.6
    corners = box(wide - cut, 0, wide, cut).union(box(0, high - cut, cut, high))
    outline = box(0, 0, wide, high).difference(corners)
    opening = LineString([(0, 2.4), (0, 1.6)])
    plan = FloorPlan(
        (PlannedRoom("Den", outline, outline),), (), WayOut("Den", opening, 0.8), outline
    )
    sheets = plan_sheets(replace(demo_workup, plan=plan), LETTER, Measures(words_in("en")))
    assert max(sheet.drawing.width_pt for sheet in sheets) <= LETTER.wide_pt


def test_a_plan_is_drawn_larger_too_where_a_page_has_room_for_it(demo_workup):
    """A garage 20 ft wide and 24 ft deep, at the scales of an architect's rule."""
    outline = box(0.0, 0.0, 6.1, 7.3)
    opening = LineString([(2.4, 0), (3.6, 0)])
    plan = FloorPlan(
        (PlannedRoom("Bay", outline, outline),), (), WayOut("Bay", opening, 1.2), outline
    )
    sheets = plan_sheets(replace(demo_workup, plan=plan), LETTER, Measures(words_in("en")))
    assert [one.scale for one in sheets] == ["3/16″ = 1′", "1/8″ = 1′"]
    assert all(one.drawing.height_pt < LETTER.tall_pt for one in sheets)
