"""The paper's step at the table: its wishes, what the page is told, and the signature."""

import asyncio
import json
from pathlib import Path

import pytest

from kit.bench import paper_desk
from kit.bench.faults import Faults
from kit.bench.papers import Paper
from kit.bench.scenes import Studio
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.book import Book
from kit.errors import PaperError

JPEG = b"\xff\xd8 a picture \xff\xd9"
INK = [[[0.1, 0.5], [0.4, 0.3], [0.8, 0.6]]]


class Page:
    """The other end of the wire, with pictures and pages that are but bytes."""

    def __init__(self, job, folder):
        self.said, self.told = [], []
        self.visit = Visit(TableState(job), faults=Faults(self.said.append, folder))
        self.visit.frame.send = lambda content, buffers=None: self.told.append(
            (content, buffers)
        )

    def ask(self, *parts, **wish):
        self.told.clear()
        self.visit.frame._handle_custom_msg({**wish, "number": 7}, list(parts))
        return next(c for c, _ in self.told if c.get("answered") == 7)["complaint"]

    @property
    def paper(self):
        return self.visit.frame.figures["paper"]

    @property
    def station(self):
        return self.visit.frame.figures["stations"]["paper"]

    @property
    def notice(self):
        return self.visit.frame.notice.get("says", "")


@pytest.fixture
def quiet(monkeypatch):
    monkeypatch.setattr(Studio, "paint", lambda _, scene: (JPEG,) * len(scene.sides))
    monkeypatch.setattr(Studio, "paint_sample", lambda _, scene: (JPEG,) * len(scene.sides))
    monkeypatch.setattr(
        paper_desk, "make_paper", lambda *_: Paper("proposal.pdf", b"%PDF", (b"page",))
    )


@pytest.fixture
def page(demo_job, quiet, tmp_path):
    return Page(demo_job, tmp_path)


def test_a_field_is_filled_refused_and_undone(page):
    assert page.ask(do="fill", field="client, name", text="Oyster House") == ""
    assert page.paper["fields"]["client, name"] == "Oyster House"
    assert page.visit.frame.figures["head"]["client"] == "Oyster House"

    complaint = page.ask(do="fill", field="job, valid_days", text="1e9")
    assert complaint.startswith("Valid days is 1e9. Give a whole number of days")
    assert page.paper["fields"]["job, valid_days"] == "28"
    page.ask(do="undo")
    assert page.paper["fields"]["client, name"] == "Slipway Pottery"


@pytest.mark.parametrize(
    "wish",
    [
        {"do": "fill"},
        {"do": "fill", "field": "client, name"},
        {"do": "fill", "field": "client, name", "text": ["a"]},
        {"do": "fill", "field": "client", "text": "a"},
        {"do": "page", "page": "legal"},
        {"do": "page", "page": 4},
        {"do": "priced", "finish": "tin", "on": True},
        {"do": "priced", "finish": "matte", "on": False},
        {"do": "design_shown", "name": "Nobody's", "on": True},
        {"do": "sign", "name": "Ines", "strokes": [], "ratio": 3},
        {"do": "sign", "name": "", "strokes": INK, "ratio": 3},
        {"do": "sign", "name": "Ines", "strokes": INK, "ratio": 0},
        {"do": "sign", "name": "Ines", "strokes": INK, "ratio": "wide"},
        {"do": "sign", "name": "Ines", "strokes": INK},
    ],
    ids=str,
)
def test_nonsense_is_told_and_changes_nothing(page, wish):
    job, figures = page.visit.state.job, page.visit.frame.figures
    assert page.ask(**wish) != ""
    assert page.visit.state.job is job
    assert page.visit.frame.figures == figures
    assert page.said == []


def test_the_day_the_price_ends_is_told_in_words(page):
    assert page.paper["until"] == "The price stands until Wednesday, December 23, 2026."
    page.ask(do="fill", field="job, date", text="2027-02-27")
    page.ask(do="fill", field="job, valid_days", text="2")
    assert page.paper["until"] == "The price stands until Monday, March 1, 2027."


