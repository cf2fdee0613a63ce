"""Scalp rows that run through a group of zones as if it were one.

Straight and swept rows are cut by upright planes (see :mod:`.sweeps`), rows up to a bun by lines
from the vertex. Areas follow from Green's theorem round each row, with the running areas that
every other section of the head is cut with, so they add up.
"""

from __future__ import annotations

from math import acos, asin, atan2, cos, pi, sin, sqrt
from typing import NamedTuple

from ...meaning.model import Grid
from .cell import Cell, Edge
from .loops import Place, Step, apart, keep, loop_of, stepped
from .scalp import CROWN_DEPTH, NAPE_DEPTH, TURN, RowLine, Scalp, at, dist
from .sweeps import curve_integral, running, spot, turn_of
from .zones import Strip

FIRST_RUN = -2
"""Strip number of the first group of rows; the next are lower. See ``order.WHOLE_HEAD``."""
SLICES = 60
FINE = 0.12
"""Longest step along a row's edge, radians."""


class Run(NamedTuple):
    """Zones that rows run through, and how far it is across them."""

    strips: tuple[Strip, ...]
    loop: list[Step]
    turn: float | None
    """Turn of the rows about the upright; None for rows up to a bun."""
    cuts: list[float]
    arcs: list[float]
    """Running mm across the rows at the values in ``cuts``."""


def runs_of(scalp: Scalp, strips: list[Strip], direction: str) -> list[Run] | None:
    """The groups of zones that rows run through; None where a group is no plain shape (its zones
    leave a hole, or a gap down the head): there every zone has rows of its own."""
    turn = None if direction == "up to bun" else turn_of(direction)
    out = []
    for group in apart(strips):
        corners = loop_of(group)
        if corners is None:
            return None
        if turn is None:
            low, high = min(p for p, _ in corners), max(p for p, _ in corners)
            if high - low > TURN - 1e-6:
                low, high = -pi, pi
            if any(span(group, x) is None for x in breaks(group, low, high)):
                return None
            cuts = [low + (high - low) * i / SLICES for i in range(SLICES + 1)]
            u = (min(s.upper for s in group) + max(s.lower for s in group)) / 2
            line = RowLine(scalp, u, 0.0, pi)
            arcs = [around(line, x) for x in cuts]
            out.append(Run(tuple(group), [], None, cuts, [x - arcs[0] for x in arcs]))
            continue
        value = beyond(scalp, turn)
        loop = stepped(corners, value)
        first, last = asin(min(s.value for s in loop)), asin(max(s.value for s in loop))
        cuts = [first + (last - first) * i / SLICES for i in range(SLICES + 1)]
        places = [spot(scalp, x, turn) for x in cuts]
        arcs = [0.0]
        for p, q in zip(places, places[1:]):
            arcs.append(arcs[-1] + dist(p, q))
        out.append(Run(tuple(group), loop, turn, cuts, arcs))
    return out


def beyond(scalp: Scalp, turn: float):
    """How far to the right of the vertex's plane a place lies, on the unit sphere."""

    def value(phi: float, u: float) -> float:
        return sin(u * scalp.hairline_at(phi)) * sin(phi + turn)

    return value


def around(line: RowLine, phi: float) -> float:
    """Running mm at any azimuth."""
    whole = 2 * line.arcs[-1]
    turns = round(phi / TURN)
    return turns * whole + line.along(phi - turns * TURN)


def counts_for(runs: list[Run], grid: Grid, parted: bool, mirrored: bool) -> tuple[list[int], tuple[int, ...]]:
    """Rows of each run, and, where the count asked for can't be had, those that can.

    A parting in the middle falls between two rows where a size is asked for. The runs of a
    mirrored pair take the same number.
    """
    across = [run.arcs[-1] for run in runs]
    if grid.count is None:
        size = grid.height_mm.value if grid.height_mm else 1.0
        even = [parted and not run.turn and run.cuts[0] < 0.0 < run.cuts[-1] and abs(run.cuts[0] + run.cuts[-1]) < 1e-6 for run in runs]
        return [max(2, 2 * round(x / size / 2)) if two else max(1, round(x / size)) for x, two in zip(across, even)], ()
    # Runs that mirror each other take turns together; every run has one row at least.
    units: list[list[int]] = []
    for i, run in enumerate(runs):
        twin = next((u for u in units if mirrored and not run.turn and len(u) == 1 and mirrors(runs[u[0]], run)), None)
        if twin:
            twin.append(i)
        else:
            units.append([i])
    counts = [1] * len(runs)
    left = grid.count - len(runs)
    while left > 0:
        able = [unit for unit in units if len(unit) <= left]
        if not able:
            return [], (grid.count - left, grid.count - left + min(len(unit) for unit in units))
        for i in max(able, key=lambda unit: across[unit[0]] / (counts[unit[0]] + 0.5)):
            counts[i] += 1
            left -= 1
    return (counts, ()) if left == 0 else ([], (len(runs),))


