"""The surface against independent computations: scipy's integrals and geographiclib."""

from __future__ import annotations

from math import atan, cos, degrees, pi, sin, sqrt, tan

import pytest
from scipy.integrate import dblquad, quad
from scipy.interpolate import PchipInterpolator
from scipy.special import ellipe

from plaitbook.passes import hairline as lines
from plaitbook.passes.grids.scalp import Level, RowLine, scalp_of
from plaitbook.passes.surface import STEP, cap_density, meridian_arc, perimeter, project

HEADS = [(77.9, 100.0, 132.6), (79.4, 102.7, 138.9), (68.5, 89.7, 123.8), (95.0, 95.0, 96.0), (90.0, 90.0, 90.0), (80.0, 100.0, 85.0)]


def element(axes, phi, theta):
    """Area element by the cross product of two tangents, written without the closed form."""
    a, b, c = axes
    st, ct, sp, cp = sin(theta), cos(theta), sin(phi), cos(phi)
    t = (a * ct * sp, b * ct * cp, -c * st)
    p = (a * st * cp, -b * st * sp, 0.0)
    n = (t[1] * p[2] - t[2] * p[1], t[2] * p[0] - t[0] * p[2], t[0] * p[1] - t[1] * p[0])
    return sqrt(sum(x * x for x in n))


@pytest.mark.parametrize("axes", HEADS)
def test_cap_density_is_the_integral_of_the_area_element(axes):
    for phi in (0.0, 0.4, 1.3, 2.9):
        for theta in (0.3, 1.1, 2.0):
            wanted = quad(lambda t: element(axes, phi, t), 0, theta)[0]
            assert cap_density(axes, phi, theta) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("axes", HEADS)
@pytest.mark.parametrize("variant", ["ordinary", "receding"])
def test_scalp_area_agrees_with_scipy(axes, variant):
    line = lines.draw_hairline(axes, variant, None)
    smooth = PchipInterpolator([x * pi / 180 for x in lines.KNOTS], [x * pi / 180 for x in lines.ANGLES[variant]])
    # Between the slopes at the knots' ends scipy differs: it doesn't flatten the curve there.
    scalp = scalp_of(axes, line)
    wanted = 2 * dblquad(lambda t, p: element(axes, p, t), 0, pi, 0, scalp.hairline_at, epsabs=1.0)[0]
    assert lines.enclosed(axes, line) == pytest.approx(wanted, rel=1e-3)
    for i in range(6, 66):
        assert line.theta[i] == pytest.approx(float(smooth(i * STEP)), abs=0.012)


@pytest.mark.parametrize("axes", HEADS)
def test_arcs_agree_with_scipy(axes):
    a, b, c = axes

    def speed(t, phi):
        return sqrt(((a * sin(phi)) ** 2 + (b * cos(phi)) ** 2) * cos(t) ** 2 + c * c * sin(t) ** 2)

    for phi in (0.0, 0.8, pi / 2):
        wanted = quad(lambda t: speed(t, phi), 0, 1.9)[0]
        assert meridian_arc(axes, phi, 0, 1.9) == pytest.approx(wanted, rel=1e-8)
        scalp = scalp_of(axes, lines.draw_hairline(axes, "ordinary", None))
        assert scalp.down(phi, 1.0) == pytest.approx(quad(lambda t: speed(t, phi), 0, scalp.hairline_at(phi))[0], rel=1e-3)
    big, small = max(a, b), min(a, b)
    assert perimeter(a, b) == pytest.approx(4 * big * ellipe(1 - (small / big) ** 2), rel=1e-11)


def test_row_arc_agrees_with_scipy():
    axes = HEADS[0]
    scalp = scalp_of(axes, lines.draw_hairline(axes, "ordinary", None))
    for u in (0.2, 0.6, 1.0):
        def place(phi):
            return scalp.place(phi, u)

        def speed(phi):
            h = 1e-5
            p, q = place(phi - h), place(phi + h)
            return sqrt(sum((x - y) ** 2 for x, y in zip(p, q))) / (2 * h)

        wanted = sum(quad(speed, i * pi / 36 + 1e-6, (i + 1) * pi / 36 - 1e-6)[0] for i in range(36))
        assert RowLine(scalp, u, 0.0, pi).arcs[-1] == pytest.approx(wanted, rel=1e-3)


def test_running_area_agrees_with_scipy_at_any_azimuth():
    axes = HEADS[1]
    scalp = scalp_of(axes, lines.draw_hairline(axes, "ordinary", None))
    level = Level(scalp, 0.7, 0.0, pi)
    for phi in (0.05, 0.613, 1.234, 2.2, 3.0):
        wanted = sum(
            quad(lambda p: cap_density(axes, p, 0.7 * scalp.hairline_at(p)), phi * i / 8, phi * (i + 1) / 8)[0]
            for i in range(8)
        )
        assert level.upto(phi) == pytest.approx(wanted, rel=1e-4)


def test_areas_agree_with_geographiclib_on_an_ellipsoid_of_revolution():
    geodesic = pytest.importorskip("geographiclib.geodesic")
    axes = (95.0, 95.0, 96.0)
    line = lines.draw_hairline(axes, "ordinary", None)
    scalp = scalp_of(axes, line)
    earth = geodesic.Geodesic(axes[0] / 1000, (axes[0] - axes[2]) / axes[0])
    polygon = earth.Polygon()
    n = 4000
    for i in range(n):
        phi = -pi + 2 * pi * i / n
        beta = pi / 2 - scalp.hairline_at(phi)
        # Reduced latitude to geodetic: tan(geodetic) = (a / c) tan(reduced).
        latitude = atan(axes[0] / axes[2] * tan(beta)) if abs(beta) < pi / 2 else beta
        polygon.AddPoint(degrees(latitude), degrees(-phi))
    _, _, area = polygon.Compute(True, False)
    whole = earth.EllipsoidArea() if hasattr(earth, "EllipsoidArea") else 4 * pi * earth._c2
    area = abs(area) * 1e6
    ours = lines.enclosed(axes, line)
    assert min(abs(ours - area), abs(ours - (whole * 1e6 - area))) < 1e-3 * ours


def test_half_ellipsoids_at_the_ansur_means():
    """602.26 and 656.00 cm2: exact integrals at the ANSUR II mean axes."""
    for axes, wanted in (((147.77 / 2, 189.82 / 2, 126.48), 602.26), ((154.33 / 2, 199.50 / 2, 131.15), 656.00)):
        half = 4 * quad(lambda p: cap_density(axes, p, pi / 2), 0, pi / 2)[0] / 100
        assert half == pytest.approx(wanted, abs=0.05)


@pytest.mark.parametrize("view", ["top", "back", "left", "right"])
@pytest.mark.parametrize("axes", HEADS)
def test_projection_keeps_areas(axes, view):
    """A small quadrilateral's area on paper is its area on the head."""
    h = 2e-3
    for phi, theta in ((0.3, 0.5), (2.4, 1.2), (-2.0, 1.4), (1.6, 1.3), (-1.5, 0.9)):
        corners = [(phi - h, theta - h), (phi + h, theta - h), (phi + h, theta + h), (phi - h, theta + h)]
        points = [project(axes, view, p, t) for p, t in corners]
        if points[0][2] < -0.8:
            continue
        flat = abs(sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, points[1:] + points[:1]))) / 2
        assert flat == pytest.approx(element(axes, phi, theta) * 4 * h * h, rel=2e-3)
