"""Who braids what, when several stand at one head: the split that finishes earliest and is fair.

The problem is scheduling on uniform machines with release times (braiders of
unequal speed who arrive at different times), with at most so many braiders at
one zone at a time. A schedule is built strand by strand, whoever is free first
taking the next one (R. L. Graham's list scheduling, 1966). Several orders are
tried, and the schedule that ends first is kept; of those that end together, the
one with the fewest changes of zone, then the one after which the braiders leave
closest to each other. A lower bound on the
finish stops the search early.
"""

from __future__ import annotations

import math
import random
from functools import lru_cache
from typing import NamedTuple, Sequence

ZONE_CAP = {"nape": 1, "back": 2, "crown": 2, "sides": 2, "temples": 2, "top": 2, "hairline": 2}
"""Braiders who can work in one zone at a time: one at the nape, elsewhere one a side. Our own estimate."""

NEAR = 1.01
"""A finish within one per cent of the lower bound needs no better one: three minutes in
five hours. Our own estimate."""

ALIKE = 0.003
"""Finishes closer than this share count as together; then fewer changes of zone decide, and
after that who waits for whom. Our own estimate: a change of zone costs steps and light."""

PRESSING = 0.9
"""A zone whose work, at full places, takes this share of the time that is left comes first. Our own estimate."""

TRIES = 24
"""Changed orders tried where the first ones aren't near the bound."""

FEW, TRIES_FEW = 14, 1200
"""With few strands each one weighs more, and a try costs less."""


class Job(NamedTuple):
    """A strand: one ordinary braider's seconds."""

    number: int
    zone: str
    seconds: float


class Hand(NamedTuple):
    """A braider: speed (1 is ordinary) and the second from which she works."""

    speed: float
    free_from: float = 0.0


class Placed(NamedTuple):
    number: int
    zone: str
    begins: float
    ends: float


class Split(NamedTuple):
    """Each braider's strands in order of work, and when the last is done."""

    lanes: tuple[tuple[Placed, ...], ...]
    finish: float

    @property
    def moves(self) -> int:
        """Changes of zone, all braiders together."""
        return sum(a.zone != b.zone for lane in self.lanes for a, b in zip(lane, lane[1:]))

    @property
    def unfairness(self) -> float:
        """Seconds between the first to leave and the last, of those who work."""
        ends = [lane[-1].ends for lane in self.lanes if lane]
        return max(ends) - min(ends) if len(ends) == len(self.lanes) else self.finish


@lru_cache(maxsize=64)
def split_work(jobs: tuple[Job, ...], hands: tuple[Hand, ...]) -> Split:
    """The split of ``jobs`` (in braid order) over ``hands``. Deterministic; times in seconds."""
    if not jobs:
        return Split(tuple(() for _ in hands), 0.0)
    bound = lower_bound(jobs, hands)
    best = None
    for loose_end, longest_first in ((False, False), (True, False), (False, True), (True, True)):
        if best is None or best.finish > bound * NEAR:
            best = _better(best, _in_zones(jobs, hands, loose_end, longest_first))
    assert best is not None
    if best.finish > bound * NEAR:
        best = _better(best, _in_order(sorted(jobs, key=lambda job: -job.seconds), hands))
    if best.finish > bound * NEAR:
        best = _tried(list(jobs), hands, bound, best)
    return _tidied(best, jobs)


def lower_bound(jobs: Sequence[Job], hands: Sequence[Hand]) -> float:
    """No split can finish before this second."""
    work = math.fsum(job.seconds for job in jobs)
    zones: dict[str, float] = {}
    for job in jobs:
        zones[job.zone] = zones.get(job.zone, 0.0) + job.seconds
    longest = max(job.seconds for job in jobs)
    bounds = [_fluid(work, hands, len(hands)), min(hand.free_from + longest / hand.speed for hand in hands),
              _whole_strands(len(jobs), min(job.seconds for job in jobs), hands)]
    bounds += [_fluid(seconds, hands, ZONE_CAP[zone]) for zone, seconds in zones.items()]
    return max(bounds)


