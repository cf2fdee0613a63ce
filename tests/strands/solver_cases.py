"""Random small strands, and the exact integer program that the feed-in solver is held to."""

from __future__ import annotations

import random
from collections.abc import Iterator
from math import pi
from typing import NamedTuple

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from plaitbook.passes.bundles import OwnHair, Piece
from plaitbook.passes.constants import END_TAPER_MM, HAIR_DENSITY_G_CM3, MOST_TOGETHER, PACKING_HELD
from plaitbook.passes.feed_in import Answer, FeedLine, Lot, Wish, kernel_of, slots, solve, unit_lot
from plaitbook.passes.strand_models import StrandModel, strand_model
from plaitbook.passes.wishes import wish_for

ROUNDING = 1e-9


class Case(NamedTuple):
    """One strand, one size of piece, one width to hold or reach."""

    model: StrandModel
    target_mm: float
    pitch_mm: float
    base: list[float]
    """Cross-section of own hair at each stitch, mm²."""
    kernel: tuple[float, ...]
    wish: Wish
    most: int


class Compared(NamedTuple):
    """The solver and the integer program on one case."""

    case: Case
    answer: Answer
    ours: int
    exact: int
    capped: int | None
    """Fewest units that also never make the strand too thick; None where that can't be had."""
    least_mm: float
    """How far below the width asked for, less the tolerance, the strand gets; 0 if never."""
    most_mm: float
    """How far above the width asked for, with the tolerance, it gets once it is reached."""
    error: float
    """Largest difference from the width asked for while it is held, as a share of it; the end,
    where strands taper, is left out."""


def random_case(rng: random.Random) -> Case:
    model = strand_model(rng.choice(["plait", "plait", "twist", "row"]), rng.choice(["firm", "ordinary", "relaxed"]))
    held = rng.choice([1.75, 2.5, 3.5, 5.0, 7.0])
    cut = rng.uniform(200, 1500)
    piece = Piece("base", held, cut, rng.choice([0.0, 0.5, 0.5, 0.35]), rng.uniform(0, 0.3 * cut),
                  1.31 * PACKING_HELD * pi / 4 * held * held, 1.31)
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
    return Case(model, target, pitch, base, kernel_of(unit, step, count), wish, most)


def exact(case: Case, capped: bool = False) -> int | None:
    """Fewest units by integer programming (HiGHS); None where there is no answer.

    It may use the stitches and the room that the trade's pace allows (``slots``), in any
    numbers; it knows nothing of laying in late. ``capped``: it must also stay under the
    greatest width allowed from where the width is reached.
    """
    allowed, reached = slots(case.base, case.kernel, case.wish, case.most)
    assert reached is not None
    end = len(case.base) - 1
    stop = end if case.wish.kind == "hold" else reached
    room = [case.most if j <= reached else case.most * MOST_TOGETHER for j in allowed]

    def rows(stretch: range) -> csr_array:
        return csr_array(np.array([[case.kernel[k - j] if k >= j else 0.0 for j in allowed] for k in stretch]))

    held = range(reached, stop + 1)
    low = np.array([case.wish.low[k] * (1 - ROUNDING) - case.base[k] for k in held])
    constraints = [LinearConstraint(rows(held), lb=low)]
    if capped:
        after = range(reached, end + 1)
        constraints.append(LinearConstraint(rows(after), ub=[case.wish.high - case.base[k] for k in after]))
    result = milp(np.ones(len(allowed)), constraints=constraints, integrality=np.ones(len(allowed)),
                  bounds=Bounds(0, room))
    return round(result.fun) if result.success else None


def compared(seed: int, cases: int) -> Iterator[Compared]:
    """So many random strands whose width can be had at all, worked both ways."""
    rng = random.Random(seed)
    found = 0
    while found < cases:
        case = random_case(rng)
        answer = solve(case.base, case.kernel, case.wish, case.most)
        if answer.reached is None:
            continue
        fewest = exact(case)
        if fewest is None:
            # What the program can't do, the solver must own up to.
            assert answer.short_at
            continue
        assert not answer.short_at
        found += 1
        yield _measured(case, answer, fewest)


def _measured(case: Case, answer: Answer, fewest: int) -> Compared:
    assert answer.reached is not None
    end = len(case.base) - 1
    stop = end if case.wish.kind == "hold" else answer.reached
    width = [case.model.width_mm(solid) for solid in answer.area]
    held = range(answer.reached, stop + 1)
    below = max(case.model.width_mm(case.wish.low[k]) - width[k] for k in held)
    above = max(width[k] for k in held) - case.model.width_mm(case.wish.high)
    whole = [k for k in held if (end - k) * case.pitch_mm >= END_TAPER_MM]
    error = max((abs(width[k] / case.target_mm - 1.0) for k in whole), default=0.0)
    return Compared(case, answer, sum(times for _, times in answer.lots), fewest, exact(case, capped=True),
                    max(0.0, below), max(0.0, above), error)
