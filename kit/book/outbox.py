"""Which papers of a job went out, each by its bytes, and which one the next is."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.book.facts import ProposalSent, Sending, Withdrawn
from kit.book.noting import Noted, facts_of, note, standing
from kit.errors import PaperError

if TYPE_CHECKING:
    from decimal import Decimal

    from kit.book.book import Book
    from kit.book.records import Revision
    from kit.job import Job

_BESIDE = re.compile(
    r"(?P<how>sending|sent) as revision (?P<number>\d+) to (?P<to>\S+), "
    r"paper SHA-256 (?P<sha256>[0-9a-f]{64})"
)
"""The note beside a revision by which books without facts of papers tell of them."""
SAME_PAPER = ("signed", "language", "paper")
"""Of a job what its paper may change in without another number."""
TOLD = {
    "recipe": "pour",
    "finish": "finish",
    "extras": "extras",
    "design": "designs",
    "firm": "firm",
    "discount": "price",
    "date": "dates",
    "valid_days": "dates",
    "sale": "sale",
}
"""What of a job, when it changes, the client reads as changed; all else is details."""


@dataclass(frozen=True)
class OutPaper:
    """A paper that went out, or that may have.

    Parameters
    ----------
    is_sure : bool
        Whether it is known to have gone.
    number : int
        Of its revision, from 1, as printed on it.
    to : str
        Address, or the client's name where it was handed over.
    sha256 : str
        Of its bytes, before any seal.
    kept : Revision
        State of the job that it was made from.
    """

    is_sure: bool
    number: int
    to: str
    sha256: str
    kept: Revision


@dataclass(frozen=True)
class NextPaper:
    """Number of the paper that a job makes, and keys of what changed since the last."""

    number: int = 1
    changed: tuple[str, ...] = ()


FIRST = NextPaper()


def papers(book: Book, job_id: str) -> tuple[OutPaper, ...]:
    """Every paper of a job that went out, or may have, the first first."""
    history = {revision.number: revision for revision in book.history(job_id)}
    noted = standing(facts_of(book, job_id))
    found = [paper for one in noted if (paper := _told(one, noted, history))]
    beside = _beside_revisions(tuple(history.values()))
    return tuple(
        sorted((*beside, *found), key=lambda paper: (paper.kept.number, paper.number))
    )


def next_paper(
    book: Book, job: Job, total: Decimal, *, job_id: str | None = None
) -> NextPaper:
    """Tell the number of the paper that a job now makes, and what changed.

    A job that is as it was when its paper last went out, at the same price, makes the
    same paper again.

    Parameters
    ----------
    book : Book
    job : Job
    total : Decimal
        What it asks.
    job_id : str, optional
        Of the job in the book; the one last kept under its number, client and title, if
        it is not given.
    """
    job_id = job_id or book.find(job)
    out = papers(book, job_id) if job_id else ()
    if job_id is None or not out:
        return FIRST
    last = out[-1]
    changed = _changed(book.at(job_id, last.kept.number), job)
    if last.kept.total not in (None, total) and "price" not in changed:
        changed = (*changed, "price")
    if changed:
        return NextPaper(last.number + 1, changed)
    return NextPaper(last.number, _changed_before(book, job_id, out))


def begin(
    book: Book,
    job: Job,
    *,
    paper: bytes,
    to: str,
    number: int,
    total: Decimal,
    again: bool = False,
) -> Noted:
    """Freeze a paper that is about to go out, and note that it may go.

    Raises
    ------
    PaperError
        If this very paper went to this address, or may have, unless ``again``.
    """
    sha256 = hashlib.sha256(paper).hexdigest()
    job_id = book.find(job)
    out = papers(book, job_id) if job_id else ()
    known = [one for one in out if (one.to, one.sha256) == (to, sha256)]
    if known and not again:
        may = "went" if known[-1].is_sure else "may have gone"
        when = known[-1].kept.when
        raise PaperError(
            "proposal",
            found=f"a paper that {may} to {to} on {when:%Y-%m-%d %H:%M} UTC",
            expected="a change in it, or --again to send the same once more",
        )
    kept = book.keep(
        job, job_id=job_id, note=f"proposal, revision {number}, for {to}", total=total
    )
    return note(book, kept.job_id, Sending(sha256=sha256, number=number, to=to))


def stayed(book: Book, begun: Noted, why: str) -> None:
    """Take back that a paper may have gone."""
    note(book, begun.job_id, Withdrawn(number=begun.number, says=why[:500]))


def _told(
    one: Noted, noted: tuple[Noted, ...], history: dict[int, Revision]
) -> OutPaper | None:
    """What a fact tells of a paper: one that was about to go is told by its having gone."""
    fact, kept = one.fact, history[one.revision]
    if isinstance(fact, ProposalSent):
        sha256 = fact.unsealed or fact.sha256
        return OutPaper(True, fact.number, fact.to, sha256, kept)
    if not isinstance(fact, Sending):
        return None
    went = any(
        isinstance(later.fact, ProposalSent)
        and later.number > one.number
        and (later.fact.to, later.fact.unsealed or later.fact.sha256)
        == (fact.to, fact.sha256)
        for later in noted
    )
    return None if went else OutPaper(False, fact.number, fact.to, fact.sha256, kept)


def _beside_revisions(history: tuple[Revision, ...]) -> tuple[OutPaper, ...]:
    found = ((revision, _BESIDE.match(revision.note)) for revision in history)
    return tuple(
        OutPaper(
            said["how"] == "sent", int(said["number"]), said["to"], said["sha256"], revision
        )
        for revision, said in found
        if said
    )


def _changed(before: Job, after: Job) -> tuple[str, ...]:
    """Keys of what a client reads as changed, each once."""
    if before == after:
        return ()
    told = []
    for name in type(after).model_fields:
        one, other = getattr(before, name), getattr(after, name)
        if one == other or name in SAME_PAPER:
            continue
        if name == "site":
            told += ["client"] if one.client != other.client else []
            told += ["rooms"] if one.changed(client=other.client) != other else []
        else:
            told.append(TOLD.get(name, "details"))
    return tuple(dict.fromkeys(told))


def _changed_before(book: Book, job_id: str, out: tuple[OutPaper, ...]) -> tuple[str, ...]:
    """What the last paper told as changed, if it was not the first."""
    last = out[-1]
    earlier = [
        paper
        for paper in out
        if paper.number == last.number - 1 and paper.kept.sha256 != last.kept.sha256
    ]
    if not earlier:
        return ()
    one, other = earlier[-1].kept, last.kept
    told = _changed(book.at(job_id, one.number), book.at(job_id, other.number))
    if None not in (one.total, other.total) and one.total != other.total:
        told = tuple(dict.fromkeys((*told, "price")))
    return told
