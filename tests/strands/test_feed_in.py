"""The feed-in solver against an exact integer program, and schedules against arithmetic."""

from __future__ import annotations

import random

import pytest
from solver_cases import compared

from plaitbook.passes.bundles import Piece
from plaitbook.passes.constants import MOST_TOGETHER, WIDTH_TOLERANCE
from plaitbook.passes.feed_in import FeedLine, Lot, kernel_of, unit_lot, written
from plaitbook.passes.strand_models import strand_model
from plaitbook.passes.wishes import wish_for

CASES = 220


def test_as_few_pieces_as_an_exact_solver() -> None:
    """The share of docs/validation.md: at least 95 % the same, never more than one over, never
    thinner than the tolerance; and within it wherever the integer program can be."""
    found = list(compared(20, CASES))
    for one in found:
        assert one.exact <= one.ours <= one.exact + 1
        assert one.least_mm < 1e-6
        case, answer = one.case, one.answer
        # Thin enough pieces on hair that only runs out never overshoot while holding.
        falling = all(a >= b for a, b in zip(case.base, case.base[1:]))
        free = all(n < (case.most if j <= answer.reached else case.most * MOST_TOGETHER) for j, n in answer.lots)
        small = case.kernel[0] <= case.wish.high - case.wish.low[0]
        if free and falling and small and max(case.base) <= case.wish.high:
            assert max(answer.area[answer.reached:]) <= case.wish.high * (1 + 1e-9)
        assert answer.area == pytest.approx([
            case.base[k] + sum(n * case.kernel[k - j] for j, n in answer.lots if j <= k) for k in range(len(case.base))])
    assert sum(one.ours == one.exact for one in found) >= 0.95 * CASES
    able = [one for one in found if one.capped is not None]
    assert sum(one.most_mm <= 1e-9 for one in able) >= 0.95 * len(able)


def test_a_piece_is_split_where_a_whole_one_is_too_much() -> None:
    piece = Piece("base", 7, 700, 0.5, 0, 15.0, 1.3)
    assert unit_lot(Lot(piece, 2), 30.0) == Lot(piece, 2)
    assert unit_lot(Lot(piece, 2), 12.0) == Lot(piece, 1)
    assert unit_lot(Lot(piece, 2), 6.0) == Lot(piece, 1, 0.5)


def test_written_schedules() -> None:
    lot = Lot(Piece("base", 3.5, 700, 0.5, 0, 3.8, 1.3), 1)
    at = FeedLine("at", lot, None, (2, 5, 90), None, 1, None)
    every = FeedLine("every", lot, None, (), 3, 2, 12)
    assert written(at, 78) == ((2, 5), (90,))
    assert written(every, 78) == ((2, 5, 8, 11), ())
    assert written(every, 6) == ((2, 5), (8,))
    endless = FeedLine("every", lot, None, (), 1, 1, 10**12)
    assert written(endless, 6) == ((1, 2, 3, 4, 5, 6), (7,))


def test_a_kernel_is_the_piece_stitch_by_stitch() -> None:
    rng = random.Random(3)
    for _ in range(100):
        cut = rng.uniform(100, 1000)
        piece = Piece("base", 3.5, cut, rng.choice([0, 0.5, 0.3]), rng.uniform(0, 300), 3.8, 1.3)
        step = rng.uniform(3, 20)
        kernel = kernel_of(Lot(piece, 2, 0.5), step, 60)
        assert kernel == pytest.approx([piece.linear_at(k * step) / 1.3 for k in range(61)])


def test_tolerance_is_the_stated_one() -> None:
    model = strand_model("plait", "ordinary")
    line = FeedLine("hold", Lot(Piece("base", 3.5, 700, 0.5, 0, 3.8, 1.3), 1), 7.0, (), None, 1, None)
    wish = wish_for(model, line, 80, model.stitch_mm(7.0), 1)
    assert model.width_mm(wish.high) == pytest.approx(7 * (1 + WIDTH_TOLERANCE))
    assert model.width_mm(wish.low[0]) == pytest.approx(7 * (1 - WIDTH_TOLERANCE))
    assert model.width_mm(wish.low[80]) == pytest.approx(7 * (1 - WIDTH_TOLERANCE) / 2)
