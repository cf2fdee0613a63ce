"""Square, brick and rectangle sections: a row cut across."""

from __future__ import annotations

from math import pi

from .cell import Cell, Edge
from .rows import Row, breaks
from .scalp import Scalp
from .zones import ZIGZAG, Strip

BEND = 0.27
"""Widest step in azimuth, radians (15 degrees), that an outline draws as one straight edge."""


UNEVEN = "crown"
"""The zone whose rows are much lower at their ends than in the middle."""


def lay_quads(
    scalp: Scalp, strip: Strip, index: int, rows: list[Row], counts: list[int], brick: bool, by_parity: bool,
    zigzag: str = "",
) -> list[Cell]:
    """Cut every row of a strip into sections, linked to each other and with their rims.

    ``zigzag`` (``low`` or ``high``) is the end that lies on a zigzag parting, whose line swings
    out at one row's edge and back at the next: what one side loses the other gains.
    """
    low, high = strip.half
    if zigzag:
        low, high = max(0.0, low - ZIGZAG), high + ZIGZAG
    over_back = strip.high > pi
    levels = [scalp.level(row.upper, low, high) for row in rows]
    levels.append(scalp.level(rows[-1].lower, low, high))
    cells: list[Cell] = []
    above_row: list[tuple[float, float, Cell]] = []
    last = len(rows) - 1
    for i, (row, count) in enumerate(zip(rows, counts)):
        shares = breaks(count, i, brick, by_parity)
        line, start, length = row.line, row.start, row.length
        if strip.zone == UNEVEN:
            line = line.evened(scalp)
            start = line.along(strip.low)
            length = line.along(strip.high) - start
        azimuth = line.azimuth
        cuts = [strip.low] + [azimuth(start + x * length, over_back) for x in shares[1:-1]] + [strip.high]
        over = [levels[i].upto(x) for x in cuts]
        under = [levels[i + 1].upto(x) for x in cuts]
        edge = [scalp.hairline_at(x) for x in cuts]
        if zigzag:
            at = 0 if zigzag == "low" else -1
            swing = ZIGZAG if i % 2 == 0 else -ZIGZAG
            top, bottom = cuts[at] + swing, cuts[at] - swing
            lost = scalp.slant(top, row.upper, bottom, row.lower)
            over[at] = levels[i].upto(top)
            under[at] = levels[i + 1].upto(bottom) - lost
        made: list[tuple[float, float, Cell]] = []
        before = None
        for j in range(count):
            p, q = cuts[j], cuts[j + 1]
            middle = (p + q) / 2
            height, centre = scalp.middle(middle, row.upper, row.lower, row.line.u)
            cell = Cell(
                strip.zone, side_of(strip, p, q), index, i,
                outline(scalp, p, q, row.upper, row.lower, edge[j], edge[j + 1]),
                under[j + 1] - under[j] - over[j + 1] + over[j],
                (shares[j + 1] - shares[j]) * length if line is row.line else row.line.along(q) - row.line.along(p),
                height, middle, centre,
            )
            if zigzag and j == (0 if zigzag == "low" else count - 1):
                cell.outline = swung(scalp, cell.outline, cuts[at], top, bottom, row)
            if before is not None:
                cell.link(before)
            before = cell
            made.append((p, q, cell))
        made[0][2].rim.append(Edge(True, strip.low, row.upper, row.lower, True))
        made[-1][2].rim.append(Edge(True, strip.high, row.upper, row.lower, False))
        if i:
            match(above_row, made)
        elif row.upper:
            for p, q, cell in made:
                cell.rim.append(Edge(False, row.upper, p, q, True))
        if i == last:
            for p, q, cell in made:
                cell.rim.append(Edge(False, row.lower, p, q, False))
        cells += [cell for _, _, cell in made]
        above_row = made
    return cells


def swung(
    scalp: Scalp, corners: tuple[tuple[float, float], ...], end: float, top: float, bottom: float, row: Row
) -> tuple[tuple[float, float], ...]:
    """The outline of a section whose end at azimuth ``end`` follows a zigzag."""
    middle = (row.upper + row.lower) / 2 * scalp.hairline_at(end)
    return tuple([
        (p, t) if p != end
        else (top, row.upper * scalp.hairline_at(top)) if t < middle
        else (bottom, row.lower * scalp.hairline_at(bottom))
        for p, t in corners
    ])


def match(ones: list[tuple[float, float, Cell]], others: list[tuple[float, float, Cell]]) -> None:
    """Link the sections of two rows that overlap along the edge between them."""
    i = j = 0
    while i < len(ones) and j < len(others):
        low0, high0, a = ones[i]
        low1, high1, b = others[j]
        if (high0 if high0 < high1 else high1) - (low0 if low0 > low1 else low1) > 1e-7:
            a.link(b)
        if high0 < high1:
            i += 1
        else:
            j += 1


def side_of(strip: Strip, low: float, high: float) -> str:
    """Which side of the wearer a section lies on; one that crosses the midline is ``middle``."""
    if strip.side != "middle":
        return strip.side
    centre = pi if strip.high > pi else 0.0
    if low >= centre - 1e-9:
        return "left" if centre else "right"
    if high <= centre + 1e-9:
        return "right" if centre else "left"
    return "middle"


def outline(
    scalp: Scalp, low: float, high: float, upper: float, lower: float, start: float, end: float
) -> tuple[tuple[float, float], ...]:
    """Corners as (azimuth, polar angle) of a section between two azimuths, where the hairline
    lies at ``start`` and ``end``, with points along its bent edges."""
    if high - low <= BEND and upper:
        return ((low, upper * start), (high, upper * end), (high, lower * end), (low, lower * start))
    xs = steps(low, high)
    edge = [start] + [scalp.hairline_at(x) for x in xs[1:-1]] + [end]
    top = [(x, upper * t) for x, t in zip(xs, edge)] if upper else [(low, 0.0), (high, 0.0)]
    return tuple(top + [(x, lower * t) for x, t in zip(reversed(xs), reversed(edge))])


def steps(low: float, high: float) -> list[float]:
    """From low to high in equal steps no wider than :data:`BEND`, both included."""
    n = max(1, int((high - low) / BEND + 0.999))
    return [low + (high - low) * i / n for i in range(n)] + [high]
