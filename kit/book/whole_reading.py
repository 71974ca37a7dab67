"""Reading a job with its history out of a file: nothing is believed unchecked."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
from datetime import UTC, datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from kit.book.noting import Noted, opened_fact
from kit.book.payload import Payload, opened
from kit.book.records import Revision
from kit.book.wording import check_words
from kit.errors import BookError

KIND = "pourtable job with its history"
VERSION = 1
MOST_BYTES = 2_000_000_000
_JOB_ID = re.compile(r"[2-9B-DF-HJ-NP-TV-XZ]{4}-[2-9B-DF-HJ-NP-TV-XZ]{4}")
_EXPECTED = "a job that was exported with its history"


def read_whole(content: bytes, about: str) -> dict[str, Any]:
    """Read such a file as far as its outer shape goes.

    Raises
    ------
    BookError
        If it is none, or was written by a newer Pourtable.
    """
    if len(content) > MOST_BYTES:
        raise BookError(
            about, found=f"{len(content):,} bytes", expected=f"{MOST_BYTES:,} at most"
        )
    try:
        told = json.loads(content)
        json.dumps(told, ensure_ascii=False).encode()
    except (ValueError, RecursionError):
        raise BookError(about, found="no JSON", expected=_EXPECTED) from None
    if not isinstance(told, dict) or told.get("kind") != KIND:
        raise BookError(about, found="something else", expected=_EXPECTED)
    version = told.get("version")
    if type(version) is not int or version > VERSION:
        raise BookError(about, found=f"version {version}", expected=f"{VERSION} or earlier")
    if not _JOB_ID.fullmatch(str(told.get("job_id"))):
        raise BookError(f"{about}, job_id", found=told.get("job_id"), expected="a job's id")
    _check_lists(told, about)
    return told


def _check_lists(told: dict[str, Any], about: str) -> None:
    for name in ("revisions", "marks", "facts"):
        there = told.get(name)
        if not isinstance(there, list) or not all(isinstance(i, dict) for i in there):
            raise BookError(f"{about}, {name}", found="none", expected=_EXPECTED)
    if not told["revisions"]:
        raise BookError(f"{about}, revisions", found="none", expected="at least one")
    for mark in told["marks"]:
        if mark.get("stands") not in {"talking", "out", "done"}:
            raise BookError(
                f"{about}, mark", found=mark.get("stands"), expected="talking, out or done"
            )


def checked_revisions(
    told: dict[str, Any], about: str
) -> list[tuple[Revision, Payload, Any]]:
    """Read its revisions with their sealed texts and the jobs that these say."""
    checked = []
    for number, row in enumerate(told["revisions"], start=1):
        where = f"{about}, revision {number}"
        _check_number(row, number, where)
        payload = Payload(
            _field(row, "payload_version", int, where),
            _field(row, "payload_sha256", str, where),
            _field(row, "payload", str, where),
        )
        job = opened(payload, about=where)
        revision = Revision(
            job_id=told["job_id"],
            number=number,
            when=read_moment(row.get("kept_at"), where),
            who=_words(row, "who", 80, where),
            note=_words(row, "note", 2000, where),
            finish=job.finish,
            total=_read_total(row.get("total"), where),
            sha256=payload.sha256,
        )
        checked.append((revision, payload, job))
    return checked


def checked_facts(told: dict[str, Any], about: str) -> list[tuple[Noted, str]]:
    """Read its facts with their sealed texts."""
    checked = []
    for number, row in enumerate(told["facts"], start=1):
        where = f"{about}, fact {number}"
        _check_number(row, number, where)
        text, sha256 = (_field(row, n, str, where) for n in ("payload", "payload_sha256"))
        kind = _field(row, "kind", str, where)
        version = _field(row, "payload_version", int, where)
        noted = Noted(
            job_id=told["job_id"],
            number=number,
            revision=_field(row, "revision", int, where),
            when=read_moment(row.get("noted_at"), where),
            who=_words(row, "who", 80, where),
            fact=opened_fact(kind, version, sha256, text, about=where),
            mark=_words(row, "mark", 80, where),
            sha256=sha256,
        )
        checked.append((noted, text))
    return checked


def checked_files(told: dict[str, Any], about: str) -> dict[str, bytes]:
    """Files of the facts, each with the content that its name promises."""
    given = told.get("files")
    if not isinstance(given, dict):
        raise BookError(f"{about}, files", found="none", expected=_EXPECTED)
    files = {}
    for name, text in given.items():
        try:
            content = base64.b64decode(text, validate=True)
        except (TypeError, ValueError, binascii.Error):
            content = b""
        if hashlib.sha256(content).hexdigest() != name:
            raise BookError(
                f"{about}, file {name[:12]} is damaged: it no longer matches its SHA-256",
                expected="it as it was exported",
            )
        files[name] = content
    named = {
        json.loads(row["payload"])["sha256"]
        for row in told["facts"]
        if row["kind"] == "file"
    }
    if missing := named - files.keys():
        raise BookError(
            f"{about}, file {min(missing)[:12]}", found="nothing", expected="it to be there"
        )
    return {name: files[name] for name in named}


def _check_number(row: dict[str, Any], number: int, where: str) -> None:
    if row.get("number") != number:
        raise BookError(f"{where}, number", found=row.get("number"), expected=str(number))


def _field(row: dict[str, Any], name: str, kind: type, where: str) -> Any:
    value = row.get(name)
    if type(value) is not kind or (isinstance(value, str) and "\0" in value):
        words = "a whole number" if kind is int else "text"
        raise BookError(f"{where}, {name}", found=value, expected=words)
    return value


def _words(row: dict[str, Any], name: str, most: int, where: str) -> str:
    text: str = _field(row, name, str, where)
    check_words((f"{where}, {name}", text, most, name == "note"))
    return text


def read_moment(text: Any, where: str) -> datetime:
    """Read a moment; one without a zone is in UTC."""
    try:
        when = datetime.fromisoformat(text)
        return when.astimezone(UTC) if when.tzinfo else when.replace(tzinfo=UTC)
    except (TypeError, ValueError, OverflowError):
        raise BookError(where, found=text, expected="a moment in UTC") from None


def _read_total(text: Any, where: str) -> Decimal | None:
    if text is None:
        return None
    try:
        total = Decimal(text)
        if (
            total.is_finite()
            and abs(total) < 10**13
            and total == total.quantize(Decimal("0.01"))
        ):
            return total
    except (TypeError, ValueError, InvalidOperation):
        pass
    raise BookError(f"{where}, total", found=text, expected="an amount in whole cents")
