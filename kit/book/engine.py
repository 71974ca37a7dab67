"""Connections to the file: how safely it writes, how long it waits."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event

from kit.book.faults import BUSY_S

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


def engines_for(path: Path) -> tuple[Engine, Engine]:
    """Make the engine to read the book with and the one to write it with.

    Both share their connections. A writer takes the lock when it begins, so that
    what it reads before it writes cannot be outdated by another.
    """
    engine = create_engine(
        URL.create("sqlite", database=str(path)), connect_args={"timeout": BUSY_S}
    )
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine, engine.execution_options(book_writes=True)


def _set_up(connection: Any, _record: Any) -> None:
    # the driver would begin transactions by its own rules, and late: `_begin` does
    connection.isolation_level = None
    for pragma in _PRAGMAS:
        connection.execute(pragma).close()
    # what SQLite itself knows of large and small letters ends with English
    connection.create_function("casefolded", 1, str.casefold, deterministic=True)


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("book_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
