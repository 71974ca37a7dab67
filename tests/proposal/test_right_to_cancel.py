"""What the paper says of cancelling, and that it is not ready without the firm's notice."""

from __future__ import annotations

import datetime
import re
from decimal import Decimal
from io import BytesIO

import pytest
from bands import Bands

from kit.errors import PaperError
from kit.job import Sale, Signature, workup
from kit.proposal import client_view, propose, words_in
from kit.proposal.cancelling import cancel_of
from kit.stock import read_shelf

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")

NOTICE = """OFFICIAL FORM OF AN INVENTED PLACE

Sale of {date} by {seller}, {seller_address}, to {buyer}.

You may send this back until midnight of {last_day}.
"""


@pytest.fixture
def at_home(demo_job, tmp_path):
    """The demo, sold at a home on a Tuesday before Thanksgiving, with or without a form."""

    def make(*, form: str | None = NOTICE, **sale):
        place = tmp_path / "notice-en.txt"
        if form is not None:
            place.write_text(form, encoding="utf-8")
        firm = demo_job.firm.changed(
            cancel_notice=str(tmp_path / "notice-{language}.txt") if form else ""
        )
        day = datetime.date(2026, 11, 24)
        return demo_job.changed(date=day, firm=firm, sale=Sale(**sale))

    return make


def seen(job):
    return client_view(job, workup(job), Bands(job))


def told(job):
    """What is said of cancelling, without a picture."""
    return cancel_of(job, workup(job).offer, read_shelf(), None, words_in("en"))


def pages(view):
    read = pypdf.PdfReader(BytesIO(propose(view))).pages
    return [re.sub(r"\s+", " ", page.extract_text()) for page in read]


@pytest.mark.paper
def test_the_last_day_stands_in_its_section_beside_the_signature_and_in_the_form(at_home):
    """16 CFR 429.0: the third business day from November 24, 2026 is Saturday the 28th."""
    view = seen(at_home())
    said = pages(view)
    last = "Saturday, November 28, 2026"
    assert last in view.cancel.says
    assert view.cancel.lacks == ()
    signing = next(page for page in said if "I accept this proposal" in page)
    assert f"until midnight at the end of {last}" in signing
    copies = [page for page in said if "OFFICIAL FORM" in page]
    assert len(copies) == 2
    for number, copy in enumerate(copies, start=1):
        assert f"Copy {number} of 2" in copy
        assert f"until midnight of {last}" in copy
        assert "Sale of November 24, 2026 by Oddny Tarn Poured Floors, 9 Ropewalk" in copy
    assert "Not ready" not in " ".join(said)


@pytest.mark.paper
def test_without_the_firms_form_it_is_marked_as_not_ready_with_the_reason(at_home):
    said = pages(seen(at_home(form=None)))
    cover, signing = said[0], next(p for p in said if "I accept this" in p)
    for page in (cover, signing):
        assert "Not ready to be signed at home" in page
        assert "notice of cancellation is not attached" in page
    assert "You may cancel until" not in " ".join(said)


def test_where_two_rules_cover_a_sale_the_latest_day_is_the_one_told(at_home):
    """California gives five days from 65, and nobody asked: Tuesday, December 1."""
    cancel = told(at_home(region="us_ca"))
    assert [row.days for row in cancel.rows] == ["3", "5"]
    assert [row.last_day for row in cancel.rows] == [
        "November 28, 2026",
        "December 1, 2026",
    ]
    assert "Tuesday, December 1, 2026" in cancel.at_signature


def test_california_asks_for_mail_and_phone_of_the_firm(at_home):
    """AB 1327 (Stats. 2025 ch. 348), as told by others."""
    job = at_home(region="us_ca")
    mute = job.changed(firm=job.firm.changed(email="", phone=""))
    (why,) = told(mute).lacks
    assert "an e-mail address and a telephone number is missing" in why
    assert told(job).lacks == ()


def test_days_are_counted_from_a_signature_that_stands(at_home):
    job = at_home()
    total = workup(job).offer.total
    day = datetime.date(2026, 12, 2)
    signed = job.changed(signed=Signature(name="Ines Quarrie", day=day, total=total))
    assert "Saturday, December 5, 2026" in seen(signed).cancel.says
    stale = signed.changed(
        signed=Signature(name="Ines Quarrie", day=day, total=Decimal("1.00"))
    )
    assert "November 28" in seen(stale).cancel.says


