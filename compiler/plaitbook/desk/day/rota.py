"""Who stands at which head when: starts for bookings that have none, and braiders for all.

A day has few bookings, so the best order is found by trying them all; a long list is ordered by
length and then bettered by exchanges. All times are whole minutes after midnight.
"""

from __future__ import annotations

from itertools import combinations
from math import ceil
from typing import NamedTuple

EXACT = 7
"""Bookings without a time up to which every order is looked at: 5 040 orders at the most."""


class Slot(NamedTuple):
    """One booking as the rota sees it."""

    number: int
    start: int | None
    minutes: int
    braiders: int


class Placed(NamedTuple):
    """One booking with its time and its braiders, numbered from 0."""

    number: int
    start: int
    end: int
    braiders: tuple[int, ...]
    short: int = 0
    """Braiders that are wanted and not there, at a time that was fixed."""


def make_rota(slots: tuple[Slot, ...], braiders: int, opens: int) -> tuple[Placed, ...]:
    """Every booking placed so that the day ends as early as it can, in the order of the slots.

    A fixed start is kept even where braiders lack, and says so; a booking without one waits until
    enough are free. Raises ValueError where one wants more braiders than there are and has no fixed start.
    """
    fixed = [slot for slot in slots if slot.start is not None]
    free = [slot for slot in slots if slot.start is None]
    for slot in free:
        if slot.braiders > braiders:
            raise ValueError(slot.number)
    busy = [(slot.start or 0, (slot.start or 0) + slot.minutes, slot.braiders) for slot in fixed]
    starts = _best(free, busy, braiders, opens)
    times = {slot.number: slot.start if slot.start is not None else starts[slot.number] for slot in slots}
    return _staffed(slots, times, braiders)


def _best(free: list[Slot], busy: list[tuple[int, int, int]], braiders: int, opens: int) -> dict[int, int]:
    """Starts of the free bookings. Some order, each placed as early as it can be, gives the earliest end there is
    (active schedules hold an optimal one: Sprecher, Kolisch and Drexl, European Journal of Operational Research 80, 1995)."""
    if not free:
        return {}
    order = sorted(free, key=lambda slot: (-slot.minutes * slot.braiders, -slot.minutes, slot.number))
    end, starts = _placed(order, busy, braiders, opens)
    least = opens + max(max(slot.minutes for slot in free), ceil(sum(slot.minutes * slot.braiders for slot in free) / braiders))
    if len(free) <= EXACT:
        return _searched(order, busy, braiders, opens, least, end, starts)
    better = end > least
    while better:
        better = False
        for i, j in combinations(range(len(order)), 2):
            order[i], order[j] = order[j], order[i]
            tried = _placed(order, busy, braiders, opens)
            if tried[0] < end:
                (end, starts), better = tried, end > least
            else:
                order[i], order[j] = order[j], order[i]
    return starts


def _searched(
    order: list[Slot], busy: list[tuple[int, int, int]], braiders: int, opens: int, least: int, end: int, starts: dict[int, int],
) -> dict[int, int]:
    """The best of all orders, left as soon as one of them can't end before the best so far."""
    best = (end, starts)

    def go(left: list[Slot], taken: list[tuple[int, int, int]], starts: dict[int, int], so_far: int) -> None:
        nonlocal best
        if so_far >= best[0] or best[0] == least:
            return
        if not left:
            best = (so_far, dict(starts))
            return
        tried = set()
        for slot in left:
            if (slot.minutes, slot.braiders) in tried:
                continue
            tried.add((slot.minutes, slot.braiders))
            start = _earliest(slot, taken, braiders, opens)
            starts[slot.number] = start
            go([other for other in left if other is not slot], [*taken, (start, start + slot.minutes, slot.braiders)], starts,
               max(so_far, start + slot.minutes))
            del starts[slot.number]

    go(order, busy, {}, 0)
    return best[1]


def _placed(order: list[Slot], busy: list[tuple[int, int, int]], braiders: int, opens: int) -> tuple[int, dict[int, int]]:
    """(end of the day, start by number) when each in turn is placed as early as it can be."""
    taken, starts = list(busy), {}
    for slot in order:
        starts[slot.number] = _earliest(slot, taken, braiders, opens)
        taken.append((starts[slot.number], starts[slot.number] + slot.minutes, slot.braiders))
    return max(starts[slot.number] + slot.minutes for slot in order), starts


def _earliest(slot: Slot, taken: list[tuple[int, int, int]], braiders: int, opens: int) -> int:
    """When enough braiders are first free for as long as a booking takes: at the opening, or when another ends."""
    for start in sorted({opens, *(end for _, end, _ in taken if end > opens)}):
        if _most(taken, start, start + slot.minutes) + slot.braiders <= braiders:
            return start
    raise AssertionError("after the last end everybody is free")


def _most(taken: list[tuple[int, int, int]], start: int, end: int) -> int:
    """The most braiders at work at once in a stretch of time."""
    moments = [start, *(begins for begins, _, _ in taken if start < begins < end)]
    return max(sum(count for begins, ends, count in taken if begins <= moment < ends) for moment in moments)


def _staffed(slots: tuple[Slot, ...], times: dict[int, int], braiders: int) -> tuple[Placed, ...]:
    """Braiders for all, whoever is free and has worked least so far; a crew is spread as evenly as that lets it be."""
    free_from, worked = [0] * braiders, [0] * braiders
    placed: dict[int, Placed] = {}
    for slot in sorted(slots, key=lambda slot: (times[slot.number], -slot.braiders, slot.number)):
        start = times[slot.number]
        at_hand = sorted((b for b in range(braiders) if free_from[b] <= start), key=lambda b: (worked[b], b))[:slot.braiders]
        for b in at_hand:
            free_from[b], worked[b] = start + slot.minutes, worked[b] + slot.minutes
        placed[slot.number] = Placed(slot.number, start, start + slot.minutes, tuple(sorted(at_hand)), slot.braiders - len(at_hand))
    return tuple(placed[slot.number] for slot in slots)
