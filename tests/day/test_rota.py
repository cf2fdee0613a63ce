"""Who stands at which head when, beside an exact solver (OR-Tools CP-SAT)."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from plaitbook.desk.day.rota import Placed, Slot, make_rota

OPENS = 9 * 60


def exact_end(slots: tuple[Slot, ...], braiders: int) -> int:
    """The earliest end of the last booking without a fixed time, by CP-SAT."""
    model = cp_model.CpModel()
    horizon = OPENS + sum(slot.minutes for slot in slots) + max((slot.start or 0) for slot in slots)
    ends, intervals, demands = [], [], []
    for slot in slots:
        start = model.new_constant(slot.start) if slot.start is not None else model.new_int_var(OPENS, horizon, "")
        intervals.append(model.new_fixed_size_interval_var(start, slot.minutes, ""))
        demands.append(slot.braiders)
        if slot.start is None:
            ends.append(start + slot.minutes)
    model.add_cumulative(intervals, demands, braiders)
    last = model.new_int_var(0, horizon + 2000, "")
    for end in ends:
        model.add(last >= end)
    model.minimize(last)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def small_cases() -> list[tuple[tuple[Slot, ...], int]]:
    chance = random.Random(20270304)
    cases = []
    while len(cases) < 60:
        braiders = chance.randint(1, 4)
        slots = [Slot(n, None, 5 * chance.randint(12, 100), chance.randint(1, braiders)) for n in range(chance.randint(1, 6))]
        if chance.random() < 0.5:  # one booking at a fixed time, which leaves somebody free
            slots.append(Slot(len(slots), OPENS + 5 * chance.randint(0, 60), 5 * chance.randint(12, 60), chance.randint(1, braiders)))
        cases.append((tuple(slots), braiders))
    return cases


@pytest.mark.parametrize(("slots", "braiders"), small_cases())
def test_the_day_ends_as_early_as_an_exact_solver_can_make_it(slots: tuple[Slot, ...], braiders: int) -> None:
    rota = make_rota(slots, braiders, OPENS)
    free = [placed.end for placed, slot in zip(rota, slots) if slot.start is None]
    assert max(free) == exact_end(slots, braiders)


def test_a_long_list_is_near_the_exact_end() -> None:
    chance = random.Random(7)
    over = []
    for _ in range(5):
        slots = tuple(Slot(n, None, 5 * chance.randint(12, 100), chance.randint(1, 2)) for n in range(8))
        over.append(max(p.end for p in make_rota(slots, 3, OPENS)) - OPENS)
        over[-1] /= exact_end(slots, 3) - OPENS
    assert max(over) <= 1.02


SLOTS = st.lists(st.tuples(st.one_of(st.none(), st.integers(480, 1200)), st.integers(5, 600), st.integers(1, 3)), min_size=1, max_size=9)


@given(SLOTS, st.integers(3, 5))
def test_nobody_stands_at_two_heads(rows: list[tuple[int | None, int, int]], braiders: int) -> None:
    slots = tuple(Slot(n, start, minutes, crew) for n, (start, minutes, crew) in enumerate(rows))
    rota = make_rota(slots, braiders, OPENS)
    by_braider: dict[int, list[Placed]] = {}
    for placed, slot in zip(rota, slots):
        assert placed.end - placed.start == slot.minutes
        assert len(set(placed.braiders)) + placed.short == slot.braiders
        assert placed.start == slot.start if slot.start is not None else placed.start >= OPENS and not placed.short
        for b in placed.braiders:
            by_braider.setdefault(b, []).append(placed)
    for turns in by_braider.values():
        turns.sort(key=lambda placed: placed.start)
        assert all(one.end <= two.start for one, two in zip(turns, turns[1:]))


def test_a_fixed_time_that_lacks_braiders_says_how_many() -> None:
    rota = make_rota((Slot(0, 600, 60, 2), Slot(1, 630, 60, 1)), 2, OPENS)
    assert [placed.short for placed in rota] == [0, 1]


def test_more_braiders_than_there_are_cant_be_found_a_time() -> None:
    with pytest.raises(ValueError):
        make_rota((Slot(0, None, 60, 3),), 2, OPENS)
