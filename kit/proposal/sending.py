"""Sending a paper: frozen in the book before it goes, and how it went after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from email.message import EmailMessage
from typing import TYPE_CHECKING

from kit.errors import PaperError
from kit.proposal.outbox import SentPaper, begin, end
from kit.proposal.posting import MailSettings, UnsureError, post

if TYPE_CHECKING:
    from kit.book import Book
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
    again: bool = False,
    hand_over: Callable[[EmailMessage, MailSettings], int] = post,
) -> SentPaper:
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
    to = message["To"].addresses[0].addr_spec
    begun = begin(book, job, paper=pdf, to=to, number=number, total=total, again=again)
    try:
        hand_over(message, settings)
    except UnsureError:
        raise
    except PaperError:
        end(book, job, begun, how="not sent")
        raise
    end(book, job, begun, how="sent")
    return replace(begun, how="sent")
