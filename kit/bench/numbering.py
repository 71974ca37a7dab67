"""Numbers of proposals: the next one of the month, and one that was given twice."""

from __future__ import annotations

import datetime
import re
from contextlib import suppress

from kit.book import Book
from kit.errors import KitError

GIVEN_TWICE = "Another job in your book has this number too."
_NUMBER = re.compile(r"(\d{4})-(\d{2,6})", re.ASCII)


def next_number(book: Book, day: datetime.date) -> str:
    """``2611-08``: year, month, and one more than the highest of that month in the book.

    Raises
    ------
    BookError
        If the book cannot be read.
    """
    month = f"{day:%y%m}"
    found = (_NUMBER.fullmatch(entry.number) for entry in book.jobs())
    taken = [int(parts[2]) for parts in found if parts and parts[1] == month]
    return f"{month}-{max(taken, default=0) + 1:02d}"


class Numbers:
    """Tell of a number that another job bears; the book is asked once for each."""

    def __init__(self) -> None:
        self._asked: tuple[str, str | None] | None = None
        self._says = ""

    def caution(self, number: str, book: Book | None, job_id: str | None) -> str:
        """What is said beside the number of the job `job_id`; "" when all is well."""
        if book is None or not number:
            return ""
        if self._asked != (number, job_id):
            self._asked, self._says = (number, job_id), ""
            with suppress(KitError):  # a book that is unwell says so where jobs are kept
                alike = book.jobs(number)
                if any(e.number == number and e.job_id != job_id for e in alike):
                    self._says = GIVEN_TWICE
        return self._says
