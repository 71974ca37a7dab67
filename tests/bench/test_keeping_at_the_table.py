"""A sheet opened again finds its job as it was left; nothing is kept over another's."""

import datetime
from decimal import Decimal

import pytest

from kit.bench.beginning import begun_from, job_on_the_table, read_job, taken_in
from kit.bench.keeping import TRIES_AGAIN_S, Keeper
from kit.bench.state import TableState
from kit.book import Book, CarriedJob, ClashError, job_file
from kit.errors import KitError


@pytest.fixture
def place(tmp_path):
    return tmp_path / "book.sqlite"


@pytest.fixture
def book(place):
    with Book(place) as book:
        yield book


class Clock:
    now_s = 0.0

    def __call__(self):
        return self.now_s


def keeper_of(book, job, said=None, **given):
    opened = book.open(book.keep(job).job_id)
    heard = [] if said is None else said
    return Keeper(book, opened.job, opened.revision, heard.append, **given)


def undated(demo_sheet, tmp_path):
    lines = demo_sheet.read_text("utf-8").splitlines(keepends=True)
    sheet = tmp_path / "undated.toml"
    sheet.write_text("".join(x for x in lines if not x.startswith("date")), "utf-8")
    return sheet


def test_an_unchanged_sheet_takes_the_job_up_where_it_was_left(book, demo_job):
    job_id = job_on_the_table(book, demo_job)
    book.keep(demo_job.changed(finish="gloss"), job_id=job_id)

    assert job_on_the_table(book, demo_job) == job_id
    assert book.latest(job_id).finish == "gloss"


def test_a_changed_sheet_is_the_newest_word(book, demo_job):
    job_id = job_on_the_table(book, demo_job)
    book.keep(demo_job.changed(finish="gloss"), job_id=job_id)
    mended = demo_job.changed(valid_days=60)

    assert job_on_the_table(book, mended) == job_id
    assert book.latest(job_id) == mended


def test_a_sheet_without_a_date_is_the_same_on_another_day(
    book, demo_sheet, tmp_path, monkeypatch
):
    sheet = undated(demo_sheet, tmp_path)
    job_id = begun_from(book, sheet)
    book.keep(book.latest(job_id).changed(finish="gloss"), job_id=job_id)
    tomorrow = datetime.date.today() + datetime.timedelta(days=1)

    class Tomorrow(datetime.date):
        @classmethod
        def today(cls):
            return tomorrow

    monkeypatch.setattr("kit.job.sheet.datetime.date", Tomorrow)
    assert read_job(sheet).date == tomorrow
    assert begun_from(book, sheet) == job_id
    assert book.latest(job_id).finish == "gloss"


def test_another_client_is_another_job(book, demo_job):
    other = demo_job.changed(
        site=demo_job.site.changed(client=demo_job.site.client.changed(name="Quay Bakery"))
    )

    assert job_on_the_table(book, demo_job) != job_on_the_table(book, other)


def test_a_job_that_cannot_be_read_is_left_alone_and_another_begun(
    book, demo_job, monkeypatch
):
    job_id = job_on_the_table(book, demo_job)
    monkeypatch.setattr("kit.book.payload.VERSION", 99)
    book.keep(demo_job.changed(finish="gloss"), job_id=job_id, note="by a newer Pourtable")
    monkeypatch.undo()
    with pytest.raises(KitError, match="newer Pourtable"):
        book.latest(job_id)

    other = job_on_the_table(book, demo_job)
    assert other != job_id
    assert book.latest(other) == demo_job
    assert job_on_the_table(book, demo_job) == other
    assert len(book.history(job_id)) == 2


def test_a_sheet_that_was_proposed_is_opened_without_a_word_more(
    book, demo_job, demo_workup
):
    total = demo_workup.offer.total
    proposed = book.keep(demo_job, note="proposal written to x.pdf", total=total)

    assert job_on_the_table(book, demo_job) == proposed.job_id
    assert book.history(proposed.job_id) == (proposed,)


def test_a_sheet_that_was_proposed_and_changed_at_the_table_is_taken_up_there(
    book, demo_job
):
    job_id = book.keep(
        demo_job, note="proposal written to x.pdf", total=Decimal("1.00")
    ).job_id
    book.keep(demo_job.changed(finish="gloss"), job_id=job_id)

    assert job_on_the_table(book, demo_job) == job_id
    assert book.latest(job_id).finish == "gloss"


