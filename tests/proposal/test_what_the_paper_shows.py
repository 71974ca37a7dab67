"""The paper obeys what was chosen for it: page, finishes, kept designs, the signature."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest
from bands import Bands

from kit.errors import PaperError
from kit.job import Design, Signature, workup
from kit.proposal import (
    A4,
    client_view,
    owners_figures,
    priced_designs,
    propose,
    propose_with_pages,
)
from kit.proposal.catalogue import languages
from kit.proposal.signed import Signed, laid_out
from kit.stock import read_shelf

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
pytestmark = pytest.mark.paper

DAY = datetime.date(2026, 11, 25)
INK = (
    tuple((0.1 + n / 60, 0.5 + 0.2 * (-1) ** n) for n in range(40)),
    ((0.2, 0.2),),
    ((0.2, 0.9), (0.9, 0.8)),
)


def seen(job, answers):
    bands = Bands(job)
    return client_view(job, answers, bands, poured=lambda _: bands)


def said(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages]


def flat(text: str) -> str:
    return re.sub(r"[\s\u00ad\u00a0\u202f]+", "", text)


@pytest.fixture(scope="module")
def designed(demo_job):
    """The demo with two kept designs: the same recipe in gloss, and other pigments."""
    palette = demo_job.recipe.palette
    colours = (palette.colours[0].changed(pigment="gull_white"), *palette.colours[1:])
    other = demo_job.recipe.changed(palette=palette.changed(colours=colours))
    return demo_job.changed(
        designs=(
            Design(name="Night tide", recipe=demo_job.recipe, finish="gloss"),
            Design(name="Gull morning", recipe=other, finish="matte"),
        )
    )


@pytest.fixture(scope="module")
def signed(demo_job, demo_workup):
    total = demo_workup.offer.total
    given = Signature(name="Ines Quarrie", day=DAY, strokes=INK, total=total)
    return demo_job.changed(signed=given)


def test_the_page_is_the_one_that_the_job_says(demo_job, demo_workup):
    job = demo_job.changed(paper=demo_job.paper.changed(page="a4"))
    view = seen(job, demo_workup)
    assert view.page == A4
    page = pypdf.PdfReader(BytesIO(propose(view))).pages[0]
    assert float(page.mediabox.height) == pytest.approx(841.89, abs=0.01)


def test_only_named_finishes_are_priced_and_shown_and_always_the_chosen_one(
    demo_job, demo_workup
):
    job = demo_job.changed(paper=demo_job.paper.changed(finishes=("satin",)))
    view = seen(job, demo_workup)
    assert [one.name for one in view.price.options] == ["Matte", "Satin"]
    assert {one.name for one in view.sheens} == {"Matte", "Satin"}
    text = "".join(said(propose(view)))
    gloss = next(o for o in demo_workup.offer.options if o.finish == "gloss")
    assert f"{gloss.total:,.2f}" not in text
    assert "Gloss" not in text


def test_a_finish_priced_alone_fills_the_cover(demo_job, demo_workup):
    job = demo_job.changed(paper=demo_job.paper.changed(finishes=("matte",)))
    view = seen(job, demo_workup)
    pdf = propose(view)
    assert [one.name for one in view.sheens] == ["Matte"]
    with pikepdf.open(BytesIO(pdf)) as document:
        assert len(document.pages[0].resources["/XObject"]) == 1
    assert "Sheen" not in said(pdf)[1]


def test_every_shown_design_has_its_own_price_in_the_chosen_finish(designed, demo_workup):
    view = seen(designed, demo_workup)
    pages = said(propose(view))
    text = flat("".join(pages))
    assert [one.name for one in view.designs] == ["Night tide", "Gull morning"]
    for kept, design in zip(view.designs, designed.designs, strict=True):
        own = workup(designed.changed(recipe=design.recipe)).offer
        apart = own.total - demo_workup.offer.total
        assert kept.total == f"${own.total:,.2f}"
        assert not apart or f"{abs(apart):,.2f}" in kept.difference
        assert flat(f"{kept.name}{kept.total}") in text
        assert flat(f"Matte, {kept.per_area}") in text
        assert flat(kept.colors) in text
    assert "Gull white" in view.designs[1].colors
    # the floor is the pour of the first, though that was kept in gloss
    assert [one.chosen for one in view.designs] == [True, False]
    assert flat("“Night tide”, in matte.") in flat(pages[0])


def test_designs_of_one_pour_keep_each_its_finish(designed, demo_workup):
    satin = Design(name="Still tide", recipe=designed.recipe, finish="satin")
    view = seen(designed.changed(designs=(*designed.designs, satin)), demo_workup)
    assert [one.finish for one in view.designs] == ["Gloss", "Matte", "Satin"]
    for finish, one in (("gloss", view.designs[0]), ("satin", view.designs[2])):
        priced = next(o for o in demo_workup.offer.options if o.finish == finish)
        assert one.total == f"${priced.total:,.2f}"
    # the floor is the pour of the first, in another finish than either was kept in
    assert [one.chosen_in for one in view.designs] == ["chosen in matte", "", ""]


@pytest.mark.parametrize(
    ("named", "shown"),
    [
        (None, ["Night tide", "Gull morning"]),
        (("Gull morning",), ["Gull morning"]),
        (("Nobody kept this",), []),
        ((), []),
    ],
)
def test_designs_that_are_not_named_are_not_shown(designed, demo_workup, named, shown):
    job = designed.changed(paper=designed.paper.changed(designs=named))
    view = seen(job, demo_workup)
    assert [one.name for one in view.designs] == shown
    heads = any("Designs we kept" in page for page in said(propose(view)))
    assert heads is bool(shown)


def test_the_owners_figures_of_a_shown_design_are_withheld_too(designed, demo_workup):
    priced = priced_designs(designed, read_shelf())
    withheld = owners_figures(demo_workup, *(one.answers for one in priced))
    for one in priced:
        cost = f"{one.answers.bid.cost:.2f}"
        assert cost in withheld
        assert f"{one.answers.offer.total:.2f}" not in withheld
    view = seen(designed, demo_workup)
    assert propose(view, withheld=withheld)
    leaky = replace(view, reflects=f"Costs {priced[0].answers.bid.cost:,.2f}.")
    with pytest.raises(PaperError, match="may not read"):
        propose(leaky, withheld=withheld)


def curves(document: pikepdf.Pdf) -> int:
    page = document.pages[-1]
    drawn = [str(one.operator) for one in pikepdf.parse_content_stream(page)]
    return drawn.count("c")


def test_a_drawn_signature_is_ink_in_the_acceptance(signed, demo_job, demo_workup):
    pdf = propose(seen(signed, demo_workup))
    last = said(pdf)[-1]
    total = f"${demo_workup.offer.total:,.2f}"
    assert flat("Accepted by Ines Quarrie on November 25, 2026") in flat(last)
    assert flat("the floor in Matte (pattern") in flat(last)
    assert flat(f"), for {total}") in flat(last)
    assert flat("for the law in force to say") in flat(last)
    assert flat("Sample board seen and approved, initials") in flat(last)
    assert flat("or in the finish that I tick here") not in flat(last)
    with (
        pikepdf.open(BytesIO(pdf)) as given,
        pikepdf.open(BytesIO(propose(seen(demo_job, demo_workup)))) as open_one,
    ):
        # every place of the long stroke but its ends bends a curve, and a dot is four
        assert curves(given) == 38 + 4
        assert curves(open_one) == 4 * len(demo_workup.offer.options)  # boxes to tick
        images = given.pages[-1].resources.get("/XObject", {})
        assert len(images) == 1  # the floor, not the ink


def test_what_is_accepted_names_the_extras_that_are_taken(signed, demo_workup):
    from kit.proposal.shown import ExtraRow

    rows = (
        ExtraRow("Cove base", "", "98 ft", "1.35", "+ 1,323.00", True),
        ExtraRow("Two steps", "", "2", "0.32", "+ 310.00"),
    )
    view = seen(signed, demo_workup)
    for one in (view, replace(view, signed=None)):
        last = said(propose(replace(one, price=replace(one.price, extras=rows))))[-1]
        assert flat("), with Cove base, for") in flat(last)
        assert "Two steps" not in last


@pytest.mark.parametrize("language", languages())
def test_what_is_signed_for_names_finish_and_design_in_every_language(
    language, demo_job, demo_workup
):
    """A kept design by its name where the paper shows it, else by its pattern's number."""
    kept = Design(name="Night tide", recipe=demo_job.recipe, finish=demo_job.finish)
    shown = demo_job.changed(designs=(kept,))
    unseen = shown.changed(paper=shown.paper.changed(designs=()))
    number = str(demo_job.recipe.seed)
    for job, name in ((shown, "Night tide"), (unseen, number), (demo_job, number)):
        bands = Bands(job)
        view = client_view(
            job, demo_workup, bands, poured=lambda _, b=bands: b, language=language
        )
        *pages, last = said(propose(view))
        signing = flat(last).partition(flat(view.price.total))[0]
        for words in (name, *(one.name for one in view.swatches)):
            assert flat(words) in signing
            assert flat(words) in flat("".join(pages))
        assert flat(next(one.name for one in view.sheens if one.chosen)) in signing


