"""Opening the table: on a job of the book, on a measure sheet, or on the demo."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

from kit.bench.keeping import Keeper
from kit.bench.looks import looked_at
from kit.bench.stage import Stage
from kit.bench.state import TableState
from kit.bench.surroundings import BLANK
from kit.bench.visit import Visit
from kit.job import Job, blank_job
from kit.shipped import shipped

LEFT = timedelta(minutes=10)
"""A job taken up after longer than this is told to be what was left, not a reload."""


def open_table(sheet: str | Path | None = None) -> Visit:
    """Open the table on a measure sheet.

    Parameters
    ----------
    sheet : path, optional
        Else the job of the book that ``KIT_JOB`` names, else the sheet that
        ``KIT_SHEET`` names ("-" is a blank table), else the demo's.

    Raises
    ------
    KitError
        In one line, if sheet or book cannot be read.
    """
    if sheet is None and (job_id := os.environ.get("KIT_JOB")):
        from kit.book import Book

        book = Book()
        opened = book.open(job_id)
        stage = Stage()
        if looks := os.environ.get("KIT_LOOKS"):
            looked_at(stage, Path(looks))
        visit = Visit(TableState(opened.job), stage=stage)
        visit.kept_in(Keeper(book, job_id, visit.said_kept))
        visit.said_kept("")
        when = opened.revision.when
        if opened.revision.number > 1 and datetime.now(UTC) - when > LEFT:
            visit.tell(f"This is the job as it was left at the table {_left(when)}.")
        return visit
    given = (
        sheet or os.environ.get("KIT_SHEET") or shipped("demo_assets") / "boathouse.toml"
    )
    job = blank_job() if given == BLANK else Job.from_sheet(given)
    visit = Visit(TableState(job))
    if reason := os.environ.get("KIT_UNKEPT"):
        visit.tell(f"The job book cannot be used, so nothing here will be kept. {reason}")
    return visit


def _left(when: datetime) -> str:
    from babel.dates import format_datetime

    return f"on {format_datetime(when.astimezone(), 'MMM d, h:mm a', locale='en_US')}"
