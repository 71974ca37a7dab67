"""The tables as queries name them; `steps` says how they are made."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from sqlalchemy import BigInteger, Integer, Text, column, table
from sqlalchemy.types import TypeDecorator

from kit.errors import BookError
from kit.money import cents

if TYPE_CHECKING:
    from sqlalchemy.engine import Dialect

MOST_CENTS = 10**15


class Moment(TypeDecorator[datetime]):
    """A moment in UTC as ISO 8601 text of one width, so that text sorts as time does."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        if value is not None:
            return value.astimezone(UTC).isoformat(timespec="microseconds")
        return None

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        try:
            return datetime.fromisoformat(value)
        except (TypeError, ValueError):
            raise BookError(
                "the job book is damaged", found=value, expected="a moment in UTC"
            ) from None


class Cents(TypeDecorator[Decimal]):
    """An amount of money as whole cents: exact, and it sorts and sums in SQL."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> int | None:  # noqa: ARG002
        return None if value is None else int(value.scaleb(2))

    def process_result_value(self, value: Any, dialect: Dialect) -> Decimal | None:  # noqa: ARG002
        if value is None:
            return None
        if not isinstance(value, int):
            raise BookError(
                "the job book is damaged", found=value, expected="a total in whole cents"
            )
        return cents(Decimal(value).scaleb(-2))


class Day(TypeDecorator[date]):
    """A day as ISO 8601 text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        return None if value is None else value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:  # noqa: ARG002
        try:
            return None if value is None else date.fromisoformat(value)
        except (TypeError, ValueError):
            raise BookError(
                "the job book is damaged", found=value, expected="a day"
            ) from None


STEP = table(
    "step", column("number", Integer), column("name", Text), column("applied_at", Moment)
)

JOB = table("job", column("id", Text), column("begun_at", Moment), column("mark", Text))

REVISION = table(
    "revision",
    column("serial", Integer),
    column("job_id", Text),
    column("number", Integer),
    column("kept_at", Moment),
    column("who", Text),
    column("note", Text),
    column("client", Text),
    column("title", Text),
    column("job_number", Text),
    column("finish", Text),
    column("total_cents", Cents),
    column("payload_version", Integer),
    column("payload_sha256", Text),
    column("payload", Text),
    column("signed_on", Day),
)

MARK = table(
    "mark",
    column("serial", Integer),
    column("job_id", Text),
    column("stands", Text),
    column("marked_at", Moment),
)

ENTRY = table(
    "entry",
    column("place", Integer),
    column("job_id", Text),
    column("serial", Integer),
    column("number", Integer),
    column("kept_at", Moment),
    column("client", Text),
    column("title", Text),
    column("job_number", Text),
    column("finish", Text),
    column("total_cents", Cents),
    column("signed_on", Day),
    column("marked", Text),
    column("stands", Text),
    column("payload_sha256", Text),
    column("caseless", Text),
)
"""A job as its newest revision and its last mark have it; follows from these."""

EVENT = table(
    "event",
    column("serial", Integer),
    column("job_id", Text),
    column("number", Integer),
    column("revision", Integer),
    column("kind", Text),
    column("noted_at", Moment),
    column("who", Text),
    column("mark", Text),
    column("day", Day),
    column("amount_cents", Cents),
    column("payload_version", Integer),
    column("payload_sha256", Text),
    column("payload", Text),
)
"""Facts noted of jobs; ``day`` and ``amount_cents`` are those of the payload."""

AGREED = table(
    "agreed",
    column("serial", Integer),
    column("agreed_at", Moment),
    column("who", Text),
    column("payload_version", Integer),
    column("payload_sha256", Text),
    column("payload", Text),
)
"""Learned rates that the owner agreed to, or no longer does; the newest of each counts."""
