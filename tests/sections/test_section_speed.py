"""How long the section pass takes with the head's tables warm; tests/benchmarks/sections.py prints more."""

from __future__ import annotations

import time

from plaitbook.passes.sections import lay, lay_sections

from .builders import grid, house, recipe, wearer

BUDGET_MS = {150: 4.0, 300: 8.0}
SLACK = 3.0
"""A busy machine is not a slow program: the test fails at three times the budget."""


def best(look, rounds=7):
    head, salon = wearer(sex="female"), house()
    count = lay_sections(look, head, salon).part.count
    least = float("inf")
    for _ in range(rounds):
        lay.cache_clear()
        start = time.process_time()
        plan = lay_sections(look, head, salon)
        least = min(least, time.process_time() - start)
        del plan
    return count, least * 1000


def test_budget_and_growth():
    times = {}
    for size in (20.9, 14.5, 10.2, 6.4, 4.6):
        count, ms = best(recipe(grid("brick", size)))
        times[count] = ms
        print(f"{count} sections: {ms:.2f} ms, {1000 * ms / count:.1f} us each")
    counts = sorted(times)
    assert times[counts[0]] < SLACK * BUDGET_MS[150]
    assert times[counts[1]] < SLACK * BUDGET_MS[300]
    # Linear: the cost of one more section doesn't grow.
    first = (times[counts[2]] - times[counts[0]]) / (counts[2] - counts[0])
    last = (times[counts[-1]] - times[counts[2]]) / (counts[-1] - counts[2])
    assert last < 2.0 * first
    look, head, salon = recipe(grid("brick", 20.9)), wearer(sex="female"), house()
    lay_sections(look, head, salon)
    start = time.process_time()
    lay_sections(look, head, salon)
    print(f"unchanged: {1e6 * (time.process_time() - start):.0f} us")
