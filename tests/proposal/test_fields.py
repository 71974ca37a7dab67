"""Empty fields to sign in, read back with other eyes."""

from __future__ import annotations

import time
from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest

from kit.errors import PaperError
from kit.press.fields import with_fields
from kit.press.gate import check_release
from kit.proposal import propose
from kit.proposal.compose import compose
from kit.proposal.shown import ClientView
from kit.proposal.signed import Signed

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
pytestmark = pytest.mark.paper

TOLD = {"client": "Signature of Ines Quarrie", "firm": "Signature of Oddny Tarn"}


@pytest.fixture(scope="module")
def with_both(full_view) -> ClientView:
    return replace(full_view, has_fields=True)


@pytest.fixture(scope="module")
def paper(with_both) -> bytes:
    return propose(with_both)


@pytest.fixture
def document(paper):
    with pikepdf.open(BytesIO(paper)) as opened:
        yield opened


def test_a_paper_has_no_field_unless_it_is_asked_for(pressed):
    with pikepdf.open(BytesIO(pressed)) as document:
        assert "/AcroForm" not in document.Root
        assert not any("/Annots" in page.obj for page in document.pages)


def test_pypdf_finds_an_empty_field_for_each_side(paper):
    fields = pypdf.PdfReader(BytesIO(paper)).get_fields()
    assert {name: field["/TU"] for name, field in fields.items()} == TOLD
    assert {(field["/FT"], field.get("/V")) for field in fields.values()} == {
        ("/Sig", None)
    }


def test_each_field_stands_over_the_line_of_who_signs(document):
    """The line is drawn at its foot: the field is above it, as wide, and on the page."""
    for field in document.Root.AcroForm.Fields:
        left, low, right, high = map(float, field.Rect)
        assert right - left > 120
        assert 20 < high - low < 40
        assert 54 <= left < right <= 612 - 54
        assert field.P.objgen == document.pages[-1].obj.objgen


def test_each_field_has_its_place_in_the_structure(document):
    """ISO 14289-1, 7.18.1, 7.18.3 and 7.18.4, from memory: read in order, as Form."""
    tree = document.Root.StructTreeRoot
    owners = dict(pairs(tree.ParentTree.Nums))
    for field in document.Root.AcroForm.Fields:
        element = owners[int(field.StructParent)]
        assert element.S == "/Form"
        kid = element.K
        assert (kid.Type, kid.Obj.objgen) == ("/OBJR", field.objgen)
        assert kid.Pg.objgen == field.P.objgen
        assert element.P.S in ("/TD", "/P", "/Div", "/Sect", "/Part", "/Document")
        assert field.P.Tabs == "/S"


def pairs(nums):
    return ((int(nums[n]), nums[n + 1]) for n in range(0, len(nums), 2))


def test_an_empty_field_prints_nothing_and_needs_no_font(document):
    """ISO 19005-2, 6.3.3, from memory: every widget has its appearance."""
    for field in document.Root.AcroForm.Fields:
        assert field.F == 4
        assert field.AP.N.read_bytes() == b""
        assert "/Resources" not in field.AP.N
        assert not {"/A", "/AA", "/V"} & set(field.keys())
    assert "/NeedAppearances" not in document.Root.AcroForm


def test_pdfua_finds_no_error_in_it(paper, tmp_path):
    pdfua = pytest.importorskip("pdfua", reason="pdfua is not installed")
    path = tmp_path / "proposal.pdf"
    path.write_bytes(paper)
    report = pdfua.validate(str(path))
    assert [f for f in report.findings if f.severity is pdfua.Severity.ERROR] == []


def test_it_still_says_what_it_is(document):
    xmp = document.Root.Metadata.read_bytes().decode()
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
    assert len(document.trailer.ID) == 2


def test_the_same_paper_is_the_same_bytes_in_another_second(with_both):
    """Names of files are otherwise drawn from the clock, a second at a time."""
    first = propose(with_both)
    second = int(time.time())
    while int(time.time()) == second:
        time.sleep(0.05)
    assert propose(with_both) == first


def test_fields_move_nothing_on_the_page(paper, pressed):
    said = [
        [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages]
        for pdf in (paper, pressed)
    ]
    assert said[0] == said[1]


def test_who_has_signed_at_the_table_has_no_field_left(with_both):
    signed = Signed("Ines Quarrie", "November 25, 2026", (), 3.0, "Signature.")
    fields = pypdf.PdfReader(
        BytesIO(propose(replace(with_both, signed=signed)))
    ).get_fields()
    assert list(fields) == ["firm"]


@pytest.mark.parametrize("told", [{"client": ""}, {**TOLD, "witness": "A third"}])
def test_a_field_without_its_place_is_refused(full_view, told):
    from kit.press.setting import typeset

    with_links = compose(replace(full_view, has_fields=True))
    pdf = typeset(with_links, stamp=full_stamp())
    with pytest.raises(PaperError, match="fields to sign"):
        with_fields(pdf, told)


def full_stamp():
    import datetime

    return datetime.datetime(2026, 11, 25, 12, tzinfo=datetime.UTC)


def let_through(document, **keys):
    field = document.Root.AcroForm.Fields[0]
    for key, value in keys.items():
        field[f"/{key}"] = value


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: let_through(d, FT=pikepdf.Name.Tx),
        lambda d: let_through(d, V=pikepdf.Dictionary(Type=pikepdf.Name.Sig)),
        lambda d: let_through(d, TU="Something else"),
        lambda d: d.Root.AcroForm.Fields.append(
            d.make_indirect(pikepdf.Dictionary(FT=pikepdf.Name.Sig, T="third", TU=""))
        ),
        lambda d: d.Root.AcroForm.update({"/XFA": pikepdf.Array([])}),
        lambda d: d.Root.AcroForm.update({"/NeedAppearances": True}),
    ],
    ids=["text field", "signed", "other words", "third field", "XFA", "appearances"],
)
def test_any_other_form_is_not_released(with_both, document, spoil):
    spoil(document)
    out = BytesIO()
    document.save(out)
    with pytest.raises(PaperError, match="release of the paper"):
        check_release(
            out.getvalue(),
            compose(with_both),
            title=with_both.title,
            author=with_both.firm.name,
        )
