"""``jobs change``: priced from what was agreed, on paper, and in the book by its bytes."""

from __future__ import annotations

import hashlib
from decimal import Decimal

import pytest

from kit.book import Book, facts_of, sent
from kit.cli import main
from kit.job import workup

pytestmark = pytest.mark.paper


@pytest.fixture
def job_id(tmp_path, monkeypatch, demo_job, demo_workup):
    """A job that was proposed, and has a finish more expensive since."""
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    asked, cost = demo_workup.offer.total, demo_workup.bid.cost
    with Book() as book:
        job_id = book.keep(demo_job, total=asked).job_id
        sent(book, job_id, b"paper", job=demo_job, total=asked, cost=cost)
        book.keep(demo_job.changed(finish="gloss"), job_id=job_id)
    return job_id


@pytest.fixture
def change(capsys, job_id, tmp_path):
    def run(*words, name="change.pdf", code=0):
        out = tmp_path / name
        given = ["jobs", "change", job_id, "--out", str(out), *words]
        assert main(given) == code
        told = capsys.readouterr()
        return (out.read_bytes() if out.exists() else b""), told.err or told.out

    return run


def last(job_id):
    with Book() as book:
        return facts_of(book, job_id)[-1]


def test_a_change_is_priced_pressed_and_noted_by_the_hash_of_its_paper(
    change, job_id, demo_job, demo_workup
):
    pdf, told = change("--who", "Ann")
    noted = last(job_id)
    glossy = workup(demo_job.changed(finish="gloss"))
    difference = glossy.offer.total - demo_workup.offer.total
    assert pdf.startswith(b"%PDF")
    assert (noted.who, noted.fact.KIND) == ("Ann", "change")
    assert noted.fact.sha256 == hashlib.sha256(pdf).hexdigest()
    assert noted.fact.difference == difference
    assert noted.fact.cost == glossy.bid.cost - demo_workup.bid.cost
    assert noted.fact.says == "The floor is finished in gloss, no longer in matte."
    assert noted.fact.revision == 2
    assert f"= {glossy.offer.total:,.2f}" in told


def test_the_next_change_begins_where_the_last_one_ended(change, job_id, demo_workup):
    change()
    _, told = change(name="again.pdf", code=2)
    assert "nothing that was changed since revision 2" in told
    first = last(job_id)
    said = (
        "--says",
        "Two more shelves are moved.",
        "--difference",
        "120.00",
        "--days",
        "1",
    )
    _, told = change(*said, name="two.pdf")
    second = last(job_id)
    assert "change order 2" in told
    assert (second.fact.difference, second.fact.days) == (Decimal("120.00"), 1)
    assert second.fact.cost is None
    before = demo_workup.offer.total + first.fact.difference
    assert f"{before:,.2f} +120.00" in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--difference", "120.00"), "--says: found nothing"),
        (("--says", "More", "--difference", "much"), "--difference: found much"),
        (("--from", "9"), "revision: found 9; expected 1 to 2"),
        (("--says", "x" * 3000), "change, says"),
    ],
)
def test_what_makes_no_change_order_is_refused_and_nothing_is_left(
    change, job_id, words, told
):
    pdf, said = change(*words, code=2)
    assert told in said
    assert pdf == b""
    assert last(job_id).fact.KIND == "proposal"


def test_a_job_that_was_never_proposed_has_no_change_order(
    capsys, tmp_path, monkeypatch, demo_job
):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "other.sqlite"))
    with Book() as book:
        job_id = book.keep(demo_job).job_id
    assert main(["jobs", "change", job_id, "--out", str(tmp_path / "x.pdf")]) == 2
    assert "no proposal that went out" in capsys.readouterr().err
