"""Which papers of a job went out: frozen in the book, each by the hash of its bytes."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.errors import PaperError
from kit.proposal.catalogue import Words

if TYPE_CHECKING:
    from decimal import Decimal

    from kit.book import Book, Revision
    from kit.job import Job

_NOTE = re.compile(
    r"(?P<how>sending|sent|not sent) as revision (?P<number>\d+) to (?P<to>\S+), "
    r"paper SHA-256 (?P<sha256>[0-9a-f]{64})"
)
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
class SentPaper:
    """A paper that went out, or that may have.

    Parameters
    ----------
    how : str
        ``sending`` where it is not known whether it went out; ``sent``; ``not sent``.
    number : int
        Of the paper's revision, from 1.
    to : str
    sha256 : str
        Of its bytes.
    kept : Revision
        State of the job that it was made from.
    """

    how: str
    number: int
    to: str
    sha256: str
    kept: Revision


def papers(book: Book, job_id: str) -> tuple[SentPaper, ...]:
    """Every paper of a job that went out, or was to, the first first."""
    found = ((revision, _NOTE.match(revision.note)) for revision in book.history(job_id))
    return tuple(
        SentPaper(note["how"], int(note["number"]), note["to"], note["sha256"], revision)
        for revision, note in found
        if note
    )


def next_revision(book: Book, job: Job, total: Decimal, say: Words) -> tuple[int, str]:
    """Number of the paper that a job now makes, and what changed since the one before.

    A job that is as it was when it last went out, at the same price, makes the same paper
    again.
    """
    job_id = book.find(job)
    out = [p for p in papers(book, job_id) if p.how != "not sent"] if job_id else []
    if job_id is None or not out:
        return 1, ""
    last = out[-1]
    before = book.at(job_id, last.kept.number)
    told = _changed(before, job)
    if last.kept.total not in (None, total) and "price" not in told:
        told = (*told, "price")
    if not told:
        return last.number, _changed_before(book, job_id, out, say)
    return last.number + 1, _line(told, say)


def begin(book: Book, job: Job, *, paper: bytes, to: str, number: int, total: Decimal,
          again: bool = False) -> SentPaper:  # fmt: skip
    """Freeze a paper that is about to go out.

    Raises
    ------
    PaperError
        If these very bytes went to this address, or may have, unless ``again``.
    """
    digest = hashlib.sha256(paper).hexdigest()
    job_id = book.find(job)
    latest = {p.sha256: p for p in papers(book, job_id) if p.to == to} if job_id else {}
    known = latest.get(digest)
    if known is not None and known.how != "not sent" and not again:
        may = "may have gone" if known.how == "sending" else "went"
        raise PaperError(
            "proposal",
            found=f"a paper that {may} to {to} on {known.kept.when:%Y-%m-%d %H:%M} UTC",
            expected="a change in it, or --again to send the same once more",
        )
    kept = book.keep(
        job, job_id=job_id, note=_note("sending", number, to, digest), total=total
    )
    return SentPaper("sending", number, to, digest, kept)


def end(book: Book, job: Job, sent: SentPaper, *, how: str) -> None:
    """Say how it went: ``sent`` or ``not sent``; a job that was sent is out."""
    note = _note(how, sent.number, sent.to, sent.sha256)
    book.keep(job, job_id=sent.kept.job_id, note=note, total=sent.kept.total)
    if how == "sent":
        book.mark(sent.kept.job_id, "out")


def _note(how: str, number: int, to: str, digest: str) -> str:
    return f"{how} as revision {number} to {to}, paper SHA-256 {digest}"


def _changed(before: Job, after: Job) -> tuple[str, ...]:
    """Keys of what a client reads as changed, each once."""
    if before == after:
        return ()
    told = []
    for name in type(after).model_fields:
        one, other = getattr(before, name), getattr(after, name)
        if one == other or name in ("signed", "language", "paper"):
            continue
        if name == "site":
            told += ["client"] if one.client != other.client else []
            told += ["rooms"] if one.changed(client=other.client) != other else []
        else:
            told.append(TOLD.get(name, "details"))
    return tuple(dict.fromkeys(told))


def _changed_before(book: Book, job_id: str, out: list[SentPaper], say: Words) -> str:
    """The line that the last paper bore, if it was not the first."""
    earlier = [p for p in out if p.number == out[-1].number - 1]
    if not earlier:
        return ""
    one, other = (book.at(job_id, p.kept.number) for p in (earlier[-1], out[-1]))
    return _line(_changed(one, other), say)


def _line(told: tuple[str, ...], say: Words) -> str:
    return say("changed.line", changes=say.listed([say(f"changed.{key}") for key in told]))
