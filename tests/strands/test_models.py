"""Strand geometry against published pairs, closed forms and scipy."""

from __future__ import annotations

from math import atan, cos, degrees, pi, sin, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar
from scipy.special import ellipe

from plaitbook.passes.strand_models import (
    bundle_mm, curve_ratio, hair_g_m, helix_ratio, strand_model,
)


@pytest.mark.parametrize(
    "um, tex", [(55, 3.14), (60, 3.73), (65, 4.38), (70, 5.08), (80, 6.64), (100, 10.37)]
)
def test_linear_density_of_hair(um: float, tex: float) -> None:
    """Computed by hand at 1.32 g/cm3: π/4 D² ρ, in tex (g/km)."""
    assert hair_g_m(um, 1.32) * 1000 == pytest.approx(tex, abs=0.005)


def test_one_denier_polyester_is_about_ten_micrometres() -> None:
    """A 1-denier polyester filament is about 10 µm across (textile rule of thumb)."""
    assert bundle_mm(1 / 9000, 1.39, 1.0) * 1000 == pytest.approx(10.09, abs=0.005)


def test_peirce_yarn_diameter() -> None:
    """Peirce: d[cm] = 0.00374 √tex, from a specific volume of 1.1 cm³/g."""
    assert bundle_mm(1e-3, 1.0, 1 / 1.1) / 10 == pytest.approx(0.00374, abs=5e-6)
    assert bundle_mm(20e-3, 1.0, 1 / 1.1) == pytest.approx(0.1674, abs=5e-5)
    # The same yarn by cotton count, d[in] = 1/(28 √Ne) with tex × Ne = 590.5: 0.1669 mm.
    assert bundle_mm(20e-3, 1.0, 1 / 1.1) == pytest.approx(25.4 / (28 * sqrt(590.5 / 20)), rel=0.004)
    assert 25.4 / (28 * sqrt(29.525)) == pytest.approx(0.1669, abs=5e-5)


def test_twisted_yarn() -> None:
    """GATE Textile 2005, question 71: 20 tex, 10 turns/cm, 32°: D 0.1989 mm, 1.554 cm³/g."""
    diameter = tan(pi * 32 / 180) / (pi * 1.0)
    assert diameter == pytest.approx(0.1989, abs=5e-5)
    assert bundle_mm(20e-3, 1.0, 1 / 1.554) == pytest.approx(diameter, rel=1e-3)
    assert helix_ratio(diameter / 2, 1.0) == pytest.approx(1 / cos(pi * 32 / 180), rel=1e-12)


def test_packing_of_round_fibres() -> None:
    """Hexagonal 0.9069; with a gap of one radius 0.4031 (GATE Textile 2017, question 36)."""
    hexagonal = pi / (2 * sqrt(3))
    assert hexagonal == pytest.approx(0.9069, abs=5e-5)
    assert hexagonal * (2 / 3) ** 2 == pytest.approx(0.4031, abs=5e-5)
    # A bundle packed so has the diameter that gives the packing back.
    wide = bundle_mm(5.0, 1.32, hexagonal)
    assert 5.0 / 1.32 / (pi / 4 * wide * wide) == pytest.approx(hexagonal, rel=1e-12)


@pytest.mark.parametrize(
    "lay, factor, increment", [(8, 1.07434, 7.43), (12, 1.03370, 3.37), (16, 1.01909, 1.91)]
)
def test_lay_factor_of_stranded_conductors(lay: float, factor: float, increment: float) -> None:
    """ASTM B8, explanatory note: m = √(1 + 9.8696/r²), r = lay length over pitch diameter. The
    increments in per cent are computed; the standard one of ASTM B496 is 2 % for lays of 8 to 16."""
    assert 100 * (helix_ratio(0.5, lay) - 1) == pytest.approx(increment, abs=0.005)
    assert helix_ratio(0.5, lay) == pytest.approx(factor, abs=5e-6)
    assert helix_ratio(0.5, lay) == pytest.approx(sqrt(1 + 9.8696 / lay**2), rel=1e-6)


