"""A copy after each day's work, checked by opening; a damaged book is told and put back."""

from __future__ import annotations

import datetime
import os

import pytest

from kit.book import Book, attach, backups, facts_of, note
from kit.book.backups import back_up, backups_of, fault_of, is_due, newest_whole, restore
from kit.book.checking import examine
from kit.book.facts import Log
from kit.errors import BookError

NOON = datetime.datetime(2026, 3, 2, 12, tzinfo=datetime.UTC)
DAY = datetime.timedelta(days=1)


def days_of(place):
    return [backup.day.isoformat() for backup in backups_of(place)]


def _read_all(place, clock):
    with Book(place, clock=clock) as book:
        for entry in book.jobs():
            book.latest(entry.job_id)


def damage(place):
    """Write over the middle of the file, as a failing disk does."""
    with place.open("r+b") as file:
        file.seek(place.stat().st_size // 2)
        file.write(b"\xa5" * (place.stat().st_size // 3))


def test_the_first_opening_of_a_day_copies_the_work_of_the_day_before(
    place, demo_job, clock
):
    clock.now = NOON
    with Book(place, clock=clock) as book:
        kept = book.keep(demo_job)
    with Book(place, clock=clock):
        assert days_of(place) == []  # the day is not over
    clock.now = NOON + DAY
    with Book(place, clock=clock) as book:
        assert days_of(place) == ["2026-03-02"]
        book.keep(demo_job.changed(finish="gloss"), job_id=kept.job_id)
    clock.now = NOON + 5 * DAY
    with Book(place, clock=clock) as book:
        assert days_of(place) == ["2026-03-03", "2026-03-02"]
        note(book, kept.job_id, Log(day=NOON.date()))
    clock.now = NOON + 6 * DAY
    Book(place, clock=clock).close()
    assert days_of(place) == ["2026-03-07", "2026-03-03", "2026-03-02"]

    copy = backups_of(place)[0].path
    assert copy.stat().st_mode & 0o777 == 0o600
    assert copy.parent.stat().st_mode & 0o777 == 0o700
    with Book(backups_of(place)[2].path) as old:
        assert len(old.history(kept.job_id)) == 1


def test_a_clock_that_runs_backward_copies_nothing_and_loses_nothing(
    place, demo_job, clock
):
    clock.now = NOON
    with Book(place, clock=clock) as book:
        book.keep(demo_job)
    clock.now = NOON - 400 * DAY
    with Book(place, clock=clock) as book:
        assert days_of(place) == []
        book.keep(demo_job.changed(title="Before"))
        assert len(book.jobs()) == 2


def test_copies_of_the_last_days_and_one_a_month_are_kept(place, demo_job, clock):
    with Book(place, clock=clock) as book:
        book.keep(demo_job)
        folder = back_up(book, datetime.date(2026, 1, 1)).path.parent
    first = datetime.date(2025, 1, 1)
    for days in range(300):
        (folder / f"book-{first + days * DAY}.sqlite").touch()
    backups.rotate(place)

    left = days_of(place)
    assert left[:15] == [
        "2026-01-01", *[f"2025-10-{day}" for day in range(27, 14, -1)], "2025-09-30"
    ]  # fmt: skip
    assert left[15:] == [
        "2025-08-31", "2025-07-31", "2025-06-30", "2025-05-31", "2025-04-30",
        "2025-03-31", "2025-02-28", "2025-01-31",
    ]  # fmt: skip


def test_a_copy_that_cannot_be_made_is_told_and_stops_nobody(place, demo_job, clock):
    with Book(place, clock=clock) as book:
        book.keep(demo_job)
    place.with_name("book.backups").write_text("in the way")
    clock.now += DAY
    with Book(place, clock=clock) as book:
        (concern,) = book.concerns
        assert concern.about == "copy of the job book"
        assert len(book.jobs()) == 1


def test_a_large_book_opens_at_once_and_asks_to_be_copied(
    place, demo_job, clock, monkeypatch
):
    with Book(place, clock=clock) as book:
        book.keep(demo_job)
    clock.now += DAY
    monkeypatch.setattr(backups, "MOST_BYTES", 1000)
    with Book(place, clock=clock) as book:
        (concern,) = book.concerns
        assert "jobs backup" in concern.fix
        assert days_of(place) == []
        back_up(book)
    with Book(place, clock=clock) as book:
        assert book.concerns == ()


def test_a_damaged_book_is_told_with_the_copy_that_would_be_put_back(
    place, demo_job, clock
):
    clock.now = NOON
    with Book(place, clock=clock) as book:
        kept = book.keep(demo_job)
        for days in range(1, 30):
            book.keep(demo_job.changed(valid_days=days))
    clock.now = NOON + DAY
    Book(place, clock=clock).close()
    damage(place)

    with pytest.raises(BookError, match=r"damaged.*jobs restore.*2026-03-02"):
        _read_all(place, clock)
    place.write_bytes(b"not a database at all " * 400)
    with pytest.raises(BookError, match=r"is not a job book.*jobs restore.*2026-03-02"):
        Book(place)

    backup, aside = restore(place, now=NOON + DAY)
    assert backup.day == NOON.date()
    assert aside.read_bytes().startswith(b"not a database")
    assert place.stat().st_mode & 0o777 == 0o600
    with Book(place, clock=clock) as book:
        assert book.latest(kept.job_id) == demo_job
        assert examine(book).is_whole


def test_the_newest_copy_that_is_whole_is_put_back_not_a_damaged_one(
    place, demo_job, clock
):
    with Book(place, clock=clock) as book:
        book.keep(demo_job)
        for day in (1, 2, 3):
            back_up(book, datetime.date(2026, 1, day))
    newest = backups_of(place)[0].path
    damage(newest)
    assert fault_of(newest).startswith("is damaged")
    assert newest_whole(place).day == datetime.date(2026, 1, 2)
    with pytest.raises(BookError, match=r"copy book-2026-01-03.sqlite is damaged"):
        restore(place, backups_of(place)[0], now=NOON)


def test_there_is_nothing_to_put_back_without_a_copy(place):
    Book(place).close()
    before = place.read_bytes()
    with pytest.raises(BookError, match="found none"):
        restore(place, now=NOON)
    assert place.read_bytes() == before


def test_a_book_on_a_server_is_copied_by_the_server(office, demo_job):
    with Book(office) as book:
        book.keep(demo_job)
        with pytest.raises(BookError, match="pg_dump"):
            back_up(book)
        assert not is_due(book.place, NOON.date())
        assert examine(book).is_whole


class TestExamined:
    def test_a_whole_book_is_counted(self, book, place, demo_job):
        job_id = book.keep(demo_job).job_id
        book.keep(demo_job.changed(finish="gloss"), job_id=job_id)
        noted = attach(book, job_id, b"picture", name="hall.jpg")
        seen = examine(book)
        assert seen.is_whole
        assert (seen.jobs, seen.revisions, seen.facts, seen.files) == (1, 2, 1, 1)

        orphan = place.with_name("book.files") / "ab" / ("ab" * 32)
        orphan.parent.mkdir()
        orphan.write_bytes(b"left by a power cut")
        assert examine(book).unnamed == 1
        assert examine(book).is_whole

        path = next(place.with_name("book.files").rglob(noted.fact.sha256))
        path.write_bytes(b"pictur3")
        (fault,) = examine(book).faults
        assert noted.fact.sha256[:12] in fault

    @pytest.mark.parametrize(
        ("statements", "words"),
        [
            (
                ("DROP TRIGGER revision_stays_update",
                 "UPDATE revision SET payload = replace(payload, 'matte', 'satin')"),
                "revision 1 is damaged",
            ),
            (
                ("DROP TRIGGER revision_stays_delete",
                 "DELETE FROM revision WHERE number = 1"),
                "expected revision 1",
            ),
            (("DELETE FROM entry",), "1 rows follow from no revision"),
            (
                ("DROP TRIGGER event_stays_update", "UPDATE event SET payload = '{}'"),
                "fact 1 is damaged",
            ),
            (
                ("INSERT INTO job (id, begun_at) VALUES ('K7MQ-4T2X', 'x')",),
                "has no revision",
            ),
        ],
    )  # fmt: skip
    def test_what_was_tampered_with_is_named(
        self, book, demo_job, tamper, statements, words
    ):
        job_id = book.keep(demo_job).job_id
        book.keep(demo_job.changed(finish="gloss"), job_id=job_id)
        note(book, job_id, Log(day=NOON.date()))
        tamper(*statements)
        assert any(words in fault for fault in examine(book).faults)
        assert len(facts_of(book, job_id)) == 1 if "fact" not in words else True

    def test_damaged_pages_are_named(self, place, demo_job):
        with Book(place) as book:
            for days in range(1, 40):
                book.keep(demo_job.changed(valid_days=days))
        damage(place)
        try:
            with Book(place) as book:
                assert not examine(book).is_whole
        except BookError as error:
            assert "damaged" in str(error)  # noqa: PT017

    def test_half_a_copy_left_by_a_power_cut_is_no_copy(self, book, place, demo_job):
        book.keep(demo_job)
        folder = back_up(book).path.parent
        half = folder / ".book-2026-03-09.sqlite.draft"
        half.write_bytes(b"half")
        assert len(backups_of(place)) == 1
        back_up(book, datetime.date(2026, 3, 9))
        assert not half.exists()
        assert os.listdir(folder) != []  # noqa: PTH208
