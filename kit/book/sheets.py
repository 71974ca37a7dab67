"""Lists for a spreadsheet: CSV, with texts that no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.book.records import JobEntry
    from kit.book.totals import Earned

_FORMULAS = ("=", "+", "-", "@", "\t", "\r")


def jobs_csv(entries: Iterable[JobEntry]) -> bytes:
    """The list of jobs as CSV in UTF-8, a line a job."""
    head = (
        "id", "number", "client", "title", "finish", "stands", "total", "revision",
        "kept_utc", "signed_on",
    )  # fmt: skip
    rows = (
        (
            e.job_id, _text(e.number), _text(e.client), _text(e.title), _text(e.finish),
            e.stands, _amount(e.total), e.revision, f"{e.when:%Y-%m-%d %H:%M:%S}",
            e.signed_on or "",
        )
        for e in entries
    )  # fmt: skip
    return _csv(head, rows)


def earned_csv(jobs: Iterable[Earned]) -> bytes:
    """What was asked and earned as CSV in UTF-8, a line a job; the owner's figures."""
    head = (
        "id", "sent_utc", "won", "asked", "expected_cost", "changes", "paid", "cost",
        "margin_asked", "margin_earned",
    )  # fmt: skip
    rows = (
        (
            job.job_id, f"{job.sent:%Y-%m-%d}",
            "" if job.won is None else "yes" if job.won else "no",
            job.asked, _amount(job.expected), job.changes, job.paid, _amount(job.cost),
            _share(job.margin_asked), _share(job.margin_earned),
        )
        for job in jobs
    )  # fmt: skip
    return _csv(head, rows)


def _csv(head: tuple[str, ...], rows: Iterable[tuple[object, ...]]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows(rows)
    # spreadsheets read UTF-8 as such only behind its mark
    return out.getvalue().encode("utf-8-sig")


def _text(text: str) -> str:
    """Put an apostrophe before what a spreadsheet would work out; common practice."""
    return f"'{text}" if text.startswith(_FORMULAS) else text


def _amount(amount: object) -> object:
    return "" if amount is None else amount


def _share(share: Decimal | None) -> str:
    return "" if share is None else f"{share:.4f}"
