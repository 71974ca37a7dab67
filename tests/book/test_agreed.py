"""What the next change of a job begins from, and change orders that go out once."""

from __future__ import annotations

import hashlib
from decimal import Decimal

import pytest

from kit.book import agreed_so_far, change_sent, facts_of, note, sent
from kit.book.facts import Answer, ChangeOrder, Withdrawn
from kit.errors import BookError


@pytest.fixture
def job_id(book, demo_job):
    """A job that was proposed as its second revision."""
    job_id = book.keep(demo_job).job_id
    satin = demo_job.changed(finish="satin")
    book.keep(satin, job_id=job_id)
    sent(book, job_id, b"the proposal", job=satin, total=Decimal("8000.00"))
    book.keep(demo_job.changed(finish="gloss"), job_id=job_id)
    return job_id


def order(difference, **more):
    return ChangeOrder(says="More of it.", difference=Decimal(difference), **more)


def test_a_change_begins_from_what_was_proposed(book, job_id):
    begun = agreed_so_far(book, job_id)
    assert (begun.revision, begun.total, begun.orders) == (2, Decimal("8000.00"), 0)


def test_each_order_that_was_not_declined_adds_to_it(book, job_id):
    first = change_sent(book, job_id, b"one", order("500.00", revision=3))
    change_sent(book, job_id, b"two", order("-100.00", revision=3))
    note(book, job_id, Answer(accepted=True, to=first.number))
    begun = agreed_so_far(book, job_id)
    assert (begun.revision, begun.total, begun.orders) == (3, Decimal("8400.00"), 2)


def test_what_was_edited_while_an_order_was_made_is_not_part_of_it(book, job_id):
    """The order names its own state; the newest one may be a later edit."""
    change_sent(book, job_id, b"one", order("500.00", revision=2))
    assert agreed_so_far(book, job_id).revision == 2
    change_sent(book, job_id, b"two", order("0.00"))
    assert agreed_so_far(book, job_id).revision == 3, "as it was noted, if it names none"


def test_a_declined_or_withdrawn_order_is_begun_from_no_more(book, job_id):
    declined = change_sent(book, job_id, b"one", order("500.00", revision=3))
    note(book, job_id, Answer(accepted=False, to=declined.number))
    assert agreed_so_far(book, job_id).revision == 2
    assert agreed_so_far(book, job_id).total == Decimal("8000.00")
    assert agreed_so_far(book, job_id).orders == 1, "its number is not given twice"
    gone = change_sent(book, job_id, b"two", order("70.00"))
    note(book, job_id, Withdrawn(number=gone.number))
    assert agreed_so_far(book, job_id).total == Decimal("8000.00")


def test_an_accepted_proposal_counts_before_a_later_one(book, job_id, demo_job):
    proposal = facts_of(book, job_id)[0]
    sent(book, job_id, b"another", job=demo_job, total=Decimal("9000.00"))
    assert agreed_so_far(book, job_id).total == Decimal("9000.00")
    note(book, job_id, Answer(accepted=True, to=proposal.number))
    assert agreed_so_far(book, job_id).total == Decimal("8000.00")


def test_a_job_that_was_never_proposed_has_nothing_to_change(book, demo_job):
    kept = book.keep(demo_job)
    with pytest.raises(BookError, match="no proposal that went out"):
        agreed_so_far(book, kept.job_id)


def test_a_paper_that_goes_out_again_is_noted_once_by_its_bytes(book, job_id):
    first = change_sent(book, job_id, b"one", order("500.00"), who="Ann")
    assert change_sent(book, job_id, b"one", order("500.00")) == first
    fact = facts_of(book, job_id)[-1].fact
    assert fact.sha256 == hashlib.sha256(b"one").hexdigest()
    assert fact.size_bytes == 3
