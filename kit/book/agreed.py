"""What was agreed of a job so far, and change orders that go out to alter it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from kit.book.facts import Answer, ChangeOrder, ProposalSent
from kit.book.noting import Noted, facts_of, note, standing
from kit.errors import BookError

if TYPE_CHECKING:
    from kit.book.book import Book


@dataclass(frozen=True)
class Agreed:
    """A job as its last proposal has it, with every change order since.

    Parameters
    ----------
    revision : int
        State of the job that was priced last.
    total : Decimal
        What all of it comes to.
    orders : int
        How many change orders went out so far, declined ones among them.
    """

    revision: int
    total: Decimal
    orders: int


def agreed_so_far(book: Book, job_id: str) -> Agreed:
    """Tell what the next change of a job begins from.

    That is the proposal that was accepted, or else the last that went out, and each
    change order since that was not declined.

    Raises
    ------
    BookError
        If the job is not in the book, or no proposal of it went out.
    """
    counted = standing(facts_of(book, job_id))
    said = {n.fact.to: n.fact.accepted for n in counted if isinstance(n.fact, Answer)}
    sent = [n for n in counted if isinstance(n.fact, ProposalSent)]
    if not sent:
        raise BookError(
            f"job {job_id}, change",
            found="no proposal that went out",
            expected="one to change; a proposal is sent by the table or by propose",
        )
    begun = ([n for n in sent if said.get(n.number)] or sent)[-1]
    orders = [n for n in counted if isinstance(n.fact, ChangeOrder)]
    since = [n for n in orders if n.number > begun.number and said.get(n.number, True)]
    total = _of(begun) + sum((_of(order) for order in since), Decimal(0))
    return Agreed(_revision((since or [begun])[-1]), total, len(orders))


def change_sent(
    book: Book, job_id: str, content: bytes, order: ChangeOrder, *, who: str = ""
) -> Noted:
    """Note a change order with the bytes of its paper; the same file again adds nothing.

    Raises
    ------
    BookError
        If the job is not in the book, or the book cannot be written.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    fact = order.changed(sha256=sha256, size_bytes=len(content))
    return note(book, job_id, fact, who=who, mark=f"change {sha256}")


def _of(noted: Noted) -> Decimal:
    return noted.fact.amount or Decimal(0)


def _revision(noted: Noted) -> int:
    """State that a fact priced: what a change order names, else the newest of then."""
    fact = noted.fact
    named = fact.revision if isinstance(fact, ChangeOrder) else None
    return named or noted.revision
