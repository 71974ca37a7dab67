"""What closed jobs teach: a rate moves from the shelf's towards what crews did.

A few jobs move it a little, many move it all the way; how far is told by how much one
job strays from the next. Nothing learned is used until the owner agrees to it.

::

    shelf's rate ± spread ─┐
                           ├─ Belief ─ Learned, with its evidence ─ agree ─ next bid
    rates of closed jobs ──┘
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import fsum
from typing import TYPE_CHECKING

from pydantic import Field, ValidationError
from sqlalchemy import insert, select

from kit.book.belief import Belief, next_job, shrunk
from kit.book.facts import Closed
from kit.book.noting import read_rows, standing
from kit.book.payload import sha256_of
from kit.book.tables import AGREED, EVENT
from kit.book.wording import check_words
from kit.errors import BookError
from kit.record import Record, complaint
from kit.site.text import Line
from kit.stock.records import Key

if TYPE_CHECKING:
    from kit.book.book import Book
    from kit.stock import Shelf
    from kit.stock.house import Task

RATE_SPREAD = 1 / 6
"""How far the shelf's rate may be off, one standard deviation as a share of it; common
practice, no source. [unitless]"""
JOB_SPREAD = 1 / 5
"""How far one job strays from the next, as a share of the rate; common practice, no
source. [unitless]"""
VERSION = 1


@dataclass(frozen=True)
class Evidence:
    """One closed job's rate. [units a person-hour]"""

    job_id: str
    day: date
    units: float
    labor_h: float

    @property
    def per_person_h(self) -> float:
        """Units of the driver that one person did in an hour."""
        return self.units / self.labor_h


@dataclass(frozen=True)
class Learned:
    """A task's rate as the shelf has it, and as a crew's jobs have moved it.

    All rates in units of the task's driver a person-hour; ``next`` is the range that
    the next single job may fall into.
    """

    task: str
    name: str
    crew: str
    shelf: float
    belief: Belief
    next: Belief
    evidence: tuple[Evidence, ...]

    @property
    def says(self) -> str:
        """The rate with its evidence in a sentence."""
        jobs = len(self.evidence)
        first, last = self.evidence[0], self.evidence[-1]
        seen = fsum(e.per_person_h for e in self.evidence) / jobs
        crew = f"crew {self.crew}" if self.crew else "the usual crew"
        span = f"on {first.day}" if jobs == 1 else f"from {first.day} to {last.day}"
        return (
            f"{self.name}, {crew}: {self.belief.mean:.4g} ± {self.belief.sd:.2g} an hour; "
            f"the shelf says {self.shelf:.4g}, {jobs} job{'' if jobs == 1 else 's'} {span} "
            f"did {seen:.4g} on average"
        )


def learned_rates(book: Book, shelf: Shelf) -> tuple[Learned, ...]:
    """Learn the rate of each task and crew that closed jobs tell of.

    Parameters
    ----------
    book : Book
    shelf : Shelf
        With the rates to start from; tasks that are not on it are left out.
    """
    known = {task.key: task for task in shelf.tasks}
    seen: dict[tuple[str, str], list[Evidence]] = defaultdict(list)
    for job_id, closed in closed_jobs(book):
        for done in closed.tasks:
            if done.task in known:
                told = Evidence(job_id, closed.day, done.units, done.labor_h)
                seen[done.task, done.crew].append(told)
    learned = []
    for (key, crew), evidence in sorted(seen.items()):
        task = known[key]
        rate = task.per_person_h
        job_sd = rate * JOB_SPREAD
        belief = shrunk(
            Belief(rate, rate * RATE_SPREAD),
            [e.per_person_h for e in evidence],
            job_sd=job_sd,
        )
        evidence.sort(key=lambda e: e.day)
        learned.append(
            Learned(
                key, task.name, crew, rate, belief,
                next_job(belief, job_sd=job_sd), tuple(evidence),
            )
        )  # fmt: skip
    return tuple(learned)