def _fluid(work: float, hands: Sequence[Hand], at_once: int) -> float:
    """When the work would end if strands could be cut anywhere, the fastest ``at_once`` always at it."""
    arrivals = sorted({hand.free_from for hand in hands})
    for here, now in enumerate(arrivals):
        speeds = sorted((hand.speed for hand in hands if hand.free_from <= now), reverse=True)[:at_once]
        rate = sum(speeds)
        until = arrivals[here + 1] if here + 1 < len(arrivals) else math.inf
        if work <= rate * (until - now):
            return now + work / rate
        work -= rate * (until - now)
    raise AssertionError("the last stretch has no end")


def _whole_strands(count: int, shortest: float, hands: Sequence[Hand]) -> float:
    """When ``count`` strands as short as the shortest would be done."""
    if shortest <= 0:
        return 0.0
    low, high = 0.0, max(hand.free_from + count * shortest / hand.speed for hand in hands)
    for _ in range(40):
        middle = (low + high) / 2
        able = sum(math.floor(max(0.0, middle - hand.free_from) * hand.speed / shortest + 1e-9) for hand in hands)
        low, high = (low, middle) if able >= count else (middle, high)
    return low


def _better(best: Split | None, other: Split) -> Split:
    if best is None or other.finish < best.finish * (1 - ALIKE):
        return other
    if other.finish < best.finish * (1 + 1e-9) and (other.moves, other.unfairness) < (best.moves, best.unfairness):
        return other
    return best


def _in_zones(jobs: Sequence[Job], hands: Sequence[Hand], loose_end: bool, longest_first: bool) -> Split:
    """Whoever is free goes on in her zone while it lasts, then to the one with most work a place."""
    left: dict[str, list[Job]] = {}
    for job in jobs:
        left.setdefault(job.zone, []).append(job)
    for zone, mine in left.items():
        # Taken from the end of the list.
        left[zone] = sorted(mine, key=lambda job: job.seconds) if longest_first else mine[::-1]
    work = {zone: math.fsum(job.seconds for job in mine) for zone, mine in left.items()}
    lanes: list[list[Placed]] = [[] for _ in hands]
    clock = [hand.free_from for hand in hands]
    busy: dict[str, list[float]] = {zone: [] for zone in left}
    at: list[str | None] = [None] * len(hands)
    for done in range(len(jobs)):
        # Towards the end evenness counts for more than staying in one zone.
        tail = loose_end and len(jobs) - done <= 4 * len(hands)
        who = min(range(len(hands)), key=lambda i: (clock[i] + _glance(left, hands[i]), clock[i], i))
        now = clock[who]
        best_zone, best_start, best_rank = "", math.inf, -1.0
        for zone, mine in left.items():
            if not mine:
                continue
            ends = busy[zone]
            cap = ZONE_CAP[zone]
            running = sorted(end for end in ends if end > now + 1e-9)
            start = now if len(running) < cap else running[len(running) - cap]
            # A zone that would outlast the rest at this pace must be kept full, or it ends alone.
            urgent = work[zone] / cap > PRESSING * math.fsum(work.values()) / len(hands)
            rank = work[zone] / cap + (2e9 if urgent else 1e9 if zone == at[who] and not tail else 0.0)
            if start < best_start - 1e-9 or (start < best_start + 1e-9 and rank > best_rank):
                best_zone, best_start, best_rank = zone, start, rank
        job = left[best_zone].pop()
        ends_at = best_start + job.seconds / hands[who].speed
        lanes[who].append(Placed(job.number, job.zone, best_start, ends_at))
        work[best_zone] -= job.seconds
        clock[who] = ends_at
        busy[best_zone] = [end for end in busy[best_zone] if end > best_start] + [ends_at]
        at[who] = best_zone
    return Split(tuple(map(tuple, lanes)), max(lane[-1].ends for lane in lanes if lane))


