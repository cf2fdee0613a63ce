"""Who stands at which head when: starts for bookings that have none, and braiders for all.

A day has few bookings, so the best order is found by trying them all; a long list is ordered by
length and then bettered by exchanges. All times are whole minutes after midnight.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from itertools import combinations
from math import ceil
from typing import NamedTuple

EXACT = 7
"""Bookings without a time up to which every order is looked at: 5 040 orders at the most."""

MOST_PLACED = 40_000
"""Placings of one booking that a longer list is bettered by: about half a second. Our own estimate."""


class Slot(NamedTuple):
    """One booking as the rota sees it."""

    number: int
    start: int | None
    minutes: int
    braiders: int
    wearer: str = ""
    """Who sits; nobody sits in two chairs at once. "" where she isn't named."""


class Placed(NamedTuple):
    """One booking with its time and its braiders, numbered from 0."""

    number: int
    start: int
    end: int
    braiders: tuple[int, ...]
    short: int = 0
    """Braiders that are wanted and not there, at a time that was fixed."""


class Taken:
    """What of a day is already given away: how many braiders are at work from each moment on, and who sits when."""

    def __init__(self, moments: list[int], at_work: list[int], sits: dict[str, list[tuple[int, int]]]) -> None:
        self.moments, self.at_work, self.sits = moments, at_work, sits

    def copy(self) -> Taken:
        """The same, to be added to on its own."""
        return Taken(self.moments[:], self.at_work[:], {wearer: spans[:] for wearer, spans in self.sits.items()})

    def add(self, start: int, end: int, braiders: int, wearer: str = "") -> None:
        """Give a stretch of so many braiders away."""
        for moment in (start, end):
            at = bisect_left(self.moments, moment)
            if at == len(self.moments) or self.moments[at] != moment:
                self.moments.insert(at, moment)
                self.at_work.insert(at, self.at_work[at - 1])
        for at in range(bisect_left(self.moments, start), bisect_left(self.moments, end)):
            self.at_work[at] += braiders
        if wearer:
            self.sits.setdefault(wearer, []).append((start, end))

    def earliest(self, slot: Slot, braiders: int, opens: int) -> int:
        """When enough braiders, and the wearer, are first free for as long as a booking takes: at the opening, or when another ends."""
        start = opens
        at = bisect_right(self.moments, start) - 1
        while True:
            while at < len(self.moments) and self.moments[at] < start + slot.minutes:
                if self.at_work[at] + slot.braiders > braiders:
                    start = self.moments[at + 1]  # after the last moment nobody is at work
                at += 1
            sitting = max((end for begins, end in self.sits.get(slot.wearer, ()) if begins < start + slot.minutes and start < end), default=start)
            if sitting == start:
                return start
            start = sitting
            at = bisect_right(self.moments, start) - 1


def make_rota(slots: tuple[Slot, ...], braiders: int, opens: int, arrive: tuple[int, ...] = ()) -> tuple[Placed, ...]:
    """Every booking placed so that the day ends as early as it can, in the order of the slots.

    A fixed start is kept even where braiders lack, and says so; a booking without one waits until
    enough are free, and until its wearer is. ``arrive`` says when each braider comes; without it all are there from
    the start. Raises ValueError where one wants more braiders than there are and has no fixed start.
    """
    fixed = [slot for slot in slots if slot.start is not None]
    free = [slot for slot in slots if slot.start is None]
    for slot in free:
        if slot.braiders > braiders:
            raise ValueError(slot.number)
    busy = Taken([0], [0], {})
    for slot in fixed:
        busy.add(slot.start or 0, (slot.start or 0) + slot.minutes, slot.braiders, slot.wearer)
    for comes in arrive:
        if comes > 0:
            busy.add(0, comes, 1)
    starts = _best(free, busy, braiders, opens)
    times = {slot.number: slot.start if slot.start is not None else starts[slot.number] for slot in slots}
    return _staffed(slots, times, arrive or (0,) * braiders)


def _best(free: list[Slot], busy: Taken, braiders: int, opens: int) -> dict[int, int]:
    """Starts of the free bookings. Some order, each placed as early as it can be, gives the earliest end there is
    (active schedules hold an optimal one: Sprecher, Kolisch and Drexl, European Journal of Operational Research 80, 1995)."""
    if not free:
        return {}
    order = sorted(free, key=lambda slot: (-slot.minutes * slot.braiders, -slot.minutes, slot.number))
    end, starts = _placed(order, busy, braiders, opens)
    least = opens + max(max(slot.minutes for slot in free), ceil(sum(slot.minutes * slot.braiders for slot in free) / braiders))
    if len(free) <= EXACT:
        return _searched(order, busy, braiders, opens, least, end, starts)
    better, left = end > least, MOST_PLACED // len(order)
    while better:
        better = False
        for i, j in combinations(range(len(order)), 2):
            if left <= 0:
                return starts
            left -= 1
            order[i], order[j] = order[j], order[i]
            tried = _placed(order, busy, braiders, opens)
            if tried[0] < end:
                (end, starts), better = tried, end > least
            else:
                order[i], order[j] = order[j], order[i]
    return starts


def _searched(
    order: list[Slot], busy: Taken, braiders: int, opens: int, least: int, end: int, starts: dict[int, int],
) -> dict[int, int]:
    """The best of all orders, left as soon as one of them can't end before the best so far."""
    best = (end, starts)

    def go(left: list[Slot], taken: Taken, starts: dict[int, int], so_far: int) -> None:
        nonlocal best
        if so_far >= best[0] or best[0] == least:
            return
        if not left:
            best = (so_far, dict(starts))
            return
        tried = set()
        for slot in left:
            if (slot.minutes, slot.braiders, slot.wearer) in tried:
                continue
            tried.add((slot.minutes, slot.braiders, slot.wearer))
            start = taken.earliest(slot, braiders, opens)
            starts[slot.number] = start
            then = taken.copy()
            then.add(start, start + slot.minutes, slot.braiders, slot.wearer)
            go([other for other in left if other is not slot], then, starts,
               max(so_far, start + slot.minutes))
            del starts[slot.number]

    go(order, busy, {}, 0)
    return best[1]


def _placed(order: list[Slot], busy: Taken, braiders: int, opens: int) -> tuple[int, dict[int, int]]:
    """(end of the day, start by number) when each in turn is placed as early as it can be."""
    taken, starts = busy.copy(), {}
    for slot in order:
        start = starts[slot.number] = taken.earliest(slot, braiders, opens)
        taken.add(start, start + slot.minutes, slot.braiders, slot.wearer)
    return max(starts[slot.number] + slot.minutes for slot in order), starts


def _staffed(slots: tuple[Slot, ...], times: dict[int, int], arrive: tuple[int, ...]) -> tuple[Placed, ...]:
    """Braiders for all, whoever is free and has worked least so far; a crew is spread as evenly as that lets it be."""
    free_from, worked = list(arrive), [0] * len(arrive)
    placed: dict[int, Placed] = {}
    for slot in sorted(slots, key=lambda slot: (times[slot.number], -slot.braiders, slot.number)):
        start = times[slot.number]
        at_hand = sorted((b for b in range(len(arrive)) if free_from[b] <= start), key=lambda b: (worked[b], b))[:slot.braiders]
        for b in at_hand:
            free_from[b], worked[b] = start + slot.minutes, worked[b] + slot.minutes
        placed[slot.number] = Placed(slot.number, start, start + slot.minutes, tuple(sorted(at_hand)), slot.braiders - len(at_hand))
    return tuple(placed[slot.number] for slot in slots)