def closed_jobs(book: Book) -> Iterator[tuple[str, Closed]]:
    """Jobs that were closed, each with what it took as it was last told."""
    query = select(EVENT).where(EVENT.c.kind.in_(["closed", "withdrawn"]))
    with book.reading() as connection:
        rows = list(read_rows(connection.execute(query.order_by(EVENT.c.serial))))
    by_job: dict[str, list[int]] = defaultdict(list)
    for place, noted in enumerate(rows):
        by_job[noted.job_id].append(place)
    for job_id, places in by_job.items():
        told = [n.fact for n in standing(tuple(rows[p] for p in places))]
        closed = [fact for fact in told if isinstance(fact, Closed)]
        if closed:
            yield job_id, closed[-1]


class AgreedRate(Record):
    """A rate that the owner agreed to bid by, with what it was learned from."""

    task: Key
    crew: Line = ""
    per_person_h: float | None = Field(
        gt=0, le=1000, description="Units of the driver a person-hour; none: the shelf's."
    )
    jobs: tuple[str, ...] = Field(default=(), description="Ids of the jobs it is from.")
    says: str = ""


def agree(book: Book, learned: Learned, *, who: str = "") -> AgreedRate:
    """Note that the owner bids by a learned rate from now on."""
    agreed = AgreedRate(
        task=learned.task,
        crew=learned.crew,
        per_person_h=learned.belief.mean,
        jobs=tuple(evidence.job_id for evidence in learned.evidence),
        says=learned.says,
    )
    _append(book, agreed, who)
    return agreed


def take_back(book: Book, task: str, crew: str = "", *, who: str = "") -> None:
    """Note that the owner bids by the shelf's rate again.

    Raises
    ------
    BookError
        If no learned rate of this task and crew is in use.
    """
    if (task, crew) not in {(a.task, a.crew) for a in agreed_rates(book)}:
        raise BookError("task", found=task, expected="one whose learned rate is in use")
    _append(book, AgreedRate(task=task, crew=crew, per_person_h=None), who)


def agreed_rates(book: Book) -> tuple[AgreedRate, ...]:
    """Rates that the owner agreed to and did not take back, by task and crew."""
    newest: dict[tuple[str, str], AgreedRate] = {}
    with book.reading() as connection:
        for row in connection.execute(select(AGREED).order_by(AGREED.c.serial)):
            agreed = _opened(row.payload, row.payload_sha256, row.payload_version)
            newest[agreed.task, agreed.crew] = agreed
    return tuple(a for _, a in sorted(newest.items()) if a.per_person_h is not None)


def learned_shelf(shelf: Shelf, agreed: Iterable[AgreedRate], crew: str = "") -> Shelf:
    """Give the shelf with the rates agreed to for a crew in the place of its own.

    Parameters
    ----------
    shelf : Shelf
    agreed : iterable of AgreedRate
    crew : str
        Whose rates to take; those of the usual crew are blank.
    """
    rates = {a.task: a for a in agreed if a.crew == crew and a.per_person_h is not None}
    return replace(shelf, tasks=tuple(_bid_by(task, rates) for task in shelf.tasks))


def _bid_by(task: Task, rates: Mapping[str, AgreedRate]) -> Task:
    rate = rates.get(task.key)
    if rate is None:
        return task
    return task.changed(per_person_h=rate.per_person_h, source=_source(rate))


def _source(agreed: AgreedRate) -> str:
    jobs = len(agreed.jobs)
    return f"learned from {jobs} closed job{'' if jobs == 1 else 's'}, agreed by the owner"


def _append(book: Book, agreed: AgreedRate, who: str) -> None:
    check_words(("who", who, 80, False))
    payload = agreed.model_dump_json()
    with book.writing() as connection:
        connection.execute(
            insert(AGREED).values(
                agreed_at=book.now(), who=who or book.who, payload_version=VERSION,
                payload_sha256=sha256_of(payload), payload=payload,
            )
        )  # fmt: skip


def _opened(payload: str, sha256: str, version: int) -> AgreedRate:
    about = "a rate that was agreed to"
    if version > VERSION:
        raise BookError(f"{about} was kept by a newer Pourtable", expected="that one")
    if not isinstance(payload, str) or sha256_of(payload) != sha256:
        raise BookError(
            f"{about} is damaged: its text no longer matches its SHA-256",
            expected="it as it was kept; put back a copy of the book",
        )
    try:
        return AgreedRate.model_validate_json(payload)
    except ValidationError as error:
        raise complaint(error, where=about, family=BookError) from None
