"""Scalp rows that run over the whole head: straight back, swept to one side, or up to a bun.

Straight and swept rows lie between curves where ``sin(theta) sin(phi + turn)`` is constant: on
the head, planes that stand upright and don't meet. The area beyond such a curve follows from
Green's theorem (the hairline's running area less the curve's), so the rows' areas telescope.
"""

from __future__ import annotations

from functools import lru_cache
from math import acos, asin, atan2, cos, pi, radians, sin, sqrt

from ..surface import GAUSS16, STEP
from .cell import Cell
from .joins import join
from .order import WHOLE_HEAD
from .quads import lay_quads
from .rows import cut_rows
from .scalp import CROWN_DEPTH, NAPE_DEPTH, TURN, Scalp, at, dist
from .zones import EAR_EDGE, TEMPLE_EDGE, TOP_EDGE, Strip

SWEPT = radians(60)
"""How far rows "to one side" turn from straight back (our own estimate)."""
BUN_DEPTH = 0.7
"""Depth at which a row up to a bun is named for its zone: our own estimate."""
POINTS = 24
SLICES = 90


def turn_of(direction: str) -> float:
    """Turn of the rows about the upright, radians."""
    return {"to left": SWEPT, "to right": -SWEPT}.get(direction, 0.0)


def across(scalp: Scalp, turn: float) -> tuple[list[float], list[float]]:
    """(angle, arc in mm) over the vertex, square to the rows, from one edge of the hair to the
    other; the outermost rows end where the hairline reaches farthest."""
    reach = [
        sin(scalp.hairline_at(i * STEP - turn)) * sin(i * STEP) for i in range(-72, 73)
    ]
    first, last = asin(min(reach)), asin(max(reach))
    angles = [first + (last - first) * i / SLICES for i in range(SLICES + 1)]
    total, arcs, before = 0.0, [0.0], spot(scalp, angles[0], turn)
    for angle in angles[1:]:
        here = spot(scalp, angle, turn)
        total += dist(before, here)
        arcs.append(total)
        before = here
    return angles, arcs


def spot(scalp: Scalp, angle: float, turn: float) -> tuple[float, float, float]:
    """Point in mm over the vertex, ``angle`` to the right of it."""
    a, b, c = scalp.axes
    return (a * sin(angle) * cos(turn), b * sin(angle) * sin(turn), c * cos(angle))


def lay_sweep(scalp: Scalp, count: int, turn: float) -> list[Cell]:
    """``count`` rows of equal width where they pass the crown, from one side to the other."""
    angles, arcs = across(scalp, turn)
    width = arcs[-1] / count
    hair = scalp.level(1.0, 0.0, pi)
    beyond, curves = [2 * hair.half(pi)], [tip(scalp, angles[0], turn)]
    places = [at(arcs, angles, i * width) for i in range(count + 1)]
    for angle in places[1:-1]:
        s = 0.0 if abs(angle) < 1e-9 else sin(angle)
        front, back = meets(scalp, s, turn)
        side = running(hair, back - turn) - running(hair, front - turn)
        beyond.append(side - curve_total(scalp, s, front, back, turn))
        curves.append(curve(scalp, s, front, back, turn))
    beyond.append(0.0)
    curves.append(tip(scalp, angles[-1], turn))
    cells: list[Cell] = []
    for i in range(count):
        angle = at(arcs, angles, (i + 0.5) * width)
        s = sin(angle)
        x, y, z = centre = spot(scalp, angle, turn)
        phi = atan2(x / scalp.axes[0], y / scalp.axes[1])
        u = min(1.0, abs(angle) / scalp.hairline_at(phi))
        length = path_length(scalp, curve(scalp, s, *meets(scalp, s, turn), turn))
        side = "middle" if places[i] < -1e-6 and places[i + 1] > 1e-6 else "right" if angle > 0 else "left"
        cell = Cell(
            zone_at(phi, u), side, WHOLE_HEAD, i, ring(scalp, curves[i], curves[i + 1]),
            beyond[i] - beyond[i + 1], width, length, angle, centre,
        )
        if cells:
            cell.link(cells[-1])
        cells.append(cell)
    return cells


