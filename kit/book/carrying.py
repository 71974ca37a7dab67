"""One job as a file of its own, to be carried from one book to another.

The file is JSON::

    {"kind": "pourtable job", "version": 3, "sha256": "…", "job_id": "K7MQ-4T2X",
     "after": 12, "payload": "{…}"}

``payload`` is the text that the book would seal, with its version and seal beside it;
``job_id`` and ``after`` tell which revision of which job it was changed from.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.book.payload import Payload, opened, sealed
from kit.errors import BookError

if TYPE_CHECKING:
    from kit.job import Job

KIND = "pourtable job"
ENDING = ".json"
MOST_BYTES = 8_000_000
"""Larger than any job can be."""


@dataclass(frozen=True)
class CarriedJob:
    """A job out of a file, and the revision that it was changed from, if any is known."""

    job: Job
    job_id: str | None = None
    after: int | None = None


def job_file(carried: CarriedJob) -> bytes:
    """Write a job as a file.

    Raises
    ------
    BookError
        If a text in it is not whole Unicode.
    """
    payload = sealed(carried.job)
    told = {
        "kind": KIND,
        "version": payload.version,
        "sha256": payload.sha256,
        "job_id": carried.job_id,
        "after": carried.after,
        "payload": payload.text,
    }
    return json.dumps(told, ensure_ascii=False, indent=1).encode()


def read_job_file(content: bytes, *, about: str) -> CarriedJob:
    """Read a job out of a file.

    Parameters
    ----------
    content : bytes
    about : str
        Name of the file, for complaints.

    Raises
    ------
    BookError
        If it is no such file, was damaged, or was written by a newer Pourtable.
    """
    if len(content) > MOST_BYTES:
        raise BookError(
            about,
            found=f"{len(content):,} bytes",
            expected=f"{MOST_BYTES:,} bytes at most",
        )
    try:
        given = json.loads(content)
        json.dumps(given, ensure_ascii=False).encode()  # half a character is no text
    except (ValueError, RecursionError):
        raise BookError(about, found="no JSON", expected=_EXPECTED) from None
    if not isinstance(given, dict) or given.get("kind") != KIND:
        raise BookError(about, found="something else", expected=_EXPECTED)
    version, sha256, text = (given.get(name) for name in ("version", "sha256", "payload"))
    if type(version) is not int or not isinstance(sha256, str) or not isinstance(text, str):
        raise BookError(about, found="a part of a job", expected=_EXPECTED)
    job_id, after = given.get("job_id"), given.get("after")
    return CarriedJob(
        opened(Payload(version, sha256, text), about=about),
        job_id if isinstance(job_id, str) else None,
        after if type(after) is int else None,
    )


def job_file_name(job: Job) -> str:
    """``job-2611-07-slipway-pottery.json``: number and client, plain letters only."""
    words = f"{job.number} {job.site.client.name}".lower()
    plain = re.sub(r"[^a-z0-9]+", "-", words).strip("-")[:60].strip("-")
    return f"job-{plain}{ENDING}" if plain else f"job{ENDING}"


_EXPECTED = "a job that was saved as a file"
