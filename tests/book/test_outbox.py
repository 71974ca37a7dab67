"""What the book keeps of papers that go out: each in one place, none sent twice unasked."""

from __future__ import annotations

import hashlib
from decimal import Decimal
from email.message import EmailMessage
from email.policy import SMTP

import pytest

from kit.book import (
    Book,
    NextPaper,
    facts_of,
    next_paper,
    of_kind,
    papers,
    sent,
    standing,
)
from kit.book.facts import ProposalSent, Sending
from kit.cli.sending import send_kept
from kit.errors import BookError, PaperError
from kit.proposal import MailSettings, UnsureError

PDF = b"%PDF-1.7 not really one"
TOTAL, COST = Decimal("7836.21"), Decimal("5000.00")
TO = "ines@slipwaypottery.example"


@pytest.fixture
def book(tmp_path):
    with Book(tmp_path / "book.sqlite") as opened:
        yield opened


def go(book, job, *, pdf=PDF, **more):
    message = EmailMessage(policy=SMTP)
    message["To"] = TO
    given = {"number": 1, "total": TOTAL, "cost": COST, "hand_over": lambda *_: 1, **more}
    return send_kept(book, job, message, pdf, MailSettings(host="mail.example"), **given)


def out(book, job):
    return [(p.is_sure, p.number, p.to, p.sha256) for p in papers(book, book.find(job))]


def refused(*_):
    raise PaperError("mail server", found="550 no")


def unsure(*_):
    raise UnsureError("mail server")


def digest(content):
    return hashlib.sha256(content).hexdigest()


def test_a_sent_paper_is_a_frozen_revision_and_one_fact_with_the_hash_of_its_bytes(
    book, demo_job
):
    fact = go(book, demo_job)
    job_id = book.find(demo_job)
    assert out(book, demo_job) == [(True, 1, TO, digest(PDF))]
    (noted,) = of_kind(facts_of(book, job_id), ProposalSent)
    assert noted == fact
    assert (fact.sha256, fact.to, fact.total, fact.cost) == (digest(PDF), TO, TOTAL, COST)
    (paper,) = papers(book, job_id)
    assert book.at(job_id, paper.kept.number) == demo_job
    assert not any("SHA-256" in revision.note for revision in book.history(job_id))
    (entry,) = book.jobs()
    assert entry.stands == "out"


@pytest.mark.parametrize(("hand_over", "told"), [(None, "that went"), (unsure, "may have")])
def test_what_went_out_or_may_have_is_not_sent_again_unasked(
    book, demo_job, hand_over, told
):
    if hand_over:
        with pytest.raises(UnsureError):
            go(book, demo_job, hand_over=hand_over)
    else:
        go(book, demo_job)
    calls = []
    with pytest.raises(PaperError, match=told):
        go(book, demo_job, hand_over=lambda *_: calls.append(1))
    assert calls == []
    assert [is_sure for is_sure, *_ in out(book, demo_job)] == [hand_over is None]
    go(book, demo_job, again=True)
    gone = of_kind(facts_of(book, book.find(demo_job)), ProposalSent)
    assert len(gone) == (2 if hand_over is None else 1)


def test_a_seal_does_not_make_it_another_paper(book, demo_job):
    """Each seal is other bytes; the paper under it is what must not go twice."""
    fact = go(book, demo_job, pdf=PDF + b"seal", unsealed=PDF)
    assert (fact.sha256, fact.unsealed) == (digest(PDF + b"seal"), digest(PDF))
    with pytest.raises(PaperError, match="that went"):
        go(book, demo_job, pdf=PDF + b"another", unsealed=PDF)


def test_what_was_refused_may_be_sent_later(book, demo_job):
    with pytest.raises(PaperError, match="550"):
        go(book, demo_job, hand_over=refused)
    assert out(book, demo_job) == []
    assert next_paper(book, demo_job, TOTAL) == NextPaper(1)
    go(book, demo_job)
    noted = standing(facts_of(book, book.find(demo_job)))
    assert len(of_kind(noted, Sending)) == len(of_kind(noted, ProposalSent)) == 1


def test_nothing_is_sent_that_cannot_be_kept(book, demo_job):
    book.close()
    calls = []
    with pytest.raises(BookError):
        go(book, demo_job, hand_over=lambda *_: calls.append(1))
    assert calls == []


def test_a_change_makes_a_new_paper_and_says_what_changed(book, demo_job):
    assert next_paper(book, demo_job, TOTAL) == NextPaper(1)
    go(book, demo_job)
    assert next_paper(book, demo_job, TOTAL) == NextPaper(1)
    glossy = demo_job.changed(finish="gloss", extras=("cove",), valid_days=10)
    told = NextPaper(2, ("dates", "finish", "extras"))
    assert next_paper(book, glossy, TOTAL) == told
    assert next_paper(book, demo_job, TOTAL + 1) == NextPaper(2, ("price",))
    go(book, glossy, pdf=b"%PDF 2", number=2)
    assert next_paper(book, glossy, TOTAL) == told
    assert next_paper(book, demo_job, TOTAL).number == 3


def test_what_is_handed_over_counts_as_what_is_mailed(book, demo_job):
    job_id = book.keep(demo_job, total=TOTAL).job_id
    sent(book, job_id, PDF, job=demo_job, total=TOTAL)
    assert next_paper(book, demo_job, TOTAL) == NextPaper(1)
    assert next_paper(book, demo_job.changed(finish="gloss"), TOTAL).number == 2
    renamed = demo_job.changed(title="Another title")
    assert next_paper(book, renamed, TOTAL) == NextPaper(1)
    assert next_paper(book, renamed, TOTAL, job_id=job_id) == NextPaper(2, ("details",))


@pytest.mark.parametrize("name", ["signed", "language", "paper"])
def test_its_signature_language_and_size_make_no_other_paper(book, demo_job, name):
    from kit.job import Signature

    job_id = book.keep(demo_job, total=TOTAL).job_id
    sent(book, job_id, PDF, job=demo_job, total=TOTAL)
    other = {
        "signed": Signature(name="Ines Quarrie", day=demo_job.date, total=TOTAL),
        "language": "es-US",
        "paper": demo_job.paper.changed(page="a4", units="metric", fields_to_sign=True),
    }
    assert next_paper(book, demo_job.changed(**{name: other[name]}), TOTAL) == NextPaper(1)


def test_papers_that_an_older_book_noted_beside_its_revisions_are_known(book, demo_job):
    """Such books noted each mail there, and once more as a fact without its number."""
    of_first, of_second = digest(PDF), digest(b"%PDF 2")
    job_id = book.keep(demo_job, total=TOTAL).job_id
    glossy = demo_job.changed(finish="gloss")
    for job, number, sha256 in ((demo_job, 1, of_first), (glossy, 2, of_second)):
        for how in ("sending", "sent"):
            words = f"{how} as revision {number} to {TO}, paper SHA-256 {sha256}"
            book.keep(job, job_id=job_id, note=words, total=TOTAL)
        sent(book, job_id, f"%PDF {number}".encode(), job=job, total=TOTAL)

    assert next_paper(book, glossy, TOTAL, job_id=job_id) == NextPaper(2, ("finish",))
    with pytest.raises(PaperError, match="that went to ines@"):
        go(book, glossy, pdf=b"%PDF 2", number=2)
