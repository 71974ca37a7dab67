"""A job as sealed text: what is stored, and the proof that it is still the same."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError
from pydantic_core import PydanticSerializationError

from kit.errors import BookError
from kit.record import complaint

if TYPE_CHECKING:
    from kit.job import Job

VERSION = 4
"""Of the payload's shape; raised when a Pourtable of before could not read a new one."""


@dataclass(frozen=True)
class Payload:
    """A job as JSON text with the version of its shape and its SHA-256."""

    version: int
    sha256: str
    text: str


def sealed(job: Job) -> Payload:
    """Write a job down and seal it.

    Raises
    ------
    BookError
        If a text in it is not whole Unicode.
    """
    try:
        text = job.model_dump_json(by_alias=True)
    except (PydanticSerializationError, UnicodeError):
        raise BookError(
            "job",
            found="half a character in one of its texts",
            expected="whole Unicode text",
        ) from None
    return Payload(version=VERSION, sha256=sha256_of(text), text=text)


def opened(payload: Payload, *, about: str) -> Job:
    """Read a job back, once its seal is found whole.

    Raises
    ------
    BookError
        If the text was damaged, or was written by a newer Pourtable.
    """
    # the flow is loaded by who opens a job, not by who lists the book
    from kit.job import Job

    text = checked(payload, about=about)
    try:
        return Job.model_validate_json(text)
    except ValidationError as error:
        raise complaint(
            error, given=json.loads(text), where=about, family=BookError
        ) from None


def fields(payload: Payload, *, about: str) -> Any:
    """Read the fields as plain JSON values, to be compared."""
    return json.loads(checked(payload, about=about))


def checked(payload: Payload, *, about: str) -> str:
    """Text of the payload if its seal is whole, else a `BookError`."""
    if payload.version > VERSION:
        raise BookError(
            f"{about} was kept by a newer Pourtable",
            found=f"payload version {payload.version}",
            expected=f"{VERSION} or earlier; update Pourtable to open it",
        )
    if not isinstance(payload.text, str) or sha256_of(payload.text) != payload.sha256:
        raise BookError(
            f"{about} is damaged: its text no longer matches its SHA-256",
            expected="it as it was kept; open an earlier revision or put back a copy",
        )
    return payload.text


def sha256_of(text: str) -> str:
    """Seal of a text: its SHA-256 in 64 letters."""
    return hashlib.sha256(text.encode()).hexdigest()
