"""The log as CSV: one line a fact, so that a spreadsheet can sort it and give it back."""

from __future__ import annotations

import csv
import io
import math

from .log_store import PacksUsed, Service, StageTime

COLUMNS = ("uid", "logged_at", "recipe", "wearer", "house", "braiders", "sections", "minutes", "median_minutes",
           "p80_minutes", "p95_minutes", "notes", "kind", "name", "value", "expected")
"""``kind`` is empty on a service's own line, ``stage`` or ``packs`` on the lines that follow it."""


class BadCsv(Exception):
    """A file that isn't a log; ``message`` and ``help`` are for the person who brought it."""

    def __init__(self, message: str, help: str) -> None:
        super().__init__(message)
        self.message = message
        self.help = help


def to_csv(services: tuple[Service, ...]) -> str:
    """All services; numbers in full, so that they come back the same."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for s in services:
        own = (s.uid, s.logged_at, s.recipe, s.wearer, s.house, s.braiders, s.sections, s.minutes, s.median_minutes,
               s.p80_minutes, s.p95_minutes, s.notes)
        writer.writerow(("" if value is None else value for value in (*own, "", "", "", "")))
        blank = ("",) * (len(own) - 1)
        for stage in s.stages:
            writer.writerow((s.uid, *blank, "stage", stage.name, stage.minutes, stage.expected))
        for pack in s.packs:
            writer.writerow((s.uid, *blank, "packs", pack.hair, pack.packs, "" if pack.expected is None else pack.expected))
    return out.getvalue()


def from_csv(text: str) -> tuple[Service, ...]:
    """The services of a file that :func:`to_csv` wrote. Raises BadCsv with the line."""
    reader = csv.DictReader(io.StringIO(text))
    if reader.fieldnames is None or not set(COLUMNS) <= set(reader.fieldnames):
        missing = ", ".join(c for c in COLUMNS if c not in (reader.fieldnames or ()))
        raise BadCsv(f"this CSV has no column {missing}", "export one first and keep its heading: plait log RECIPE --export log.csv")
    found: dict[str, Service] = {}
    stages: dict[str, list[StageTime]] = {}
    packs: dict[str, list[PacksUsed]] = {}
    for row in reader:
        line, uid = reader.line_num, (row["uid"] or "").strip()
        try:
            if row["kind"] == "stage":
                stages.setdefault(uid, []).append(StageTime(row["name"], _number(row["value"]), _number(row["expected"])))
            elif row["kind"] == "packs":
                packs.setdefault(uid, []).append(PacksUsed(row["name"], _number(row["value"]), _maybe(row["expected"])))
            elif row["kind"] == "" and uid and uid not in found:
                found[uid] = Service(
                    uid, row["logged_at"], row["recipe"], row["wearer"], row["house"], int(row["braiders"] or 1),
                    int(row["sections"]) if row["sections"] else None, _maybe(row["minutes"]), _maybe(row["median_minutes"]),
                    _maybe(row["p80_minutes"]), _maybe(row["p95_minutes"]), row["notes"] or "")
            else:
                raise ValueError("no service's line, stage or packs, or a service twice")
        except (ValueError, TypeError) as error:
            raise BadCsv(f"line {line} of this CSV can't be read: {error}", "compare it with an exported file") from None
    if strangers := (set(stages) | set(packs)) - set(found):
        raise BadCsv(f"this CSV has stages of a service that it doesn't hold: {sorted(strangers)[0]}",
                     "keep each service's own line")
    return tuple(Service(**{**service.__dict__, "stages": tuple(stages.get(uid, ())), "packs": tuple(packs.get(uid, ()))})
                 for uid, service in found.items())


def _number(text: str) -> float:
    value = float(text)
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"'{text}' is no amount")
    return value


def _maybe(text: str) -> float | None:
    return _number(text) if text else None
