"""A visit that begins with nothing measured, and comes back as it was left."""

import pytest

from kit.bench.beginning import begin_blank
from kit.bench.faults import Faults
from kit.bench.lock import OwnerLock
from kit.bench.opening import open_table
from kit.bench.scenes import Studio
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.book import Book
from kit.job import Firm, blank_job

PASSPHRASE = "grey heron, low tide"
JPEG = b"\xff\xd8 a picture \xff\xd9"


@pytest.fixture
def visit(monkeypatch, tmp_path):
    monkeypatch.setattr(Studio, "paint", lambda _, scene: (JPEG,) * len(scene.sides))
    monkeypatch.setattr(Studio, "paint_sample", lambda _, scene: (JPEG,) * len(scene.sides))
    lock = OwnerLock(tmp_path / "owner.json")
    said = []
    visit = Visit(TableState(blank_job()), faults=Faults(said.append, tmp_path), lock=lock)
    visit.said = said
    visit.told = []
    visit.frame.send = lambda content, **_: visit.told.append(content)
    return visit


def ask(visit, **wish):
    visit.told.clear()
    visit.frame._handle_custom_msg({**wish, "number": 7}, [])
    return next(c for c in visit.told if c.get("answered") == 7)["complaint"]


def test_a_blank_table_has_every_figure_but_a_price(visit, demo_job):
    priced = Visit(TableState(demo_job)).frame.figures
    blank = visit.frame.figures

    assert blank.keys() == priced.keys()
    assert blank["price"].keys() == priced["price"].keys()
    assert blank["price"]["total"] == "no price yet"
    assert blank["price"]["plain"] == ""
    assert blank["options"][0].keys() == priced["options"][0].keys()
    assert blank["stations"].keys() == priced["stations"].keys()
    assert blank["measure"]["is_blank"]
    assert visit.stage.pictures == {}


def test_every_choice_of_color_and_sheen_can_be_made_before_a_wall_is_measured(visit):
    for wish in (
        {"do": "finish", "finish": "gloss"},
        {"do": "seed", "seed": 9},
        {"do": "percent", "place": 0, "percent": 40},
        {"do": "lay", "side": "left", "finish": "satin"},
        {"do": "more"},
        {"do": "undo"},
    ):
        assert ask(visit, **wish) == "", wish
    assert visit.said == []


def test_no_paper_is_made_without_a_price(visit):
    ask(visit, do="paper")

    assert not any(b"%PDF" in str(m).encode() for m in visit.told)
    assert visit.said == []


def test_the_owners_side_says_that_there_is_no_price_yet(visit):
    assert ask(visit, do="owner", passphrase=PASSPHRASE, again=PASSPHRASE) == ""
    shown = next(m["owner"] for m in visit.told if m.get("owner"))
    assert set(shown) == {"lacks"}


def test_the_floor_is_pictured_when_the_walls_close_and_not_when_they_are_open_again(visit):
    ask(visit, do="rectangle", room="", across="20", deep="15")
    assert visit.stage.pictures["left"] == JPEG
    assert visit.frame.figures["price"]["plain"]

    ask(visit, do="wall_remove", room="Room 1", wall=3)
    assert visit.stage.pictures == {}
    assert visit.frame.figures["price"]["total"] == "no price yet"
    ask(visit, do="undo")
    assert visit.stage.pictures["left"] == JPEG
    assert visit.said == []


def test_a_draft_is_in_the_book_and_opens_as_it_was_left(visit, tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    with Book() as book:
        job_id = begin_blank(book)
        visit.kept_in(book, book.open(job_id))
        ask(visit, do="wall_add", room="", after=-1, bearing=90, length="20 6 1/2")
        kept = book.latest(job_id)
        assert kept == visit.state.job
        assert book.jobs()[0].total is None
    monkeypatch.setenv("KIT_JOB", job_id)
    again = open_table().state.job
    assert again.site.drafts[0].walls == ("E 20' 6 1/2\"",)


def test_a_new_job_is_poured_by_the_firm_of_the_job_before(tmp_path, demo_job):
    with Book(tmp_path / "book.sqlite") as book:
        nobody = book.latest(begin_blank(book))
        book.keep(demo_job)
        after_demo = book.latest(begin_blank(book))
        firm = demo_job.firm.changed(name="Skein Floors")
        book.keep(demo_job.changed(firm=firm))
        ours = book.latest(begin_blank(book))

    assert nobody.firm == after_demo.firm == Firm()  # the demo's firm is an invented one
    assert ours.firm == firm
    assert ours.site.rooms == ()
