"""The pressed paper read back with other eyes: pypdf, poppler, pikepdf, pdfua."""

from __future__ import annotations

import datetime
import re
import shutil
import subprocess
import unicodedata
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import pikepdf
import pytest
from PIL import Image

from kit.errors import OutputError, PaperError
from kit.press.reading import page_text
from kit.press.showing import rewritten, texts
from kit.proposal import A4, propose, write_proposal
from kit.proposal.compose import section_names
from kit.proposal.shown import OptionRow, RoomRow

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
pytestmark = pytest.mark.paper


def flat(text: str) -> str:
    """Text without what line breaking and hyphenation put into it."""
    return re.sub(r"[\s\u00ad\u200b\u00a0\u202f]+", "", unicodedata.normalize("NFC", text))


def read_by_pypdf(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages)


def structure(element, found=None):
    """All structure elements of a document, in reading order."""
    found = [] if found is None else found
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            found.append(kid)
            structure(kid, found)
    return found


@pytest.fixture(scope="module")
def document(pressed):
    with pikepdf.open(BytesIO(pressed)) as opened:
        yield opened


def test_every_text_of_the_view_is_on_the_paper(full_view, pressed):
    said = flat(read_by_pypdf(pressed))
    unseen = ("alt", "email", "language", "page", "client, address", "title")
    for field, words in texts(full_view):
        if not any(word in field for word in unseen):
            assert flat(words) in said, field


def test_poppler_reads_the_same_figures(pressed, tmp_path):
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed")
    path = tmp_path / "proposal.pdf"
    path.write_bytes(pressed)
    said = subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True, text=True
    ).stdout
    for figure in ("$4,846.20", "$16.94", "4,404.40", "− 441.80", "Dec 23", "286.0"):
        assert figure in said.replace("\u00a0", " ")
    row = next(line for line in said.splitlines() if "Gloss" in line and "15.40" in line)
    assert row.split()[-4:] == ["15.40", "4,404.40", "−", "441.80"]


def test_our_own_reading_agrees_with_pypdf(pressed, document):
    ours, theirs = flat(page_text(document)), read_by_pypdf(pressed)
    for word in set(re.findall(r"[\w.,$′″]{3,}", theirs)):
        assert flat(word) in ours


def test_two_builds_are_the_same_bytes(full_view, pressed):
    assert propose(full_view) == pressed


def test_another_word_makes_another_file(full_view, pressed):
    assert propose(replace(full_view, flow="Narrow ribbons.")) != pressed


def test_it_declares_pdf_a_2a_and_pdf_ua_1(document):
    """ISO 19005-2 and ISO 14289-1: the identification schemas in XMP."""
    xmp = document.Root.Metadata.read_bytes().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp


def test_its_catalog_is_that_of_an_accessible_file(document):
    """ISO 14289-1 clause 7, from memory: tagged, titled, in a language."""
    root = document.Root
    assert root.MarkInfo.Marked
    assert root.Lang == "en-US"
    assert root.ViewerPreferences.DisplayDocTitle
    assert document.docinfo.Title == "A poured floor for Slipway Pottery"
    assert str(document.docinfo.CreationDate).startswith("D:20261125")
    assert "/Outlines" in root


def test_figures_have_alternatives_and_tables_have_headers(document, full_view):
    elements = structure(document.Root.StructTreeRoot)
    kinds = [str(element.S) for element in elements]
    alts = [str(e.get("/Alt", "")) for e in elements if e.S == "/Figure"]
    assert all(alts)
    assert full_view.plan.drawing.alt in alts
    assert full_view.pour.picture.alt in alts
    assert {swatch.chip.alt for swatch in full_view.swatches} <= set(alts)
    assert kinds.count("/TH") == 3 + 5 + 3
    heads = [kind for kind in kinds if re.fullmatch(r"/H\d", kind)]
    assert heads[0] == "/H1"
    assert all(int(b[2]) - int(a[2]) <= 1 for a, b in pairwise(heads))


def test_every_marked_content_belongs_to_the_structure(document):
    """What is neither tagged nor an artifact is lost on a screen reader."""
    for page in document.pages:
        depth = 0
        for instruction in pikepdf.parse_content_stream(page):
            operator = str(instruction.operator)
            depth += operator in ("BMC", "BDC")
            depth -= operator == "EMC"
            assert depth > 0 or operator not in (
                "Tj",
                "TJ",
                "Do",
                "f",
                "S",
                "f*",
                "B",
                "sh",
            )


