"""The book's log of services: an SQLite file that survives a crash in mid-write and two writers at once.

It lies in the book's folder, ``.plait/log.db`` (see :mod:`.store`). Money is not kept here.
"""

from __future__ import annotations

import sqlite3
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from .store import opened_store, writing

SCHEMA = (
    """CREATE TABLE IF NOT EXISTS service (
        id INTEGER PRIMARY KEY AUTOINCREMENT, uid TEXT NOT NULL UNIQUE, logged_at TEXT NOT NULL,
        recipe TEXT NOT NULL, wearer TEXT NOT NULL, house TEXT NOT NULL, braiders INTEGER NOT NULL,
        sections INTEGER, minutes REAL, median_minutes REAL, p80_minutes REAL, p95_minutes REAL,
        notes TEXT NOT NULL DEFAULT '', braider TEXT NOT NULL DEFAULT '')""",
    """CREATE TABLE IF NOT EXISTS stage (
        service INTEGER NOT NULL REFERENCES service(id), name TEXT NOT NULL, minutes REAL NOT NULL,
        expected REAL NOT NULL, PRIMARY KEY (service, name))""",
    """CREATE TABLE IF NOT EXISTS pack (
        service INTEGER NOT NULL REFERENCES service(id), hair TEXT NOT NULL, packs REAL NOT NULL,
        expected REAL, PRIMARY KEY (service, hair))""",
    """CREATE TABLE IF NOT EXISTS used (
        service INTEGER NOT NULL REFERENCES service(id), operation TEXT NOT NULL, count REAL NOT NULL,
        PRIMARY KEY (service, operation))""",
    """CREATE TABLE IF NOT EXISTS lesson (
        id INTEGER PRIMARY KEY AUTOINCREMENT, house TEXT NOT NULL, learned_at TEXT NOT NULL,
        services INTEGER NOT NULL, undone_at TEXT)""",
    """CREATE TABLE IF NOT EXISTS learned (
        lesson INTEGER NOT NULL REFERENCES lesson(id), operation TEXT NOT NULL, base REAL NOT NULL,
        before REAL NOT NULL, after REAL NOT NULL, PRIMARY KEY (lesson, operation))""",
)
LATER = (("service", "braider", "TEXT NOT NULL DEFAULT ''"),)
"""(table, column, type) of what logs from before lack."""


@dataclass(frozen=True)
class StageTime:
    """What one stage took, and what the house's rates without any learning expected (minutes of work)."""

    name: str
    minutes: float
    expected: float


@dataclass(frozen=True)
class PacksUsed:
    hair: str
    packs: float
    expected: float | None = None


@dataclass(frozen=True)
class Service:
    """One service as it happened. ``minutes`` is the chair time, breaks included."""

    uid: str
    logged_at: str
    recipe: str
    wearer: str
    house: str
    braiders: int = 1
    sections: int | None = None
    minutes: float | None = None
    median_minutes: float | None = None
    """What the card said, with the rates in force then."""
    p80_minutes: float | None = None
    p95_minutes: float | None = None
    notes: str = ""
    stages: tuple[StageTime, ...] = ()
    packs: tuple[PacksUsed, ...] = ()
    operations: tuple[tuple[str, float], ...] = ()
    """(operation, how many) that its plan counted; empty where it isn't known."""
    braider: str = ""
    """Who braided, or who led; empty where it wasn't said."""


@dataclass(frozen=True)
class Learned:
    """One rate as a lesson moved it, seconds. ``base`` is the rate without learning."""

    operation: str
    base: float
    before: float
    after: float


def store_path(book: Path) -> Path:
    """Where a book keeps its log."""
    return book / ".plait" / "log.db"


def opened(path: Path) -> AbstractContextManager[sqlite3.Connection]:
    """The log, made if it isn't there; an older one gets the tables and columns it lacks. Raises sqlite3.Error, OSError."""
    return opened_store(path, SCHEMA, ("learned", "used"), LATER)


