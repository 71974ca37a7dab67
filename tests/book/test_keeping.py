"""What is kept comes back, and nothing kept is ever changed."""

from __future__ import annotations

import re
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.book import Book, ClashError, appending, queries
from kit.errors import BookError

HOSTILE = (
    "Robert'); DROP TABLE revision;--",
    "quote \" and ' and ? and :1 and %s",
    "Łódź 東京 \N{SMILING FACE WITH SMILING EYES}",
    "nul \x00 in the middle",
    "\u202eturned round\u202c",
    "x" * 200,
)


def test_a_job_comes_back_as_it_was_kept(book, demo_job):
    kept = book.keep(demo_job)

    assert book.latest(kept.job_id) == demo_job


def test_a_job_comes_back_in_another_sitting(place, demo_job):
    with Book(place) as first:
        kept = first.keep(
            demo_job, who="Ann", note="at the table", total=Decimal("7751.95")
        )

    with Book(place) as second:
        assert second.latest(kept.job_id) == demo_job
        assert second.history(kept.job_id) == (kept,)


def test_each_keep_of_a_changed_job_is_a_revision_more(book, demo_job):
    glossy = demo_job.changed(finish="gloss")
    first = book.keep(demo_job)
    second = book.keep(glossy, job_id=first.job_id)

    assert (first.number, second.number) == (1, 2)
    assert book.history(first.job_id) == (first, second)
    assert book.at(first.job_id, 1) == demo_job
    assert book.at(first.job_id, 2) == book.latest(first.job_id) == glossy


def test_a_revision_tells_who_when_why_and_how_much(book, demo_job, clock):
    clock.now = datetime(2026, 3, 2, 18, 1, tzinfo=timezone(timedelta(hours=9)))

    kept = book.keep(demo_job, who="Ann", note="first visit", total=Decimal("7751.9"))

    assert kept.who == "Ann"
    assert kept.note == "first visit"
    assert str(kept.total) == "7751.90"
    assert kept.finish == demo_job.finish
    assert kept.when == datetime(2026, 3, 2, 9, 1, tzinfo=UTC)
    assert book.history(kept.job_id) == (kept,)


def test_keeping_the_same_again_adds_nothing(book, demo_job):
    first = book.keep(demo_job, note="demo", total=Decimal("100.00"))

    assert book.keep(demo_job, job_id=first.job_id) == first
    assert (
        book.keep(demo_job, job_id=first.job_id, note="demo", total=Decimal(100)) == first
    )
    assert len(book.history(first.job_id)) == 1


@pytest.mark.parametrize("more", [{"note": "sent today"}, {"total": Decimal("99.00")}])
def test_a_new_note_or_price_on_the_same_job_is_not_lost(book, demo_job, more):
    first = book.keep(demo_job, note="demo", total=Decimal("100.00"))

    assert book.keep(demo_job, job_id=first.job_id, **more).number == 2


def test_a_note_on_the_same_job_leaves_its_price_known(book, demo_job):
    first = book.keep(demo_job, total=Decimal("100.00"))
    noted = book.keep(demo_job, job_id=first.job_id, note="sent today")

    assert noted.total == book.jobs()[0].total == Decimal("100.00")


def test_going_back_to_an_earlier_state_is_a_revision_of_its_own(book, demo_job):
    first = book.keep(demo_job)
    book.keep(demo_job.changed(finish="gloss"), job_id=first.job_id)

    third = book.keep(demo_job, job_id=first.job_id)

    assert third.number == 3
    assert third.sha256 == first.sha256


def test_the_second_of_two_edits_from_one_revision_is_told_and_overwrites_nothing(
    book, demo_job, clock
):
    first = book.keep(demo_job)
    clock.now = datetime(2026, 3, 2, 9, 2, tzinfo=UTC)
    book.keep(
        demo_job.changed(finish="gloss", valid_days=14),
        job_id=first.job_id,
        who="Ann",
        after=1,
    )

    with pytest.raises(ClashError) as told:
        book.keep(demo_job.changed(title="Hall"), job_id=first.job_id, who="Bo", after=1)

    assert told.value.changed == ("valid_days", "finish")
    assert told.value.latest.number == 2
    assert str(told.value) == (
        f"job {first.job_id} was kept as revision 2 by Ann on 2026-03-02 at 09:02 UTC, "
        "which changed valid_days; finish, after this edit began from revision 1: expected "
        "the edit to be made again on revision 2; nothing was overwritten"
    )
    assert len(book.history(first.job_id)) == 2


