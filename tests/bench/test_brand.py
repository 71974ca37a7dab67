"""The look of the paper as it is chosen at the table, and what is the firm's own."""

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from kit.bench import brand
from kit.bench.paper_figures import unready_at_home
from kit.bench.state import TableState
from kit.errors import KitError
from kit.ink import plex_sans_file

SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 10">'
    b'<path d="M0 0h30v10z"/></svg>'
)


@pytest.fixture(autouse=True)
def book(monkeypatch, tmp_path):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    return tmp_path


def picture(kind, size=(60, 20)):
    out = BytesIO()
    Image.new("RGB", size, "#1f4e79").save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "content"),
    [("Our mark.png", picture("PNG")), ("m.JPG", picture("JPEG")), ("m.svg", SVG)],
)
def test_a_logo_is_kept_beside_the_book_and_taken_off_again(demo_job, book, name, content):
    path = brand.taken_in(demo_job, "logo", name, content)
    assert path.read_bytes() == content
    assert path.is_relative_to(book / "brand")
    job = brand.with_file(demo_job, "logo", str(path))
    shown = brand.brand_figures(job)
    assert shown["logo"] == path.name
    assert str(book) not in str(shown)
    assert brand.with_file(job, "logo", "").firm == demo_job.firm


@pytest.mark.parametrize(
    ("kind", "name", "content", "told"),
    [
        ("logo", "x.png", b"not a picture", "x.png"),
        ("logo", "cut.png", picture("PNG")[:60], "cut.png"),
        ("logo", "thin.png", picture("PNG", (900, 10)), "at most 20 times"),
        ("logo", "s.svg", SVG.replace(b"<path", b"<script/><path"), "<script>"),
        ("logo", "../../e.svg", b"<svg", "e.svg"),
        ("logo", "empty.png", b"", "not empty"),
        ("logo", "large.png", b"x" * (brand.MOST_BYTES + 1), "at most 8 MB"),
        ("cancel_notice", "n.txt", b"\xff\xfe\0", "n.txt"),
        ("cancel_notice", "n.pdf", b"%PDF-1.7 cut", "n.pdf"),
        ("cancel_notice", "n.txt", b"no marks", "no {date} and no {last_day}"),
        ("cancel_notice", "n.txt", b"{date} {cost}", "no {last_day} and {cost}"),
        ("cancel_notice", "fox.txt", "{date} {last_day} 🦊".encode(), "U+1F98A"),
        ("font", "f.ttf", b"\0\1\0\0 nothing", "typeface"),
        ("font", "f.woff2", picture("PNG"), ".ttf or .otf"),
        ("stamp", "x.png", picture("PNG"), "logo or font"),
    ],
    ids=lambda v: v if isinstance(v, str) and len(v) < 20 else "",
)
def test_a_file_that_cannot_be_printed_is_refused_in_words(
    demo_job, book, kind, name, content, told
):
    with pytest.raises(KitError) as refused:
        brand.taken_in(demo_job, kind, name, content)
    assert told in refused.value.line
    assert "/tmp" not in refused.value.line
    assert not (book / "brand").exists()


def test_an_official_notice_is_attached_from_a_file(demo_job):
    job = demo_job.changed(sale=demo_job.sale.changed(at="home", buyer="household"))
    state = TableState(job)
    offer, shelf = state.offer, state.shelf
    assert "not attached" in unready_at_home(job, offer, shelf)[0]["says"]
    words = b"Signed {date}. Until {last_day}."
    path = brand.taken_in(job, "cancel_notice", "our notice.txt", words)
    job = brand.with_file(job, "cancel_notice", str(path))
    assert unready_at_home(job, offer, shelf) == []
    assert brand.brand_figures(job)["cancel_notice"] == "our-notice.txt"


def test_a_typeface_is_taken_if_it_has_the_letters_of_the_language(demo_job):
    content = plex_sans_file().read_bytes()
    path = brand.taken_in(demo_job, "font", "Plex.ttf", content)
    job = brand.with_file(demo_job, "font", str(path))
    assert brand.with_language(job, "es").language == "es"

    poor = Path(path).with_name("poor.ttf")
    poor.write_bytes(_with_ascii_only(content))
    poor_job = job.changed(firm=job.firm.changed(font=str(poor)))
    with pytest.raises(KitError, match="every letter"):
        brand.with_language(poor_job, "es")


def _with_ascii_only(content):
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    font = TTFont(BytesIO(content))
    subsetter = Subsetter(Options())
    subsetter.populate(unicodes=range(0x20, 0x7F))
    subsetter.subset(font)
    out = BytesIO()
    font.save(out)
    return out.getvalue()


def test_language_units_and_color_are_chosen_and_nonsense_is_refused(demo_job):
    state = TableState(demo_job)
    assert brand.spoken() == {"en": "English", "es": "Español"}
    for choice, good, bad in (
        (brand.with_language, "es", "tlh"),
        (brand.with_units, "metric", "cubits"),
        (brand.with_accent, "#1F4E79", "blue"),
    ):
        assert state.change(lambda job, do=choice, to=good: do(job, to)) is None
        assert bad in state.change(lambda job, do=choice, to=bad: do(job, to)).says
    assert state.job.language == "es"
    assert state.job.paper.units == "metric"
    assert brand.with_accent(state.job, "").firm.accent == ""
    assert state.job.firm.accent == "#1f4e79"
