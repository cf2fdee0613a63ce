"""Rows of diamonds: bands in which every row has the same count, one below the other.

Diamonds tile a band only if their points meet, so a band keeps one count from its upper edge to
its lower. Towards the vertex rows grow shorter; there a new band with fewer diamonds begins each
time the length has halved, and the point itself is cut into plain triangles. Along a band's edges
lie half diamonds. Its first and last rows are made higher, and the first and last legs of every
row longer, so that a half is about three quarters of a whole one; rows of a band are even in
number and counts odd, so that no quarters are left in the corners.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, log2

from .rows import Row, fit, row_between, set_rows, tip_rows
from .scalp import Scalp
from .zones import Strip

TIP = 1.25
"""Height of the triangles at the vertex over that of a diamond (our own estimate)."""
UPPER_EDGE, LOWER_EDGE = 1.75, 1.5
"""Height of a band's first and last rows over its others; the first is the shorter across
(our own estimate)."""
TALLEST_TIP = 1.6
"""A point higher than this many diamonds is never one row (our own estimate)."""
ONE_ROW = 1.2
"""A band lower than this many diamonds is one row of triangles (our own estimate)."""


def diamond_rows(
    scalp: Scalp, strip: Strip, height: float, width: float, odd: bool
) -> tuple[list[Row], list[int]]:
    """Rows and counts of a strip of diamonds ``height`` by ``width`` mm, crown side first.

    ``odd``: a row of triangles must look the same from both ends.
    """
    phi = strip.middle
    top, bottom = scalp.down(phi, strip.upper), scalp.down(phi, strip.lower)
    rows: list[Row] = []
    edges = [top, bottom]
    if not strip.upper:
        fine = set_rows(scalp, strip, height, False)
        tip = min(bottom, max(TIP * height, tip_rows(fine, height, width / 2) * fine[0].height))
        if bottom < tip + 0.8 * height:
            # One row of long slices to the point is no section grid: past this height it is halved.
            tip = bottom if bottom <= TALLEST_TIP * height else bottom / 2
        count = max(1, ceil(log2(bottom / tip) - 0.25)) if tip < bottom else 0
        edges = [tip * (bottom / tip) ** (i / max(1, count)) for i in range(count)] + [bottom]
        depth = scalp.depth(phi, edges[0]) if count else strip.lower
        rows = [row_between(scalp, strip, [0.0, edges[0]], [0.0, depth], 0, True)]
    counts = [fit(row.length, width / 2 * height / row.height) for row in rows]
    for band, (upper, lower) in enumerate(zip(edges, edges[1:]), 1):
        some, each = one_band(scalp, strip, upper, lower, height, width, odd, band)
        rows += some
        counts += each
    return rows, counts


def one_band(
    scalp: Scalp, strip: Strip, upper: float, lower: float, height: float, width: float, odd: bool, band: int
) -> tuple[list[Row], list[int]]:
    """The rows of one band between two arcs from the vertex, mm, and their count."""
    tall = (lower - upper) / height
    length = length_between(scalp, strip, upper, lower)
    ideal = 2 * length / width
    if ideal < 2:
        # Too narrow for a point to go both ways: whole rows, each of about the area asked for.
        n = max(1, round(length * (lower - upper) / (height * width / 2)))
        units = [1.0] * n
        count = 1
    elif tall < ONE_ROW:
        units, count = [1.0], nearest_odd(ideal) if odd else max(2, round(ideal))
    else:
        n = max(2, 2 * round((2 * tall - 1) / 2))
        units, count = [UPPER_EDGE] + [1.0] * (n - 2) + [LOWER_EDGE], nearest_odd(ideal)
    return list(rows_of_band(scalp, strip, upper, lower, tuple(units), band, count == 1)), [count] * len(units)


@lru_cache(maxsize=128)
def length_between(scalp: Scalp, strip: Strip, upper: float, lower: float) -> float:
    """Length in mm half way between two arcs from the vertex; kept, as :func:`rows_of_band` is."""
    return row_between(scalp, strip, [upper, lower], [0.0, 0.0]).length


@lru_cache(maxsize=128)
def rows_of_band(
    scalp: Scalp, strip: Strip, upper: float, lower: float, units: tuple[float, ...], band: int, sliced: bool
) -> tuple[Row, ...]:
    """Rows between two arcs whose heights are as ``units``; kept, because a search for a size comes
    back to the same ones."""
    unit = (lower - upper) / sum(units)
    arcs = [upper]
    for share in units:
        arcs.append(arcs[-1] + share * unit)
    arcs[-1] = lower
    phi = strip.middle
    first, whole = scalp.down(phi, strip.upper), scalp.down(phi, strip.lower)
    depths = [
        strip.upper if arc <= first else strip.lower if arc >= whole else scalp.depth(phi, arc)
        for arc in arcs
    ]
    return tuple([
        row_between(scalp, strip, arcs[i : i + 2], depths[i : i + 2], band, sliced) for i in range(len(units))
    ])


def nearest_odd(ideal: float) -> int:
    """The odd number nearest to ``ideal``, at least 3."""
    return max(3, 2 * round((ideal - 1) / 2) + 1)