def test_an_edit_that_came_to_the_same_is_no_clash(book, demo_job):
    first = book.keep(demo_job)
    glossy = demo_job.changed(finish="gloss")
    second = book.keep(glossy, job_id=first.job_id, after=1)

    assert book.keep(glossy, job_id=first.job_id, after=1) == second


@pytest.mark.parametrize("after", [0, 9, -1, 2**70])
def test_an_edit_from_a_revision_that_never_was_is_refused(book, demo_job, after):
    kept = book.keep(demo_job)

    with pytest.raises(BookError, match="expected 1 to 1"):
        book.keep(demo_job.changed(finish="gloss"), job_id=kept.job_id, after=after)


def test_an_edit_that_names_no_job_cannot_follow_a_revision(book, demo_job):
    with pytest.raises(BookError, match="expected a job_id"):
        book.keep(demo_job, after=3)

    assert book.jobs() == ()


def test_the_list_shows_each_job_as_its_newest_revision_has_it(book, demo_job):
    one = book.keep(demo_job, total=Decimal("100.00"))
    two = book.keep(demo_job.changed(number="2611-08", title="Porch"))
    newest = book.keep(
        demo_job.changed(finish="gloss"), job_id=one.job_id, total=Decimal("120.50")
    )

    first, second = book.jobs()

    assert (first.job_id, first.client, first.title, first.number) == (
        one.job_id,
        "Slipway Pottery",
        "Studio, hall and showroom",
        "2611-07",
    )
    assert (first.revision, first.when, first.finish) == (2, newest.when, "gloss")
    assert first.total == Decimal("120.50")
    assert (second.job_id, second.title, second.total) == (two.job_id, "Porch", None)


def test_a_clock_that_runs_backward_does_not_turn_the_order_round(book, demo_job, clock):
    first = book.keep(demo_job)
    clock.now -= timedelta(days=400)
    book.keep(demo_job.changed(finish="gloss"), job_id=first.job_id)

    assert [r.number for r in book.history(first.job_id)] == [1, 2]
    assert book.latest(first.job_id).finish == "gloss"
    assert book.jobs()[0].revision == 2


def test_the_same_floor_is_found_again_and_another_is_not(book, demo_job):
    assert book.find(demo_job) is None
    kept = book.keep(demo_job)

    assert book.find(demo_job.changed(finish="gloss", valid_days=9)) == kept.job_id
    assert book.find(demo_job.changed(title="Porch")) is None
    assert book.find(demo_job.changed(number="")) is None


def test_an_id_can_be_read_out_and_typed_back_carelessly(book, demo_job):
    kept = book.keep(demo_job)

    assert re.fullmatch(r"[2-9B-DF-HJ-NP-TV-XZ]{4}-[2-9B-DF-HJ-NP-TV-XZ]{4}", kept.job_id)
    assert book.latest(f" {kept.job_id.lower()} ") == demo_job


def test_an_id_that_is_taken_is_drawn_again(book, demo_job, monkeypatch):
    draws = iter(["AAAA-2222", "AAAA-2222", "BBBB-3333"])
    monkeypatch.setattr(appending, "new_job_id", lambda: next(draws))

    assert book.keep(demo_job).job_id == "AAAA-2222"
    assert book.keep(demo_job).job_id == "BBBB-3333"


def noted(job, text):
    """The job with any text at all in the one field that takes it."""
    slab = job.site.slab.changed(notes=text)
    return job.changed(site=job.site.changed(slab=slab))


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_comes_back_letter_for_letter(book, demo_job, text):
    job = noted(demo_job, text)

    kept = book.keep(job)

    assert book.latest(kept.job_id) == job
    assert book.find(job) == kept.job_id