def _glance(left: dict[str, list[Job]], hand: Hand) -> float:
    """What the next strand would take this braider: a slow one shouldn't take the last."""
    few = sum(map(len, left.values()))
    if few > 8:
        return 0.0
    return min(mine[-1].seconds for mine in left.values() if mine) / hand.speed


def _in_order(order: Sequence[Job], hands: Sequence[Hand], fixed: dict[int, int] | None = None) -> Split:
    """Each strand in turn to whoever would finish it first, the zone's places respected.

    ``fixed`` gives a strand (by number) to one braider, whoever would be first.
    """
    lanes: list[list[Placed]] = [[] for _ in hands]
    taken: dict[str, list[tuple[float, float]]] = {}
    clock = [hand.free_from for hand in hands]
    for job in order:
        spans = taken.setdefault(job.zone, [])
        given = fixed.get(job.number) if fixed else None
        who, begins, ends = -1, 0.0, math.inf
        for i in range(len(hands)) if given is None else (given,):
            long = job.seconds / hands[i].speed
            start = _fits(spans, clock[i], long, ZONE_CAP[job.zone])
            if start + long < ends:
                who, begins, ends = i, start, start + long
        lanes[who].append(Placed(job.number, job.zone, begins, ends))
        clock[who] = ends
        spans.append((begins, ends))
    return Split(tuple(map(tuple, lanes)), max(clock[i] for i, lane in enumerate(lanes) if lane))


def _fits(spans: list[tuple[float, float]], earliest: float, long: float, cap: int) -> float:
    """The first moment from ``earliest`` at which a place in the zone is free for so long."""
    if len(spans) < cap:
        return earliest
    for start in sorted({earliest, *(end for _, end in spans if end > earliest)}):
        until = start + long - 1e-9
        over = [(b, e) for b, e in spans if b < until and e > start + 1e-9]
        if len(over) < cap or max(sum(b <= moment < e for b, e in over) for moment in
                                  (start, *(b for b, _ in over if b > start))) < cap:
            return start
    raise AssertionError("after the last strand every place is free")


def _tried(order: list[Job], hands: Sequence[Hand], bound: float, best: Split) -> Split:
    """Other orders: a walk by small changes, each kept unless it ends later; begun anew now and then."""
    chance = random.Random(1)
    begun = sorted(order, key=lambda job: -job.seconds)
    few = len(order) <= FEW
    order, fixed, kept = begun, {}, math.inf
    for number in range(TRIES_FEW if few else TRIES):
        if few and number % 300 == 0:
            order, fixed, kept = begun, {}, math.inf
        changed, held = order[:], dict(fixed)
        for _ in range(chance.randint(1, 3)):
            i, j = chance.randrange(len(order)), chance.randrange(len(order))
            if chance.random() < 0.6:
                changed[i], changed[j] = changed[j], changed[i]
            elif chance.random() < 0.5:
                held[order[i].number] = chance.randrange(len(hands))
            else:
                held.pop(order[i].number, None)
        split = _in_order(changed, hands, held)
        if split.finish <= kept:
            order, fixed, kept = changed, held, split.finish
        best = _better(best, split)
        if best.finish <= bound * NEAR:
            break
    return best


def _tidied(split: Split, jobs: Sequence[Job]) -> Split:
    """The same split, each unbroken stretch in one zone put in braid order."""
    place = {job.number: n for n, job in enumerate(jobs)}
    lanes = []
    for lane in split.lanes:
        tidy: list[Placed] = []
        start = 0
        for end in range(1, len(lane) + 1):
            joined = end < len(lane) and lane[end].zone == lane[start].zone and lane[end].begins <= lane[end - 1].ends + 1e-9
            if joined:
                continue
            now = lane[start].begins
            for each in sorted(lane[start:end], key=lambda placed: place[placed.number]):
                tidy.append(Placed(each.number, each.zone, now, now + each.ends - each.begins))
                now = tidy[-1].ends
            start = end
        lanes.append(tuple(tidy))
    return Split(tuple(lanes), split.finish)