def test_all_fonts_are_embedded_and_can_be_read(document):
    fonts = [f for p in document.pages for f in p.resources.get("/Font", {}).values()]
    assert fonts
    for font in fonts:
        assert "/ToUnicode" in font
        described = font.DescendantFonts[0].FontDescriptor
        assert "/FontFile2" in described or "/FontFile3" in described
    names = " ".join(str(font.BaseFont) for font in fonts)
    assert "IBMPlexSans" in names
    assert "SourceSerif4" in names


def test_pdfua_finds_no_error(pressed, tmp_path):
    pdfua = pytest.importorskip("pdfua", reason="pdfua is not installed")
    path = tmp_path / "proposal.pdf"
    path.write_bytes(pressed)
    report = pdfua.validate(str(path))
    faults = [one for one in report.findings if one.severity is pdfua.Severity.ERROR]
    assert faults == []


def test_the_sections_come_in_their_order(pressed):
    lines = [line.strip() for line in read_by_pypdf(pressed).splitlines()]
    heads = ("Your floor", "What we pour", "Price", "Days", "Good to know", "Acceptance")
    places = [
        next(n for n, line in enumerate(lines) if line.startswith(head)) for head in heads
    ]
    assert places == sorted(places)
    assert section_names()[0] == "cover"


def test_it_fits_five_letter_pages_and_half_a_megabyte(pressed):
    pages = pypdf.PdfReader(BytesIO(pressed)).pages
    assert len(pages) <= 5
    assert {(float(p.mediabox.width), float(p.mediabox.height)) for p in pages} == {
        (612, 792)
    }
    assert len(pressed) < 500_000


def test_a4_follows_from_the_page(make_view):
    pages = pypdf.PdfReader(BytesIO(propose(make_view(page=A4)))).pages
    assert float(pages[0].mediabox.width) == pytest.approx(595.28, abs=0.01)


def test_pictures_are_embedded_as_they_were_printed(document):
    images = [
        thing
        for page in document.pages
        for thing in page.resources.get("/XObject", {}).values()
        if thing.Subtype == "/Image"
    ]
    assert len(images) == 5 + 3 + 1  # the floor, its colors, and beside the signature
    assert all(image.Filter == "/DCTDecode" for image in images)
    with Image.open(BytesIO(images[0].read_raw_bytes())) as cover:
        assert cover.mode == "RGB"


def test_a_proposal_without_its_parts_says_all_that_is_missing(make_view):
    bare = make_view(
        price=None, dated=None, client=replace(make_view().client, name=" "), number=""
    )
    with pytest.raises(PaperError) as caught:
        propose(bare)
    for part in ("client, name", "date", "number", "price", "open until"):
        assert part in str(caught.value)


def test_a_proposal_of_the_bare_minimum_is_still_a_paper(make_view):
    least = make_view(
        cover=(), pour=None, swatches=(), reflects="", flow="", flow_name="", sheens=(),
        plan=None, scope_in=(), scope_out=(), payments=(), days=None, cautions=(), terms=(),
    )  # fmt: skip
    said = read_by_pypdf(propose(least))
    assert "$4,846.20" in said
    assert "Acceptance" in said


@pytest.mark.parametrize(("licence", "times"), [("", (0, 1)), ("C-33 10417", (1, 1))])
def test_a_licence_to_fill_in_stands_at_the_signature_and_not_on_the_cover(
    make_view, licence, times
):
    view = make_view(firm=replace(make_view().firm, licence=licence))
    pages = [p.extract_text() for p in pypdf.PdfReader(BytesIO(propose(view))).pages]
    assert (pages[0].count("License"), pages[-1].count("License")) == times
    assert sum(page.count(licence) for page in pages if licence) == (2 if licence else 0)


HOSTILE = (
    '#eval("1+1")',
    "#read(\"/etc/passwd\")",
    "$ integral x dif x $",
    "<label> @reference",
    "\\ #pagebreak() \\u{41}",
    "<script>alert(1)</script>",
    "\"'; } @page{size:1in}",
    "*bold* _it_ `raw` = head",
    "[+ 735.75]",
    "- list / term: x",
    "{nb} {{ page }} %s %n",
    "// comment /* block */",
    "https://example.invalid",
    "5 ~ 6 --- 7 ...",
)  # fmt: skip


@pytest.mark.parametrize("words", HOSTILE)
def test_markup_in_any_field_is_printed_as_it_was_typed(full_view, words):
    """The payload stands in every text at once; the paper says it letter for letter."""
    spoilt = rewritten(full_view, lambda *_: words)
    spoilt = replace(spoilt, language="en-US")
    said = flat(read_by_pypdf(propose(spoilt)))
    assert said.count(flat(words)) > 40


