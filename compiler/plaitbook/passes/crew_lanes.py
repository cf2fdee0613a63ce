"""The crew at one head: who they are, the split of the strands, and each one's own list with times."""

from __future__ import annotations

import math
from typing import Callable, NamedTuple

from ..meaning.model import Braider, House
from ..meaning.values import default
from ..plan.model import Checkpoint, CrewLane, CrewStretch
from . import rates as table
from .checkpoints import clock_at, place_checkpoints, start_minute
from .crew import Hand, Job, Placed, Split, split_work
from .rest import done_by
from .spread import greatest
from .work import Labour

MOST_OWN = 4
"""Checkpoints on one braider's own list at most. Our own estimate."""


class Team(NamedTuple):
    """The braiders who work on one head."""

    braiders: tuple[Braider, ...]
    efficiency: float
    """Share of each one's speed that is left beside the others."""

    def speeds(self) -> tuple[float, ...]:
        return tuple(braider.speed.value * self.efficiency for braider in self.braiders)


def team_of(house: House, strands: int) -> Team:
    """The house's braiders by name, the rest ordinary; at most as many as can stand and have a strand."""
    wanted = max(house.braiders, len(house.crew))
    count = max(1, min(wanted, table.CREW_CAP, strands or 1))
    named = list(house.crew[:count])
    while len(named) < count:
        named.append(Braider(name=f"braider {len(named) + 1}", origin=house.origin,
                             speed=default(1.0, "100 %", "an ordinary practised braider")))
    return Team(tuple(named), table.CREW_EFFICIENCY[count - 1])


def opening(house: House) -> int | None:
    """Minutes after midnight when the chair time begins: the house's, else the first arrival."""
    if house.start_clock is not None:
        return start_minute(house.start_clock)
    arrivals = [minute for braider in house.crew if (minute := start_minute(braider.arrives_clock)) is not None]
    return min(arrivals, default=None)


def joins_after(braider: Braider, opens: int | None) -> float:
    """Minutes of chair time before this braider is there."""
    arrives = start_minute(braider.arrives_clock)
    return 0.0 if arrives is None or opens is None else max(0.0, float(arrives - opens))


class Shared(NamedTuple):
    """The strands shared out, in seconds of work after the first part."""

    split: Split
    mean: float
    """Expected second at which the last braider is done: a little after the plan's, for
    the last of several is never the luckiest."""
    variance: float


def share_out(labour: Labour, team: Team, opens: int | None, before_s: float, pace: float, every_s: float,
              break_s: float) -> Shared:
    """The split for this team. ``pace`` is chair seconds per second of work, short pauses included."""
    hands = []
    for braider, speed in zip(team.braiders, team.speeds()):
        there = done_by(60 * joins_after(braider, opens), every_s, break_s) / pace - before_s
        hands.append(Hand(speed, max(0.0, there)))
    split = split_work(tuple([Job(*each) for each in labour.by_section]), tuple(hands))
    spread_of = {each[0]: variance for each, variance in zip(labour.by_section, labour.variances)}
    mean, variance = greatest(tuple(
        (lane[-1].ends, math.fsum(spread_of[p.number] for p in lane) / hand.speed**2)
        for lane, hand in zip(split.lanes, hands) if lane))
    return Shared(split, mean, variance)


def in_the_order_done(split: Split) -> tuple[tuple[int, str, float], ...]:
    """(number, zone, seconds since the one before) of all strands as they get done."""
    done, last = [], 0.0
    for placed in sorted((p for lane in split.lanes for p in lane), key=lambda p: (p.ends, p.number)):
        done.append((placed.number, placed.zone, placed.ends - last))
        last = placed.ends
    return tuple(done)


def lanes_of(team: Team, split: Split, minute_at: Callable[[float], float], opens: int | None) -> tuple[CrewLane, ...]:
    """Each braider's own list. ``minute_at`` turns seconds of strand work into minutes of chair time."""
    return tuple(
        CrewLane(
            braider=braider.name, speed=braider.speed.value,
            joins=minute_at(lane[0].begins) if lane else 0.0, leaves=minute_at(lane[-1].ends) if lane else 0.0,
            sections=tuple(p.number for p in lane), stretches=_stretches(lane, minute_at),
            checkpoints=_own_checkpoints(lane, minute_at, opens))
        for braider, lane in zip(team.braiders, split.lanes))


def _stretches(lane: tuple[Placed, ...], minute_at: Callable[[float], float]) -> tuple[CrewStretch, ...]:
    """Runs of strands in one zone, without a wait between."""
    runs: list[list[Placed]] = []
    for placed in lane:
        if runs and runs[-1][-1].zone == placed.zone and placed.begins < runs[-1][-1].ends + 1:
            runs[-1].append(placed)
        else:
            runs.append([placed])
    return tuple(CrewStretch(zone=run[0].zone, sections=tuple(p.number for p in run),
                             begins=minute_at(run[0].begins), ends=minute_at(run[-1].ends)) for run in runs)


def _own_checkpoints(lane: tuple[Placed, ...], minute_at: Callable[[float], float], opens: int | None) -> tuple[Checkpoint, ...]:
    """A few places on this braider's own list."""
    if not lane:
        return ()
    ends = {n: placed.ends for n, placed in enumerate(lane, 1)}
    places = place_checkpoints(tuple((p.number, p.zone, p.ends - p.begins) for p in lane))
    while len(places) > MOST_OWN:
        places = (*places[:-1:2], places[-1])
    return tuple(Checkpoint(minutes=(minute := minute_at(ends[place.sections])), sections=place.sections, zone=place.zone,
                            clock=clock_at(opens, minute)) for place in places)