def test_the_signature_has_words_for_who_cannot_see_it(signed, demo_workup):
    with pikepdf.open(BytesIO(propose(seen(signed, demo_workup)))) as document:
        alts = [
            str(o.Alt)
            for o in document.objects
            if isinstance(o, pikepdf.Dictionary) and "/Alt" in o
        ]
    assert "Signature of Ines Quarrie, drawn by hand on November 25, 2026." in alts


def test_a_typed_name_is_called_so(signed, demo_workup):
    job = signed.changed(signed=signed.signed.changed(strokes=()))
    last = said(propose(seen(job, demo_workup)))[-1]
    assert flat("Ines Quarrie, name typed at the table") in flat(last)
    assert "drawn" not in last


def test_a_signature_for_another_price_is_not_printed(signed, demo_workup):
    dearer = signed.signed.changed(total=demo_workup.offer.total + 1)
    view = seen(signed.changed(signed=dearer), demo_workup)
    assert view.signed is None
    assert flat("I accept this proposal") in flat(said(propose(view))[-1])


@pytest.mark.parametrize("page", ["letter", "a4"])
def test_designs_and_signature_leave_the_paper_accessible(
    designed, signed, demo_workup, page, tmp_path
):
    pdfua = pytest.importorskip("pdfua", reason="pdfua is not installed")
    job = designed.changed(signed=signed.signed, paper=designed.paper.changed(page=page))
    path = tmp_path / "proposal.pdf"
    path.write_bytes(propose(seen(job, demo_workup)))
    report = pdfua.validate(str(path))
    assert [f for f in report.findings if f.severity is pdfua.Severity.ERROR] == []
    with pikepdf.open(path) as document:
        xmp = document.Root.Metadata.read_bytes().decode()
        assert "<pdfaid:part>2</pdfaid:part>" in xmp
        assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
        for each in document.pages:
            depth = 0
            for instruction in pikepdf.parse_content_stream(each):
                operator = str(instruction.operator)
                depth += operator in ("BMC", "BDC")
                depth -= operator == "EMC"
                assert depth > 0 or operator not in ("Tj", "TJ", "Do", "f", "S", "f*", "B")


