"""The book's stock of hair: every movement kept, what is there their sum.

It lies in the book's folder, ``.plait/stock.db``. Packs are kept in thousandths, whole numbers, so
that nothing is lost or found by rounding. What is there is never less than nothing: a movement that
would make it so is refused.
"""

from __future__ import annotations

import sqlite3
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Literal, NamedTuple

from ..store import opened_store, writing

SCHEMA = (
    """CREATE TABLE IF NOT EXISTS movement (
        id INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, kind TEXT NOT NULL, hair TEXT NOT NULL, colour TEXT NOT NULL,
        milli INTEGER NOT NULL, after INTEGER NOT NULL CHECK (after >= 0), note TEXT NOT NULL DEFAULT '')""",
    """CREATE TABLE IF NOT EXISTS point (
        hair TEXT NOT NULL, colour TEXT NOT NULL, milli INTEGER NOT NULL CHECK (milli >= 0), PRIMARY KEY (hair, colour))""",
)
MILLI = 1000

Kind = Literal["receive", "use", "count"]
Key = tuple[str, str]
"""(hair, colour); "" where a hair's colours aren't told apart."""


class Movement(NamedTuple):
    """One change: packs that came or went, or all that was found in a count; in thousandths of a pack."""

    kind: Kind
    hair: str
    colour: str
    milli: int
    note: str = ""


class OnHand(NamedTuple):
    """What is there of one hair in one colour, and below what it should be ordered (None: never said)."""

    hair: str
    colour: str
    milli: int
    point: int | None

    @property
    def to_order(self) -> bool:
        """Whether it stands at or below its reorder point."""
        return self.point is not None and self.milli <= self.point


class TakenBefore(Exception):
    """What was to happen once has happened. ``at`` says when."""

    def __init__(self, at: str) -> None:
        super().__init__(at)
        self.at = at


class NotThere(Exception):
    """More was to be used than is there. ``movement`` is the one that failed, ``milli`` what is there."""

    def __init__(self, movement: Movement, milli: int) -> None:
        super().__init__(movement)
        self.movement = movement
        self.milli = milli


def stock_path(book: Path) -> Path:
    """Where a book keeps its stock."""
    return book / ".plait" / "stock.db"


def opened(path: Path) -> AbstractContextManager[sqlite3.Connection]:
    """The store, made if it isn't there. Raises sqlite3.Error, OSError."""
    return opened_store(path, SCHEMA, ("movement", "point"))


def move(path: Path, at: str, movements: tuple[Movement, ...], once: str = "") -> tuple[OnHand, ...]:
    """Keep all of these movements or none; returns what is there after them. Raises NotThere.

    With ``once`` they are refused where a movement with that note is kept already: raises TakenBefore.
    """
    with opened(path) as connection, writing(connection):
        before = connection.execute("SELECT at FROM movement WHERE note = ? ORDER BY id DESC LIMIT 1", (once,)).fetchone() if once else None
        if before is not None:
            raise TakenBefore(str(before[0]))
        for movement in movements:
            there = _there(connection, (movement.hair, movement.colour))
            after = movement.milli if movement.kind == "count" else there + movement.milli * (1 if movement.kind == "receive" else -1)
            if after < 0:
                raise NotThere(movement, there)
            connection.execute("INSERT INTO movement (at, kind, hair, colour, milli, after, note) VALUES (?, ?, ?, ?, ?, ?, ?)",
                               (at, movement.kind, movement.hair, movement.colour, movement.milli, after, movement.note))
        return _on_hand(connection)


def set_points(path: Path, points: tuple[tuple[Key, int], ...]) -> None:
    """Order each again when no more than this is there; all of them are kept, or none."""
    with opened(path) as connection, writing(connection):
        for key, milli in points:
            connection.execute("INSERT INTO point VALUES (?, ?, ?) ON CONFLICT (hair, colour) DO UPDATE SET milli = excluded.milli", (*key, milli))


def on_hand(path: Path) -> tuple[OnHand, ...]:
    """What is there of everything that ever moved or has a reorder point, by name; empty without a store."""
    if not path.is_file():
        return ()
    with opened(path) as connection:
        return _on_hand(connection)


def movements(path: Path) -> tuple[tuple[int, str, Movement, int], ...]:
    """(number, when, movement, what was there after it), oldest first."""
    if not path.is_file():
        return ()
    with opened(path) as connection:
        return tuple((number, at, Movement(*values), after) for number, at, *values, after in
                     connection.execute("SELECT id, at, kind, hair, colour, milli, note, after FROM movement ORDER BY id").fetchall())


def _there(connection: sqlite3.Connection, key: Key) -> int:
    row = connection.execute("SELECT after FROM movement WHERE hair = ? AND colour = ? ORDER BY id DESC LIMIT 1", key).fetchone()
    return int(row[0]) if row else 0


def _on_hand(connection: sqlite3.Connection) -> tuple[OnHand, ...]:
    points = {(hair, colour): milli for hair, colour, milli in connection.execute("SELECT hair, colour, milli FROM point").fetchall()}
    keys = {(hair, colour) for hair, colour in connection.execute("SELECT DISTINCT hair, colour FROM movement").fetchall()} | set(points)
    return tuple(OnHand(*key, _there(connection, key), points.get(key)) for key in sorted(keys))
