"""The head as an ellipsoid: areas, arcs and projections, exact where a closed form exists.

A point is ``X(phi, theta) = (a sin(theta) sin(phi), b sin(theta) cos(phi), c cos(theta))``
in millimetres: x to the wearer's right, y forward, z up from the ear notches.
``phi`` is the azimuth from the forehead, positive to the wearer's right;
``theta`` is the polar angle from the vertex on the parameter sphere.

Its area element is ``abc sin(theta) sqrt(sin^2(theta) g(phi) + cos^2(theta)/c^2)`` with
``g = sin^2(phi)/a^2 + cos^2(phi)/b^2`` (the general ellipsoid's first fundamental form, any
text on differential geometry). With ``t = cos(theta)`` the integral over theta is elementary,
so :func:`cap_density` needs no quadrature; areas follow from Green's theorem round an outline.
"""

from __future__ import annotations

from math import asin, asinh, cos, pi, sin, sqrt

Axes = tuple[float, float, float]
Vector = tuple[float, float, float]

STEP = pi / 72
"""Spacing of the azimuth lattice, 2.5 degrees: chords fall short of arcs by 0.008 %."""


def point(axes: Axes, phi: float, theta: float) -> Vector:
    """Point on the head in mm."""
    s = sin(theta)
    return (axes[0] * s * sin(phi), axes[1] * s * cos(phi), axes[2] * cos(theta))


def perimeter(p: float, q: float) -> float:
    """Perimeter of an ellipse with semi-axes p and q: Ramanujan's second approximation (1914),
    off by less than 1 part in 10^12 for a head's shape."""
    h = ((p - q) / (p + q)) ** 2
    return pi * (p + q) * (1 + 3 * h / (10 + sqrt(4 - 3 * h)))


def antiderivative(g: float, k: float, t: float) -> float:
    """Integral of sqrt(g + k t^2) from 0 to t; g must be positive."""
    if abs(k) < 1e-9 * g:
        return t * sqrt(g) * (1 + k * t * t / (6 * g))
    root = sqrt(abs(k))
    turn = asinh(t * root / sqrt(g)) if k > 0 else asin(max(-1.0, min(1.0, t * root / sqrt(g))))
    return 0.5 * (t * sqrt(max(0.0, g + k * t * t)) + g * turn / root)


def cap_density(axes: Axes, phi: float, theta: float) -> float:
    """Area of the scalp between the vertex and ``theta``, per radian of azimuth, in mm2."""
    a, b, c = axes
    g = (sin(phi) / a) ** 2 + (cos(phi) / b) ** 2
    k = 1 / (c * c) - g
    return a * b * c * (antiderivative(g, k, 1.0) - antiderivative(g, k, cos(theta)))


def meridian_arc(axes: Axes, phi: float, theta0: float, theta1: float) -> float:
    """Arc length in mm along one azimuth, by 16-point Gauss-Legendre (exact to 1e-9 here)."""
    r2 = (axes[0] * sin(phi)) ** 2 + (axes[1] * cos(phi)) ** 2
    c2 = axes[2] ** 2
    mid, half = (theta0 + theta1) / 2, (theta1 - theta0) / 2
    total = 0.0
    for x, w in GAUSS16:
        for theta in (mid + half * x, mid - half * x):
            total += w * sqrt(r2 * cos(theta) ** 2 + c2 * sin(theta) ** 2)
    return total * half


GAUSS16 = (
    (0.0950125098376374, 0.1894506104550685),
    (0.2816035507792589, 0.1826034150449236),
    (0.4580167776572274, 0.1691565193950025),
    (0.6178762444026438, 0.1495959888165767),
    (0.7554044083550030, 0.1246289712555339),
    (0.8656312023878318, 0.0951585116824928),
    (0.9445750230732326, 0.0622535239386479),
    (0.9894009349916499, 0.0271524594117541),
)
"""Nodes and weights of the 16-point rule (Abramowitz & Stegun, table 25.4)."""

GAUSS3 = ((0.1127016653792583, 5 / 18), (0.5, 8 / 18), (0.8872983346207417, 5 / 18))
"""Three-point rule on [0, 1]."""


def project(axes: Axes, view: str, phi: float, theta: float) -> tuple[float, float, float]:
    """Place a scalp point on the paper of a view: (x, y, depth).

    x and y in mm, y down; ``depth`` is the cosine of the parameter angle from the view's
    pole, so a negative one lies behind the horizon. ``top`` shows the forehead up with the
    wearer's right on the right; ``back`` is seen from behind, the wearer's right on the right.
    The map ``r = sqrt(2 F)``, F the area per radian between pole and point, keeps areas
    exactly: r dr dpsi = dF dpsi = dS.
    """
    a, b, c = axes
    s = sin(theta)
    x, y, z = s * sin(phi), s * cos(phi), cos(theta)
    if view == "top":
        u, v, w, ax = x, y, z, (a, b, c)
    elif view == "back":
        u, v, w, ax = x, z, -y, (a, c, b)
    elif view == "left":
        u, v, w, ax = -y, z, -x, (b, c, a)
    else:
        u, v, w, ax = y, z, x, (b, c, a)
    flat2 = u * u + v * v
    if flat2 < 1e-24:
        return (0.0, 0.0, w)
    p, q, r = ax
    g = (u * u / (p * p) + v * v / (q * q)) / flat2
    k = 1 / (r * r) - g
    # antiderivative() from w to 1, written out: a map projects thousands of points.
    if k > 1e-9 * g:
        root = sqrt(k)
        m = root / sqrt(g)
        rise = sqrt(g + k) - w * sqrt(g + k * w * w) + g / root * (asinh(m) - asinh(m * w))
    elif k < -1e-9 * g:
        root = sqrt(-k)
        m = root / sqrt(g)
        rise = sqrt(g + k) - w * sqrt(g + k * w * w) + g / root * (asin(m) - asin(m * w))
    else:
        rise = 2 * sqrt(g) * (1 - w)
    stretch = sqrt(p * q * r * rise / flat2)
    return (stretch * u, -stretch * v, w)
