"""The paper's desk: pages when somebody looks, the newest last, and their own PDF."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO

import pikepdf
import pytest
from bands import Bands

from kit.bench import paper_choices as choices
from kit.bench import paper_desk, print_looks
from kit.bench.paper_desk import PaperDesk
from kit.bench.papers import Paper
from kit.bench.state import TableState
from kit.book import FIRST, NextPaper
from kit.errors import PaperError
from kit.proposal import withheld


class Page:
    """What the page was told, and the job that each set of pages was made for."""

    def __init__(self, job, hand=None, number=FIRST):
        self.state = TableState(job)
        self.told, self.faults, self.handed = [], [], 0
        self.desk = PaperDesk(
            self.state,
            tell=lambda message, parts: self.told.append((message, parts)),
            fault=self.faults.append,
            handed=self._handed,
            hand=hand or ThreadPoolExecutor(1),
            number=lambda: number,
        )
        self.state.observe(lambda _: self.desk.follow())

    def _handed(self, _pdf):
        self.handed += 1

    @property
    def pages(self):
        return [(m["pages"], p) for m, p in self.told if "pages" in m]

    @property
    def papers(self):
        return [(m["paper"], p) for m, p in self.told if "paper" in m]


@pytest.fixture
def made(monkeypatch):
    """Papers that were asked for: nothing is drawn, each page is the number of its job."""
    asked = []

    def make(job, answers, shelf, poured, _number):
        looks = poured(job.recipe)
        asked.append((job, looks.scale))
        looks.go_on()
        return Paper("proposal.pdf", b"%PDF " + job.number.encode(), (job.number.encode(),))

    monkeypatch.setattr(paper_desk, "make_paper", make)
    return asked


def test_nothing_is_set_before_somebody_looks(demo_job, made):
    page = Page(demo_job)
    page.state.change(lambda job: job.changed(finish="gloss"))
    assert made == []
    assert page.told == []


def test_a_sketch_comes_first_and_the_pages_of_the_pdf_follow(demo_job, made):
    page = Page(demo_job)
    page.desk.look(True)

    assert [scale for _, scale in made] == [paper_desk.SKETCH, 1.0]
    assert [about["sketch"] for about, _ in page.pages] == [True, False]
    assert page.pages[-1][0] == {"count": 1, "sketch": False, "stale": False}
    assert page.pages[-1][1] == [demo_job.number.encode()]


def test_words_that_change_are_set_at_once_without_a_sketch(demo_job, made):
    page = Page(demo_job)
    page.desk.look(True)
    page.told.clear()
    page.state.change(lambda job: choices.with_words(job, "job, number", "77"))

    assert page.pages[0] == ({"stale": True}, [])
    assert page.pages[-1] == ({"count": 1, "sketch": False, "stale": False}, [b"77"])
    assert made[-1][1] == 1.0
    assert len(made) == 3


def test_every_paper_is_pressed_under_the_number_that_the_book_gives_it(
    demo_job, monkeypatch
):
    given = []

    def make(job, answers, shelf, poured, number):
        given.append(number)
        return Paper("proposal.pdf", b"%PDF", (b"",))

    monkeypatch.setattr(paper_desk, "make_paper", make)
    page = Page(demo_job, number=NextPaper(2, ("finish",)))
    page.desk.look(True)
    page.desk.save()
    assert given == [NextPaper(2, ("finish",))] * 2


def test_pages_already_set_are_shown_again_and_not_set_again(demo_job, made):
    page = Page(demo_job)
    page.desk.look(True)
    page.desk.look(False)
    page.desk.look(True)
    assert len(made) == 2
    assert len(page.pages) == 3


def test_pages_of_an_older_job_are_out_of_date_as_soon_as_they_are_looked_at_again(
    demo_job, made
):
    page = Page(demo_job)
    page.desk.look(True)
    page.desk.look(False)
    page.state.change(lambda job: job.changed(finish="gloss"))
    page.told.clear()
    page.desk.look(True)
    assert page.pages[0] == ({"stale": True}, [])
    assert page.pages[-1][0]["stale"] is False


def test_the_pdf_is_that_of_the_pages_that_were_shown(demo_job, made):
    page = Page(demo_job)
    page.desk.look(True)
    page.desk.save()

    assert len(made) == 2
    name = {"name": "proposal.pdf"}
    assert page.papers == [(name, [b"%PDF " + demo_job.number.encode()])]
    assert page.handed == 1


def test_a_pdf_that_nobody_looked_at_is_printed_at_once(demo_job, made):
    page = Page(demo_job)
    page.desk.save()
    assert [scale for _, scale in made] == [1.0]
    assert len(page.papers) == 1
    assert page.pages == []


def test_while_something_is_lacking_there_are_no_pages_and_no_pdf(demo_job, made):
    page = Page(choices.with_words(demo_job, "job, number", ""))
    page.desk.look(True)
    page.desk.save()
    assert made == []
    assert page.pages[-1][0] == {"count": 0}
    assert page.papers == [
        ({"says": "Before it can go out: a number for this proposal."}, [])
    ]


def test_what_the_press_refuses_is_told_and_can_be_asked_again(demo_job, monkeypatch):
    def refuse(*_):
        raise PaperError("release of the proposal", found="a path", expected="none")

    monkeypatch.setattr(paper_desk, "make_paper", refuse)
    page = Page(demo_job)
    page.desk.look(True)
    page.desk.save()
    assert "says" in page.pages[0][0]
    assert page.papers == [({"says": paper_desk.NOT_MADE}, [])]
    assert len(page.faults) == 2
    assert page.handed == 0


def test_the_latest_wish_wins_and_older_pages_are_called_stale(demo_job, made, monkeypatch):
    monkeypatch.setattr(paper_desk, "SETTLES_S", 0.0)

    async def visit():
        page = Page(demo_job)
        page.desk.look(True)
        for number in ("1", "2", "3"):
            page.state.change(
                lambda job, n=number: choices.with_words(job, "job, number", n)
            )
        await asyncio.sleep(0.05)
        await page.desk.settled()
        return page

    page = asyncio.run(visit())
    about, parts = page.pages[-1]
    assert (about, parts) == ({"count": 1, "sketch": False, "stale": False}, [b"3"])
    assert all(p != [b"1"] for _, p in page.pages)
    assert page.faults == []


def test_the_press_stops_between_pictures_when_nobody_looks_any_more(demo_job, made):
    async def visit():
        page = Page(demo_job)
        page.desk.look(True)
        page.desk.look(False)
        await page.desk.settled()
        stopped = list(page.told)
        page.desk.look(True)
        await page.desk.settled()
        return page, stopped

    page, stopped = asyncio.run(visit())
    assert stopped == []
    assert page.faults == []
    assert page.pages[-1][0] == {"count": 1, "sketch": False, "stale": False}


class BandPictures(Bands):
    def __init__(self, recipe, plan, shelf):  # noqa: ARG002
        class Job:
            pass

        job = Job()
        job.recipe = recipe
        super().__init__(job)
        ASKED.append(self.asked)


ASKED = []


@pytest.fixture
def drawn(monkeypatch):
    """Views that were drawn, by whom."""
    ASKED.clear()
    monkeypatch.setattr(print_looks, "Pictures", BandPictures)
    return lambda: [view for asked in ASKED for view in asked]


def test_pages_and_pdf_are_set_from_one_manuscript(demo_job, drawn):
    page = Page(demo_job)
    page.desk.look(True)
    assert page.faults == []
    shown = page.pages[-1][1]
    page.desk.save()
    pdf = page.papers[0][1][0]
    with pikepdf.open(BytesIO(pdf)) as document:
        assert len(shown) == len(document.pages)
    assert all(png.startswith(b"\x89PNG") for png in shown)


def test_pictures_are_drawn_once_for_all_words(demo_job, drawn):
    page = Page(demo_job)
    page.desk.look(True)
    before = len(drawn())
    page.state.change(lambda job: choices.with_words(job, "client, name", "Somebody else"))
    assert page.faults == []
    assert len(drawn()) == before
    page.state.change(lambda job: job.with_seed(5))
    assert len(drawn()) == 2 * before


def test_the_gate_is_before_the_pages_too(demo_job, drawn, monkeypatch):
    """A figure of the bid planted in a text of the paper stops the preview as well."""
    cost = f"{TableState(demo_job).answers.bid.cost:.2f}"
    assert cost in withheld.owners_figures(TableState(demo_job).answers)
    page = Page(choices.with_words(demo_job, "job, title", f"Floor {cost}"))
    page.desk.look(True)

    assert all("count" not in about for about, _ in page.pages)
    assert "may not read" in str(page.faults[0])
    assert cost not in str(page.faults[0])


def test_pages_that_come_late_do_not_cover_those_that_were_gone_back_to(
    demo_job, monkeypatch
):
    """A change is taken back while its pages are pressed: those of before lie there."""

    def make(job, answers, shelf, poured, _number):
        if job.number == "77":
            page.state.undo()
        return Paper("proposal.pdf", b"%PDF", (job.number.encode(),))

    monkeypatch.setattr(paper_desk, "make_paper", make)
    page = Page(demo_job)
    page.desk.look(True)
    page.state.change(lambda job: choices.with_words(job, "job, number", "77"))

    about, pages = page.pages[-1]
    assert not about["stale"]
    assert pages == [demo_job.number.encode()]
