"""Own hair and pieces: what is left along the hair, and that no mass is lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from plaitbook.passes.bundles import OwnHair, Piece, taper, taper_beyond

lengths = st.floats(50, 1500)
shares = st.one_of(st.just(0.0), st.floats(0.1, 0.9))


def _piece(cut: float, fold: float, pulled: float, linear: float = 3.8) -> Piece:
    return Piece("base", 3.5, cut, fold, pulled, linear, 1.3)


@given(lengths, shares, st.floats(0, 300))
def test_a_piece_keeps_its_mass_however_it_is_folded_and_pulled(cut: float, fold: float, pulled: float) -> None:
    piece = _piece(cut, fold, pulled)
    edges = sorted({max(0.0, x) for _, leg in piece.legs for spread in (min(pulled, 2 * leg),)
                    for x in (leg - spread / 2, leg + spread / 2)})
    ends = [0.0, *edges, piece.reach_mm]
    mass = sum(quad(piece.linear_at, a, b)[0] for a, b in zip(ends, ends[1:]) if b > a) * 1e-3
    assert mass == pytest.approx(piece.mass_g, rel=1e-7)
    assert piece.mass_beyond(0.0) == pytest.approx(piece.mass_g, rel=1e-12)


def test_a_folded_piece_is_half_of_what_it_seems() -> None:
    """Folded in the middle, a piece of T g/m reaches half as far and weighs C × T/2."""
    folded, straight = _piece(1000, 0.5, 0), _piece(1000, 0.0, 0)
    assert folded.mass_g == pytest.approx(1.9)
    assert straight.mass_g == pytest.approx(3.8)
    assert (folded.reach_mm, straight.reach_mm) == (500, 1000)
    off_centre = _piece(1000, 0.3, 0)
    assert off_centre.linear_at(250) == pytest.approx(3.8)
    assert off_centre.linear_at(400) == pytest.approx(1.9)
    assert off_centre.linear_at(701) == 0


@given(lengths, shares, st.floats(0, 300), st.floats(0, 1500), st.floats(0, 300))
def test_a_piece_never_grows_along_its_length(cut: float, fold: float, pulled: float, at: float, on: float) -> None:
    piece = _piece(cut, fold, pulled)
    assert piece.linear_at(at + on) <= piece.linear_at(at) + 1e-12


@given(st.floats(50, 2000), lengths, st.floats(0, 400),
       st.one_of(st.just(0.0), st.floats(5, 400)))
def test_own_hair_keeps_its_mass_also_in_a_row(hairs: float, longest: float, layers: float, run: float) -> None:
    own = OwnHair(hairs, 4e-3, longest, layers, run)
    shortest = max(0.0, longest - layers)
    ends = sorted({0.0, min(run, shortest), run, shortest, longest, run + shortest, run + longest})
    mass = sum(quad(own.linear_at, a, b)[0] for a, b in zip(ends, ends[1:]) if b > a) * 1e-3
    assert mass == pytest.approx(own.mass_g, rel=1e-6)


def test_layers_thin_evenly() -> None:
    own = OwnHair(1000, 4e-3, 300, 100)
    assert own.linear_at(150) == pytest.approx(4.0)
    assert own.linear_at(250) == pytest.approx(2.0)
    assert own.linear_at(300) == 0


def test_a_row_gathers_hair_as_it_travels() -> None:
    row = OwnHair(1000, 4e-3, 300, 0, 200)
    assert row.linear_at(0) == 0
    assert row.linear_at(100) == pytest.approx(2.0)
    assert row.linear_at(250) == pytest.approx(4.0)
    assert row.linear_at(400) == pytest.approx(2.0)


@given(
    longest=st.floats(1, 600), layers=st.floats(0, 900), run=st.sampled_from([0.0, 40.0, 200.0]), step=st.floats(0.8, 30), steps=st.integers(0, 120))
def test_own_hair_along_a_strand_is_own_hair_at_each_step(longest, layers, run, step, steps) -> None:
    own = OwnHair(hairs=900, hair_g_m=0.00004, longest_mm=longest, layers_mm=layers, run_mm=run)
    assert own.linear_along(step, steps) == pytest.approx([own.linear_at(k * step) for k in range(steps + 1)], abs=1e-12)


@given(distance=st.floats(-50, 700), length=st.floats(1, 600), pulled=st.sampled_from([0.0, 1.0, 60.0, 900.0]))
def test_what_lies_beyond_a_distance_is_the_integral_of_the_taper(distance, length, pulled) -> None:
    """``scipy.integrate.quad`` over the same taper."""
    start = max(0.0, distance)
    knots = sorted({start, *(x for x in (length - min(pulled, 2 * length) / 2, length, length + pulled / 2) if start < x < 2000), 2000.0})
    reference = sum(quad(taper, a, b, args=(length, pulled))[0] for a, b in zip(knots, knots[1:]))
    assert taper_beyond(distance, length, pulled) == pytest.approx(reference, abs=1e-6 * length + 1e-6)
