"""A proposal that went out: noted by its bytes, and the job marked as out."""

from __future__ import annotations

import hashlib
from decimal import Decimal
from typing import TYPE_CHECKING

from kit.book.facts import ProposalSent
from kit.book.noting import Noted, note

if TYPE_CHECKING:
    from kit.book.book import Book
    from kit.job import Job


def sent(
    book: Book,
    job_id: str,
    content: bytes,
    *,
    job: Job,
    total: Decimal,
    cost: Decimal | None = None,
    number: int = 1,
    to: str = "",
    unsealed: bytes | None = None,
    who: str = "",
) -> Noted:
    """Note that this very file went to the client.

    The same file handed over again adds nothing; each mail of it does.

    Parameters
    ----------
    book : Book
    job_id : str
    content : bytes
        Of the file as it was handed out.
    job : Job
        That it proposes.
    total : Decimal
        What it asks.
    cost : Decimal, optional
        What the job is expected to cost; the owner's figure.
    number : int
        Of the paper's revision, from 1.
    to : str
        Address that it was sent to; nothing if it was handed over.
    unsealed : bytes, optional
        The file before it was sealed, if it was.
    who : str

    Raises
    ------
    BookError
        If the job is not in the book, or the book cannot be written.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    fact = ProposalSent(
        sha256=sha256,
        size_bytes=len(content),
        total=total,
        cost=cost,
        option=job.finish,
        open_until=job.open_until,
        to=to or job.site.client.name,
        number=number,
        unsealed=hashlib.sha256(unsealed).hexdigest() if unsealed else None,
    )
    mark = "" if to else f"proposal {sha256}"
    noted = note(book, job_id, fact, who=who, mark=mark)
    book.mark(job_id, "out")
    return noted
