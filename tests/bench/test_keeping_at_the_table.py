"""A sheet that is opened again finds its job as it was left."""

import pytest

from kit.bench.keeping import job_on_the_table
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
