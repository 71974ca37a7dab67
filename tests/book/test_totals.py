"""Totals, wins and margins are what the jobs and facts under them come to."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest

from kit.book import Sought, note
from kit.book.facts import Answer, ChangeOrder, Closed, Payment, ProposalSent, Withdrawn
from kit.book.totals import MonthTotal, Wins, earned, month_totals, wins

DAY = datetime.date(2026, 11, 12)


def sent(total, cost=None, option=""):
    return ProposalSent(
        sha256="ab" * 32, size_bytes=9, total=Decimal(total), option=option,
        cost=None if cost is None else Decimal(cost),
    )  # fmt: skip


@pytest.fixture(params=["file", "office"])
def either(request, clock):
    from kit.book import Book

    where = request.getfixturevalue("office" if request.param == "office" else "place")
    with Book(where, clock=clock) as opened:
        yield opened


def test_jobs_are_summed_by_month_and_by_where_they_stand(either, demo_job, clock):
    ids = []
    for turn, total in enumerate(["100.00", "250.50", None, "10.00"]):
        clock.now = datetime.datetime(2026, 3 + turn // 3, 2, tzinfo=datetime.UTC)
        total = None if total is None else Decimal(total)
        ids.append(either.keep(demo_job.changed(title=f"Job {turn}"), total=total).job_id)
    either.mark(ids[1], "out")

    assert month_totals(either) == (
        MonthTotal("2026-04", "talking", 1, Decimal("10.00")),
        MonthTotal("2026-03", "talking", 2, Decimal("100.00")),
        MonthTotal("2026-03", "out", 1, Decimal("250.50")),
    )
    assert month_totals(either, Sought(stands="out")) == (
        MonthTotal("2026-03", "out", 1, Decimal("250.50")),
    )


def test_a_job_is_won_or_lost_once_by_its_last_answer(either, demo_job):
    def begun(*facts):
        job_id = either.keep(demo_job.changed(title=f"Job {len(either.jobs())}")).job_id
        for fact in facts:
            note(either, job_id, fact)

    begun(sent("100.00"), sent("90.00"), Answer(accepted=True, to=2, option="gloss"))
    begun(sent("100.00"), Answer(accepted=False, to=1), Answer(accepted=True, to=1))
    begun(sent("100.00"), Answer(accepted=False, to=1))
    begun(sent("100.00"), Answer(accepted=False, to=1), Withdrawn(number=2))
    begun(
        sent("100.00"), Answer(accepted=True, to=1),
        ChangeOrder(says="More", difference=Decimal("5.00")), Answer(accepted=False, to=3),
    )  # fmt: skip
    begun()

    assert wins(either) == Wins(won=3, lost=1, waiting=1, options={"gloss": 1})
    assert wins(either).rate == Decimal("0.75")
    assert Wins(0, 0, 4).rate is None


def test_what_was_asked_counts_the_proposal_answered_and_the_changes_agreed(
    either, demo_job
):
    job_id = either.keep(demo_job).job_id
    for fact in (
        sent("1000.00", "600.00"),
        sent("1200.00", "650.00"),
        Answer(accepted=True, to=1),
        ChangeOrder(says="a", difference=Decimal("100.00"), cost=Decimal("40.00")),
        Answer(accepted=True, to=4),
        ChangeOrder(says="b", difference=Decimal("999.00"), cost=Decimal("1.00")),
        Payment(paid=Decimal("400.00"), day=DAY),
        Payment(paid=Decimal("-50.00"), day=DAY),
        Closed(day=DAY, cost=Decimal("770.00")),
    ):
        note(either, job_id, fact)

    (job,) = earned(either)

    assert (job.asked, job.expected, job.changes) == (1100, 640, 100)
    assert (job.paid, job.cost, job.won) == (350, 770, True)
    assert job.margin_asked == Decimal(460) / 1100
    assert job.margin_earned == Decimal("0.3")


def test_a_margin_whose_cost_nobody_told_is_not_known(either, demo_job):
    job_id = either.keep(demo_job).job_id
    note(either, job_id, sent("1000.00"))
    (job,) = earned(either)
    assert (job.margin_asked, job.margin_earned, job.won) == (None, None, None)
