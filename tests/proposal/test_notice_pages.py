"""A firm's notice as a PDF: shown as it is, filled in, read aloud, or refused."""

from __future__ import annotations

import datetime
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from bands import Bands
from pikepdf import Array, Dictionary, Name

from kit.errors import PaperError
from kit.proposal import client_view, propose
from kit.proposal.cancelling import cancel_of
from kit.proposal.catalogue import words_in
from kit.proposal.notices import check_notice

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")

LINES = ("NOTICE OF CANCELLATION", "Stand-in words of an official form.", "I cancel.")


def made(*, pages=1, lines=LINES, size=(612, 792), fields=(), at=(72, 700)) -> pikepdf.Pdf:
    """A plain sheet with a few lines in Helvetica, and fields to fill in."""
    document = pikepdf.new()
    face = document.make_indirect(
        Dictionary(
            Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica,
            Encoding=Name.WinAnsiEncoding,
        )
    )  # fmt: skip
    for _ in range(pages):
        document.add_blank_page(page_size=size)
        page = document.pages[-1]
        page.obj.Resources = Dictionary(Font=Dictionary(F1=face))
        shown = "".join(
            f"BT /F1 11 Tf {at[0]} {at[1] - 40 * n} Td ({line}) Tj ET "
            for n, line in enumerate(lines)
        )
        page.obj.Contents = document.make_stream(shown.encode("latin-1"))
    if fields:
        page = document.pages[0].obj
        widgets = [
            document.make_indirect(
                Dictionary(
                    Type=Name.Annot, Subtype=Name.Widget, FT=Name.Tx, T=name, F=4, P=page,
                    Rect=[72, 480 - 40 * n, 372, 498 - 40 * n], DA="/Helv 11 Tf 0 g",
                )
            )
            for n, name in enumerate(fields)
        ]  # fmt: skip
        page.Annots = Array(widgets)
        document.Root.AcroForm = Dictionary(
            Fields=Array(widgets), DA="/Helv 11 Tf 0 g",
            DR=Dictionary(Font=Dictionary(Helv=face)),
        )  # fmt: skip
    return document


def content_of(document: pikepdf.Pdf, **how) -> bytes:
    out = BytesIO()
    document.save(out, **how)
    return out.getvalue()


@pytest.fixture
def at_home(demo_job, tmp_path):
    """The demo sold at the buyer's home, with a notice that is a PDF."""

    def make(content: bytes):
        place = tmp_path / "notice.pdf"
        place.write_bytes(content)
        return demo_job.changed(
            date=datetime.date(2026, 11, 24),
            sale=demo_job.sale.changed(at="home", buyer="household"),
            firm=demo_job.firm.changed(cancel_notice=str(place)),
        )

    return make


@pytest.fixture(scope="module")
def offer(demo_workup):
    return demo_workup.offer


def told(job, offer):
    from kit.stock import read_shelf

    return cancel_of(job, offer, read_shelf(), None, words_in(job.language))


@pytest.fixture
def paper(at_home, demo_workup):
    def press(content: bytes) -> bytes:
        job = at_home(content)
        return propose(client_view(job, demo_workup, Bands(job)))

    return press


def images_of(page) -> list[pikepdf.Stream]:
    things = page.obj.Resources.get("/XObject", {}).values()
    return [thing for thing in things if thing.get("/Subtype") == "/Image"]


@pytest.mark.paper
def test_its_pages_stand_at_the_end_twice_and_are_read_aloud(paper, tmp_path):
    pdf = paper(content_of(made(pages=2)))
    read = pypdf.PdfReader(BytesIO(pdf))
    heads = [page.extract_text() for page in read.pages][-4:]
    assert [f"Copy {n} of 2" in head for n, head in zip((1, 1, 2, 2), heads, strict=True)]
    outlined = [entry.title for entry in read.outline if not isinstance(entry, list)]
    assert outlined.count("Notice of cancellation") == 2

    with pikepdf.open(BytesIO(pdf)) as document:
        shown = [images_of(page) for page in document.pages][-4:]
        assert [len(images) for images in shown] == [1] * 4
        # both copies are one picture in the file
        assert shown[0][0].objgen == shown[2][0].objgen
        alts = [str(e.Alt) for e in elements(document) if e.S == "/Figure"][-4:]
        assert alts == [" ".join(LINES)] * 4

    pdfua = pytest.importorskip("pdfua", reason="pdfua is not installed")
    path = tmp_path / "proposal.pdf"
    path.write_bytes(pdf)
    found = pdfua.validate(str(path)).findings
    assert [one for one in found if one.severity is pdfua.Severity.ERROR] == []


def elements(document):
    return [
        thing
        for thing in document.objects
        if isinstance(thing, Dictionary) and thing.get("/Type") == "/StructElem"
    ]


@pytest.mark.paper
def test_what_is_printed_on_it_keeps_its_size(paper):
    """The line of the stand-in that is drawn longest, in Helvetica of 11 points."""
    pdf = paper(content_of(made()))
    with pikepdf.open(BytesIO(pdf)) as document:
        page = document.pages[-1]
        (image,) = images_of(page)
        scales = [
            [float(at) for at in instruction.operands]
            for instruction in pikepdf.parse_content_stream(page)
            if str(instruction.operator) == "cm"
        ]
    wide = image.Width * 72 / 200
    assert any(abs(abs(matrix[0]) - wide) < 0.5 for matrix in scales)
    assert 150 < wide < 200