def mirrors(one: Run, other: Run) -> bool:
    """Whether two runs lie on either side of the head, alike."""
    off = (one.cuts[0] + other.cuts[-1]) % TURN
    return min(off, TURN - off) < 1e-6 and abs(one.arcs[-1] - other.arcs[-1]) < 1e-3


def lay_run(scalp: Scalp, run: Run, index: int, count: int) -> list[Cell]:
    """``count`` rows of equal width through a run's zones, from the wearer's left to right."""
    width = run.arcs[-1] / count
    marks = [at(run.arcs, run.cuts, i * width) for i in range(count + 1)]
    middles = [at(run.arcs, run.cuts, (i + 0.5) * width) for i in range(count)]
    made: list[Cell] = []
    for i in range(count):
        low, middle, high = marks[i], middles[i], marks[i + 1]
        if abs(low) < 1e-9:
            low = 0.0
        if abs(high) < 1e-9:
            high = 0.0
        cell = wedge(scalp, run, index, i, low, middle, high) if run.turn is None else plank(
            scalp, run, index, i, low, middle, high, i == 0, i == count - 1)
        if run.turn is not None or cell.width <= 0.0:
            cell.width = width
        if made:
            cell.link(made[-1])
        made.append(cell)
    if run.turn is None and count > 2 and marks[-1] - marks[0] > TURN - 1e-6:
        made[0].link(made[-1])
    return made


def plank(
    scalp: Scalp, run: Run, index: int, i: int, low: float, middle: float, high: float, first: bool, last: bool
) -> Cell:
    """One row between two upright planes."""
    turn = run.turn or 0.0
    value = beyond(scalp, turn)
    ring = run.loop
    if not first:
        ring = keep(ring, sin(low), True, value)
    if not last:
        ring = keep(ring, sin(high), False, value)
    total = 0.0
    outline: list[Place] = []
    rim: list[Edge] = []
    for here, there in zip(ring, ring[1:] + ring[:1]):
        outline.append((here.phi, here.u * scalp.hairline_at(here.phi)))
        if here.way == "round":
            if here.u:
                end = there.phi + TURN * round((here.phi - there.phi) / TURN)
                level = scalp.level(here.u, 0.0, pi)
                total += running(level, end) - running(level, here.phi)
                rim.append(along(here.u, here.phi, end))
        elif here.way == "down":
            phi = here.phi if here.u else there.phi
            down = there.u > here.u
            rim.append(Edge(True, phi, min(here.u, there.u), max(here.u, there.u), not down))
        else:
            s = sin(low) if abs(here.value - sin(low)) < abs(here.value - sin(high)) else sin(high)
            start, end = bearing(scalp, here, run), bearing(scalp, there, run)
            total += curve_integral(scalp, s, start, end, turn)
            outline += between(s, start, end, turn)
    length, centre, phi, zone = spine(scalp, run, sin(middle))
    side = "middle" if turn == 0.0 and low < -1e-6 and high > 1e-6 else "right" if centre[0] > 0 else "left"
    cell = Cell(zone, side, index, i, tuple(outline), -total, 0.0, length, middle, centre)
    cell.rim = rim
    return cell


