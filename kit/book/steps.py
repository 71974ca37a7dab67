"""How a book is made and brought up to date, step by step, each whole or not at all.

To change the tables add a step at the end; one that has shipped is never edited,
because books were made by it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Connection,
    Engine,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    func,
    insert,
    inspect,
    select,
)

from kit.book.engine import is_of_a_server
from kit.book.entries import write_list_anew
from kit.book.faults import shown
from kit.book.place import Office, Place
from kit.book.tables import STEP
from kit.errors import BookError


@dataclass(frozen=True)
class Step:
    """One change of the tables, done once to each book."""

    name: str
    change: Callable[[Connection], None]


def _first_tables(connection: Connection) -> None:
    tables = MetaData()
    Table(
        "step",
        tables,
        Column("number", Integer, primary_key=True),
        Column("name", Text, nullable=False),
        Column("applied_at", Text, nullable=False),
    )
    Table(
        "job",
        tables,
        Column("id", Text, primary_key=True),
        Column("begun_at", Text, nullable=False),
    )
    Table(
        "revision",
        tables,
        # the order of keeping, which no clock can turn round
        Column("serial", Integer, primary_key=True),
        Column("job_id", Text, ForeignKey("job.id"), nullable=False),
        Column("number", Integer, CheckConstraint("number >= 1"), nullable=False),
        Column("kept_at", Text, nullable=False),
        Column("who", Text, nullable=False),
        Column("note", Text, nullable=False),
        Column("client", Text, nullable=False),
        Column("title", Text, nullable=False),
        Column("job_number", Text, nullable=False),
        Column("finish", Text, nullable=False),
        Column("total_cents", BigInteger),
        Column("payload_version", Integer, nullable=False),
        Column("payload_sha256", Text, nullable=False),
        # last, so that lists never read its pages
        Column("payload", Text, nullable=False),
        UniqueConstraint("job_id", "number"),
    )
    tables.create_all(connection, checkfirst=False)


def _kept_is_kept(connection: Connection) -> None:
    _forbid_changes(connection, "revision")


def _forbid_changes(connection: Connection, table: str) -> None:
    says = f"a kept {table} is never changed"
    if is_of_a_server(connection):
        connection.exec_driver_sql(
            f"CREATE FUNCTION {table}_stays() RETURNS trigger LANGUAGE plpgsql AS "
            f"$$ BEGIN RAISE EXCEPTION '{says}'; END $$"
        )
        connection.exec_driver_sql(
            f"CREATE TRIGGER {table}_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            f"EXECUTE FUNCTION {table}_stays()"
        )
        return
    for verb in ("UPDATE", "DELETE"):
        connection.exec_driver_sql(
            f"CREATE TRIGGER {table}_stays_{verb.lower()} BEFORE {verb} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{says}'); END"
        )


def _where_jobs_stand(connection: Connection) -> None:
    connection.exec_driver_sql("ALTER TABLE revision ADD COLUMN signed_on TEXT")
    tables = MetaData()
    tables.reflect(connection, only=["job"])
    Table(
        "mark",
        tables,
        Column("serial", Integer, primary_key=True),
        Column("job_id", Text, ForeignKey("job.id"), nullable=False, index=True),
        Column("stands", Text, nullable=False),
        Column("marked_at", Text, nullable=False),
    ).create(connection)


def _list_and_its_words(connection: Connection) -> None:
    tables = MetaData()
    tables.reflect(connection, only=["job"])
    Table(
        "entry",
        tables,
        Column("place", Integer, primary_key=True),
        Column("job_id", Text, ForeignKey("job.id"), nullable=False, unique=True),
        Column("serial", Integer, nullable=False, unique=True),
        Column("number", Integer, nullable=False),
        Column("kept_at", Text, nullable=False),
        Column("client", Text, nullable=False),
        Column("title", Text, nullable=False),
        Column("job_number", Text, nullable=False),
        Column("finish", Text, nullable=False),
        Column("total_cents", BigInteger),
        Column("signed_on", Text),
        Column("marked", Text, nullable=False),
        Column("stands", Text, nullable=False),
        Column("payload_sha256", Text, nullable=False, index=True),
        Column("caseless", Text, nullable=False),
        Index("entry_stands", "stands", "serial"),
        Index("entry_total", "total_cents"),
    ).create(connection)
    if is_of_a_server(connection):
        connection.exec_driver_sql("ALTER TABLE entry ADD COLUMN words tsvector")
        connection.exec_driver_sql("CREATE INDEX entry_words ON entry USING gin (words)")
    else:
        connection.exec_driver_sql(
            "CREATE VIRTUAL TABLE entry_words USING fts5"
            "(client, address, color, rest, tokenize = 'unicode61', prefix = '2 3')"
        )


def _facts_and_agreements(connection: Connection) -> None:
    tables = MetaData()
    tables.reflect(connection, only=["job"])
    Table(
        "event",
        tables,
        Column("serial", Integer, primary_key=True),
        Column("job_id", Text, ForeignKey("job.id"), nullable=False),
        Column("number", Integer, CheckConstraint("number >= 1"), nullable=False),
        Column("revision", Integer, nullable=False),
        Column("kind", Text, nullable=False, index=True),
        Column("noted_at", Text, nullable=False),
        Column("who", Text, nullable=False),
        Column("mark", Text, nullable=False),
        Column("day", Text),
        Column("amount_cents", BigInteger),
        Column("payload_version", Integer, nullable=False),
        Column("payload_sha256", Text, nullable=False),
        Column("payload", Text, nullable=False),
        UniqueConstraint("job_id", "number"),
        UniqueConstraint("job_id", "mark"),
    ).create(connection)
    Table(
        "agreed",
        tables,
        Column("serial", Integer, primary_key=True),
        Column("agreed_at", Text, nullable=False),
        Column("who", Text, nullable=False),
        Column("payload_version", Integer, nullable=False),
        Column("payload_sha256", Text, nullable=False),
        Column("payload", Text, nullable=False),
    ).create(connection)
    for table in ("event", "agreed"):
        _forbid_changes(connection, table)


def _begun_under_marks(connection: Connection) -> None:
    # jobs begun before, or taken in from another book, have none
    connection.exec_driver_sql("ALTER TABLE job ADD COLUMN mark TEXT")
    connection.exec_driver_sql("CREATE UNIQUE INDEX job_mark ON job (mark)")


STEPS: tuple[Step, ...] = (
    Step("jobs and their revisions", _first_tables),
    Step("a kept revision is never changed", _kept_is_kept),
    Step("where jobs stand", _where_jobs_stand),
    Step("the list and its words", _list_and_its_words),
    Step("facts noted of jobs, and rates agreed to", _facts_and_agreements),
    Step("the mark that a job was begun under", _begun_under_marks),
)
LISTS_FROM = 4
"""The step from which on the book has a list, which follows from the revisions."""


def bring_up_to_date(
    reading: Engine, writing: Engine, place: Place, clock: Callable[[], datetime]
) -> None:
    """Apply the steps that this book has not had.

    Raises
    ------
    BookError
        If a newer Pourtable made the book, or another program did.
    """
    with reading.begin() as connection:
        _check_letters(connection, place)
        done = _steps_done(connection, place)
    while done < len(STEPS):
        # each step and its record in one transaction; asked again under the lock,
        # for two programs may open a new book at once
        with writing.begin() as connection:
            done = _steps_done(connection, place)
            if done < len(STEPS):
                step = STEPS[done]
                step.change(connection)
                done += 1
                connection.execute(
                    insert(STEP).values(number=done, name=step.name, applied_at=clock())
                )
                if LISTS_FROM <= done == len(STEPS):
                    write_list_anew(connection)


def _steps_done(connection: Connection, place: Place) -> int:
    names = inspect(connection).get_table_names()
    if not names:
        return 0
    if not {"step", "job", "revision"} <= set(names):
        raise BookError(
            f"{shown(place)} belongs to another program", expected="a job book of Pourtable"
        )
    done: int = connection.execute(select(func.max(STEP.c.number))).scalar_one() or 0
    if done > len(STEPS):
        raise BookError(
            f"job book {shown(place)} was made by a newer Pourtable",
            found=f"step {done}",
            expected=f"step {len(STEPS)} or earlier; update Pourtable to open it",
        )
    return done


def _check_letters(connection: Connection, place: Place) -> None:
    if not isinstance(place, Office):
        return
    letters = connection.exec_driver_sql("SHOW server_encoding").scalar_one()
    if letters != "UTF8":
        raise BookError(
            f"job book {shown(place)}, encoding",
            found=letters,
            expected="a database made with ENCODING 'UTF8'",
        )