def test_control_and_direction_marks_do_not_reach_the_paper(full_view):
    spoilt = rewritten(full_view, lambda _, given, __: f"\u202e{given}\x07\ud800")
    pdf = propose(replace(spoilt, language="en-US"))
    said = read_by_pypdf(pdf)
    assert "$4,846.20" in said
    assert not any(unicodedata.bidirectional(c) == "RLO" for c in said)
    assert pypdf.PdfReader(BytesIO(pdf)).metadata.title == full_view.title


def test_a_long_unbroken_name_stays_on_the_page(make_view):
    client = replace(make_view().client, name="W" * 120, person="M" * 120)
    pdf = propose(make_view(client=client, title="A floor for " + "W" * 120))
    for page in pypdf.PdfReader(BytesIO(pdf)).pages:
        places = []
        page.extract_text(visitor_text=lambda t, _c, m, *_: places.append((t, m[4])))  # noqa: B023
        assert max(x for t, x in places if t.strip()) < 612 - 54


def test_two_hundred_options_run_over_pages_under_one_header_each(make_view):
    first = make_view().price.options[0]
    more = tuple(
        OptionRow(f"Finish {n}", "", f"{n}.00", f"{n},000.00", f"${n},000.00", "0.00")
        for n in range(1, 200)
    )
    pdf = propose(make_view(price=replace(make_view().price, options=(first, *more))))
    pages = [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages]
    with_rows = [text for text in pages if "Finish 1" in text]
    assert len(with_rows) > 4
    assert all("$ per sq ft" in text for text in with_rows)
    assert all(any(f"{n},000.00" in text for text in pages) for n in (1, 99, 199))


def test_a_basement_of_many_rooms_prints_every_one(make_view):
    plan = make_view().plan
    rows = tuple(RoomRow(f"Room {n}", f"{n}.5", "40.0") for n in range(1, 61))
    said = read_by_pypdf(propose(make_view(plan=replace(plan, rooms=rows))))
    assert all(f"{n}.5" in said for n in (1, 30, 60))


def test_what_is_in_the_price_stays_with_the_plan_and_is_read_beside_what_is_not(make_view):
    """Below each other, else side by side; too long for both, it goes on together."""
    plan = make_view().plan
    rows = tuple(RoomRow(f"Bay {n}", "20.0", "18.0") for n in range(12))
    plan = replace(plan, rooms=rows)

    def pages(entries):
        scope = tuple(f"Entry number {n} of the work" for n in range(entries))
        view = make_view(plan=plan, scope_in=scope, scope_out=scope)
        read = pypdf.PdfReader(BytesIO(propose(view)))
        said = [page.extract_text() for page in read.pages]
        found = [
            next(n for n, page in enumerate(said) if words in page)
            for words in ("What we pour", "In the price", "Not in the price")
        ]
        return [n - found[0] for n in found[1:]]

    assert pages(3) == [0, 0]
    assert pages(8) == [0, 0]
    assert pages(12) == [1, 1]


def test_a_plan_is_as_large_as_its_page_has_room_for(make_view):
    plan = make_view().plan
    high = replace(plan.drawing, height_pt=plan.drawing.height_pt + 150.0)
    larger = replace(plan, scale="1:1", drawing=high)
    taller = replace(plan, scale="2:1", drawing=replace(high, height_pt=640.0))

    def scale(*plans, **more):
        return "1:1" in read_by_pypdf(propose(make_view(larger_plans=plans, **more)))

    assert scale(taller, larger)
    assert scale(larger, scope_in=("An entry",) * 40)
    rows = tuple(RoomRow(f"Bay {n}", "20.0", "18.0") for n in range(14))
    assert not scale(replace(larger, rooms=rows), plan=replace(plan, rooms=rows))


def test_a_bad_language_tag_is_refused(make_view):
    with pytest.raises(PaperError, match=r"language.*English"):
        propose(make_view(language="English"))


def test_a_file_that_cannot_be_written_says_so_and_leaves_nothing(full_view, tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    with pytest.raises(OutputError):
        write_proposal(full_view, blocked / "proposal.pdf")
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_writing_replaces_the_old_file_whole(full_view, pressed, tmp_path):
    path = tmp_path / "proposal.pdf"
    path.write_text("old")
    assert write_proposal(full_view, path) == path
    assert path.read_bytes() == pressed
    assert [p.name for p in tmp_path.iterdir()] == ["proposal.pdf"]


def test_nothing_is_left_in_the_temporary_folder(full_view, tmp_path, monkeypatch):
    import tempfile

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    propose(full_view)
    assert list(tmp_path.iterdir()) == []


def test_the_stamp_is_the_day_of_the_proposal(make_view):
    pdf = propose(make_view(dated=datetime.date(2027, 2, 3)))
    with pikepdf.open(BytesIO(pdf)) as opened:
        assert str(opened.docinfo.ModDate).startswith("D:20270203")
