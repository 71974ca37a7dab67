"""A job goes into a file and comes out as it was, or is refused in one line."""

import json

import pytest

from kit.book import CarriedJob, job_file, job_file_name, read_job_file
from kit.book.carrying import MOST_BYTES
from kit.errors import BookError


def test_a_job_comes_out_of_its_file_as_it_went_in(book, demo_job):
    kept = book.keep(demo_job)
    carried = CarriedJob(demo_job, kept.job_id, kept.number)

    assert read_job_file(job_file(carried), about="x.json") == carried
    assert json.loads(job_file(carried))["sha256"] == kept.sha256


def _with(content, **changed):
    return json.dumps(json.loads(content) | changed).encode()


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        (lambda _: b"", "no JSON"),
        (lambda _: b"[" * 100_000, "no JSON"),
        (lambda _: b"\xff\xfe", "no JSON"),
        (lambda _: b"[1]", "something else"),
        (lambda _: b'{"kind": "a letter"}', "something else"),
        (lambda c: _with(c, version="2"), "a part of a job"),
        (lambda c: _with(c, payload=None), "a part of a job"),
        (lambda c: _with(c, payload="\ud800"), "no JSON"),
        (lambda c: _with(c, version=99), "newer Pourtable"),
        (lambda c: c.replace(b"Slipway", b"Slapway"), "no longer matches"),
        (lambda c: c[:-40], "no JSON"),
        (lambda _: b" " * (MOST_BYTES + 1), "bytes at most"),
    ],
)
def test_a_file_that_is_no_job_or_was_damaged_is_refused_by_name(demo_job, spoilt, words):
    content = spoilt(job_file(CarriedJob(demo_job)))

    with pytest.raises(BookError, match=words) as told:
        read_job_file(content, about="x.json")
    assert "x.json" in str(told.value)


@pytest.mark.parametrize(("number", "name"), [
    ("2611-07", "job-2611-07-slipway-pottery.json"), ("../..", "job-slipway-pottery.json")
])  # fmt: skip
def test_a_files_name_is_safe_everywhere(demo_job, number, name):
    assert job_file_name(demo_job.changed(number=number)) == name
