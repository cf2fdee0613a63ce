"""Packs shared between clients: conserved, never more than each by herself, as few flat lengths as an exact solver."""

from __future__ import annotations

import random
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from plaitbook.desk.day.sharing import Wanted, share_cuts, shopping
from plaitbook.meaning.standing import plain_house
from plaitbook.passes.material import Demand

FLAT = 1200.0


def wanted(whom: str, cut: float, pieces: int, lane: float = 1.0, colour: str | None = "tide", hair: str = "Dune") -> Wanted:
    return Wanted(whom, Demand(hair, colour, FLAT, lane, cut, 3.5, pieces), 100.0)


def exact_flats(pieces: dict[int, int], flat: int) -> int:
    """The fewest flat lengths, by CP-SAT over every full pattern."""
    lengths = sorted(pieces, reverse=True)
    ways = [way for way in product(*[range(flat // mm + 1) for mm in lengths]) if 0 < sum(n * mm for n, mm in zip(way, lengths)) <= flat]
    model = cp_model.CpModel()
    times = [model.new_int_var(0, sum(pieces.values()), "") for _ in ways]
    for i, mm in enumerate(lengths):
        model.add(sum(way[i] * n for way, n in zip(ways, times)) >= pieces[mm])
    model.minimize(sum(times))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@pytest.mark.parametrize("seed", range(25))
def test_a_shared_cut_is_as_good_as_an_exact_solvers(seed: int) -> None:
    chance = random.Random(seed)
    rows = [(f"client {n}", 10 * chance.randint(25, 110), chance.randint(1, 40)) for n in range(3)]
    total: dict[int, int] = {}
    for _, cut, pieces in rows:
        total[cut] = total.get(cut, 0) + pieces
    (shared,) = share_cuts(wanted(whom, float(cut), pieces) for whom, cut, pieces in rows)
    assert shared.plan.flats == exact_flats(total, int(FLAT))


ROWS = st.lists(st.tuples(st.sampled_from(("Ann", "Bo", "Cy")), st.sampled_from((300.0, 410.0, 650.0, 1200.0)), st.integers(1, 60),
                          st.sampled_from((0.5, 1.0)), st.sampled_from(("tide", "ember"))), min_size=1, max_size=8)


@given(ROWS, st.floats(0, 3), st.floats(0, 5))
def test_packs_are_conserved_and_never_run_out(rows, brought: float, there: float) -> None:
    all_wanted = tuple(wanted(*row) for row in rows)
    cuts = share_cuts(all_wanted)
    assert sum(share.pieces for cut in cuts for share in cut.shares) == sum(row[2] for row in rows)
    for cut in cuts:
        made = [sum(pattern[i] * times for pattern, times in cut.plan.patterns) for i in range(len(cut.plan.lengths))]
        asked = [sum(share.pieces for share in cut.shares if share.cut_mm == length) for length in cut.plan.lengths]
        assert made == asked
    buys = shopping(all_wanted, cuts, {("Dune", "tide"): brought}, {("Dune", "tide"): there, ("Dune", None): 1.5}, plain_house())
    assert {(buy.hair, buy.colour) for buy in buys} == {("Dune", row[4]) for row in rows}
    for buy in buys:
        assert buy.used <= buy.alone + 1e-9
        assert buy.on_hand + buy.brought + buy.to_buy - buy.used >= -1e-9
        assert buy.left == pytest.approx(max(0.0, buy.on_hand + buy.brought + buy.to_buy - buy.used))
        if buy.to_buy:  # no pack is bought that isn't needed
            assert buy.on_hand + buy.brought + buy.to_buy - 1 < buy.used * 1.1 + 1e-6
    assert sum(buy.on_hand for buy in buys if buy.colour == "ember") <= 1.5 + 1e-9


def test_hair_without_a_colour_counts_once() -> None:
    rows = (wanted("Ann", 1200.0, 100, colour="tide"), wanted("Bo", 1200.0, 100, colour="ember"))
    buys = shopping(rows, share_cuts(rows), {}, {("Dune", None): 2.0}, plain_house())
    assert sum(buy.on_hand for buy in buys) <= 2.0
