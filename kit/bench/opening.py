"""Opening the table: on a job of the book, on a measure sheet, or on the demo."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import parse_qs

from kit.bench.beginning import demo_sheet, read_job
from kit.bench.complaining import sentence
from kit.bench.lately import Lately
from kit.bench.looks import looked_at
from kit.bench.saving import AS_FILE
from kit.bench.stage import Stage
from kit.bench.state import TableState
from kit.bench.surroundings import BLANK
from kit.bench.visit import Visit
from kit.errors import KitError
from kit.job import blank_job

if TYPE_CHECKING:
    from kit.book import Book, Opened


def open_table(sheet: str | Path | None = None) -> Visit:
    """Open the table on a measure sheet.

    Parameters
    ----------
    sheet : path, optional
        Else the job of the book that ``KIT_JOB`` names, or that the server was
        started on, else the sheet that ``KIT_SHEET`` names ("-" is a blank table),
        else the demo's.

    Raises
    ------
    KitError
        In one line, if sheet or book cannot be read.
    """
    lately = Lately.of_this_server()
    begun_on = lately.begun_on if lately else ""
    if sheet is None and (job_id := os.environ.get("KIT_JOB") or begun_on):
        from kit.book import Book

        book = Book()
        opened, told = _opened(book, job_id, lately.job_id if lately else "")
        stage = Stage()
        if looks := os.environ.get("KIT_LOOKS"):
            looked_at(stage, Path(looks))
        visit = Visit(TableState(opened.job), stage=stage)
        visit.kept_in(book, opened, lately)
        if told:
            visit.tell(told)
        return visit
    given = sheet or os.environ.get("KIT_SHEET") or demo_sheet()
    job = blank_job() if given == BLANK else read_job(Path(given))
    visit = Visit(TableState(job))
    if reason := lately.unkept if lately else "":
        words = f"The job book cannot be used, so nothing here will be kept. {reason}"
        visit.tell(words, (AS_FILE,))
    return visit


def _opened(book: Book, job_id: str, last: str) -> tuple[Opened, str]:
    """The job that the page's address names, else the one that lay on a table last.

    That is the one that the server was started on, until another was laid. A page that
    is loaded again finds the job that it had laid on the table. Words say so where
    neither the address nor the start of the server tells which job it is.
    """
    asked = parse_qs(os.environ.get("QUERY_STRING", "")).get("job", [""])[0]
    named = asked or last
    if named and named != job_id:
        try:
            opened = book.open(named)
            return opened, "" if asked else f"{opened.job.title} lay on the table last."
        except KitError as error:
            return book.open(
                job_id
            ), f"The job asked for cannot be opened. {sentence(error)}"
    return book.open(job_id), ""