def add_services(path: Path, services: tuple[Service, ...]) -> tuple[int, ...]:
    """The numbers of the services just kept, in one transaction; those known already are left out."""
    numbers = []
    with opened(path) as connection, writing(connection):
        for service in services:
            if connection.execute("SELECT 1 FROM service WHERE uid = ?", (service.uid,)).fetchone():
                continue
            cursor = connection.execute(
                "INSERT INTO service (uid, logged_at, recipe, wearer, house, braiders, sections, minutes,"
                " median_minutes, p80_minutes, p95_minutes, notes, braider) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (service.uid, service.logged_at, service.recipe, service.wearer, service.house, service.braiders,
                 service.sections, service.minutes, service.median_minutes, service.p80_minutes,
                 service.p95_minutes, service.notes, service.braider))
            number = int(cursor.lastrowid or 0)
            connection.executemany("INSERT INTO stage VALUES (?, ?, ?, ?)",
                                   [(number, s.name, s.minutes, s.expected) for s in service.stages])
            connection.executemany("INSERT INTO pack VALUES (?, ?, ?, ?)",
                                   [(number, p.hair, p.packs, p.expected) for p in service.packs])
            connection.executemany("INSERT INTO used VALUES (?, ?, ?)", [(number, *each) for each in service.operations])
            numbers.append(number)
    return tuple(numbers)


def read_services(path: Path, house: str | None = None) -> tuple[tuple[int, Service], ...]:
    """(number, service) of all that was logged, oldest first; of one house if named."""
    if not path.is_file():
        return ()
    with opened(path) as connection:
        connection.execute("BEGIN")
        stages: dict[int, list[StageTime]] = {}
        for number, *values in connection.execute("SELECT service, name, minutes, expected FROM stage ORDER BY rowid"):
            stages.setdefault(number, []).append(StageTime(*values))
        packs: dict[int, list[PacksUsed]] = {}
        for number, *values in connection.execute("SELECT service, hair, packs, expected FROM pack ORDER BY rowid"):
            packs.setdefault(number, []).append(PacksUsed(*values))
        used: dict[int, list[tuple[str, float]]] = {}
        for number, operation, count in connection.execute("SELECT service, operation, count FROM used ORDER BY rowid"):
            used.setdefault(number, []).append((operation, count))
        rows = connection.execute(
            "SELECT id, uid, logged_at, recipe, wearer, house, braiders, sections, minutes, median_minutes,"
            " p80_minutes, p95_minutes, notes, braider FROM service ORDER BY id").fetchall()
        connection.execute("COMMIT")
    return tuple((row[0], Service(*row[1:13], braider=row[13], stages=tuple(stages.get(row[0], ())), packs=tuple(packs.get(row[0], ())),
                                  operations=tuple(used.get(row[0], ()))))
                 for row in rows if house is None or row[5] == house)


def keep_lesson(path: Path, house: str, learned_at: str, services: int, moved: tuple[Learned, ...]) -> int:
    """The number of the lesson just kept."""
    with opened(path) as connection, writing(connection):
        cursor = connection.execute("INSERT INTO lesson (house, learned_at, services) VALUES (?, ?, ?)",
                                    (house, learned_at, services))
        number = int(cursor.lastrowid or 0)
        connection.executemany("INSERT INTO learned VALUES (?, ?, ?, ?, ?)",
                               [(number, m.operation, m.base, m.before, m.after) for m in moved])
    return number


def undo_lesson(path: Path, house: str, undone_at: str) -> tuple[int, tuple[Learned, ...]] | None:
    """Undo the latest lesson that stands; returns it, or None where there is none."""
    if not path.is_file():
        return None
    with opened(path) as connection, writing(connection):
        row = connection.execute("SELECT id FROM lesson WHERE house = ? AND undone_at IS NULL ORDER BY id DESC LIMIT 1",
                                 (house,)).fetchone()
        if row is None:
            return None
        moved = tuple(Learned(*values) for values in connection.execute(
            "SELECT operation, base, before, after FROM learned WHERE lesson = ? ORDER BY rowid", row))
        connection.execute("UPDATE lesson SET undone_at = ? WHERE id = ?", (undone_at, row[0]))
    return row[0], moved


def standing_lessons(path: Path) -> dict[str, tuple[int, str, int, tuple[Learned, ...]]]:
    """house -> (lesson, when, from how many services, rates) of the latest lesson that stands."""
    if not path.is_file():
        return {}
    found: dict[str, tuple[int, str, int, tuple[Learned, ...]]] = {}
    with opened(path) as connection:
        for number, house, when, services in connection.execute(
                "SELECT id, house, learned_at, services FROM lesson WHERE undone_at IS NULL ORDER BY id").fetchall():
            moved = tuple(Learned(*values) for values in connection.execute(
                "SELECT operation, base, before, after FROM learned WHERE lesson = ? ORDER BY rowid", (number,)))
            found[house] = (number, when, services, moved)
    return found
