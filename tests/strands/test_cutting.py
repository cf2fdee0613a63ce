"""Cutting stock against a brute force, and the wording of a cut."""

from __future__ import annotations

from functools import lru_cache
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