def test_pages_are_told_while_they_are_looked_at(page):
    page.ask(do="pages", on=True)
    assert (
        {"pages": {"count": 1, "sketch": False, "stale": False}},
        [b"page"],
    ) in page.told
    page.ask(do="pages", on=False)
    page.ask(do="finish", finish="gloss")
    assert not any("pages" in content for content, _ in page.told)


def test_a_paper_is_accepted_and_says_so(page):
    total = page.visit.frame.figures["price"]["total"]
    pattern = f"pattern\N{NO-BREAK SPACE}{page.visit.state.job.recipe.seed}"
    assert page.paper["accepts"].startswith(f"the floor in matte ({pattern} in ")
    assert page.paper["accepts"].endswith(f"), for {total}")
    assert page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3) == ""
    assert page.paper["signed"]["says"].startswith("Signed by Ines Quarrie on ")
    assert total in page.paper["signed"]["says"]
    assert page.station == "signed"


def test_what_is_signed_for_is_named_as_the_paper_names_it(page):
    page.ask(do="extra", extra="cove")
    page.ask(do="keep")
    page.ask(do="rename", place=0, name="Night tide")
    assert "(design “Night tide” in " in page.paper["accepts"]
    assert "), with Cove base, 4 in, for $" in page.paper["accepts"]
    page.ask(do="design_shown", name="Night tide", on=False)
    assert "Night tide" not in page.paper["accepts"]


def test_a_kept_design_keeps_its_name_in_another_finish(page):
    page.ask(do="keep")
    page.ask(do="finish", finish="gloss")
    assert page.paper["accepts"].startswith("the floor in gloss (design “Design 1” in ")


def test_cards_sides_labels_and_pages_tell_one_finish_and_price_of_a_design(page):
    page.ask(do="keep")
    page.ask(do="seed", seed=5)
    page.ask(do="keep")
    page.ask(do="finish", finish="satin")
    visit = page.visit
    visit.stage.compare = True
    for side, name in (("left", "Design 1"), ("right", "Design 2")):
        page.ask(do="lay", side=side, finish=f"design {name}")
    figures = visit.frame.figures
    price = figures["price"]["per_sqft"]
    each = f"{price} {figures['units']['per_area']}"
    assert visit.stage.words["Design 1, satin"] == each
    assert visit.stage.words["Design 2, satin"] == each
    assert [one["per_sqft"] for one in figures["designs"]] == [price, price]
    assert {one["difference"] for one in figures["designs"]} == {"no difference"}
    for told in (figures["designs"], page.paper["designs"]):
        assert [one["finish"] for one in told] == ["Satin", "Satin"]
    assert [side.finish for side in visit.gallery._designs] == ["satin", "satin"]


def test_a_pour_is_never_called_by_a_long_number(page):
    page.ask(do="seed", seed=1013904229)
    assert page.paper["accepts"].startswith("the floor in matte (pattern\xa0229 in ")


def test_a_change_takes_the_signature_off_in_words_and_undo_brings_it_back(page):
    page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    page.ask(do="finish", finish="gloss")
    assert page.paper["signed"] is None
    assert page.notice == (
        "Ines Quarrie's signature came off, for the finish changed. Undo brings both back."
    )
    page.ask(do="undo")
    assert page.paper["signed"] is not None
    assert page.notice == ""
    page.ask(do="redo")
    assert "signature came off, for the finish" in page.notice


def attach(page, words, name="notice.txt"):
    return page.ask(words, do="brand", kind="cancel_notice", name=name)


@pytest.fixture
def at_home(demo_job, quiet, tmp_path, monkeypatch):
    """A table at the buyer's home, with a notice attached."""
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    sale = demo_job.sale.changed(at="home", buyer="household")
    page = Page(demo_job.changed(sale=sale), tmp_path)
    assert attach(page, b"Sold {date}. Until {last_day}.") == ""
    return page


