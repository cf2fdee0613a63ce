"""The crew's split: what must always hold, and never far above an exact schedule."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from plaitbook.meaning.model import ZONES
from plaitbook.passes.crew import ZONE_CAP, Hand, Job, Split, lower_bound, split_work


def check(split: Split, jobs: tuple[Job, ...], hands: tuple[Hand, ...]) -> None:
    """Every strand once, by someone who is there and free, never more in a zone than fit."""
    assert Counter(p.number for lane in split.lanes for p in lane) == Counter(job.number for job in jobs)
    seconds = {job.number: job for job in jobs}
    for hand, lane in zip(hands, split.lanes):
        now = hand.free_from
        for placed in lane:
            job = seconds[placed.number]
            assert placed.zone == job.zone and placed.begins >= now - 1e-6
            assert placed.ends - placed.begins == pytest.approx(job.seconds / hand.speed)
            now = placed.ends
    for zone, cap in ZONE_CAP.items():
        moves = sorted((t, d) for lane in split.lanes for p in lane if p.zone == zone
                       for t, d in ((p.begins + 1e-6, 1), (p.ends - 1e-6, -1)))
        here = 0
        for _, step in moves:
            here += step
            assert here <= cap
    assert split.finish == pytest.approx(max((p.ends for lane in split.lanes for p in lane), default=0.0))


JOBS = some.lists(some.tuples(some.sampled_from(ZONES), some.integers(20, 600)), min_size=1, max_size=60)
HANDS = some.lists(some.tuples(some.floats(0.4, 1.6), some.floats(0, 4000)), min_size=1, max_size=4)


@given(JOBS, HANDS)
@settings(max_examples=60, deadline=None)
def test_every_split_can_be_worked(work: list, crew: list) -> None:
    jobs = tuple(Job(n, zone, float(s)) for n, (zone, s) in enumerate(work, 1))
    hands = tuple(Hand(speed, since) for speed, since in crew)
    split = split_work(jobs, hands)
    check(split, jobs, hands)
    assert split.finish >= lower_bound(jobs, hands) * (1 - 1e-9)
    assert split is split_work(jobs, hands)


def small_case(seed: int) -> tuple[tuple[Job, ...], tuple[Hand, ...]]:
    chance = random.Random(seed)
    zones = chance.sample(ZONES, chance.randint(1, 4))
    hands = tuple(Hand(chance.choice((1.0, 1.0, 1.1, 0.8, 0.6)), float(chance.choice((0, 0, 0, 300, 900))))
                  for _ in range(chance.randint(2, 4)))
    # Small enough that CP-SAT proves its optimum in good time.
    strands = chance.randint(4, 9 if len(hands) < 4 else 7)
    jobs = tuple(Job(n, chance.choice(zones), float(chance.randint(60, 600))) for n in range(1, strands + 1))
    return jobs, hands


def exact_finish(jobs: tuple[Job, ...], hands: tuple[Hand, ...], found: float) -> float:
    """The earliest finish that CP-SAT proves, tenths of a second rounded down."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    # A split that can be worked is an upper bound; it only spares the solver the search above it.
    horizon = int(10 * found) + 10
    last = model.new_int_var(0, horizon, "last")
    zones: dict[str, list] = {}
    machines: list[list] = [[] for _ in hands]
    for job in jobs:
        chosen = []
        for i, hand in enumerate(hands):
            long = int(10 * job.seconds / hand.speed)
            begins = model.new_int_var(int(10 * hand.free_from), horizon + int(10 * hand.free_from), "")
            here = model.new_bool_var("")
            span = model.new_optional_interval_var(begins, long, begins + long, here, "")
            model.add(last >= begins + long).only_enforce_if(here)
            machines[i].append(span)
            zones.setdefault(job.zone, []).append(span)
            chosen.append(here)
        model.add_exactly_one(chosen)
    for hand, spans in zip(hands, machines):
        model.add_no_overlap(spans)
        # Redundant, and what lets CP-SAT prove its optimum: a braider's strands take their time.
        here = [span.presence_literals()[0] for span in spans]
        works = model.new_bool_var("")
        for each in here:
            model.add_implication(each, works)
        model.add(int(10 * hand.free_from) * works + sum(
            int(10 * job.seconds / hand.speed) * each for job, each in zip(jobs, here)) <= last)
    for zone, spans in zones.items():
        model.add_cumulative(spans, [1] * len(spans), ZONE_CAP[zone])
    for zone in zones:
        model.add(sum(int(10 * job.seconds / hand.speed) * span.presence_literals()[0]
                      for hand, spans in zip(hands, machines) for job, span in zip(jobs, spans)
                      if job.zone == zone) <= ZONE_CAP[zone] * last)
    model.minimize(last)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 10
    assert solver.solve(model) == cp_model.OPTIMAL
    return solver.objective_value / 10


def test_a_hundred_small_cases_against_an_exact_solver() -> None:
    """Never more than 2 % above CP-SAT's bound."""
    pytest.importorskip("ortools", reason="the exact reference is OR-Tools CP-SAT: pip install ortools")
    worst = 0.0
    for seed in range(100):
        jobs, hands = small_case(seed)
        split = split_work(jobs, hands)
        check(split, jobs, hands)
        worst = max(worst, split.finish / exact_finish(jobs, hands, split.finish))
    assert worst <= 1.02


def a_head(count: int = 60, seconds: float = 200.0) -> tuple[Job, ...]:
    return tuple(Job(n + 1, ZONES[n * len(ZONES) // count], seconds) for n in range(count))


def test_two_equal_braiders_leave_within_one_strand_of_each_other() -> None:
    split = split_work(a_head(), (Hand(1.0), Hand(1.0)))
    assert split.finish == pytest.approx(60 * 200 / 2) and split.unfairness <= 200


def test_a_quick_braider_does_more_and_a_late_one_less() -> None:
    quick, slow = split_work(a_head(), (Hand(1.1), Hand(0.9))).lanes
    assert len(quick) > len(slow)
    early, late = split_work(a_head(), (Hand(1.0), Hand(1.0, 2000.0))).lanes
    assert len(early) - len(late) == 10 and late[0].begins == 2000.0


def test_a_braider_stays_in_her_zone() -> None:
    """A change of zone costs steps and light: no more changes than the zones ask for."""
    split = split_work(a_head(), (Hand(1.0), Hand(1.0), Hand(1.0)))
    changes = sum(a.zone != b.zone for lane in split.lanes for a, b in zip(lane, lane[1:]))
    assert changes <= 14


def test_only_one_works_at_the_nape() -> None:
    jobs = tuple(Job(n, "nape", 100.0) for n in range(1, 5))
    assert split_work(jobs, (Hand(1.0), Hand(1.0))).finish == pytest.approx(400)
