"""The hairline: a closed, even curve of polar angle over azimuth, and its variants."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from math import cos, pi, radians
from typing import NamedTuple

from .surface import STEP, Axes, cap_density, meridian_arc

KNOTS = (0.0, 25.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0, 150.0, 180.0)
"""Azimuths in degrees from the forehead: middle, brow, temple corner, temple, in front of the
ear, above the ear, behind the ear, behind it again, nape corner, nape."""

ANGLES: dict[str, tuple[float, ...]] = {
    "ordinary": (61.0, 60.0, 60.0, 69.0, 80.0, 78.0, 84.0, 96.0, 107.0, 109.0),
    "low": (66.0, 65.0, 65.0, 73.0, 81.0, 78.0, 84.0, 97.0, 110.0, 113.0),
    "high": (55.0, 54.0, 54.0, 64.0, 79.0, 78.0, 84.0, 96.0, 107.0, 109.0),
    "receding": (56.0, 52.0, 45.0, 58.0, 77.0, 78.0, 84.0, 96.0, 107.0, 109.0),
}
"""Polar angles in degrees at :data:`KNOTS`: our own estimate. Held against the published
hair-bearing area (500 to 600 cm2) and a front-to-nape arc of about 33 to 36 cm."""

NAPE_RANGE = (0.80, 1.16)
"""How far front and nape may move together, as a share of their angle: our own estimate."""


class Hairline(NamedTuple):
    """The curve on the azimuth lattice from 0 to pi (it is even), radians and mm;
    between lattice points see :func:`cubics`."""

    theta: tuple[float, ...]
    arc: float
    """Front to nape along the midline."""


class ArcRange(NamedTuple):
    """A hairline-to-nape arc that no hairline on this head can have, and what it could be, mm."""

    low: float
    high: float


@lru_cache(maxsize=64)
def draw_hairline(axes: Axes, variant: str, arc: float | None) -> Hairline | ArcRange:
    """The hairline of a variant; with ``arc`` (mm) front and nape move until the midline has it."""
    base = lattice(variant)
    if arc is None:
        return Hairline(base, midline(axes, base[0], base[-1]))
    low, high = NAPE_RANGE
    bounds = ArcRange(
        midline(axes, low * base[0], low * base[-1]), midline(axes, high * base[0], high * base[-1])
    )
    if not bounds.low <= arc <= bounds.high:
        return bounds
    for _ in range(50):
        k = (low + high) / 2
        if midline(axes, k * base[0], k * base[-1]) < arc:
            low = k
        else:
            high = k
    k = (low + high) / 2
    # The ears stay where they are: the shift fades with cos^2 of the azimuth.
    moved = tuple(t * (1 + (k - 1) * cos(i * STEP) ** 2) for i, t in enumerate(base))
    return Hairline(moved, midline(axes, moved[0], moved[-1]))


def midline(axes: Axes, front: float, nape: float) -> float:
    """Arc in mm from the front hairline over the vertex to the nape."""
    return meridian_arc(axes, 0.0, 0.0, front) + meridian_arc(axes, pi, 0.0, nape)


@lru_cache(maxsize=8)
def lattice(variant: str) -> tuple[float, ...]:
    """Polar angles every 2.5 degrees of azimuth, radians: monotone cubic through the knots
    (Fritsch & Carlson 1980), flat at front and nape so that the curve closes smoothly."""
    x = [radians(v) for v in KNOTS]
    y = [radians(v) for v in ANGLES[variant]]
    h = [q - p for p, q in zip(x, x[1:])]
    d = [(q - p) / w for p, q, w in zip(y, y[1:], h)]
    slope = [0.0]
    for i in range(1, len(x) - 1):
        if d[i - 1] * d[i] <= 0:
            slope.append(0.0)
        else:
            w1, w2 = 2 * h[i] + h[i - 1], h[i] + 2 * h[i - 1]
            slope.append((w1 + w2) / (w1 / d[i - 1] + w2 / d[i]))
    slope.append(0.0)
    out = []
    for step in range(73):
        v = min(step * STEP, x[-1])
        i = min(bisect_right(x, v) - 1, len(h) - 1)
        t = (v - x[i]) / h[i]
        out.append(
            y[i] * (1 + 2 * t) * (1 - t) ** 2 + y[i + 1] * t * t * (3 - 2 * t)
            + h[i] * t * (1 - t) * ((1 - t) * slope[i] - t * slope[i + 1])
        )
    return tuple(out)


Cubic = tuple[float, float, float, float]


@lru_cache(maxsize=64)
def cubics(theta: tuple[float, ...]) -> tuple[Cubic, ...]:
    """The curve between lattice points: Catmull-Rom cubics in the share of the step, mirrored at
    front and nape. This is what the hairline *is*, wherever it is asked for."""
    line = (theta[1], *theta, theta[-2])
    out = []
    for i in range(len(theta) - 1):
        p, q, r, s = line[i : i + 4]
        m, n = (r - p) / 2, (s - q) / 2
        out.append((q, m, 3 * (r - q) - 2 * m - n, 2 * (q - r) + m + n))
    return tuple(out)


def hairline_at(curve: tuple[Cubic, ...], phi: float) -> float:
    """Polar angle of the hairline at any azimuth, radians."""
    x = abs(phi) % (2 * pi)
    if x > pi:
        x = 2 * pi - x
    x /= STEP
    i = int(x)
    if i >= len(curve):
        i = len(curve) - 1
    t = x - i
    a, b, c, d = curve[i]
    return a + t * (b + t * (c + t * d))


def enclosed(axes: Axes, line: Hairline) -> float:
    """Area above the hairline in mm2, both sides: the trapezoid rule, which for a closed smooth
    curve is as good as any (and is what the integrals of its cubics sum to)."""
    f = [cap_density(axes, i * STEP, t) for i, t in enumerate(line.theta)]
    return 2 * STEP * (sum(f) - (f[0] + f[-1]) / 2)
