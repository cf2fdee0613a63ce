"""Triangle and diamond sections: a row cut by a zigzag line."""

from __future__ import annotations

from math import pi

from .cell import Cell, Edge
from .quads import match, side_of, steps
from .rows import Row
from .scalp import Level, Scalp
from .zones import Strip

Based = list[tuple[float, float, Cell]]


def triangle_count(length: float, width: float, mirrored: bool) -> int:
    """Triangles in a row: two to a width. A mirrored row that crosses the midline takes an odd
    number, so that its zigzag ends as it began."""
    count = max(2, round(2 * length / width))
    if not mirrored or count % 2:
        return max(3, count) if mirrored else count
    return count + 1 if 2 * length / width >= count else max(3, count - 1)


def zigzag_shares(count: int) -> list[float]:
    """Where the zigzag turns, as shares of the row: evenly, but for longer first and last legs,
    which make the end triangles three quarters of the others instead of half."""
    legs = [1.0] * (count - 1)
    if count > 3:
        legs[0] = legs[-1] = 1.5
    total, at, out = sum(legs), 0.0, [0.0]
    for leg in legs:
        at += leg
        out.append(at / total)
    out[-1] = 1.0
    return out


def lay_slants(
    scalp: Scalp, strip: Strip, index: int, rows: list[Row], counts: list[int], diamonds: bool
) -> list[Cell]:
    """Cut every row of a strip into triangles; with ``diamonds`` those that stand base to base
    across a row's edge become one section, and halves are left along the strip's border.

    Diamonds need the same count in every row.
    """
    low, high = strip.half
    levels = [scalp.level(row.upper, low, high) for row in rows]
    levels.append(scalp.level(rows[-1].lower, low, high))
    cells: list[Cell] = []
    below: Based = []
    fixed = rows[len(rows) // 2]
    for i, (row, count) in enumerate(zip(rows, counts)):
        line = fixed if diamonds else row
        shares = zigzag_shares(count)
        turns = [strip.low]
        turns += [line.line.azimuth(line.start + x * line.length, strip.high > pi) for x in shares[1:-1]]
        turns.append(strip.high)
        made, up, down = zigzag(scalp, strip, index, i, row, turns, shares, levels[i], levels[i + 1])
        if i == 0:
            for p, q, cell in up:
                if row.upper:
                    cell.rim.append(Edge(False, row.upper, p, q, True))
        elif diamonds:
            cells, made = merge(cells, made, below, up, scalp)
        else:
            match(below, up)
        if i == len(rows) - 1:
            for p, q, cell in down:
                cell.rim.append(Edge(False, row.lower, p, q, False))
        cells += made
        below = down
    return cells


def zigzag(
    scalp: Scalp, strip: Strip, index: int, i: int, row: Row, turns: list[float], shares: list[float],
    over: Level, under: Level,
) -> tuple[list[Cell], Based, Based]:
    """The triangles of one row, and those that stand on its upper and on its lower edge."""
    depths = [(row.upper if (k + i) % 2 == 0 else row.lower) for k in range(len(turns))]
    totals = [
        scalp.slant(turns[k], depths[k], turns[k + 1], depths[k + 1]) for k in range(len(turns) - 1)
    ]
    count = len(turns)
    made: list[Cell] = []
    up: Based = []
    down: Based = []
    for k in range(count):
        first, last = max(0, k - 1), min(count - 1, k + 1)
        p, q = turns[first], turns[last]
        # The base lies on the edge that the turn in the middle doesn't touch; at the two ends
        # it runs from the corner below or above the turn.
        base_up = depths[k] == row.lower
        level = over if base_up else under
        inner = sum(totals[first:last])
        area = abs(level.upto(q) - level.upto(p) - inner)
        apex, base = (row.lower, row.upper) if base_up else (row.upper, row.lower)
        bottom = [(x, base * scalp.hairline_at(x)) for x in steps(p, q)]
        tip = (turns[k], apex * scalp.hairline_at(turns[k]))
        middle = (p + q + turns[k]) / 3
        height, centre = scalp.middle(middle, row.upper, row.lower, (2 * base + apex) / 3)
        cell = Cell(
            strip.zone, side_of(strip, p, q), index, i, tuple(bottom + [tip]), area,
            (shares[last] - shares[first]) * row.length, height, middle, centre,
        )
        if made:
            cell.link(made[-1])
        made.append(cell)
        (up if base_up else down).append((p, q, cell))
    made[0].rim.append(Edge(True, strip.low, row.upper, row.lower, True))
    made[-1].rim.append(Edge(True, strip.high, row.upper, row.lower, False))
    return made, up, down


def merge(
    cells: list[Cell], made: list[Cell], below: Based, up: Based, scalp: Scalp
) -> tuple[list[Cell], list[Cell]]:
    """Join triangles that stand on the same base from above and below into diamonds."""
    bases = {(round(p, 9), round(q, 9)): cell for p, q, cell in below}
    gone: set[int] = set()
    for p, q, cell in up:
        top = bases.get((round(p, 9), round(q, 9)))
        if top is None:
            match([b for b in below], [(p, q, cell)])
            continue
        total = top.area + cell.area
        # The upper outline runs base then tip; the lower the same. Walk base of one, its tip
        # and the other's tip: low end, upper tip, high end, lower tip.
        low_end, high_end = top.outline[0], top.outline[-2]
        top.outline = (low_end, top.outline[-1], high_end, cell.outline[-1])
        weight = top.area / total
        top.centre = scalp.place(
            (p + q) / 2, (low_end[1] / scalp.hairline_at(p) + high_end[1] / scalp.hairline_at(q)) / 2
        )
        top.phi = weight * top.phi + (1 - weight) * cell.phi
        top.area, top.height = total, top.height + cell.height
        top.rim += cell.rim
        for other in cell.links:
            other.links = [top if link is cell else link for link in other.links]
            top.links.append(other)
        gone.add(id(cell))
    return cells, [cell for cell in made if id(cell) not in gone]