def test_a_sale_in_the_office_keeps_the_general_word_and_a_business_needs_none(at_home):
    office, business = seen(at_home(at="office")), seen(at_home(buyer="business"))
    title = "You may have a right to cancel"
    assert office.cancel is business.cancel is None
    assert title in {one.about for one in office.cautions}
    assert title not in {one.about for one in business.cautions}
    assert title not in {one.about for one in seen(at_home()).cautions}


@pytest.mark.parametrize(
    ("form", "told"),
    [
        (
            "NOTICE\n\nBy {date}.",
            r"no \{last_day\}; expected \{date\} and \{last_day\} in it",
        ),
        ("NOTICE\n\nBy us.", r"no \{date\} and no \{last_day\}; expected"),
        ("NOTICE\n\n{date} {last_day} {cost}", r"found \{cost\}; expected only \{seller\}"),
        ("x" * 20_001, r"notice-en.txt: found 20,001 bytes"),
    ],
)
def test_a_form_that_cannot_be_filled_in_is_refused(at_home, form, told):
    with pytest.raises(PaperError, match=told):
        seen(at_home(form=form))


LINES = "FORM OF AN INVENTED PLACE\r\nSold {date}.\rUntil\t {last_day}.\nSign: ______"
READ = (
    "FORM OF AN INVENTED PLACE",
    "Sold November 24, 2026.",
    "Until Saturday, November 28, 2026.",
    "Sign: ______",
)


@pytest.mark.parametrize(
    ("form", "caption", "paragraphs"),
    [
        (LINES, "", (READ,)),
        (LINES.replace("\r\n", "\n \n"), READ[0], (READ[1:],)),
        ("\n\n" + LINES + "\n\nEnd", "", (READ, ("End",))),
        ("A" * 81 + "\n\n{date} {last_day}", "", None),
        ("{date} to {last_day}\n\n", "", None),
    ],
)
def test_only_a_short_line_with_none_after_it_is_a_caption_and_lines_are_kept(
    at_home, form, caption, paragraphs
):
    cancel = told(at_home(form=form))
    assert cancel.caption == caption
    if paragraphs:
        assert cancel.notice == paragraphs
    else:
        assert all(len(lines) == 1 for lines in cancel.notice)


@pytest.mark.paper
def test_the_lines_of_a_form_without_a_caption_are_printed_as_lines(at_home):
    view = seen(at_home(form=LINES))
    read = pypdf.PdfReader(BytesIO(propose(view)))
    printed = [line.strip() for line in read.pages[-1].extract_text().splitlines()]
    assert [line for line in printed if line in READ] == list(READ)
    outlined = [entry.title for entry in read.outline if not isinstance(entry, list)]
    assert outlined[-2:] == ["Notice of cancellation"] * 2


def test_a_form_that_is_no_text_or_not_there_is_named_without_its_folder(at_home, tmp_path):
    job = at_home()
    place = tmp_path / "notice-en.txt"
    place.write_bytes(b"%PDF-1.7\xff\xfe")
    with pytest.raises(PaperError, match=r"notice-en\.txt: found no text") as caught:
        seen(job)
    assert str(tmp_path) not in str(caught.value)
    place.unlink()
    with pytest.raises(PaperError, match=r"No such file.*text file \(\.txt, UTF-8\)"):
        seen(job)


@pytest.mark.paper
def test_the_form_is_not_set_below_ten_points(at_home):
    sizes = []
    read = pypdf.PdfReader(BytesIO(propose(seen(at_home())))).pages[-1]

    def note(text, _cm, matrix, _font, size):
        if "midnight" in text:
            sizes.append(size * abs(matrix[3]))

    read.extract_text(visitor_text=note)
    assert sizes
    assert all(size >= 10.0 for size in sizes)


def test_the_sheet_says_how_it_is_sold_and_files_are_found_from_its_folder(
    demo_sheet, tmp_path
):
    from kit.job import Job

    text = demo_sheet.read_text(encoding="utf-8")
    text = text.replace('at = "away"\n', 'at = "home"\nregion = "us_ia"\n')
    text = text.replace("[firm]\n", '[firm]\ncancel_notice = "forms/notice.txt"\n')
    (tmp_path / "floor.toml").write_text(text, encoding="utf-8")
    job = Job.from_sheet(tmp_path / "floor.toml")
    assert (job.sale.at, job.sale.region, job.sale.buyer) == ("home", "us_ia", "business")
    assert job.firm.cancel_notice == str(tmp_path / "forms" / "notice.txt")