@pytest.mark.parametrize("text", [HOSTILE[0], HOSTILE[1], HOSTILE[2]])
def test_hostile_names_notes_and_titles_come_back_letter_for_letter(book, demo_job, text):
    client = demo_job.site.client.changed(name=text)
    job = demo_job.changed(title=text, site=demo_job.site.changed(client=client))

    kept = book.keep(job, who=text[:80], note=text)

    assert book.latest(kept.job_id) == job
    assert book.history(kept.job_id)[0].note == text
    assert (book.jobs()[0].client, book.jobs()[0].title) == (text, text)
    assert book.find(job) == kept.job_id


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(text=st.text(max_size=60))
def test_any_text_at_all_comes_back(book, demo_job, text):
    job = noted(demo_job, text)

    assert book.latest(book.keep(job).job_id) == job


@pytest.mark.parametrize("job_id", [*HOSTILE, "' OR 1=1 --", "", "%", "\ud800"])
def test_an_id_that_is_not_in_the_book_is_told_in_one_line(book, demo_job, job_id):
    book.keep(demo_job)

    for ask in (book.latest, book.history, lambda i: book.keep(demo_job, job_id=i)):
        with pytest.raises(BookError) as told:
            ask(job_id)
        assert str(told.value).isprintable()
    assert len(book.jobs()) == 1


@pytest.mark.parametrize("number", [0, 2, -1, 2**70])
def test_a_revision_that_never_was_is_told_with_those_that_are(book, demo_job, number):
    kept = book.keep(demo_job)

    with pytest.raises(BookError, match=f"job {kept.job_id}, revision: .*expected 1 to 1"):
        book.at(kept.job_id, number)


@pytest.mark.parametrize("amount", ["10.005", "NaN", "Infinity", "1E+20"])
def test_a_total_that_is_not_in_whole_cents_is_refused(book, demo_job, amount):
    with pytest.raises(BookError, match=r"total: found .*an amount in whole cents"):
        book.keep(demo_job, total=Decimal(amount))

    assert book.jobs() == ()


@pytest.mark.parametrize("amount", ["0", "0.01", "-412.00", "9999999999.99"])
def test_totals_come_back_to_the_cent(book, demo_job, amount):
    book.keep(demo_job, total=Decimal(amount))

    assert book.jobs()[0].total == Decimal(amount)


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        ({"who": "x" * 81}, "who: found .*81 characters.*at most 80"),
        ({"who": "two\nlines"}, "who: found .*plain text"),
        ({"note": "x" * 2001}, "note: found .*at most 2000"),
        ({"note": "\u202eturned"}, "note: found .*U\\+202E"),
    ],
)
def test_who_and_why_are_plain_words_of_a_reasonable_length(
    book, demo_job, words, complaint
):
    with pytest.raises(BookError, match=complaint):
        book.keep(demo_job, **words)

    assert book.jobs() == ()


def test_half_a_character_cannot_be_kept(book, demo_job):
    with pytest.raises(BookError, match="half a character"):
        book.keep(demo_job.model_copy(update={"number": "\ud800"}))


def test_the_database_itself_refuses_to_change_or_drop_a_revision(book, demo_job, tamper):
    kept = book.keep(demo_job)

    for statement in ("UPDATE revision SET note = 'other'", "DELETE FROM revision"):
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            tamper(statement)
    assert book.history(kept.job_id) == (kept,)


def test_a_keep_that_fails_halfway_leaves_nothing(book, place, demo_job, monkeypatch):
    class PowerCutError(Exception):
        pass

    def cut(*_):
        raise PowerCutError

    append = queries.append
    monkeypatch.setattr(queries, "append", cut)
    with pytest.raises(PowerCutError):
        book.keep(demo_job)
    monkeypatch.setattr(queries, "append", append)

    assert book.jobs() == ()
    with closing(sqlite3.connect(place)) as raw:
        assert raw.execute("SELECT count(*) FROM job").fetchone() == (0,)
    book.keep(demo_job)


def test_several_threads_may_keep_through_one_book(book, demo_job):
    kept = book.keep(demo_job)

    def keep(days):
        return book.keep(demo_job.changed(valid_days=days), job_id=kept.job_id).number

    with ThreadPoolExecutor(4) as crew:
        numbers = list(crew.map(keep, range(100, 120)))

    assert sorted(numbers) == list(range(2, 22))
    assert {book.at(kept.job_id, n).valid_days for n in numbers} == set(range(100, 120))
