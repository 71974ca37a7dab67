"""Two windows over one job: what both changed is decided, field by field."""

import pytest

from kit.bench.faults import Faults
from kit.bench.once import Once
from kit.bench.scenes import Studio
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.book import Book
from kit.errors import BookError


@pytest.fixture(autouse=True)
def painted(monkeypatch):
    monkeypatch.setattr(Studio, "paint", lambda _, scene: (b"jpeg",) * len(scene.sides))
    monkeypatch.setattr(Studio, "paint_sample", lambda _, __: (b"jpeg",))


class Window:
    """A table on a job of a book, and what its page is told."""

    def __init__(self, place, job_id, tmp_path, who):
        self.book = Book(place, who=who)
        opened = self.book.open(job_id)
        self.visit = Visit(TableState(opened.job), faults=Faults(print, tmp_path))
        self.told = []
        self.visit.frame.send = self._hear
        self.visit.kept_in(self.book, opened)

    def _hear(self, content, **_):
        self.told.append(content)

    def change(self, **fields):
        self.visit.state.change(lambda job: job.changed(**fields))
        self.visit.saving.keep_now()

    def ask(self, **wish):
        self.visit.frame._handle_custom_msg({**wish, "number": 1}, [])
        return [c["complaint"] for c in self.told if "answered" in c][-1]

    @property
    def both(self):
        return [content["both"] for content in self.told if "both" in content][-1]

    @property
    def job(self):
        return self.visit.state.job


@pytest.fixture
def two(tmp_path, demo_job):
    """Ann's window and Ben's over one job; Ben's is not yet aware of hers."""
    place = tmp_path / "book.sqlite"
    with Book(place) as book:
        job_id = book.keep(demo_job).job_id
    windows = [Window(place, job_id, tmp_path, who) for who in ("Ann", "Ben")]
    yield windows
    for window in windows:
        window.book.close()


def kept(window):
    return window.book.latest(window.visit.saving.job_id)


def palette(job, by):
    colors = job.recipe.palette.colours
    shares = [c.share for c in colors]
    shares[by], shares[-1] = shares[-1], shares[by]
    new = tuple(c.changed(share=s) for c, s in zip(colors, shares, strict=True))
    return job.recipe.changed(palette=job.recipe.palette.changed(colours=new))


def test_each_field_that_both_changed_is_asked_in_words_and_the_rest_is_told(two, demo_job):
    ann, ben = two
    ann.change(finish="gloss", recipe=palette(demo_job, 0), title="Hall")
    ben.change(finish="satin", recipe=palette(demo_job, 1), valid_days=9)
    assert "changed by Ann" in ben.visit.frame.notice["says"]
    assert ben.ask(do="together") == ""

    asked = {ask["field"]: ask for ask in ben.both["asks"]}
    assert ben.both["who"] == "Ann"
    assert asked["finish"] == {
        "field": "finish", "name": "Finish",
        "before": "Matte", "mine": "Satin", "theirs": "Gloss",
    }  # fmt: skip
    assert asked["recipe, palette"]["name"] == "Colors"
    assert asked["recipe, palette"]["theirs"].startswith("Deep well 18 %, ")
    assert ben.both["theirs"] == ["title Studio, hall and showroom → Hall"]
    assert ben.both["mine"] == ["valid_days 28 → 9"]
    assert kept(ben).finish == "gloss", "asking keeps nothing"
    assert ben.job.finish == "satin"


def test_what_is_decided_is_kept_and_all_else_is_of_both(two, demo_job):
    ann, ben = two
    ann.change(finish="gloss", recipe=palette(demo_job, 0), title="Hall")
    ben.change(finish="satin", recipe=palette(demo_job, 1), valid_days=9)
    ben.ask(do="together")
    take = {"finish": "mine", "recipe, palette": "theirs"}
    assert ben.ask(do="together", take=take, seen=ben.both["seen"]) == ""

    assert ben.both is None
    job = kept(ben)
    assert job == ben.job
    assert (job.finish, job.title, job.valid_days) == ("satin", "Hall", 9)
    assert job.recipe == palette(demo_job, 0)
    history = ben.book.history(ben.visit.saving.job_id)
    assert [revision.who for revision in history] == ["", "Ann", "Ben"]
    assert history[-1].total == ben.visit.state.total


def test_half_a_decision_asks_for_the_other_half(two):
    ann, ben = two
    ann.change(finish="gloss", title="Hall")
    ben.change(finish="satin", title="Store")
    ben.ask(do="together")
    assert ben.ask(do="together", take={"title": "mine"}, seen=ben.both["seen"]) == ""
    assert [ask["field"] for ask in ben.both["asks"]] == ["finish"]
    assert kept(ben).finish == "gloss"


def test_what_was_decided_against_an_older_value_is_asked_once_more(two):
    ann, ben = two
    ann.change(finish="gloss")
    ben.change(finish="satin")
    ben.ask(do="together")
    seen = ben.both["seen"]
    ann.change(finish="matte_grip")
    ben.ask(do="together", take={"finish": "theirs"}, seen=seen)
    assert ben.both["once_more"]
    assert ben.both["asks"][0]["theirs"] == "Matte with grip"
    assert kept(ben).finish == "matte_grip"
    ben.ask(do="together", take={"finish": "theirs"}, seen=ben.both["seen"])
    assert ben.job.finish == "matte_grip"


@pytest.mark.parametrize("take", [{"finish": "both"}, ["finish"], "mine"])
def test_nonsense_decides_nothing(two, take):
    ann, ben = two
    ann.change(finish="gloss")
    ben.change(finish="satin")
    assert ben.ask(do="together", take=take, seen=2) != ""
    assert (kept(ben).finish, ben.job.finish) == ("gloss", "satin")


def test_two_that_make_no_job_together_leave_both_as_they_are(two, demo_job):
    ann, ben = two
    ann.change(designs=tuple(_design(demo_job, n) for n in "ABC"))
    ben.change(designs=tuple(_design(demo_job, n) for n in "DE"))
    assert "design" in ben.ask(do="together")
    assert [d.name for d in ben.job.designs] == ["D", "E"]
    assert [d.name for d in kept(ben).designs] == ["A", "B", "C"]


def _design(job, name):
    from kit.job import Design

    return Design(name=name, recipe=job.recipe, finish=job.finish)


def test_a_beginning_keeps_its_mark_until_it_is_answered():
    once, marks = Once(), []

    def lost(mark):
        marks.append(mark)
        raise BookError("job book does not answer")

    for _ in range(2):
        with pytest.raises(BookError):
            once("new", lost)
    once("new", marks.append)
    once("new", marks.append)
    once("copy K7MQ-4T2X", marks.append)
    assert marks[0] == marks[1] == marks[2]
    assert len(set(marks)) == 3


def test_a_new_job_pressed_again_after_its_answer_was_lost_is_there_once(
    two, tmp_path, monkeypatch
):
    ann, _ = two
    ann.visit.owner.lock.path = tmp_path / "owner.json"
    ann.ask(do="jobs", passphrase="grey heron, low tide", again="grey heron, low tide")
    before, keep = len(ann.book.jobs()), ann.book.keep

    def lost(*given, **named):
        keep(*given, **named)
        raise BookError("job book does not answer")

    monkeypatch.setattr(ann.book, "keep", lost)
    ann.ask(do="jobs_new")
    monkeypatch.setattr(ann.book, "keep", keep)
    ann.ask(do="jobs_new")
    assert len(ann.book.jobs()) == before + 1
    assert ann.job.site.rooms == ()
