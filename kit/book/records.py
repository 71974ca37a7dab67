"""What the book answers about the jobs in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.book.listing import Stands
    from kit.job import Job


@dataclass(frozen=True)
class Revision:
    """One kept state of a job; ``number`` counts from 1 without gaps."""

    job_id: str
    number: int
    when: datetime
    who: str
    note: str
    finish: str
    total: Decimal | None
    sha256: str


@dataclass(frozen=True)
class JobEntry:
    """A job as it stands in the list: what its newest revision says.

    ``number`` is the job number that the firm gave it, ``revision`` that of its
    newest revision and ``when`` the moment that one was kept (UTC). ``stands`` is one of
    `listing.STANDS`; ``signed_on`` the day of a signature that still holds.
    """

    job_id: str
    client: str
    title: str
    number: str
    revision: int
    when: datetime
    finish: str
    total: Decimal | None
    stands: Stands
    signed_on: date | None


@dataclass(frozen=True)
class Opened:
    """A job taken out of the book, with the revision an edit of it begins from."""

    job: Job
    revision: Revision
