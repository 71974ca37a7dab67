"""Where jobs are kept: every state of every job, none ever overwritten.

::

    Job ─ payload: sealed text ─┐
                                ├─ book ─ one SQLite file, `tables` made by `steps`
    who, note, total ───────────┘

A job in the book is a row of revisions, numbered from 1. `Book.keep` appends,
everything else reads.
"""

from kit.book.book import Book
from kit.book.carrying import CarriedJob, job_file, job_file_name, read_job_file
from kit.book.faults import ClashError
from kit.book.listing import STANDS, Stands
from kit.book.place import book_place
from kit.book.records import JobEntry, Opened, Revision

__all__ = [
    "STANDS",
    "Book",
    "CarriedJob",
    "ClashError",
    "JobEntry",
    "Opened",
    "Revision",
    "Stands",
    "book_place",
    "job_file",
    "job_file_name",
    "read_job_file",
]