def tip(scalp: Scalp, angle: float, turn: float) -> list[tuple[float, float]]:
    """The place on the hairline that lies farthest to one side."""
    s = sin(angle)
    steps = [i * STEP for i in range(-72, 73)]
    phi = min(steps, key=lambda x: abs(sin(scalp.hairline_at(x - turn)) * sin(x) - s)) - turn
    return [(phi, scalp.hairline_at(phi))]


def lay_bun(scalp: Scalp, count: int) -> list[Cell]:
    """``count`` rows from the hairline up to a bun at the vertex, of equal width where they are
    half way up."""
    strip = Strip("top", "middle", 0.0, TURN, 0.0, 1.0)
    rows = cut_rows(scalp, strip, 1)
    cells = lay_quads(scalp, strip, WHOLE_HEAD, rows, [count], False, False)
    for i, cell in enumerate(cells):
        cell.zone = zone_at(cell.phi, BUN_DEPTH)
        cell.row = cell.first_row = i
    join(cells)
    return cells


def zone_at(phi: float, u: float) -> str:
    """The zone that a place lies in, the hairline band apart."""
    x = abs((phi + pi) % TURN - pi)
    if x <= TOP_EDGE:
        return "top"
    if u <= CROWN_DEPTH:
        return "crown"
    if x <= TEMPLE_EDGE:
        return "temples"
    if x <= EAR_EDGE:
        return "sides"
    return "back" if u <= NAPE_DEPTH else "nape"


def meets(scalp: Scalp, s: float, turn: float) -> tuple[float, float]:
    """Turned azimuths at which a curve meets the hairline, in front and behind.

    Between them lies the far side; for a curve left of the vertex the one in front is negative.
    """

    def value(x: float) -> float:
        return sin(scalp.hairline_at(x - turn)) * sin(x) - s

    peak = farthest(scalp, turn, s >= 0)
    if s >= 0:
        front, back = (-0.0, peak), (peak, pi)
        return bisect(value, front[0], front[1]), bisect(value, back[1], back[0])
    front_at = bisect(lambda x: -value(x), 0.0, peak)
    back_at = bisect(lambda x: -value(x), -pi, peak)
    return front_at, back_at + TURN


@lru_cache(maxsize=64)
def farthest(scalp: Scalp, turn: float, right: bool) -> float:
    """Turned azimuth, to a step of the lattice, at which the hairline reaches farthest to one side."""

    def reach(x: float) -> float:
        return sin(scalp.hairline_at(x - turn)) * sin(x)

    if right:
        return max((i * STEP for i in range(73)), key=reach)
    return min((-i * STEP for i in range(73)), key=reach)


HALVES = 9
"""Halvings before chords: a crossing is then alone in its stretch, under half a degree wide (our own estimate)."""


def bisect(value, low: float, high: float) -> float:
    """Where ``value`` crosses zero, from below at ``low`` to above at ``high``: halves until one
    crossing is left, then chords (the Illinois method; Dowell & Jarratt 1971), and halves again
    where those are slow to close in."""
    for _ in range(HALVES):
        x = (low + high) / 2
        if value(x) < 0:
            low = x
        else:
            high = x
    below, above, before = value(low), value(high), low
    if below < 0 < above:
        for _ in range(12):
            x = (low * above - high * below) / (above - below)
            here = value(x)
            if abs(x - before) < 1e-14 or not here:
                return x
            if here < 0:
                above = above / 2 if before == low else above
                low, below, before = x, here, x
            else:
                below = below / 2 if before == high else below
                high, above, before = x, here, x
    for _ in range(48):
        x = (low + high) / 2
        if value(x) < 0:
            low = x
        else:
            high = x
    return (low + high) / 2