@pytest.mark.parametrize("days", [None, 60], ids=["new", "changed"])
def test_a_sheet_is_opened_with_its_price(book, demo_job, demo_workup, days):
    if days:
        job_on_the_table(book, demo_job.changed(valid_days=days))
    job_on_the_table(book, demo_job)

    assert book.jobs()[0].total == demo_workup.offer.total


def test_keeping_an_untouched_table_adds_nothing(book, demo_job):
    keeper = keeper_of(book, demo_job)
    state = TableState(demo_job)
    keeper.follow(state)

    assert keeper.keep(state)
    assert [r.number for r in book.history(keeper.kept.job_id)] == [1]


def test_a_window_whose_job_another_kept_meanwhile_keeps_nothing_over_it(
    book, place, demo_job
):
    said = []
    keeper = keeper_of(book, demo_job, said)
    state = TableState(demo_job)
    state.observe(keeper.follow)
    job_id = keeper.kept.job_id
    with Book(place) as other:
        other.keep(demo_job.changed(finish="satin"), job_id=job_id, after=1)
    state.change(lambda job: job.changed(finish="gloss"))

    assert isinstance(said[-1], ClashError)
    assert keeper.has_clashed
    assert book.latest(job_id).finish == "satin"
    state.change(lambda job: job.changed(valid_days=7))
    assert len(book.history(job_id)) == 2


def test_a_window_that_changes_nothing_is_told_that_another_did(book, place, demo_job):
    said = []
    keeper = keeper_of(book, demo_job, said)
    state = TableState(demo_job)
    keeper.look(state)
    assert said == []
    with Book(place) as other:
        other.keep(demo_job.changed(finish="satin"), job_id=keeper.kept.job_id)
    keeper.look(state)
    keeper.look(state)

    assert [type(fault) for fault in said] == [ClashError]


def test_two_windows_that_came_to_the_same_do_not_clash(book, place, demo_job):
    keeper = keeper_of(book, demo_job)
    state = TableState(demo_job)
    with Book(place) as other:
        gloss = demo_job.changed(finish="gloss")
        other.keep(gloss, job_id=keeper.kept.job_id, total=TableState(gloss).offer.total)
    state.change(lambda job: job.changed(finish="gloss"))

    assert keeper.keep(state)
    assert keeper.kept.number == 2


def test_what_could_not_be_kept_is_tried_again_after_a_while(book, demo_job):
    said, clock = [], Clock()
    keeper = keeper_of(book, demo_job, said, clock=clock)
    state = TableState(demo_job)
    state.change(lambda job: job.changed(finish="gloss"))
    held, keeper._book = book, _Full()
    assert not keeper.keep(state)
    keeper._book = held
    keeper.look(state)
    assert said[-1] is keeper.fault is not None

    clock.now_s += TRIES_AGAIN_S + 1
    keeper.look(state)
    assert said[-1] is keeper.fault is None
    assert book.latest(keeper.kept.job_id).finish == "gloss"


class _Full:
    def keep(self, *_, **__):
        from kit.errors import BookError

        raise BookError("job book has no room on its disk")


def test_a_job_from_a_file_goes_on_with_the_one_it_was_changed_from(book, demo_job):
    first = book.keep(demo_job)
    mended = demo_job.changed(valid_days=7)

    assert taken_in(book, CarriedJob(mended, first.job_id, 1)) == first.job_id
    assert book.latest(first.job_id) == mended
    assert taken_in(book, CarriedJob(mended, first.job_id, 1)) == first.job_id
    assert len(book.history(first.job_id)) == 2


@pytest.mark.parametrize("known", [True, False], ids=["gone on", "unknown"])
def test_a_job_from_a_file_that_fits_none_is_a_job_of_its_own(book, demo_job, known):
    first = book.keep(demo_job)
    if known:
        book.keep(demo_job.changed(finish="satin"), job_id=first.job_id)
    mended = demo_job.changed(valid_days=7)
    carried = CarriedJob(mended, first.job_id if known else "2222-3333", 1)

    other = taken_in(book, carried)
    assert other != first.job_id
    assert book.latest(other) == mended
    assert len(book.history(first.job_id)) == 1 + known


def test_the_table_is_opened_on_a_file_as_on_a_sheet(book, demo_job, tmp_path):
    file = tmp_path / "job.json"
    file.write_bytes(job_file(CarriedJob(demo_job)))

    assert read_job(file) == demo_job
    assert book.latest(begun_from(book, file)) == demo_job
    with pytest.raises(KitError, match="nowhere"):
        read_job(tmp_path / "nowhere.json")