def _zero_twist(strands: int) -> tuple[float, float]:
    """(pitch angle in degrees, strand length share) of n touching helices at most turns.

    Strands of diameter 1 on a cylinder of radius a touch: the least distance between one
    and its neighbour is 1. Turns per strand length, 2π cos v/a..., are greatest at zero twist.
    """

    def radius(rise: float) -> float | None:
        def gap(a: float) -> float:
            def square(t: float) -> float:
                return a * a * (2 - 2 * cos(t + 2 * pi / strands)) + (rise * t) ** 2

            best = min((square(-pi + pi * i / 60), -pi + pi * i / 60) for i in range(120))[1]
            low, high = best - 0.06, best + 0.06
            for _ in range(40):
                a1, a2 = low + (high - low) * 0.382, low + (high - low) * 0.618
                low, high = (low, a2) if square(a1) < square(a2) else (a1, high)
            return square((low + high) / 2) - 1.0

        steps = [0.45 + 0.02 * i for i in range(40)]
        for low, high in zip(steps, steps[1:]):
            if gap(low) < 0 <= gap(high):
                return brentq(gap, low, high, xtol=1e-9)
        return None

    def length(rise: float) -> float:
        a = radius(rise)
        return 9.0 if a is None else sqrt(a * a + rise * rise)

    coarse = min((0.3 + 0.02 * i for i in range(35)), key=length)
    rise = minimize_scalar(length, bounds=(coarse - 0.03, coarse + 0.03), method="bounded",
                           options={"xatol": 1e-6}).x
    a = radius(rise)
    assert a is not None
    return degrees(atan(rise / a)), rise / length(rise)


@pytest.mark.parametrize("strands, share, angle", [(2, 0.634, 39.3), (3, 0.68, 42.5), (4, 0.694, 44.0)])
def test_zero_twist_rope(strands: int, share: float, angle: float) -> None:
    """Bohr & Olsen, EPL 93:60004 (2011): a three-strand rope at most turns is 68 % of its
    strands' length, at 42.5°; two and four strands are computed from the same geometry."""
    found_angle, found_share = _zero_twist(strands)
    assert found_share == pytest.approx(share, abs=0.005)
    assert found_angle == pytest.approx(angle, abs=0.6)
    # Our helix gives the same shortening at that angle.
    a = cos(pi * found_angle / 180)
    assert 1 / helix_ratio(a, 2 * pi * sin(pi * found_angle / 180)) == pytest.approx(found_share, rel=1e-9)


def test_a_twist_is_laid_slacker_than_rope_can_be() -> None:
    for tightness in ("firm", "ordinary", "relaxed"):
        assert 1 / strand_model("twist", tightness).length_ratio > 0.634


@given(st.floats(0.05, 3.0), st.floats(1.0, 30.0))
def test_helix_is_the_quadrature(radius: float, pitch: float) -> None:
    turn = 2 * pi / pitch
    arc, _ = quad(lambda z: sqrt((radius * turn * sin(turn * z)) ** 2 + (radius * turn * cos(turn * z)) ** 2 + 1),
                  0, pitch)
    assert helix_ratio(radius, pitch) == pytest.approx(arc / pitch, rel=1e-9)


@given(st.floats(0.5, 1.5), st.floats(0.0, 0.75), st.floats(5.0, 20.0))
def test_plait_curve_is_the_quadrature(across: float, through: float, period: float) -> None:
    rise = period / (2 * pi)
    arc, _ = quad(
        lambda t: sqrt((across * cos(t)) ** 2 + (2 * through * cos(2 * t)) ** 2 + rise**2),
        0, pi / 2, limit=200, epsabs=1e-12, epsrel=1e-12,
    )
    assert curve_ratio(across, through, period) == pytest.approx(4 * arc / (2 * pi * rise), rel=1e-8)


@given(st.floats(0.2, 2.0), st.floats(5.0, 20.0))
def test_flat_curve_is_the_elliptic_integral(across: float, period: float) -> None:
    """With B = 0: arc over a period is 4 √(A² + C²) E(m), m = A²/(A² + C²)."""
    rise = period / (2 * pi)
    whole = across**2 + rise**2
    exact = 4 * sqrt(whole) * ellipe(across**2 / whole) / (2 * pi * rise)
    assert curve_ratio(across, 0.0, period) == pytest.approx(exact, rel=1e-10)