def test_pages_are_pictures_of_the_pdf_itself(full_view):
    from PIL import Image

    printed = propose_with_pages(full_view, ppi=72)
    assert printed.pdf == propose(full_view)
    sizes = {Image.open(BytesIO(page)).size for page in printed.pages}
    assert sizes == {(612, 792)}
    assert len(printed.pages) == len(said(printed.pdf))


def test_ink_fits_its_place_and_keeps_its_shape():
    def laid(strokes):
        given = Signed("Ines", "today", strokes, 3.0, "A signature.")
        return laid_out(given, widest_pt=170.0, tallest_pt=40.0)

    for strokes in (INK, (((0.0, 0.0), (1.0, 1.0)),), (((0.5, 0.0), (0.5, 1.0)),)):
        paths, wide, tall = laid(strokes)
        assert wide <= 170.0 + 1e-9
        assert tall <= 40.0 + 1e-9
        assert min(x for path in paths for x, _ in path) == pytest.approx(0.0)
        assert min(y for path in paths for _, y in path) == pytest.approx(0.0)
    # a diagonal of a box three times as wide as high stays one
    (diagonal,), wide, tall = laid((((0.2, 0.2), (0.8, 0.8)),))
    assert wide / tall == pytest.approx(3.0)
    assert diagonal[1] == pytest.approx((wide, tall))
