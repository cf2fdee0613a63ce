"""Where to look at the clock while braiding: at the ends of zones and at even steps between."""

from __future__ import annotations

from typing import NamedTuple

MOST = 8
"""Checkpoints on a card at most: fewer than ten items read at a pause (Gawande, "A Checklist
for Checklists")."""

STEPS = 6
"""Even steps where zones alone don't give enough. Our own estimate."""


class Place(NamedTuple):
    """A point in the braid order: ``sections`` strands done, ``strand_s`` seconds of one braider spent."""

    sections: int
    zone: str
    strand_s: float


def place_checkpoints(by_section: tuple[tuple[int, str, float], ...]) -> tuple[Place, ...]:
    """Four to eight places for a head of some size, the last at its end; fewer on a few strands.

    ``by_section`` is (number, zone, seconds) in braid order.
    """
    count = len(by_section)
    if not count:
        return ()
    ends = [n for n in range(1, count) if by_section[n][1] != by_section[n - 1][1]]
    if len(ends) + 1 > MOST:
        ends = []  # zones come and go in this order: even steps read better
    near = count / (2 * STEPS)
    chosen = [count]
    for end in reversed(ends):
        if chosen[-1] - end >= near and end >= near:
            chosen.append(end)
    for step in range(1, STEPS):
        at = round(step * count / STEPS)
        if len(chosen) < STEPS and at >= 1 and all(abs(at - end) >= near for end in chosen):
            chosen.append(at)
    wanted = set(chosen)
    places, spent = [], 0.0
    for done, (_, zone, seconds) in enumerate(by_section, 1):
        spent += seconds
        if done in wanted:
            places.append(Place(done, zone, spent))
    return tuple(places)


def start_minute(clock: str | None) -> int | None:
    """Minutes after midnight of ``HH:MM``; None where there is no clock or it can't be read."""
    if clock is None:
        return None
    hours, colon, minutes = clock.partition(":")
    if not colon or not (hours.isascii() and hours.isdigit() and minutes.isascii() and minutes.isdigit()):
        return None
    if len(minutes) != 2 or len(hours) > 2 or int(hours) > 23 or int(minutes) > 59:
        return None
    return int(hours) * 60 + int(minutes)


def clock_at(begins: int | None, minutes: float) -> str | None:
    """The clock time this many minutes after the start, to the nearest minute, past midnight if need be."""
    if begins is None:
        return None
    at = (begins + round(minutes)) % (24 * 60)
    return f"{at // 60:02d}:{at % 60:02d}"
