"""Connections to the file or the server: how safely it writes, how long it waits."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event

from kit.book.faults import BUSY_S
from kit.book.place import Office, Place
from kit.errors import BookError

# The journal is SQLite's own default, a rollback journal, and not a write-ahead log:
# the book stays one file that can be copied, put on a stick or on an office share (a
# log needs shared memory, which a share does not have), and read in a folder that may
# not be written. A book has few writers and small writes, so what a log gives, readers
# beside a writer, is not missed. EXTRA syncs the folder too once the journal is gone:
# without it a power cut can bring the journal back and undo a keep already confirmed.
_PRAGMAS = (
    "PRAGMA synchronous = EXTRA",
    "PRAGMA foreign_keys = ON",
)


WRITERS_LOCK = 0x706F7572
"""Number of the lock that a writer takes in the database of a server."""


def engines_for(place: Place) -> tuple[Engine, Engine]:
    """Make the engine to read the book with and the one to write it with.

    Both share their connections. A writer takes the lock when it begins, so that
    what it reads before it writes cannot be outdated by another, and serial numbers
    come in the order in which they are kept.

    Raises
    ------
    BookError
        If what talks to a server is not installed.
    """
    engine = _of_a_server(place) if isinstance(place, Office) else _of_a_file(place)
    return engine, engine.execution_options(book_writes=True)


def is_of_a_server(connection: Connection) -> bool:
    """Whether this speaks to PostgreSQL and not to SQLite."""
    return connection.dialect.name == "postgresql"


def _of_a_file(path: Path) -> Engine:
    engine = create_engine(
        URL.create("sqlite", database=str(path)), connect_args={"timeout": BUSY_S}
    )
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _of_a_server(office: Office) -> Engine:
    try:
        engine = create_engine(
            office.url,
            # a connection that died with its server is noticed before it is used
            pool_pre_ping=True,
            connect_args={"connect_timeout": BUSY_S},
        )
    except ImportError:
        raise BookError(
            f"job book {office}",
            found="nothing here that talks to PostgreSQL",
            expected="psycopg: python -m pip install 'pourtable[office]'",
        ) from None
    event.listen(engine, "connect", _set_up_server)
    event.listen(engine, "begin", _begin_server)
    return engine


def _set_up(connection: Any, _record: Any) -> None:
    # the driver would begin transactions by its own rules, and late: `_begin` does
    connection.isolation_level = None
    for pragma in _PRAGMAS:
        connection.execute(pragma).close()


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("book_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _set_up_server(connection: Any, _record: Any) -> None:
    connection.execute(f"SET lock_timeout = '{BUSY_S}s'")
    connection.execute("SET synchronous_commit = on")
    connection.commit()


def _begin_server(connection: Connection) -> None:
    if connection.get_execution_options().get("book_writes", False):
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITERS_LOCK})")