@pytest.mark.parametrize("swapped", [True, False])
def test_a_notice_swapped_or_taken_off_takes_the_signature_off(at_home, swapped):
    at_home.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    if swapped:
        assert attach(at_home, b"Other: {date}, {last_day}.") == ""
    else:
        at_home.ask(do="brand_off", kind="cancel_notice")
    assert at_home.paper["signed"] is None
    ready = "ready to save" if swapped else "ready, not yet to sign"
    assert at_home.station == ready
    assert at_home.notice == (
        "Ines Quarrie's signature came off, for the notice of cancellation changed. "
        "Undo brings both back."
    )
    at_home.ask(do="undo")
    assert at_home.paper["signed"]
    assert at_home.notice == ""


def test_what_the_firm_is_not_reached_by_is_told_until_it_is_filled_in(at_home):
    for part in ("phone", "email", "licence"):
        at_home.ask(do="firm", field=part, text="")
    told = {one["field"]: one["says"] for one in at_home.paper["advice"]}
    assert told["firm, phone"] == (
        "Without a phone or email clients cannot reach you from the paper."
    )
    assert told["firm, licence"] == "Without a license number a line is left for it."
    at_home.ask(do="firm", field="email", text="us@slipway.example")
    assert {"firm, phone"}.isdisjoint(one["field"] for one in at_home.paper["advice"])


def test_a_refused_notice_leaves_the_last_good_one_and_the_signature(at_home):
    at_home.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    before = at_home.visit.state.job
    complaint = attach(at_home, b"Without any mark.", name="bad.txt")
    assert "no {date} and no {last_day}" in complaint
    assert at_home.visit.state.job == before
    assert at_home.paper["brand"]["cancel_notice"] == "notice.txt"
    assert at_home.station == "signed"
    assert at_home.paper["brand"]["marks"] == "{date} and {last_day}"


def test_a_notice_that_is_there_no_more_keeps_the_paper_back(at_home):
    Path(at_home.visit.state.job.firm.cancel_notice).unlink()
    at_home.ask(do="fill", field="client, phone", text="555 0142")
    assert at_home.station == "to fill in"
    assert "No such file" in at_home.paper["missing"]
    assert attach(at_home, b"Anew: {date}, {last_day}.") == ""
    assert (at_home.station, at_home.paper["missing"]) == ("ready to save", "")


def test_what_the_press_failed_with_is_said_until_the_pages_are_set(
    page, monkeypatch, tmp_path
):
    def fail(*_):
        raise PaperError("logo", found="nothing", expected="a picture")

    page.visit.faults = Faults(page.visit.tell, tmp_path)
    good = paper_desk.make_paper
    monkeypatch.setattr(paper_desk, "make_paper", fail)

    async def look():
        page.ask(do="pages", on=True)
        await page.visit.desk.settled()

    asyncio.run(look())
    assert page.notice.startswith("Logo")
    monkeypatch.setattr(paper_desk, "make_paper", good)
    asyncio.run(look())
    assert page.notice == ""


def test_signing_that_is_taken_back_is_told_until_there_is_a_signature_again(page):
    page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    page.ask(do="undo")
    assert page.notice == (
        "Ines Quarrie's signature came off, for signing was the last step. "
        "Redo brings it back."
    )
    page.ask(do="redo")
    assert page.notice == ""


def test_taking_a_signature_off_needs_no_words(page):
    page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    page.ask(do="unsign")
    assert page.notice == ""
    assert page.paper["signed"] is None


def test_a_job_signed_for_another_price_is_to_be_signed_anew(page, tmp_path):
    page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    job = page.visit.state.job
    cheaper = job.changed(signed=job.signed.changed(total=job.signed.total - 1))
    again = Page(cheaper, tmp_path)
    assert again.paper["signed"] is None
    assert "signed anew" in again.notice
    assert Page(job, tmp_path).notice == ""
    again.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    assert again.notice == ""


def test_a_signed_job_is_kept_and_read_back(page, tmp_path):
    page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3.1)
    page.ask(do="page", page="a4")
    with Book(tmp_path / "book.sqlite") as book:
        kept = book.keep(page.visit.state.job)
        assert book.latest(kept.job_id) == page.visit.state.job


def test_only_words_reach_the_page(page):
    """What is told can be written as JSON: no record, no Decimal, no date."""
    page.ask(do="sign", name="Ines Quarrie", strokes=INK, ratio=3)
    assert json.loads(json.dumps(page.paper)) == page.paper
