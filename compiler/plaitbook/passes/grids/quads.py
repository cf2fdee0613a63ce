"""Square, brick and rectangle sections: a row cut across."""

from __future__ import annotations

from math import pi

from .cell import OTHER, Cell, Edge
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
    turn = 2 * pi if over_back else 0.0
    near = strip.side if strip.side != "middle" else "right" if over_back else "left"
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
        # A row across the midline is the same from both ends: half is laid, the rest reflected.
        laid = (count + 1) // 2 if strip.side == "middle" else count
        cuts = [strip.low, *line.azimuths([start + x * length for x in shares[1:laid]], over_back)]
        cuts.append(strip.high if laid == count else turn / 2 if 2 * laid == count else turn - cuts[-1])
        middles = [(p + q) / 2 for p, q in zip(cuts, cuts[1:])]
        over, under = levels[i].along(cuts), levels[i + 1].along(cuts)
        edge = scalp.hairline_along(cuts)
        tops = [(x, row.upper * t) for x, t in zip(cuts, edge)]
        bottoms = [(x, row.lower * t) for x, t in zip(cuts, edge)]
        heights, centres = scalp.middles(middles, row.upper, row.lower, row.line.u)
        if line is row.line:
            widths = [(y - x) * length for x, y in zip(shares, shares[1 : laid + 1])]
        else:
            arcs = [row.line.along(x) for x in cuts]
            widths = [y - x for x, y in zip(arcs, arcs[1:])]
        if zigzag:
            at = 0 if zigzag == "low" else -1
            swing = ZIGZAG if i % 2 == 0 else -ZIGZAG
            top, bottom = cuts[at] + swing, cuts[at] - swing
            lost = scalp.slant(top, row.upper, bottom, row.lower)
            over[at] = levels[i].upto(top)
            under[at] = levels[i + 1].upto(bottom) - lost
        made: list[tuple[float, float, Cell]] = []
        for j in range(laid):
            p, q = cuts[j], cuts[j + 1]
            if q - p <= BEND and row.upper:
                corners = (tops[j], tops[j + 1], bottoms[j + 1], bottoms[j])
            else:
                corners = outline(scalp, p, q, row.upper, row.lower, edge[j], edge[j + 1])
            cell = Cell(
                strip.zone, near if 2 * j + 1 != count else strip.side, index, i, corners,
                under[j + 1] - under[j] - over[j + 1] + over[j], widths[j], heights[j], middles[j], centres[j],
            )
            made.append((p, q, cell))
        if zigzag:
            end = made[at][2]
            end.outline = swung(scalp, end.outline, cuts[at], top, bottom, row)
        for p, q, cell in made[: count - laid][::-1]:
            made.append((turn - q, turn - p, reflected(cell, turn)))
        for (_, _, one), (_, _, other) in zip(made, made[1:]):
            one.link(other)
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


def reflected(cell: Cell, turn: float) -> Cell:
    """The section across the midline, whose azimuths and this one's add up to ``turn``."""
    x, y, z = cell.centre
    ring = cell.outline
    tops = len(ring) // 2 if ring[0][1] else 2
    return Cell(
        cell.zone, OTHER[cell.side], cell.strip, cell.row,
        tuple([(turn - p, t) for p, t in ring[tops - 1 :: -1] + ring[: tops - 1 : -1]]),
        cell.area, cell.width, cell.height, turn - cell.phi, (-x, y, z),
    )


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
