"""Cutting stock against a brute force, known instances and an exact solver; the wording of a cut."""

from __future__ import annotations

import random
from functools import lru_cache
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from plaitbook.passes.cutting import cut_stock, cut_text, cuts_per_length, lower_bound


def _brute(lengths: tuple[int, ...], counts: tuple[int, ...], flat: int) -> int:
    """Fewest flat lengths by trying every way to fill the next one."""
    fills = [p for p in product(*(range(flat // x + 1) for x in lengths)) if 0 < sum(map(lambda n, x: n * x, p, lengths)) <= flat]

    @lru_cache(maxsize=None)
    def fewest(left: tuple[int, ...]) -> int:
        if not any(left):
            return 0
        best = sum(left)
        for fill in fills:
            cut = tuple(min(a, b) for a, b in zip(fill, left))
            if any(cut):
                best = min(best, 1 + fewest(tuple(b - a for a, b in zip(cut, left))))
        return best

    return fewest(counts)


wanted = st.lists(st.tuples(st.integers(15, 100), st.integers(1, 5)), min_size=1, max_size=3, unique_by=lambda x: x[0])


@settings(max_examples=80, deadline=None)
@given(wanted)
def test_as_few_as_a_brute_force(pairs: list[tuple[int, int]]) -> None:
    plan = cut_stock(tuple((float(x), n) for x, n in pairs), 100.0)
    best = _brute(tuple(x for x, _ in pairs), tuple(n for _, n in pairs), 100)
    assert plan.proved
    assert plan.flats == best
    assert plan.bound <= best


@given(st.lists(st.tuples(st.floats(100, 1400), st.integers(1, 80)), min_size=1, max_size=4, unique_by=lambda x: x[0]))
@settings(max_examples=40, deadline=None)
def test_every_plan_gives_the_pieces_and_fits(pairs: list[tuple[float, int]]) -> None:
    plan = cut_stock(tuple(pairs), 1422.4)
    for i, length in enumerate(plan.lengths):
        assert sum(pattern[i] * times for pattern, times in plan.patterns) >= dict(pairs)[length]
    for pattern, _ in plan.patterns:
        assert sum(n * x for n, x in zip(pattern, plan.lengths)) <= 1422.4 + 1e-3
    assert plan.flats == sum(times for _, times in plan.patterns) >= plan.bound


KNOWN = {
    # The paper machine of the encyclopedia article "Cutting stock problem" (also the example of
    # an open-source operations research library): 13 widths from rolls of 5600 mm, best 73 rolls.
    "paper machine": (5600, [(1380, 22), (1520, 25), (1560, 12), (1710, 14), (1820, 18), (1880, 18), (1930, 20),
                             (2000, 10), (2050, 12), (2100, 14), (2140, 16), (2150, 18), (2200, 20)], 73),
    # The four widths of V. Chvátal, Linear Programming (1983), chapter 13, also the example
    # "cutstock" of a modelling system's library: rolls of 100 in; the relaxation is 452.25.
    "four widths": (100, [(45, 97), (36, 610), (31, 395), (14, 211)], 453),
}


@pytest.mark.parametrize("name", KNOWN)
def test_known_instances(name: str) -> None:
    flat, wanted, best = KNOWN[name]
    plan = cut_stock(tuple((float(x), n) for x, n in wanted), float(flat))
    assert plan.flats == best and plan.proved
    for i, length in enumerate(plan.lengths):
        assert sum(pattern[i] * times for pattern, times in plan.patterns) == dict(wanted)[length]


def _exact(lengths: list[int], counts: list[int], flat: int) -> int:
    """Fewest flat lengths by an integer program over all ways to cut one (HiGHS)."""
    ways = [p for p in product(*(range(flat // x + 1) for x in lengths)) if 0 < sum(n * x for n, x in zip(p, lengths)) <= flat]
    result = milp(np.ones(len(ways)), constraints=LinearConstraint(np.array(ways).T, lb=counts), integrality=np.ones(len(ways)))
    return round(result.fun)


def test_as_few_as_an_exact_solver_at_the_size_of_a_head() -> None:
    """Two to four cut lengths of one hair, up to 250 pieces of each, a flat length in millimetres."""
    rng = random.Random(7)
    for _ in range(80):
        lengths = rng.sample(range(150, 1000), rng.randint(2, 4))
        counts = [rng.randint(1, 250) for _ in lengths]
        flat = rng.choice([1200, 1422, 2083])
        plan = cut_stock(tuple((float(x), n) for x, n in zip(lengths, counts)), float(flat))
        assert plan.flats == _exact(lengths, counts, flat), (lengths, counts, flat)
        assert plan.bound <= plan.flats and plan.proved == (plan.bound == plan.flats)


def test_first_fit_alone_is_not_enough() -> None:
    """A case where first-fit decreasing takes three (44+44, 24+24+24+22, 22+…) and two do."""
    plan = cut_stock(((44.0, 2), (24.0, 2), (22.0, 2), (10.0, 2)), 100.0)
    assert plan.flats == 2 and plan.proved


def test_the_bound_sees_pieces_that_cannot_share() -> None:
    assert lower_bound((60.0,), (7,), 100.0) == 7
    assert lower_bound((60.0, 45.0), (3, 3), 100.0) == 5


def test_a_piece_longer_than_its_hair() -> None:
    with pytest.raises(ValueError):
        cut_stock(((120.0, 1),), 100.0)


def test_a_hank_folded_in_three_gives_three_equal_lengths() -> None:
    """Common practice, no source."""
    flat, cut = 81 * 25.4, 27 * 25.4
    assert cuts_per_length(flat, cut) == 3
    assert cut_text(flat, cut, 0, 0, "inch") == "fold in three, cut at the folds: 3 lengths of 27 in"
    assert cut_text(flat, 26 * 25.4, 0.5, 101.6, "inch") == (
        "cut 3 in off the end, fold in three, cut at the folds: 3 lengths of 26 in; "
        "pull the ends 4 in apart; fold each piece in the middle"
    )
    assert cut_text(600, 600, 0, 0, "metric") == "use the full length, uncut"
    assert cut_text(1000, 500, 0.3, 0, "metric") == (
        "fold in half, cut at the fold: 2 lengths of 50 cm; fold each piece 15 cm from one end"
    )