@pytest.mark.paper
def test_no_script_font_or_form_of_it_comes_along(paper):
    pdf = paper(content_of(made(fields=("date", "last_day"))))
    with pikepdf.open(BytesIO(pdf)) as document:
        assert "/AcroForm" not in document.Root
        assert not any("Helvetica" in str(t.get("/BaseFont", "")) for t in fonts(document))


def fonts(document):
    return [
        thing
        for thing in document.objects
        if isinstance(thing, Dictionary) and thing.get("/Type") == "/Font"
    ]


def test_its_fields_are_filled_in_and_then_nothing_is_left_to_write(at_home, offer):
    fields = ("buyer", "seller", "date", "last_day")
    job = at_home(content_of(made(fields=fields)))
    client = job.site.client.changed(person="Éva Łuk")
    job = job.changed(site=job.site.changed(client=client))
    cancel = told(job, offer)
    (page,) = cancel.pages
    for words in ("Éva Łuk", "Oddny Tarn Poured Floors", "November 24, 2026",
                  "Saturday, November 28, 2026"):  # fmt: skip
        assert words in page.words
    assert (cancel.lacks, cancel.by_hand) == ((), "")


def test_without_fields_the_paper_says_what_is_written_by_hand(at_home, offer):
    cancel = told(at_home(content_of(made())), offer)
    assert "November 24, 2026" in cancel.by_hand
    assert "Saturday, November 28, 2026" in cancel.by_hand
    assert cancel.lacks == ()


def test_a_bare_page_behind_it_is_left_out(at_home, offer):
    document = made()
    document.add_blank_page(page_size=(612, 792))
    assert len(told(at_home(content_of(document)), offer).pages) == 1


@pytest.mark.paper
def test_a_sheet_that_must_be_made_much_smaller_is_refused(paper):
    full = tuple(f"line {n}" for n in range(23))
    with pytest.raises(PaperError, match=r"cancel_notice: found print of .* in on a page"):
        paper(content_of(made(size=(612, 1008), lines=full, at=(72, 960))))


def test_such_a_sheet_is_not_attached_at_all(at_home):
    full = tuple(f"line {n}" for n in range(23))
    job = at_home(content_of(made(size=(612, 1008), lines=full, at=(72, 960))))
    with pytest.raises(PaperError, match=r"cancel_notice: found print of .* in on a page"):
        check_notice(Path(job.firm.cancel_notice), job)


def scripted() -> bytes:
    document = made()
    document.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="app.alert(1)")
    return content_of(document)


def with_attachment() -> bytes:
    document = made()
    document.attachments["costs.csv"] = b"cost,1"
    return content_of(document)


def encrypted(user: str) -> bytes:
    locked = pikepdf.Encryption(owner="owner", user=user)
    return content_of(made(), encryption=locked)


HOSTILE = {
    "locked": (lambda: encrypted("word"), "found an encrypted file"),
    "locked for the owner": (lambda: encrypted(""), "found an encrypted file"),
    "no page": (lambda: content_of(pikepdf.new()), "found 0 pages; expected 1 to 4"),
    "many pages": (lambda: content_of(made(pages=500)), "found 500 pages"),
    "script": (scripted, "no script and no attachment"),
    "attachment": (with_attachment, "no script and no attachment"),
    "cut short": (lambda: content_of(made())[:-200], "found a damaged file, or none"),
    "no PDF": (lambda: b"GIF89a", "found a damaged file, or none"),
    "empty": (lambda: b"", "found a damaged file, or none"),
    "large": (lambda: b"%PDF-1.7" + b"0" * 5_000_000, "found 5,000,008 bytes"),
    "a wall of it": (lambda: content_of(made(size=(14_400, 14_400))), "a page of 14400"),
    "other fields": (lambda: content_of(made(fields=("x",))), "none named date, last_day"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_and_the_field_named(at_home, offer, tmp_path, name):
    make, expected = HOSTILE[name]
    job = at_home(make())
    with pytest.raises(PaperError, match=expected) as caught:
        told(job, offer)
    assert str(caught.value).startswith("firm, cancel_notice notice.pdf")
    assert str(tmp_path) not in str(caught.value)
    with pytest.raises(PaperError, match=expected):
        check_notice(tmp_path / "notice.pdf", job)


@pytest.mark.parametrize(
    ("document", "expected"),
    [
        (lambda: made(lines=()), "found bare pages"),
        (lambda: picture_only(), "page 1: found a picture without words"),
        (lambda: cramped(), 'field "last_day": found not all of what it is to say'),
    ],
)
def test_a_sheet_that_cannot_be_read_aloud_is_refused(at_home, offer, document, expected):
    job = at_home(content_of(document()))
    with pytest.raises(PaperError, match=expected):
        told(job, offer)
    with pytest.raises(PaperError, match=expected):
        check_notice(Path(job.firm.cancel_notice), job)


def picture_only() -> pikepdf.Pdf:
    document = made()
    document.pages[0].obj.Contents = document.make_stream(b"72 72 200 200 re f")
    return document


def cramped() -> pikepdf.Pdf:
    """A field whose letters are not those that it is to say: it holds four at most."""
    document = made(fields=("date", "last_day"))
    document.Root.AcroForm.Fields[1].update({"/MaxLen": 4, "/Ff": 1 << 24})
    return document
