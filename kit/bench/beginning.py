"""Which job of the book lies on the table when it is opened: on a sheet, on a file."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from kit.bench.numbering import next_number
from kit.bench.state import TableState
from kit.book import Book, CarriedJob, read_job_file
from kit.errors import BookError, SheetError
from kit.job import Firm, Job, blank_job
from kit.job.sheet import is_dated
from kit.shipped import shipped
from kit.site import read_sheet

OPENED = "opened at the table"
"""Note of the revision that a sheet was opened as."""
CARRIED = "opened from a file"
JOB_FILE = ".json"


def read_job(path: Path) -> Job:
    """Read the job of a measure sheet, or of one saved as a file.

    Raises
    ------
    KitError
        If it cannot be read.
    """
    return carried_in(path).job if path.suffix == JOB_FILE else Job.from_sheet(path)


def carried_in(path: Path) -> CarriedJob:
    """Read a job that was saved as a file.

    Raises
    ------
    KitError
        If it cannot be read.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise SheetError(
            str(path),
            found=error.strerror or str(error),
            expected="a file that can be read",
        ) from None
    return read_job_file(content, about=path.name)


def begun_from(book: Book, path: Path) -> str:
    """Id of the job in the book for a sheet or file that is opened.

    Raises
    ------
    KitError
        If book or file cannot be used.
    """
    if path.suffix == JOB_FILE:
        return taken_in(book, carried_in(path))
    sheet = read_sheet(path)
    return job_on_the_table(book, Job.from_sheet(path), is_undated=not is_dated(sheet))


def job_on_the_table(book: Book, job: Job, *, is_undated: bool = False) -> str:
    """Id of the job in the book for a sheet that is opened.

    If the sheet has not changed since it was last opened or proposed, the job stays
    as it was left; a changed sheet is the newest word, and becomes a revision of its
    own with its price. One that can no longer be read is left alone, and another begun.

    Parameters
    ----------
    book : Book
    job : Job
    is_undated : bool
        Whether the sheet has no date, so that the job's is the day of its reading.

    Raises
    ------
    KitError
        If the book cannot be written, or a sheet that is new to it cannot be priced.
    """
    job_id = book.find(job)
    if job_id is not None:
        try:
            if _is_as_given(book, job_id, job, is_undated=is_undated):
                return job_id
        except BookError:
            job_id = None
    total = TableState(job).total
    return book.keep(job, job_id=job_id, note=OPENED, total=total).job_id


def taken_in(book: Book, carried: CarriedJob) -> str:
    """Id of the job in the book for one that comes from a file.

    It becomes the newest revision of the job it was changed from; where that is not
    in this book, or went on meanwhile, a job of its own.

    Raises
    ------
    KitError
        If the book cannot be written, or the job cannot be priced.
    """
    job = carried.job
    if there := book.holding(job):
        return there
    total = TableState(job).total
    job_id = carried.job_id if carried.after else None
    if job_id is not None:
        try:
            return book.keep(
                job, job_id=job_id, after=carried.after, note=CARRIED, total=total
            ).job_id
        except BookError:
            pass  # the book knows no such job, or a newer one; if it is unwell, it says so
    return book.keep(job, note=CARRIED, total=total).job_id


def last_kept(book: Book) -> str | None:
    """Id of the job that was kept last, if it can be opened.

    Raises
    ------
    BookError
        If the book cannot be read.
    """
    for found in book.jobs(most=1):
        with suppress(BookError):
            book.latest(found.job_id)
            return found.job_id
    return None


def begin_blank(book: Book, *, mark: str = "") -> str:
    """Begin a job with nothing measured, as the house did last; give its id.

    Firm, units and paper are those of the job kept last, the number is the next one of
    its month. The invented firm of the demo is nobody's. It is begun once under a `mark`.

    Raises
    ------
    BookError
        If the book cannot be read or written.
    """
    last = last_kept(book)  # one that cannot be opened has no firm to take over
    before = book.latest(last) if last else None
    job = blank_job(firm=_own_firm(before) if before else None)
    if before:  # a house measures and prints as it did; what a client was shown is his
        paper = {name: getattr(before.paper, name) for name in ("page", "units")}
        job = job.changed(paper=job.paper.changed(**paper))
    return book.keep(job.changed(number=next_number(book, job.date)), mark=mark).job_id


def demo_sheet() -> Path:
    """The measure sheet of the invented floor that came with the kit."""
    return shipped("demo_assets") / "boathouse.toml"


def _own_firm(job: Job) -> Firm | None:
    invented = read_sheet(demo_sheet())["firm"]["name"]
    return None if job.firm.name == invented else job.firm


def _is_as_given(book: Book, job_id: str, job: Job, *, is_undated: bool) -> bool:
    """Whether a sheet says what it said when it was last opened or proposed."""
    book.latest(job_id)  # what cannot be opened could not be gone on with
    # Only what comes from a sheet has a note; what is kept at the table has none.
    given = [r for r in book.history(job_id) if r.note]
    if not given:
        return False
    before = book.at(job_id, given[-1].number)
    return before == (job.changed(date=before.date) if is_undated else job)


def begun(sheet: Path | None, *, goes_on: bool) -> str:
    """Id of the job to work on: the one kept last if `goes_on`, else of `sheet`, or blank.

    Raises
    ------
    KitError
        If the book or the sheet cannot be used.
    """
    with Book() as book:
        job_id = last_kept(book) if goes_on else None
        if job_id is None:
            job_id = begun_from(book, sheet) if sheet else begin_blank(book)
        return job_id


def begun_by(who: str) -> str:
    """Id of the job that one of an office works on: the one that he kept last, or blank.

    Raises
    ------
    BookError
        If the book cannot be read or written.
    """
    with Book() as book:
        return book.last_kept_by(who) or begin_blank(book)