def running(hair, phi: float) -> float:
    """Running area along the hairline at any azimuth."""
    turns = 0
    while phi > pi:
        phi, turns = phi - TURN, turns + 1
    while phi < -pi:
        phi, turns = phi + TURN, turns - 1
    return (hair.half(phi) if phi >= 0 else -hair.half(-phi)) + turns * 2 * hair.half(pi)


def ends(scalp: Scalp, s: float, front: float, back: float, turn: float) -> tuple[float, float]:
    """Angles along a curve, from straight ahead over the top, at which it meets the hairline."""
    r = sqrt(1 - s * s)

    def angle(x: float) -> float:
        theta = scalp.hairline_at(x - turn)
        return atan2(cos(theta), sin(theta) * cos(x))

    first, last = angle(front), angle(back)
    if last < first:
        last += TURN
    return first, last if r else first


def curve(scalp: Scalp, s: float, front: float, back: float, turn: float) -> list[tuple[float, float]]:
    """Points (azimuth, polar angle) along a curve from front to back."""
    r = sqrt(1 - s * s)
    first, last = ends(scalp, s, front, back, turn)
    out = []
    for i in range(POINTS + 1):
        psi = first + (last - first) * i / POINTS
        phi = atan2(s, r * cos(psi)) - turn
        out.append((phi, acos(max(-1.0, min(1.0, r * sin(psi))))))
    return out


def curve_total(scalp: Scalp, s: float, front: float, back: float, turn: float) -> float:
    """Integral along a curve, front to back, of the area above it per radian, mm2."""
    return curve_integral(scalp, s, *ends(scalp, s, front, back, turn), turn) if s else 0.0


def curve_integral(scalp: Scalp, s: float, first: float, last: float, turn: float) -> float:
    """The same between two angles along the curve. It turns fast where it passes the vertex, so
    the rule is applied to stretches that shrink towards it."""
    if s == 0.0:
        return 0.0
    if last < first:
        return -curve_integral(scalp, s, last, first, turn)
    r = sqrt(1 - s * s)
    total = 0.0
    steep = (pi / 2 - 3 * abs(s), pi / 2 - abs(s) / 2, pi / 2, pi / 2 + abs(s) / 2, pi / 2 + 3 * abs(s))
    parts = sorted({first, *(p for p in steep if first < p < last), last})
    for low, high in zip(parts, parts[1:]):
        mid, half = (low + high) / 2, (high - low) / 2
        for x, w in GAUSS16:
            for psi in (mid - half * x, mid + half * x):
                across_, up = r * cos(psi), r * sin(psi)
                flat = s * s + across_ * across_
                total += half * w * (s * up / flat) * scalp.over(atan2(s, across_) - turn, up)
    return total


def ring(scalp: Scalp, one: list[tuple[float, float]], two: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """A row's outline: down one curve, along the hairline, back up the other, along the hairline."""
    return tuple(one + hairline_between(scalp, one[-1][0], two[-1][0]) + two[::-1]
                 + hairline_between(scalp, two[0][0], one[0][0]))


def hairline_between(scalp: Scalp, start: float, end: float) -> list[tuple[float, float]]:
    """Points on the hairline between two azimuths, the short way, ends left out."""
    gap = (end - start + pi) % TURN - pi
    n = int(abs(gap) / 0.1)
    return [(start + gap * i / (n + 1), scalp.hairline_at(start + gap * i / (n + 1))) for i in range(1, n + 1)]


def path_length(scalp: Scalp, points: list[tuple[float, float]]) -> float:
    """Length in mm of a line on the head."""
    a, b, c = scalp.axes
    places = [(a * sin(t) * sin(p), b * sin(t) * cos(p), c * cos(t)) for p, t in points]
    return sum(
        sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2 + (z1 - z0) ** 2)
        for (x0, y0, z0), (x1, y1, z1) in zip(places, places[1:])
    )
