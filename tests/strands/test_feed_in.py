"""The feed-in solver against an exact integer program, and schedules against arithmetic."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from plaitbook.passes.bundles import OwnHair, Piece
from plaitbook.passes.constants import HAIR_DENSITY_G_CM3, MOST_TOGETHER, WIDTH_TOLERANCE
from plaitbook.passes.feed_in import FeedLine, Lot, kernel_of, slots, solve, unit_lot, written
from plaitbook.passes.strand_models import strand_model
from plaitbook.passes.strand_work import wish_for

CASES = 220


def _case(rng: random.Random):
    """A random small strand: own hair, one kind of piece, one width to hold or reach."""
    model = strand_model(rng.choice(["plait", "plait", "twist", "row"]), rng.choice(["firm", "ordinary", "relaxed"]))
    held = rng.choice([1.75, 2.5, 3.5, 5.0, 7.0])
    cut = rng.uniform(200, 1500)
    piece = Piece("base", held, cut, rng.choice([0.0, 0.5, 0.5, 0.35]), rng.uniform(0, 0.3 * cut),
                  1.31 * 0.3 * 3.14159 / 4 * held * held, 1.31)
    count = rng.randint(5, 60)
    target = rng.uniform(3, 10)
    pitch = model.stitch_mm(target)
    step = pitch * model.length_ratio
    run = rng.uniform(0.1, 0.6) * count * step if model.technique == "row" else 0.0
    own = OwnHair(rng.randint(200, 2500), 3.7e-3, rng.uniform(100, 700), rng.uniform(0, 100), run)
    base = [own.linear_at(k * step) / HAIR_DENSITY_G_CM3 for k in range(count + 1)]
    lot = Lot(piece, rng.choice([1, 1, 2]))
    line = FeedLine(rng.choice(["hold", "hold", "until"]), lot, target, (), None, rng.randint(1, 4), None)
    wish = wish_for(model, line, count, pitch, 1)
    unit = unit_lot(lot, wish.high - wish.low[0])
    most = max(1, round(lot.count / (unit.count * unit.part)))
    return base, kernel_of(unit, step, count), wish, most, unit


def _exact(base, kernel, wish, most):
    """Fewest units by integer programming: the same stitches, room and widths. None: impossible."""
    allowed, reached = slots(base, kernel, wish, most)
    end = len(base) - 1
    stop = end if wish.kind == "hold" else reached
    rows = range(reached, stop + 1)
    room = [most if j <= reached else most * MOST_TOGETHER for j in allowed]
    matrix = np.array([[kernel[k - j] if k >= j else 0.0 for j in allowed] for k in rows])
    need = np.array([wish.low[k] * (1 - 1e-9) - base[k] for k in rows])
    result = milp(np.ones(len(allowed)), constraints=LinearConstraint(csr_array(matrix), lb=need),
                  integrality=np.ones(len(allowed)), bounds=Bounds(0, room))
    return round(result.fun) if result.success else None


def test_as_few_pieces_as_an_exact_solver() -> None:
    rng = random.Random(20)
    compared = same = 0
    while compared < CASES:
        base, kernel, wish, most, unit = _case(rng)
        answer = solve(base, kernel, wish, most)
        if answer.reached is None:
            continue
        exact = _exact(base, kernel, wish, most)
        if exact is None:
            assert answer.short_at
            continue
        assert not answer.short_at
        ours = sum(times for _, times in answer.lots)
        assert exact <= ours <= exact + 1
        compared += 1
        same += ours == exact
        area = list(base)
        for stitch, times in answer.lots:
            for k in range(stitch, len(area)):
                area[k] += times * kernel[k - stitch]
        # Thin enough pieces on hair that only runs out never overshoot while holding.
        falling = all(a >= b for a, b in zip(base, base[1:]))
        free = all(n < (most if j <= answer.reached else most * MOST_TOGETHER) for j, n in answer.lots)
        if free and falling and kernel[0] <= wish.high - wish.low[0] and max(base) <= wish.high:
            assert max(area[answer.reached:]) <= wish.high * (1 + 1e-9)
    assert same >= 0.95 * compared, (same, compared)


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
