"""Durations and counts of packs as a person types them on the command line."""

from __future__ import annotations

import re

_PART = re.compile(r"\s*([0-9½⅓⅔¼¾./ ]*[0-9½⅓⅔¼¾])\s*([a-zA-Z]+)?\s*,?")
_CLOCK = re.compile(r"\s*(\d{1,3}):([0-5]\d)\s*")


def minutes_of(text: str) -> float | None:
    """Minutes of ``4 h 50 min``, ``2½ h``, ``290 min``, ``1 h 50`` or ``4:50``; None for anything else."""
    from ..meaning.unit_table import UNITS
    from ..syntax.tree import number_value

    clock = _CLOCK.fullmatch(text)
    if clock:
        return int(clock[1]) * 60.0 + int(clock[2])
    total, at, last = 0.0, 0, ""
    while at < len(text.rstrip()):
        part = _PART.match(text, at)
        if part is None:
            return None
        # "1 h 50" means minutes after hours, and nothing else may stand without a unit.
        unit = part[2] or ("min" if last in ("h", "hour", "hours") else "")
        row = UNITS.get(unit.lower())
        if row is None or row[0] != "time":
            return None
        try:
            total += float(number_value(part[1].strip()) * row[1]) / 60
        except (ValueError, ZeroDivisionError, OverflowError):
            return None
        at, last = part.end(), unit.lower()
    return total if at else None


def with_unit(text: str, example: str) -> str:
    """What to write for a time that can't be read: the same with its unit where only that is missing."""
    bare = text.strip()
    return f'write its unit: "{bare} min"' if minutes_of(f"{bare} min") is not None else example


def packs_of(text: str) -> float | None:
    """Packs of ``1⅓`` or ``1⅓ packs``; None for anything else."""
    from ..syntax.tree import number_value

    try:
        packs = float(number_value(re.sub(r"\s*packs?\s*$", "", text.strip())))
    except (ValueError, ZeroDivisionError, OverflowError):
        return None
    return packs if 0 <= packs <= 1000 else None


def spoken(minutes: float) -> str:
    """``4 h 50 min`` to the nearest minute."""
    whole = round(minutes)
    hours, rest = divmod(abs(whole), 60)
    said = f"{hours} h {rest:02d} min" if hours and rest else f"{hours} h" if hours else f"{rest} min"
    return said if whole >= 0 else f"-{said}"
