"""An embedded SQLite store that survives a crash in mid-write and two writers at once.

Write-ahead logging with full synchronisation: what was confirmed is on the disk, whole, and a
process killed in mid-write leaves nothing of it. Writers wait for each other.
"""

from __future__ import annotations

import sqlite3
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep
from typing import Iterator

WAIT_S = 30.0
"""Seconds a writer waits for another. Our own estimate."""


@contextmanager
def opened_store(path: Path, schema: tuple[str, ...], newest: tuple[str, ...], later: tuple[tuple[str, str, str], ...] = ()) -> Iterator[sqlite3.Connection]:
    """The store, made if it isn't there; a store without the tables ``newest`` gets what it lacks of ``schema``, and
    columns that came ``later`` (table, column, type).

    Raises sqlite3.Error, OSError.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
    try:
        _write_ahead(connection)
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")
        tables = {name for name, in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if not tables.issuperset(newest):
            with writing(connection):
                for statement in schema:
                    connection.execute(statement)
        for table, column, type in later:
            if column not in _columns(connection, table):
                with writing(connection):
                    if column not in _columns(connection, table):  # another writer may have been first
                        connection.execute(f"ALTER TABLE {table} ADD COLUMN {column} {type}")
        yield connection
    finally:
        connection.close()


def _columns(connection: sqlite3.Connection, table: str) -> set[str]:
    return {row[1] for row in connection.execute(f"PRAGMA table_info({table})")}


def _write_ahead(connection: sqlite3.Connection) -> None:
    """Switch to the write-ahead log, where it isn't on yet.

    SQLite answers "locked" to this switch at once, without the wait it grants to everything
    else, when another writer opens or closes the store in the same moment.
    """
    until = monotonic() + WAIT_S
    while True:
        try:
            if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or monotonic() > until:
                raise
            sleep(0.005)


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """One transaction, on the disk when this ends, or none of it."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")
