"""The list of bookings, a CSV that any spreadsheet writes: one booking a line, under headings of ours."""

from __future__ import annotations

import csv
import io
import re
from datetime import date, datetime
from typing import NamedTuple

from ...syntax.suggest import did_you_mean

HEADINGS = ("date", "start", "look", "wearer", "choices", "braiders")
NEEDED = ("date", "look")
SEPARATOR = re.compile(r"sep=([,;\t])\r?\n", re.IGNORECASE)
"""The line by which a spreadsheet tells another what stands between its cells."""
MOST = 500
"""Bookings in one list; a month of a large house. Our own estimate."""
SOME_DAY = date(1970, 1, 1)
"""Stands for a date that can't be read; :func:`_day` never gives it to a booking that is right."""
MOST_BRAIDERS = 6
"""At one head; no more can stand there. Our own estimate."""


class Booking(NamedTuple):
    """One booking as it was written."""

    line: int
    day: date
    start: int | None
    """Minutes after midnight; None where the plan is to find a time."""
    look: str
    wearer: str | None
    picks: tuple[tuple[str, str], ...]
    braiders: int


class Mistake(NamedTuple):
    """What is wrong with a line of the list, and what to write instead."""

    line: int
    message: str
    help: str


def read_bookings(text: str) -> tuple[tuple[Booking, ...], tuple[Mistake, ...]]:
    """The bookings of a list, and everything that is wrong with it.

    A line with a wrong date, time or number stands among the bookings all the same where it names a look, as on
    :data:`SOME_DAY`: so that its look, client and choices can be looked at in the same run. Where anything is
    wrong, nothing is to be planned.
    """
    text = text.removeprefix("\ufeff").replace("\u00a0", " ")
    said = SEPARATOR.match(text)
    above = next((line for line in text.splitlines() if line.strip(" ,;\t") and not line.startswith(("#", "sep="))), "")
    separator = said[1] if said else max(",;\t", key=above.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    mistakes: list[Mistake] = []
    lines: list[tuple[int, list[str]]] = []
    begins = 1
    try:
        for row in rows:
            if any(map(str.strip, row)) and not row[0].startswith("#") and not (said and begins == 1):
                lines.append((begins, _cells(row)))
            begins = rows.line_num + 1
    except csv.Error:
        return (), (Mistake(begins, "a quotation mark stands where it can't be read", 'put a whole cell in "quotes" or use none; save the list as CSV, one booking a line'),)
    if not lines:
        return (), (Mistake(1, "the list is empty", f"begin with the headings: {','.join(HEADINGS)}"),)
    first, headings = lines[0][0], [cell.casefold() for cell in lines[0][1]]
    for heading in headings:
        if not heading:
            mistakes.append(Mistake(first, "a column has no heading", f"use {', '.join(HEADINGS)}, and leave no column between them empty"))
        elif heading not in HEADINGS:
            mistakes.append(Mistake(first, f"'{heading}' is no heading of a list of bookings", did_you_mean(heading, HEADINGS) or f"use {', '.join(HEADINGS)}"))
    for heading in NEEDED:
        if heading not in headings:
            mistakes.append(Mistake(first, f"there is no column '{heading}'", f"begin with the headings: {','.join(HEADINGS)}"))
    named = [heading for heading in headings if heading]
    if len(set(named)) < len(named):
        mistakes.append(Mistake(first, "a heading stands there twice", "keep one of the two columns"))
    if len(lines) - 1 > MOST:
        mistakes.append(Mistake(first, f"{len(lines) - 1} bookings are more than one list takes ({MOST})", "split it by week"))
    if mistakes:
        return (), tuple(mistakes)
    bookings = [_booking(number, dict(zip(headings, row)), len(row) > len(headings), mistakes) for number, row in lines[1:]]
    return tuple(booking for booking in bookings if booking is not None), tuple(mistakes)


def _cells(row: list[str]) -> list[str]:
    """The cells without white space round them and without the empty ones that a spreadsheet leaves at the end."""
    cells = [cell.strip() for cell in row]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _booking(line: int, said: dict[str, str], more: bool, mistakes: list[Mistake]) -> Booking | None:
    before = len(mistakes)
    if more:
        mistakes.append(Mistake(line, "this line has more cells than there are headings", "put a text with commas in \"quotes\""))
    day = _day(said.get("date", ""))
    if day is None:
        mistakes.append(Mistake(line, f"'{said.get('date', '')}' is not a date", "write it as 2027-03-04, year first; in a spreadsheet give the column the format 'text' before you type"))
    start = _clock(said.get("start", ""))
    if said.get("start") and start is None:
        mistakes.append(Mistake(line, f"'{said['start']}' is not a time of day", "write it as 09:30 or 9:30 am, or leave it empty for the plan to find one"))
    if not said.get("look"):
        mistakes.append(Mistake(line, "this booking names no look", "write the look's name under 'look'"))
    picks = []
    for each in filter(None, (part.strip() for part in re.split(r"[;,]", said.get("choices", "")))):
        name, sign, option = (part.strip() for part in each.partition("="))
        if not (sign and name and option):
            mistakes.append(Mistake(line, f"'{each}' is not a choice", "write it as size=small, and several as size=small; length=bob"))
        else:
            picks.append((name.casefold(), option.casefold()))
    crew = said.get("braiders") or "1"
    if not (crew.isascii() and crew.isdigit() and 1 <= int(crew) <= MOST_BRAIDERS):
        mistakes.append(Mistake(line, f"'{crew}' is not a number of braiders", f"write 1 to {MOST_BRAIDERS}"))
    if len(mistakes) > before or day is None:
        day, start, crew = SOME_DAY, None, "1"
    return Booking(line, day, start, said["look"], said.get("wearer") or None, tuple(picks), int(crew)) if said.get("look") else None


def _day(text: str) -> date | None:
    """A date with its year first, or with full stops, which are always day, month, year; 3/4/2027 may mean either."""
    for form in ("%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y"):
        try:
            found = datetime.strptime(text, form).date()
        except ValueError:
            continue
        return found if 1970 < found.year < 9000 else None
    return None


def _clock(text: str) -> int | None:
    """Minutes after midnight of ``9:00``, ``09.30``, ``0930``, ``9am`` or ``9:30 pm``. A bare ``9`` may mean two times."""
    said = text.casefold().strip()
    found = (re.fullmatch(r"([01]?\d|2[0-3])[:.h]([0-5]\d)(?::00)?(?:\s*([ap])\.?m\.?)?", said, re.ASCII)
             or re.fullmatch(r"([01]?\d|2[0-3])([0-5]\d)(?:h|\s*([ap])\.?m\.?)?", said, re.ASCII)
             or re.fullmatch(r"([01]?\d|2[0-3])()\s*([ap])\.?m\.?", said, re.ASCII)
             or re.fullmatch(r"([01]?\d|2[0-3])()\s*h()", said, re.ASCII))
    if found is None:
        return None
    hours, minutes, half = int(found[1]), int(found[2] or 0), found[3] or None
    if half is None:
        return hours * 60 + minutes
    return (hours % 12 + (12 if half == "p" else 0)) * 60 + minutes if 1 <= hours <= 12 else None
