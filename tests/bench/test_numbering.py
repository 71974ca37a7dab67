"""Numbers of proposals: given by themselves, one after another, and told if given twice."""

import datetime

import pytest

from kit.bench.beginning import begin_blank
from kit.bench.numbering import GIVEN_TWICE, Numbers, next_number
from kit.bench.paper_figures import lacking, missing, paper_figures
from kit.book import Book
from kit.job import blank_job
from kit.stock import read_shelf

DAY = datetime.date(2026, 11, 25)


@pytest.fixture
def book(tmp_path):
    with Book(tmp_path / "book.sqlite") as book:
        yield book


@pytest.mark.parametrize(
    ("there", "follows"),
    [
        ((), "2611-01"),
        (("2611-07",), "2611-08"),
        (("2611-99", "2611-7", "2610-400", "1", "2611-x"), "2611-100"),
        (("2610-12",), "2611-01"),
    ],
)
def test_the_next_number_is_one_more_than_the_highest_of_its_month(book, there, follows):
    for number in there:
        book.keep(blank_job().changed(number=number))
    assert next_number(book, DAY) == follows


def test_blank_jobs_are_numbered_one_after_another(book):
    first, second = (book.latest(begin_blank(book)).number for _ in range(2))
    assert int(second[-2:]) == int(first[-2:]) + 1


def test_a_number_that_another_job_bears_is_told_and_not_refused(book):
    one = book.keep(blank_job().changed(number="1")).job_id
    other = book.keep(blank_job().changed(number="12")).job_id
    numbers = Numbers()
    assert numbers.caution("1", book, one) == ""
    assert numbers.caution("1", book, other) == GIVEN_TWICE
    assert numbers.caution("12", book, other) == ""
    assert numbers.caution("", book, other) == ""
    assert numbers.caution("1", None, None) == ""


def test_all_that_is_missing_is_named_in_one_sentence(demo_job, demo_workup):
    blank = blank_job()
    assert missing(lacking(blank, None, read_shelf())) == (
        "Before it can go out: walls that close, who the floor is for, "
        "the name of your firm and a number for this proposal."
    )
    assert missing(
        lacking(demo_job.changed(number=""), demo_workup.offer, read_shelf())
    ) == ("Before it can go out: a number for this proposal.")
    assert missing(lacking(demo_job, demo_workup.offer, read_shelf())) == ""


def test_names_that_nobody_gave_are_hints_and_not_words():
    figures = paper_figures(blank_job(), None, read_shelf())
    assert figures["fields"]["client, name"] == figures["fields"]["firm, name"] == ""
    assert figures["hints"] == {"client, name": "New client", "firm, name": "Your firm"}
