"""Triangle and diamond sections: a row cut by a zigzag line."""

from __future__ import annotations

from math import pi

from .cell import OTHER, Cell, Edge
from .quads import BEND, UNEVEN, match, outline, side_of, steps
from .rows import Row
from .scalp import Level, Scalp
from .zones import Strip

Based = list[tuple[float, float, Cell]]


def triangle_count(length: float, width: float, mirrored: bool) -> int:
    """Triangles in a row: two to a width. A mirrored row that crosses the midline takes an odd
    number, so that its zigzag ends as it began. A row shorter than a triangle stays whole."""
    ideal = 2 * length / width
    count = max(1, round(ideal))
    if not mirrored or count % 2:
        return count
    if count == 2:
        return 3 if ideal >= 2 else 1
    return count + 1 if ideal >= count else count - 1


END_LEG = {"crown": 2.0}
"""How much longer the zigzag's first and last legs are than its others. The crown is lower at its
ends than in the middle, so there the end triangles are made as wide as the others."""
USUAL_END = 1.5
"""Makes the end triangles three quarters of the others instead of half."""


def zigzag_shares(count: int, end: float) -> list[float]:
    """Where the zigzag turns, as shares of the row: evenly, but for first and last legs ``end``
    times as long."""
    legs = [1.0] * (count - 1)
    if count > 3:
        legs[0] = legs[-1] = end
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
    across a row's edge within a band become one section, and halves are left along its borders.
    """
    low, high = strip.half
    levels = [scalp.level(row.upper, low, high) for row in rows]
    levels.append(scalp.level(rows[-1].lower, low, high))
    cells: list[Cell] = []
    below: Based = []
    place = 0
    for i, (row, count) in enumerate(zip(rows, counts)):
        same = diamonds and i > 0 and row.band == rows[i - 1].band
        place = place + 1 if same or not diamonds else 0
        if row.sliced or count == 1:
            made, up, down = slices(scalp, strip, index, i, row, count, levels[i], levels[i + 1])
        else:
            line = (middle_of(rows, row.band) if diamonds else row).line
            if strip.zone == UNEVEN:
                line = line.evened(scalp)
            start = line.along(strip.low)
            length = line.along(strip.high) - start
            shares = zigzag_shares(count, END_LEG.get(strip.zone, USUAL_END))
            back = strip.high > pi
            turns = [strip.low, *line.azimuths([start + x * length for x in shares[1:-1]], back), strip.high]
            if strip.side == "middle":
                turns = even(turns, 2 * pi if back else 0.0)
            made, up, down = zigzag(scalp, strip, index, i, place, row, turns, shares, levels[i], levels[i + 1])
        if i == 0:
            for p, q, cell in up:
                if row.upper:
                    cell.rim.append(Edge(False, row.upper, p, q, True))
        elif same and not row.sliced:
            made = merge(made, below, up, scalp)
        else:
            match(below, up)
        if i == len(rows) - 1:
            for p, q, cell in down:
                cell.rim.append(Edge(False, row.lower, p, q, False))
        cells += made
        below = down
    return cells


def even(turns: list[float], turn: float) -> list[float]:
    """Azimuths that lie alike on both sides of the midline but for the last bits, made quite alike."""
    half = turns[: len(turns) // 2]
    return half + turns[len(half) : len(turns) - len(half)] + [turn - x for x in half[::-1]]


def middle_of(rows: list[Row], band: int) -> Row:
    """The row that says where the points of a band lie."""
    mine = [row for row in rows if row.band == band]
    return mine[len(mine) // 2]


def slices(
    scalp: Scalp, strip: Strip, index: int, i: int, row: Row, count: int, over: Level, under: Level
) -> tuple[list[Cell], Based, Based]:
    """A row cut straight down: at the vertex that makes triangles of it."""
    turns = [strip.low]
    turns += [row.line.azimuth(row.start + k / count * row.length, strip.high > pi) for k in range(1, count)]
    turns.append(strip.high)
    made: list[Cell] = []
    for p, q in zip(turns, turns[1:]):
        middle = (p + q) / 2
        height, centre = scalp.middle(middle, row.upper, row.lower, row.line.u)
        cell = Cell(
            strip.zone, side_of(strip, p, q), index, i,
            outline(scalp, p, q, row.upper, row.lower, scalp.hairline_at(p), scalp.hairline_at(q)),
            under.upto(q) - under.upto(p) - over.upto(q) + over.upto(p),
            (2.0 if row.upper == 0.0 else 1.0) * row.length / count, height, middle, centre,
        )
        if made:
            cell.link(made[-1])
        made.append(cell)
    made[0].rim.append(Edge(True, strip.low, row.upper, row.lower, True))
    made[-1].rim.append(Edge(True, strip.high, row.upper, row.lower, False))
    based = [(p, q, cell) for p, q, cell in zip(turns, turns[1:], made)]
    return made, based if row.upper else [], based


def zigzag(
    scalp: Scalp, strip: Strip, index: int, i: int, place: int, row: Row, turns: list[float],
    shares: list[float], over: Level, under: Level,
) -> tuple[list[Cell], Based, Based]:
    """The triangles of one row, and those that stand on its upper and on its lower edge. ``place``,
    odd or even, says which way the first one points."""
    count = len(turns)
    # A row across the midline that ends as it began is laid to its middle, the rest reflected.
    laid = count // 2 + 1 if strip.side == "middle" and count % 2 else count
    turn = 2 * pi if strip.high > pi else 0.0
    ends = turns[: laid + 1]
    depths = [(row.upper if (k + place) % 2 == 0 else row.lower) for k in range(len(ends))]
    totals = [
        scalp.slant(ends[k], depths[k], ends[k + 1], depths[k + 1]) for k in range(len(ends) - 1)
    ]
    edge, overs, unders = scalp.hairline_along(ends), over.along(ends), under.along(ends)
    made: list[Cell] = []
    up: Based = []
    down: Based = []
    for k in range(laid):
        first, last = max(0, k - 1), min(count - 1, k + 1)
        p, q = ends[first], ends[last]
        # The base lies on the edge that the turn in the middle doesn't touch; at the two ends
        # it runs from the corner below or above the turn.
        base_up = depths[k] == row.lower
        level = overs if base_up else unders
        area = abs(level[last] - level[first] - sum(totals[first:last]))
        apex, base = (row.lower, row.upper) if base_up else (row.upper, row.lower)
        bottom = [(x, base * scalp.hairline_at(x)) for x in steps(p, q)[1:-1]] if q - p > BEND else []
        middle = (p + q + ends[k]) / 3
        height, centre = scalp.middle(middle, row.upper, row.lower, (2 * base + apex) / 3)
        cell = Cell(
            strip.zone, side_of(strip, p, q), index, i,
            ((p, base * edge[first]), *bottom, (q, base * edge[last]), (ends[k], apex * edge[k])), area,
            (shares[last] - shares[first]) * row.length, height, middle, centre,
        )
        made.append(cell)
        (up if base_up else down).append((p, q, cell))
    for based in (up, down):
        whole = based[::-1]
        if laid < count and whole and whole[0][2] is made[-1]:
            whole = whole[1:]
        based += [(turn - q, turn - p, reflected(cell, turn)) for p, q, cell in whole if laid < count]
    if laid < count:
        made = [cell for _, _, cell in sorted(up + down, key=by_middle)]
    for one, other in zip(made, made[1:]):
        one.link(other)
    made[0].rim.append(Edge(True, strip.low, row.upper, row.lower, True))
    made[-1].rim.append(Edge(True, strip.high, row.upper, row.lower, False))
    return made, up, down


def by_middle(based: tuple[float, float, Cell]) -> float:
    """Where a triangle lies along its row."""
    return based[2].phi


def reflected(cell: Cell, turn: float) -> Cell:
    """The triangle across the midline, whose azimuths and this one's add up to ``turn``."""
    x, y, z = cell.centre
    ring = cell.outline
    return Cell(
        cell.zone, OTHER[cell.side], cell.strip, cell.row,
        tuple([(turn - p, t) for p, t in (*ring[-2::-1], ring[-1])]),
        cell.area, cell.width, cell.height, turn - cell.phi, (-x, y, z),
    )


def merge(made: list[Cell], below: Based, up: Based, scalp: Scalp) -> list[Cell]:
    """Join triangles that stand on the same base from above and below into diamonds: those above
    grow, and what is left of the row below is returned."""
    bases = {(round(p, 9), round(q, 9)): cell for p, q, cell in below}
    gone: set[int] = set()
    for p, q, cell in up:
        top = bases[(round(p, 9), round(q, 9))]
        total = top.area + cell.area
        # Each outline runs along the base, then to its tip.
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
    return [cell for cell in made if id(cell) not in gone]
