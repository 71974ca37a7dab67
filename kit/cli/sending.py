"""Sending a paper: frozen in the book before it goes, and how it went after."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from email.message import EmailMessage
from typing import TYPE_CHECKING

from kit.errors import PaperError
from kit.proposal import MailSettings, UnsureError, post

if TYPE_CHECKING:
    from kit.book import Book
    from kit.book.facts import ProposalSent
    from kit.job import Job


def send_kept(
    book: Book,
    job: Job,
    message: EmailMessage,
    pdf: bytes,
    settings: MailSettings,
    *,
    number: int,
    total: Decimal,
    cost: Decimal | None = None,
    unsealed: bytes | None = None,
    again: bool = False,
    hand_over: Callable[[EmailMessage, MailSettings], int] = post,
) -> ProposalSent:
    """Send a paper once and keep what went out.

    Parameters
    ----------
    book : Book
    job : Job
        What the paper was made from.
    message : EmailMessage
    pdf : bytes
        The paper in it; its hash is kept.
    settings : MailSettings
    number : int
        Of the paper's revision, from 1.
    total : Decimal
        What it asks.
    cost : Decimal, optional
        What the job is expected to cost; the owner's figure.
    unsealed : bytes, optional
        The paper before it was sealed, if it was.
    again : bool
        Send the very same paper to the same address once more.
    hand_over : callable
        Gives a message to a mail server.

    Raises
    ------
    PaperError
        If it went out before, the server refuses it, or no answer came; the book says
        which of these.
    BookError
        If it cannot be kept; then nothing is sent.
    """
    from kit.book import facts, of_kind, outbox, sent

    to = message["To"].addresses[0].addr_spec
    paper = pdf if unsealed is None else unsealed
    begun = outbox.begin(
        book, job, paper=paper, to=to, number=number, total=total, again=again
    )
    try:
        hand_over(message, settings)
    except UnsureError:
        raise
    except PaperError as error:
        outbox.stayed(book, begun, error.line)
        raise
    noted = sent(
        *(book, begun.job_id, pdf),
        job=job, total=total, cost=cost, number=number, to=to, unsealed=unsealed,
    )  # fmt: skip
    return of_kind((noted,), facts.ProposalSent)[0]