def along(u: float, start: float, end: float) -> Edge:
    """An edge round the head, its azimuths written as the strips beside it write them."""
    low, high = min(start, end), max(start, end)
    centre = (low + high) / 2
    shift = TURN * (centre // TURN) if u in (CROWN_DEPTH, NAPE_DEPTH) else TURN * round(centre / TURN)
    return Edge(False, u, low - shift, high - shift, end > start)


def bearing(scalp: Scalp, step: Step, run: Run) -> float:
    """The angle of a place along its row, from straight ahead over the top. It jumps where the
    row never is: below the head, or at the top where only the nape is worked."""
    theta = step.u * scalp.hairline_at(step.phi)
    psi = atan2(cos(theta), sin(theta) * cos(step.phi + (run.turn or 0.0)))
    low = all(strip.upper >= NAPE_DEPTH for strip in run.strips)
    if low and psi > pi / 2:
        return psi - TURN
    return psi + TURN if not low and psi < -pi / 2 else psi


def between(s: float, start: float, end: float, turn: float) -> list[Place]:
    """Points along a parting, ends left out."""
    n = int(abs(end - start) / FINE)
    return [point_on(s, start + (end - start) * k / (n + 1), turn) for k in range(1, n + 1)]


def point_on(s: float, psi: float, turn: float) -> Place:
    """(azimuth, polar angle) at an angle along a parting."""
    r = sqrt(1 - s * s)
    return atan2(s, r * cos(psi)) - turn, acos(max(-1.0, min(1.0, r * sin(psi))))


def spine(scalp: Scalp, run: Run, s: float) -> tuple[float, tuple[float, float, float], float, str]:
    """Length in mm of a row's middle line, its middle point, that point's azimuth, and the zone
    that most of the line lies in."""
    turn = run.turn or 0.0
    value = beyond(scalp, turn)
    ring = keep(run.loop, s, True, value)
    meets = sorted(
        bearing(scalp, step, run)
        for step, before in zip(ring, ring[-1:] + ring[:-1]) if "parting" in (step.way, before.way)
    )
    a, b, c = scalp.axes
    total, best, centre, where = 0.0, 0.0, (0.0, 0.0, c), 0.0
    zones: dict[str, float] = {}
    for start, end in zip(meets[::2], meets[1::2]):
        n = max(2, 2 * int((end - start) / FINE))
        points = [point_on(s, start + (end - start) * k / n, turn) for k in range(n + 1)]
        places = [(a * sin(t) * sin(p), b * sin(t) * cos(p), c * cos(t)) for p, t in points]
        steps = [dist(p, q) for p, q in zip(places, places[1:])]
        for length, (p0, t0), (p1, t1) in zip(steps, points, points[1:]):
            phi, theta = (p0 + p1) / 2 if abs(p1 - p0) < 1.0 else p1, (t0 + t1) / 2
            zone = zone_in(run.strips, phi, theta / scalp.hairline_at(phi))
            zones[zone] = zones.get(zone, 0.0) + length
        if sum(steps) > best:
            best, centre, where = sum(steps), places[n // 2], points[n // 2][0]
        total += sum(steps)
    return total, centre, where, max(zones, key=lambda zone: zones[zone]) if zones else run.strips[0].zone


def zone_in(strips: tuple[Strip, ...], phi: float, u: float) -> str:
    """The zone, of a few, that a place lies in or nearest to."""

    def off(strip: Strip) -> float:
        x = min(abs((phi - (strip.low + strip.high) / 2 + pi) % TURN - pi) - (strip.high - strip.low) / 2, pi)
        return max(x, strip.upper - u, u - strip.lower, 0.0)

    return min(strips, key=off).zone


def breaks(strips: list[Strip] | tuple[Strip, ...], low: float, high: float) -> list[float]:
    """Azimuths in the middle of every stretch between the strips' ends."""
    ends = sorted({low, high, *(
        x + k * TURN for s in strips for x in (s.low, s.high) for k in (-1, 0, 1) if low < x + k * TURN < high
    )})
    return [(p + q) / 2 for p, q in zip(ends, ends[1:]) if q - p > 1e-9]


def span(strips: list[Strip] | tuple[Strip, ...], phi: float) -> tuple[float, float] | None:
    """(upper, lower) of the strips at one azimuth, or None where they leave a gap."""
    here = [s for s in strips if any(s.low <= phi + k * TURN <= s.high for k in (-1, 0, 1))]
    if not here:
        return None
    upper, lower = min(s.upper for s in here), max(s.lower for s in here)
    return (upper, lower) if abs(sum(s.lower - s.upper for s in here) - (lower - upper)) < 1e-9 else None


def wedge(scalp: Scalp, run: Run, index: int, i: int, low: float, middle: float, high: float) -> Cell:
    """One row between two lines from the vertex."""
    area, top, bottom, rim = 0.0, [], [], []
    shares: dict[str, float] = {}
    mids = breaks(run.strips, low, high)
    ends = [low]
    for m in mids:
        ends.append(2 * m - ends[-1])
    for p, q, m in zip(ends, ends[1:], mids):
        upper, lower = span(run.strips, m) or (0.0, 1.0)
        over, under = scalp.level(upper, 0.0, pi), scalp.level(lower, 0.0, pi)
        piece = running(under, q) - running(under, p) - running(over, q) + running(over, p)
        area += piece
        zone = zone_in(run.strips, m, (upper + lower) / 2)
        shares[zone] = shares.get(zone, 0.0) + piece
        n = 1 + int((q - p) / FINE)
        xs = [p + (q - p) * k / n for k in range(n + 1)]
        top += [(x, upper * scalp.hairline_at(x)) for x in (xs if upper else (p, q))]
        bottom += [(x, lower * scalp.hairline_at(x)) for x in xs]
        if upper:
            rim.append(along(upper, p, q))
        rim.append(along(lower, q, p))
    upper, lower = span(run.strips, middle) or (0.0, 1.0)
    height, centre = scalp.middle(middle, upper, lower, (upper + lower) / 2)
    side = "middle" if low < -1e-6 and high > 1e-6 or low < pi - 1e-6 and high > pi + 1e-6 else "right" if centre[0] > 0 else "left"
    order = -middle if run.cuts[0] > 0 and run.cuts[-1] > pi else middle
    cell = Cell(max(shares, key=lambda z: shares[z]), side, index, i, tuple(top + bottom[::-1]), area, area / height, height, order, centre)
    for phi, inner in ((low, True), (high, False)):
        ends_here = span(run.strips, phi + (1e-7 if inner else -1e-7)) or (0.0, 1.0)
        rim.append(Edge(True, phi, *ends_here, inner))
    cell.rim = rim
    return cell
