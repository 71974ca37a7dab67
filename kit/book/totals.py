"""What the book comes to: by month, by where jobs stand, won and lost, asked and earned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from typing import TYPE_CHECKING, Any

from sqlalchemy import BigInteger, Connection, Select, Text, cast, func, select, type_coerce

from kit.book.facts import Answer, ChangeOrder, Closed, Payment, ProposalSent
from kit.book.listing import STANDS, Stands
from kit.book.noting import Noted, of_kind, read_rows, standing
from kit.book.searching import Sought, found_by
from kit.book.tables import ENTRY, EVENT
from kit.money import ZERO

if TYPE_CHECKING:
    from kit.book.book import Book


@dataclass(frozen=True)
class MonthTotal:
    """Jobs last kept in a month that stand in one place: how many, priced at how much.

    ``month`` is ``2026-11``; jobs without a price count and add nothing.
    """

    month: str
    stands: Stands
    jobs: int
    total: Decimal


def month_totals(book: Book, sought: Sought | None = None) -> tuple[MonthTotal, ...]:
    """Sum the jobs found by month and by where they stand, the last month first."""
    month = func.substr(ENTRY.c.kept_at, 1, 7, type_=Text).label("month")
    # a server sums whole numbers into one with decimals
    summed = cast(func.sum(cast(ENTRY.c.total_cents, BigInteger)), BigInteger)
    priced = type_coerce(summed, ENTRY.c.total_cents.type)
    query: Select[Any] = select(month, ENTRY.c.stands, func.count(), priced)
    with book.reading() as connection:
        query = query.where(*found_by(connection, sought or Sought()))
        rows = list(connection.execute(query.group_by(month, ENTRY.c.stands)))
    totals = [MonthTotal(row[0], row[1], row[2], row[3] or ZERO) for row in rows]
    totals.sort(key=lambda total: STANDS.index(total.stands))
    totals.sort(key=lambda total: total.month, reverse=True)
    return tuple(totals)


@dataclass(frozen=True)
class Earned:
    """One job that was priced to a client: asked and expected, earned and spent.

    The owner's figures all. ``asked`` is that of the proposal answered, or else the last
    one, with the change orders agreed; ``expected`` what these were to cost; ``cost`` what
    closing the job told. A margin is over what was asked, and None where a cost is unknown.
    """

    job_id: str
    sent: datetime
    won: bool | None
    asked: Decimal
    expected: Decimal | None
    changes: Decimal
    paid: Decimal
    cost: Decimal | None

    @property
    def margin_asked(self) -> Decimal | None:
        """Share of what was asked that was to be left."""
        return _margin(self.asked, self.expected)

    @property
    def margin_earned(self) -> Decimal | None:
        """Share of what was asked that was left."""
        return _margin(self.asked, self.cost)


@dataclass(frozen=True)
class Wins:
    """How proposals fared, a job counting once by its last answer."""

    won: int
    lost: int
    waiting: int
    options: dict[str, int] = field(default_factory=dict)

    @property
    def rate(self) -> Decimal | None:
        """Won over answered; None before any answer."""
        answered = self.won + self.lost
        return Decimal(self.won) / answered if answered else None


def earned(book: Book) -> tuple[Earned, ...]:
    """Tell of every job with a proposal what was asked and what was left, oldest first."""
    with book.reading() as connection:
        told = [t for noted in _by_job(connection) if (t := _of_job(noted)) is not None]
    return tuple(sorted(told, key=lambda job: job.sent))


def wins(book: Book) -> Wins:
    """Count the jobs whose proposals were accepted, declined, or not answered yet."""
    counts: dict[bool | None, int] = defaultdict(int)
    options: dict[str, int] = defaultdict(int)
    with book.reading() as connection:
        for noted in _by_job(connection):
            counted = standing(noted)
            sent = [n for n in counted if isinstance(n.fact, ProposalSent)]
            answer = _answer(counted)
            if not sent and answer is None:
                continue
            counts[None if answer is None else answer.accepted] += 1
            if answer is not None and answer.accepted and answer.option:
                options[answer.option] += 1
    return Wins(counts[True], counts[False], counts[None], dict(options))


_COUNTED = (ProposalSent, Answer, ChangeOrder, Payment, Closed)


def _by_job(connection: Connection) -> Iterator[tuple[Noted, ...]]:
    """Facts about money job by job, never all at once."""
    kinds = [*(kind.KIND for kind in _COUNTED), "withdrawn"]
    query = select(EVENT).where(EVENT.c.kind.in_(kinds))
    query = query.order_by(EVENT.c.job_id, EVENT.c.number)
    rows = connection.execution_options(yield_per=500).execute(query)
    for _, facts in groupby(read_rows(rows), key=lambda noted: noted.job_id):
        yield tuple(facts)


def _answer(counted: Iterable[Noted]) -> Answer | None:
    """The last answer to the proposals: one to a change order is none of these."""
    changes = {n.number for n in counted if isinstance(n.fact, ChangeOrder)}
    answers = [n.fact for n in counted if isinstance(n.fact, Answer)]
    last = [answer for answer in answers if answer.to not in changes]
    return last[-1] if last else None


def _of_job(noted: tuple[Noted, ...]) -> Earned | None:
    counted = standing(noted)
    sent = [n for n in counted if isinstance(n.fact, ProposalSent)]
    if not sent:
        return None
    answer = _answer(counted)
    answered = [n for n in sent if answer is not None and n.number == answer.to]
    chosen = (answered or sent)[-1]
    proposed = of_kind((chosen,), ProposalSent)[0]
    agreed = _agreed_changes(counted)
    changes = sum((change.difference for change in agreed), ZERO)
    costs = [proposed.cost, *(change.cost for change in agreed)]
    known = [cost for cost in costs if cost is not None]
    closed = [n.fact for n in counted if isinstance(n.fact, Closed)]
    return Earned(
        job_id=chosen.job_id,
        sent=chosen.when,
        won=None if answer is None else answer.accepted,
        asked=proposed.total + changes,
        expected=sum(known, ZERO) if len(known) == len(costs) else None,
        changes=changes,
        paid=sum((n.fact.paid for n in counted if isinstance(n.fact, Payment)), ZERO),
        cost=closed[-1].cost if closed else None,
    )


def _agreed_changes(counted: tuple[Noted, ...]) -> list[ChangeOrder]:
    said = {n.fact.to: n.fact.accepted for n in counted if isinstance(n.fact, Answer)}
    return [
        n.fact for n in counted if isinstance(n.fact, ChangeOrder) and said.get(n.number)
    ]


def _margin(asked: Decimal, cost: Decimal | None) -> Decimal | None:
    if cost is None or asked <= 0:
        return None
    return (asked - cost) / asked
