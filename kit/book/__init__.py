"""Where jobs are kept: every state of every job, none ever overwritten.

::

    Job ─ payload: sealed text ─┐
                                ├─ book ─ one SQLite file, `tables` made by `steps`
    who, note, total ───────────┘

A job in the book is a row of revisions, numbered from 1, and of facts noted of it:
`Book.keep` and `note` append, everything else reads.
"""

from kit.book.agreed import Agreed, agreed_so_far, change_sent
from kit.book.attaching import attach, attached
from kit.book.book import Book
from kit.book.carrying import CarriedJob, job_file, job_file_name, read_job_file
from kit.book.faults import ClashError
from kit.book.listing import STANDS, Stands
from kit.book.merging import Conflict, Merged, Side, compared, merged
from kit.book.noting import Noted, facts_of, note, of_kind, standing
from kit.book.outbox import FIRST, NextPaper, OutPaper, next_paper, papers
from kit.book.place import book_place
from kit.book.records import JobEntry, Opened, Revision
from kit.book.searching import Sought, search
from kit.book.sending import sent

__all__ = [
    "FIRST",
    "STANDS",
    "Agreed",
    "Book",
    "CarriedJob",
    "ClashError",
    "Conflict",
    "JobEntry",
    "Merged",
    "NextPaper",
    "Noted",
    "Opened",
    "OutPaper",
    "Revision",
    "Side",
    "Sought",
    "Stands",
    "agreed_so_far",
    "attach",
    "attached",
    "book_place",
    "change_sent",
    "compared",
    "facts_of",
    "job_file",
    "job_file_name",
    "merged",
    "next_paper",
    "note",
    "of_kind",
    "papers",
    "read_job_file",
    "search",
    "sent",
    "standing",
]
