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
MOST = 500
"""Bookings in one list; a month of a large house. Our own estimate."""
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
    """The bookings of a list, and everything that is wrong with it."""
    separator = ";" if text.partition("\n")[0].count(";") > text.partition("\n")[0].count(",") else ","
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=separator)
    mistakes: list[Mistake] = []
    try:
        lines = [(rows.line_num, [cell.strip() for cell in row]) for row in rows]
    except csv.Error as error:
        return (), (Mistake(rows.line_num, f"this is no list that can be read: {error}", "save it as CSV, one booking a line"),)
    lines = [(number, row) for number, row in lines if any(row) and not row[0].startswith("#")]
    if not lines:
        return (), (Mistake(1, "the list is empty", f"begin with the headings: {','.join(HEADINGS)}"),)
    first, headings = lines[0][0], [cell.casefold() for cell in lines[0][1]]
    for heading in headings:
        if heading not in HEADINGS:
            mistakes.append(Mistake(first, f"'{heading}' is no heading of a list of bookings", did_you_mean(heading, HEADINGS) or f"use {', '.join(HEADINGS)}"))
    for heading in NEEDED:
        if heading not in headings:
            mistakes.append(Mistake(first, f"there is no column '{heading}'", f"begin with the headings: {','.join(HEADINGS)}"))
    if len(set(headings)) < len(headings):
        mistakes.append(Mistake(first, "a heading stands there twice", "keep one of the two columns"))
    if len(lines) - 1 > MOST:
        mistakes.append(Mistake(first, f"{len(lines) - 1} bookings are more than one list takes ({MOST})", "split it by week"))
    if mistakes:
        return (), tuple(mistakes)
    bookings = [_booking(number, dict(zip(headings, row)), len(row) > len(headings), mistakes) for number, row in lines[1:]]
    return tuple(booking for booking in bookings if booking is not None), tuple(mistakes)


def _booking(line: int, said: dict[str, str], more: bool, mistakes: list[Mistake]) -> Booking | None:
    before = len(mistakes)
    if more:
        mistakes.append(Mistake(line, "this line has more cells than there are headings", "put a text with commas in \"quotes\""))
    day = _day(said.get("date", ""))
    if day is None:
        mistakes.append(Mistake(line, f"'{said.get('date', '')}' is not a date", "write it as 2027-03-04"))
    start = _clock(said.get("start", ""))
    if said.get("start") and start is None:
        mistakes.append(Mistake(line, f"'{said['start']}' is not a time of day", "write it as 09:30, or leave it empty for the plan to find one"))
    if not said.get("look"):
        mistakes.append(Mistake(line, "this booking names no look", "write the look's name under 'look'"))
    picks = []
    for each in filter(None, (part.strip() for part in re.split(r"[;,]", said.get("choices", "")))):
        name, sign, option = (part.strip() for part in each.partition("="))
        if not (sign and name and option):
            mistakes.append(Mistake(line, f"'{each}' is not a choice", "write it as size=small, and several as size=small; length=bob"))
        picks.append((name.casefold(), option.casefold()))
    crew = said.get("braiders") or "1"
    if not (crew.isascii() and crew.isdigit() and 1 <= int(crew) <= MOST_BRAIDERS):
        mistakes.append(Mistake(line, f"'{crew}' is not a number of braiders", f"write 1 to {MOST_BRAIDERS}"))
    if len(mistakes) > before or day is None:
        return None
    return Booking(line, day, start, said["look"], said.get("wearer") or None, tuple(picks), int(crew))


def _day(text: str) -> date | None:
    try:
        found = datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        return None
    return found if 1970 <= found.year < 9000 else None


def _clock(text: str) -> int | None:
    found = re.fullmatch(r"([01]?\d|2[0-3])[:.]([0-5]\d)", text)
    return int(found[1]) * 60 + int(found[2]) if found else None
