"""The scalp as a net of azimuth and depth, with areas and arcs read off running totals.

A place on it is ``(phi, u)``: azimuth, and the share ``u`` of the way from the vertex (0) down
to the hairline (1). Curves of constant ``u`` run round the head. Along each the area above it
and the arc length are running totals, so differences telescope: whatever the grid, the areas
of its sections sum to the area of their zone to the last bits of a float.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from itertools import accumulate
from math import asin, ceil, cos, dist as chord, pi, sin, sqrt

from ..hairline import Hairline, cubics
from ..surface import GAUSS3, STEP, Axes, antiderivative, meridian_arc

TURN = 2 * pi
MERIDIAN_STEPS = 64
CROWN_DEPTH = 0.42
"""How far the crown reaches down, as a share of the way from vertex to hairline: our own estimate."""
NAPE_DEPTH = 0.78
"""Where the nape begins: our own estimate."""
SLANT = 0.1
"""Longest stretch of a slanted edge, radians, that one three-point rule covers: areas come out
within 0.05 %."""
KEPT = (0.0, CROWN_DEPTH, NAPE_DEPTH, 1.0)
LATTICE = tuple(i * STEP for i in range(73))


class Scalp:
    """One head's lattices. Build through :func:`scalp_of`, which remembers it."""

    def __init__(self, axes: Axes, line: Hairline) -> None:
        a, b, c = axes
        self.axes, self.line = axes, line
        self.theta = line.theta
        self.curve = cubics(line.theta)
        self.scale = a * b * c
        self.roots = tuple(sqrt(t) for t in line.theta)
        self.sines = tuple(a * sin(i * STEP) for i in range(73))
        self.cosines = tuple(b * cos(i * STEP) for i in range(73))
        self.shape = []
        for i in range(73):
            g = (sin(i * STEP) / a) ** 2 + (cos(i * STEP) / b) ** 2
            k = 1 / (c * c) - g
            root = sqrt(max(-k, 1e-300))
            self.shape.append((g, k, g / root, root / sqrt(g), 2 * antiderivative(g, k, 1.0)))
        self.tall = all(k < -1e-6 * g for g, k, _, _, _ in self.shape)
        """Whether the head is higher than it is long, at every azimuth: nearly always."""
        self.inverse = (1 / (a * a), 1 / (b * b), 1 / (c * c), 1 / c)
        self.levels: dict[tuple[float, float, float], Level] = {}
        self.meridians: dict[float, tuple[list[float], list[float]]] = {}

    def hairline_at(self, phi: float) -> float:
        """Polar angle of the hairline at any azimuth."""
        x = abs(phi) % TURN
        if x > pi:
            x = TURN - x
        x /= STEP
        i = int(x)
        if i >= 72:
            return self.theta[72]
        t = x - i
        a, b, c, d = self.curve[i]
        return a + t * (b + t * (c + t * d))

    def hairline_along(self, phis: list[float]) -> list[float]:
        """:meth:`hairline_at` at many azimuths within one turn of the forehead."""
        curve, out = self.curve, []
        for phi in phis:
            x = phi if phi >= 0 else -phi
            if x > pi:
                x = TURN - x
            x /= STEP
            i = int(x)
            if i >= 72:
                out.append(self.theta[72])
                continue
            t = x - i
            a, b, c, d = curve[i]
            out.append(a + t * (b + t * (c + t * d)))
        return out

    def place(self, phi: float, u: float) -> tuple[float, float, float]:
        """Point in mm."""
        a, b, c = self.axes
        theta = u * self.hairline_at(phi)
        s = sin(theta)
        return (a * s * sin(phi), b * s * cos(phi), c * cos(theta))

    def above(self, phi: float, u: float) -> float:
        """Area from the vertex down to ``u``, per radian of azimuth, mm2."""
        return self.over(phi, cos(u * self.hairline_at(phi)))

    def over(self, phi: float, t: float) -> float:
        """Area from the vertex down to a polar angle of cosine ``t``, per radian, mm2."""
        a2, b2, c2, c1 = self.inverse
        s = sin(phi)
        g = a2 * s * s + b2 * (1 - s * s)
        k = c2 - g
        if self.tall:
            # antiderivative() from t to 1 for a negative k, written out.
            root = sqrt(-k)
            m = root / sqrt(g)
            return self.scale / 2 * (c1 - t * sqrt(g + k * t * t) + g / root * (asin(m) - asin(m * t)))
        return self.scale * (antiderivative(g, k, 1.0) - antiderivative(g, k, t))

    def slant(self, phi0: float, u0: float, phi1: float, u1: float) -> float:
        """Integral of the area above along a straight line in (phi, u), mm2."""
        n = 1 + int(abs(phi1 - phi0) / SLANT)
        d, rise = (phi1 - phi0) / n, (u1 - u0) / n
        if not self.tall:
            return d * sum([
                w * self.above(phi0 + (k + x) * d, u0 + (k + x) * rise) for k in range(n) for x, w in GAUSS3
            ])
        # above() for a head higher than it is long, written out: a slanted side takes six of them.
        (a2, b2, c2, c1), curve, total = self.inverse, self.curve, 0.0
        for k in range(n):
            for x, w in GAUSS3:
                phi = phi0 + (k + x) * d
                s = sin(phi)
                g = a2 * s * s + b2 * (1 - s * s)
                y = abs(phi)
                y = (y if y <= pi else TURN - y) / STEP
                i = min(71, int(y))
                y -= i
                p, q, r, e = curve[i]
                t = cos((u0 + (k + x) * rise) * (p + y * (q + y * (r + y * e))))
                root = sqrt(g - c2)
                m = root / sqrt(g)
                total += w * (c1 - t * sqrt(g - (g - c2) * t * t) + g / root * (asin(m) - asin(m * t)))
        return d * self.scale / 2 * total

    def level(self, u: float, low: float, high: float) -> Level:
        """The :class:`Level` at ``u``; those on the borders of zones are kept."""
        if u not in KEPT:
            return level_at(self, u, low, high)
        key = (u, low, high)
        found = self.levels.get(key)
        if found is None:
            found = self.levels[key] = Level(self, u, low, high)
        return found

    def middle(
        self, phi: float, upper: float, lower: float, u: float
    ) -> tuple[float, tuple[float, float, float]]:
        """(height in mm, point in mm) of a section at one azimuth, between two depths.

        The height is the midpoint rule, within 0.1 % for sections up to 40 mm; taller ones
        are read off the meridian.
        """
        a, b, c = self.axes
        edge = self.hairline_at(phi)
        s, t = sin(u * edge), cos(u * edge)
        x, y = a * sin(phi), b * cos(phi)
        if lower - upper > 0.25:
            height = meridian_arc(self.axes, phi, upper * edge, lower * edge)
        else:
            height = edge * (lower - upper) * sqrt((x * x + y * y) * t * t + c * c * s * s)
        return height, (x * s, y * s, c * t)

    def middles(
        self, phis: list[float], upper: float, lower: float, u: float
    ) -> tuple[list[float], list[tuple[float, float, float]]]:
        """:meth:`middle` at many azimuths."""
        a, b, c = self.axes
        deep = lower - upper
        heights, centres = [], []
        for phi, edge in zip(phis, self.hairline_along(phis)):
            s, t = sin(u * edge), cos(u * edge)
            x, y = a * sin(phi), b * cos(phi)
            if deep > 0.25:
                heights.append(meridian_arc(self.axes, phi, upper * edge, lower * edge))
            else:
                heights.append(edge * deep * sqrt((x * x + y * y) * t * t + c * c * s * s))
            centres.append((x * s, y * s, c * t))
        return heights, centres

    def meridian(self, phi: float) -> tuple[list[float], list[float]]:
        """(u, arc from the vertex in mm) down one azimuth, vertex to hairline."""
        found = self.meridians.get(phi)
        if found is None:
            us = [i / MERIDIAN_STEPS for i in range(MERIDIAN_STEPS + 1)]
            points = [self.place(phi, u) for u in us]
            arcs, total = [0.0], 0.0
            for p, q in zip(points, points[1:]):
                total += dist(p, q)
                arcs.append(total)
            found = self.meridians[phi] = (us, arcs)
        return found

    def down(self, phi: float, u: float) -> float:
        """Arc in mm from the vertex to ``u`` along one azimuth."""
        us, arcs = self.meridian(phi)
        return at(us, arcs, u)

    def depth(self, phi: float, arc: float) -> float:
        """The ``u`` that lies ``arc`` mm from the vertex."""
        us, arcs = self.meridian(phi)
        return at(arcs, us, arc)


