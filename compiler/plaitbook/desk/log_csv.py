"""The log as CSV: one line a fact, so that a spreadsheet can sort it and give it back."""

from __future__ import annotations

import csv
import io
import math
from typing import Any, Iterable

from ..cards.lists import FORMULA_SIGNS
from .log_store import PacksUsed, Service, StageTime

COLUMNS = ("uid", "logged_at", "recipe", "wearer", "house", "braiders", "sections", "minutes", "median_minutes",
           "p80_minutes", "p95_minutes", "notes", "kind", "name", "value", "expected", "braider")
NEWER = ("braider",)
"""Columns that files from before don't have."""
"""``kind`` is empty on a service's own line, ``stage``, ``packs`` or ``operation`` on the lines that follow it."""


class BadCsv(Exception):
    """A file that isn't a log; ``message`` and ``help`` are for the person who brought it."""

    def __init__(self, message: str, help: str) -> None:
        super().__init__(message)
        self.message = message
        self.help = help


def to_csv(services: tuple[Service, ...]) -> str:
    """All services; numbers in full, so that they come back the same."""
    out = io.StringIO()
    writer = _Guarded(csv.writer(out, lineterminator="\r\n"))
    writer.writerow(COLUMNS)
    for s in services:
        own = (s.uid, s.logged_at, s.recipe, s.wearer, s.house, s.braiders, s.sections, s.minutes, s.median_minutes,
               s.p80_minutes, s.p95_minutes, s.notes)
        writer.writerow(("" if value is None else value for value in (*own, "", "", "", "", s.braider)))
        blank = ("",) * (len(own) - 1)
        for stage in s.stages:
            writer.writerow((s.uid, *blank, "stage", stage.name, stage.minutes, stage.expected, ""))
        for pack in s.packs:
            writer.writerow((s.uid, *blank, "packs", pack.hair, pack.packs, "" if pack.expected is None else pack.expected, ""))
        for operation, count in s.operations:
            writer.writerow((s.uid, *blank, "operation", operation, count, "", ""))
    return out.getvalue()


class _Guarded:
    """A CSV writer in whose cells a spreadsheet never runs somebody's words as a formula."""

    def __init__(self, writer: Any) -> None:
        self.writer = writer

    def writerow(self, cells: Iterable[object]) -> None:
        self.writer.writerow([f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA_SIGNS) else cell
                              for cell in cells])


def _unguarded(row: dict[str, str]) -> dict[str, str]:
    """A row as it was before the guard: one leading quote mark before a formula's sign is ours."""
    return {key: text[1:] if isinstance(text, str) and text[:1] == "'" and text[1:].startswith(FORMULA_SIGNS) else text
            for key, text in row.items()}


def from_csv(text: str) -> tuple[Service, ...]:
    """The services of a file that :func:`to_csv` wrote. Raises BadCsv with the line."""
    reader = csv.DictReader(io.StringIO(text))
    if reader.fieldnames is None or not set(COLUMNS) - set(NEWER) <= set(reader.fieldnames):
        missing = ", ".join(c for c in COLUMNS if c not in (*NEWER, *(reader.fieldnames or ())))
        raise BadCsv(f"this CSV has no column {missing}", "export one first and keep its heading: plait log RECIPE --export log.csv")
    found: dict[str, Service] = {}
    stages: dict[str, list[StageTime]] = {}
    packs: dict[str, list[PacksUsed]] = {}
    used: dict[str, list[tuple[str, float]]] = {}
    for row in map(_unguarded, reader):
        line, uid = reader.line_num, (row["uid"] or "").strip()
        try:
            if row["kind"] == "stage":
                stages.setdefault(uid, []).append(StageTime(row["name"], _number(row["value"]), _number(row["expected"])))
            elif row["kind"] == "packs":
                packs.setdefault(uid, []).append(PacksUsed(row["name"], _number(row["value"]), _maybe(row["expected"])))
            elif row["kind"] == "operation":
                used.setdefault(uid, []).append((row["name"], _number(row["value"])))
            elif row["kind"] == "" and uid and uid not in found:
                found[uid] = Service(
                    uid, row["logged_at"], row["recipe"], row["wearer"], row["house"], _whole(row["braiders"] or "1", 12),
                    _whole(row["sections"], 3000) if row["sections"] else None, _maybe(row["minutes"]), _maybe(row["median_minutes"]),
                    _maybe(row["p80_minutes"]), _maybe(row["p95_minutes"]), row["notes"] or "", braider=row.get("braider") or "")
            else:
                raise ValueError("no service's line, stage or packs, or a service twice")
        except (ValueError, TypeError, OverflowError) as error:
            raise BadCsv(f"line {line} of this CSV can't be read: {error}", "compare it with an exported file") from None
    if strangers := (set(stages) | set(packs) | set(used)) - set(found):
        raise BadCsv(f"this CSV has stages of a service that it doesn't hold: {sorted(strangers)[0]}",
                     "keep each service's own line")
    return tuple(Service(**{**service.__dict__, "stages": tuple(stages.get(uid, ())), "packs": tuple(packs.get(uid, ())),
                            "operations": tuple(used.get(uid, ()))})
                 for uid, service in found.items())


def _number(text: str) -> float:
    value = float(text)
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"'{text}' is no amount")
    return value


def _whole(text: str, most: int) -> int:
    value = int(text)
    if not 1 <= value <= most:
        raise ValueError(f"'{text[:20]}' is not from 1 to {most}")
    return value


def _maybe(text: str) -> float | None:
    return _number(text) if text else None