def test_plait_ratio_lies_where_the_model_says() -> None:
    """Periods of 7 to 8 d give 1.27 to 1.34; rigid round strands 1.38 at 8 d (our own model)."""
    ratios = [strand_model("plait", t).length_ratio for t in ("relaxed", "ordinary", "firm")]
    assert ratios == sorted(ratios)
    assert ratios[0] == pytest.approx(1.27, abs=0.01)
    assert ratios[2] == pytest.approx(1.34, abs=0.01)


@given(st.sampled_from(["plait", "twist", "row"]), st.floats(0.5, 30.0))
def test_width_and_cross_section_are_inverse(technique: str, width: float) -> None:
    model = strand_model(technique, "ordinary")
    assert model.width_mm(model.solid_mm2(width)) == pytest.approx(width, rel=1e-12)
    assert model.parts * pi / 4 * model.part_mm(model.solid_mm2(width)) ** 2 * 0.5 == pytest.approx(
        model.solid_mm2(width), rel=1e-12
    )


def test_three_touching_strands() -> None:
    """Enclosing circle of three equal round strands: 2.1547 d (published 2.155). A trefoil of
    60 mm cables is 129.28 mm across, published 129.24 with a factor rounded to 2.154."""
    assert 1 + 2 / sqrt(3) == pytest.approx(2.1547, abs=5e-5)
    assert 60 * (1 + 2 / sqrt(3)) == pytest.approx(129.28, abs=0.005)
    assert 60 * 2.154 == pytest.approx(129.24, abs=0.005)
    assert strand_model("plait", "ordinary").width > 1 + 2 / sqrt(3)


@pytest.mark.parametrize("strands, across", [(3, 2.155), (7, 3.0), (19, 5.0), (37, 7.0), (61, 9.0)])
def test_bundles_of_round_strands_are_looser_than_close_packing(strands: int, across: float) -> None:
    """Published circles around n equal strands (a table of cable bundle diameters): a bundle of
    the packing n/across² has that diameter, and none is packed closer than hexagons, 0.9069."""
    packing = strands / across**2
    assert bundle_mm(strands * pi / 4, 1.0, packing) == pytest.approx(across, rel=1e-12)
    assert packing < pi / (2 * sqrt(3))


def test_a_bundle_is_the_textile_formula() -> None:
    """d[cm] = √(4 tex / (π ρ φ 10⁵)) (textile texts), here in mm from grams a metre."""
    tex, density, packing = 15_000.0, 1.31, 0.3
    assert bundle_mm(tex * 1e-3, density, packing) / 10 == pytest.approx(
        sqrt(4 * tex / (pi * density * packing * 1e5)), rel=1e-12)


@given(st.sampled_from(["plait", "twist", "row"]), st.sampled_from(["relaxed", "ordinary", "firm"]), st.floats(1, 20))
def test_take_up_of_a_stitch_is_the_quadrature(technique: str, tightness: str, width: float) -> None:
    """Hair in one stitch, from the model, against the arc of its centre line by scipy."""
    model = strand_model(technique, tightness)
    part = width / model.width
    rise = model.pitch * part / (2 * pi)
    if technique == "twist":
        speed = lambda t: sqrt((part / 2) ** 2 + rise**2)  # noqa: E731
    else:
        speed = lambda t: sqrt((part * cos(t)) ** 2 + (part * cos(2 * t)) ** 2 + rise**2)  # noqa: E731
    arc, _ = quad(speed, 0, 2 * pi / model.stitches, points=[pi / 4, pi / 2], epsabs=1e-11, epsrel=1e-11)
    if technique == "twist":
        assert model.stitch_mm(width) * model.length_ratio == pytest.approx(arc, rel=1e-9)
    else:
        whole, _ = quad(speed, 0, 2 * pi, limit=200, epsabs=1e-11, epsrel=1e-11)
        assert 3 * model.stitch_mm(width) * model.length_ratio == pytest.approx(whole, rel=1e-8)


def test_a_plait_stands_as_wide_as_its_model_says() -> None:
    """Three parts of diameter d on (d sin t, ½d sin 2t): their outsides lie 3 d apart."""
    model = strand_model("plait", "ordinary")
    reach = max(abs(sin(2 * pi * i / 1000)) for i in range(1000))
    assert 2 * reach + 1 == pytest.approx(model.width)
