"""A sheet that is opened again finds its job as it was left."""

from decimal import Decimal

import pytest

from kit.bench.keeping import Keeper, job_on_the_table
from kit.bench.state import TableState
from kit.book import Book


@pytest.fixture
def book(tmp_path):
    with Book(tmp_path / "book.sqlite") as book:
        yield book


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


def test_another_client_is_another_job(book, demo_job):
    other = demo_job.changed(
        site=demo_job.site.changed(client=demo_job.site.client.changed(name="Quay Bakery"))
    )

    assert job_on_the_table(book, demo_job) != job_on_the_table(book, other)


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
    job_id = job_on_the_table(book, demo_job)
    before = book.history(job_id)
    Keeper(book, job_id, lambda _: None).keep(TableState(demo_job))

    assert book.history(job_id) == before