@lru_cache(maxsize=16)
def scalp_of(axes: Axes, line: Hairline) -> Scalp:
    """The lattices of one head, built once."""
    return Scalp(axes, line)


@lru_cache(maxsize=512)
def level_at(scalp: Scalp, u: float, low: float, high: float) -> Level:
    """The :class:`Level` at ``u`` of one head: strips side by side, and sizes tried one after the
    other, ask for the same."""
    return Level(scalp, u, low, high)


@lru_cache(maxsize=512)
def row_line(scalp: Scalp, u: float, low: float, high: float) -> RowLine:
    """The :class:`RowLine` at ``u`` of one head, for the same reason."""
    return RowLine(scalp, u, low, high)


def at(xs: list[float], ys: list[float], x: float) -> float:
    """Straight line between the points of a rising table; held at its ends."""
    i = bisect_right(xs, x) - 1
    if i < 0:
        return ys[0]
    if i >= len(xs) - 1:
        return ys[-1]
    return ys[i] + (x - xs[i]) / (xs[i + 1] - xs[i]) * (ys[i + 1] - ys[i])


def dist(p: tuple[float, float, float], q: tuple[float, float, float]) -> float:
    """Straight distance, mm."""
    return sqrt((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2)


class Level:
    """A curve of constant ``u``: running area above it, from azimuth 0 (or its lower end)."""

    __slots__ = ("u", "first", "values", "sums")

    def __init__(self, scalp: Scalp, u: float, low: float, high: float) -> None:
        """``low`` and ``high`` bound the azimuths asked for, within [0, pi]."""
        self.u = u
        i0 = max(0, int(low / STEP + 1e-9) - 1)
        i1 = min(72, ceil(high / STEP - 1e-9) + 1)
        theta, shape, scale = scalp.theta, scalp.shape, scalp.scale
        if scalp.tall:
            # antiderivative() for a negative k, written out: this line is most of the work.
            half = scale / 2
            f = [
                half * (top - (t := cos(u * edge)) * sqrt(g + k * t * t) - gr * asin(t * m))
                for (g, k, gr, m, top), edge in zip(shape[i0 : i1 + 1], theta[i0 : i1 + 1])
            ]
        else:
            f = [
                scale * (shape[i][4] / 2 - antiderivative(shape[i][0], shape[i][1], cos(u * theta[i])))
                for i in range(i0, i1 + 1)
            ]
        if i0 == 0:
            f.insert(0, f[1])
            i0 = -1
        if i1 == 72:
            f.append(f[-2])
        self.first = i0 + 1
        self.values = f
        step = STEP / 24
        self.sums = list(accumulate(
            [step * (13 * (q + r) - p - s) for p, q, r, s in zip(f, f[1:], f[2:], f[3:])], initial=0.0
        ))

    def half(self, x: float) -> float:
        """Running area at an azimuth in [0, pi]: the integral of Catmull-Rom cubics through the
        lattice, the same curve that the hairline is drawn with between its points."""
        x = x / STEP - self.first
        i = int(x)
        sums = self.sums
        if i >= len(sums) - 1:
            i = len(sums) - 2
        t = x - i
        p, q, r, s = self.values[i : i + 4]
        m, n = (r - p) / 2, (s - q) / 2
        rise = r - q
        return sums[i] + STEP * t * (
            q + t * (m / 2 + t * ((3 * rise - 2 * m - n) / 3 + t * (m + n - 2 * rise) / 4))
        )

    def upto(self, phi: float) -> float:
        """Running area at any azimuth of a strip, rising with it."""
        if phi < 0:
            return -self.half(-phi)
        if phi > pi:
            return 2 * self.half(pi) - self.half(TURN - phi)
        return self.half(phi)

    def along(self, phis: list[float]) -> list[float]:
        """:meth:`upto` at many azimuths, its sums written out: a section has two of them."""
        sums, values, first = self.sums, self.values, self.first
        last = len(sums) - 2
        out = []
        for phi in phis:
            x = (-phi if phi < 0 else phi if phi <= pi else TURN - phi) / STEP - first
            i = int(x)
            if i > last:
                i = last
            t = x - i
            p, q, r, s = values[i : i + 4]
            m, n, rise = (r - p) / 2, (s - q) / 2, r - q
            area = sums[i] + STEP * t * (
                q + t * (m / 2 + t * ((3 * rise - 2 * m - n) / 3 + t * (m + n - 2 * rise) / 4))
            )
            out.append(-area if phi < 0 else area if phi <= pi else 2 * self.half(pi) - area)
        return out


class RowLine:
    """The middle of a row: running arc length along a curve of constant ``u``."""

    __slots__ = ("u", "phis", "arcs")

    def __init__(self, scalp: Scalp, u: float, low: float, high: float) -> None:
        """``low`` and ``high`` in [0, pi]; arcs count from ``low``."""
        i0, i1 = int(low / STEP + 1e-6), min(72, int(high / STEP + 1 - 1e-6))
        a, b, c = scalp.axes
        theta, sines, cosines = scalp.theta, scalp.sines, scalp.cosines
        places = [
            ((s := sin(turn := u * edge)) * x, s * y, c * cos(turn))
            for edge, x, y in zip(theta[i0 : i1 + 1], sines[i0 : i1 + 1], cosines[i0 : i1 + 1])
        ]
        self.u, self.phis = u, LATTICE[i0 : i1 + 1]
        self.arcs = list(accumulate(map(chord, places, places[1:]), initial=0.0))

    def along(self, phi: float) -> float:
        """Signed running arc at any azimuth of a strip."""
        if phi < 0:
            return -at(self.phis, self.arcs, -phi)
        if phi > pi:
            return 2 * self.arcs[-1] - at(self.phis, self.arcs, TURN - phi)
        return at(self.phis, self.arcs, phi)

    def azimuth(self, arc: float, over_back: bool) -> float:
        """Inverse of :meth:`along`."""
        if arc < 0:
            return -at(self.arcs, self.phis, -arc)
        if over_back and arc > self.arcs[-1]:
            return TURN - at(self.arcs, self.phis, 2 * self.arcs[-1] - arc)
        return at(self.arcs, self.phis, arc)

    def azimuths(self, wanted: list[float], over_back: bool) -> list[float]:
        """:meth:`azimuth` of many arcs."""
        arcs, phis, out = self.arcs, self.phis, []
        whole, last = arcs[-1], len(arcs) - 2
        for arc in wanted:
            beyond = over_back and arc > whole
            x = -arc if arc < 0 else 2 * whole - arc if beyond else arc
            i = bisect_right(arcs, x) - 1
            if i < 0 or i > last:
                phi = phis[0] if i < 0 else phis[-1]
            else:
                phi = phis[i] + (x - arcs[i]) / (arcs[i + 1] - arcs[i]) * STEP
            out.append(-phi if arc < 0 else TURN - phi if beyond else phi)
        return out

    def evened(self, scalp: Scalp) -> RowLine:
        """The same line with its arcs stretched where the row is high and shrunk where it is low,
        by the root of its height: half of what that does to a section's area is made good."""
        first = round(self.phis[0] / STEP)
        roots = scalp.roots[first : first + len(self.phis)]
        out = RowLine.__new__(RowLine)
        out.u, out.phis = self.u, self.phis
        out.arcs = list(accumulate(
            [(q - p) * (r + s) for p, q, r, s in zip(self.arcs, self.arcs[1:], roots, roots[1:])], initial=0.0
        ))
        return out
