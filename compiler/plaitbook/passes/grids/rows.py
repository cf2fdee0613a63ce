"""How many rows a strip has, where they lie, and how many sections each row takes."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from .scalp import RowLine, Scalp, row_line
from .zones import Strip


class Row(NamedTuple):
    """One row of a strip, upper edge to lower edge, before it is cut into sections."""

    upper: float
    lower: float
    line: RowLine
    start: float
    length: float
    """mm along the row's middle from ``start``, its running arc at the strip's low azimuth."""
    height: float
    band: int = 0
    """Rows of diamonds in one band have the same count; bands lie one below the other."""
    sliced: bool = False
    """Cut by straight lines down the head though the shape is a triangle or a diamond."""


def set_rows(scalp: Scalp, strip: Strip, size_mm: float, one_row: bool) -> list[Row]:
    """Rows of equal height by true arc along the strip's middle meridian, crown side first."""
    phi = strip.middle
    top, bottom = scalp.down(phi, strip.upper), scalp.down(phi, strip.lower)
    count = 1 if one_row else max(1, round((bottom - top) / size_mm))
    return cut_rows(scalp, strip, count)


def cut_rows(scalp: Scalp, strip: Strip, count: int) -> list[Row]:
    """``count`` rows of equal height."""
    return list(equal_rows(scalp, strip, count))


@lru_cache(maxsize=256)
def equal_rows(scalp: Scalp, strip: Strip, count: int) -> tuple[Row, ...]:
    """:func:`cut_rows`, kept: a search for a size comes back to the same rows."""
    phi = strip.middle
    top, bottom = scalp.down(phi, strip.upper), scalp.down(phi, strip.lower)
    height = (bottom - top) / count
    arcs = [top + i * height for i in range(count)] + [bottom]
    edges = [strip.upper] + [scalp.depth(phi, arc) for arc in arcs[1:-1]] + [strip.lower]
    return tuple([row_between(scalp, strip, arcs[i : i + 2], edges[i : i + 2]) for i in range(count)])


def row_between(scalp: Scalp, strip: Strip, arcs: list[float], edges: list[float], band: int = 0, sliced: bool = False) -> Row:
    """The row between two arcs (mm from the vertex, along the strip's middle) at two depths."""
    line = row_line(scalp, scalp.depth(strip.middle, (arcs[0] + arcs[1]) / 2), *strip.half)
    start = line.along(strip.low)
    return Row(edges[0], edges[1], line, start, line.along(strip.high) - start, arcs[1] - arcs[0], band, sliced)


SLIVER = 0.5
"""A section smaller than this share of the area asked for, or narrower than this share of the
smaller side asked for, is one that no braider parts (our own estimate)."""


def tip_rows(rows: list[Row], height: float, width: float) -> int:
    """How many rows, from the vertex down, are done as one so that its sections can be held.

    A zone that reaches the vertex ends there in a point. Rows join until a section of the joined
    row keeps :data:`SLIVER`; where none does, the zone is too narrow for the size, and is one row.
    """
    least, total = SLIVER * min(height, width), 0.0
    for n, row in enumerate(rows, 1):
        # A point on the head is nearly flat: its rows' areas add up, its middle is half its end.
        total += row.length * row.height
        across = total / sum([r.height for r in rows[:n]])
        sections = fit(across, width)
        if across / sections >= least and total / sections >= SLIVER * height * width:
            return n
    return len(rows)


def join_tip(scalp: Scalp, strip: Strip, rows: list[Row], count: int, sliced: bool = False) -> list[Row]:
    """The rows with the first ``count`` made one."""
    if count < 2 and not sliced:
        return rows
    end = scalp.down(strip.middle, rows[count - 1].lower)
    return [row_between(scalp, strip, [0.0, end], [0.0, rows[count - 1].lower], 0, sliced), *rows[count:]]


def fit(length: float, size_mm: float, parity: int | None = None) -> int:
    """Sections in a row of ``length``: nearest whole number, at least 1, of one parity if asked.

    Parity is how bricks that cross the midline stay mirrored: rows of odd and even numbers
    of equal sections alternate, which sets them off by exactly half.
    """
    ideal = length / size_mm
    count = max(1, round(ideal))
    if parity is None or count % 2 == parity:
        return count
    if count == 1:
        # Where half a row would be a sliver, the row stays whole: mirrored, but not off by half.
        return 2 if 2 * SLIVER * size_mm <= length else 1
    lower, upper = count - 1, count + 1
    return upper if ideal * ideal > lower * upper else lower


def plan_counts(rows: list[Row], size_mm: float, by_parity: bool) -> list[int]:
    """Sections of each row, crown side first."""
    free = [fit(row.length, size_mm) for row in rows]
    if not by_parity:
        return free
    # Either parity may come first: take the one that bends fewer rows.
    best = None
    for first in (0, 1):
        counts = [fit(row.length, size_mm, (first + i) % 2) for i, row in enumerate(rows)]
        bent = sum(abs(p - q) for p, q in zip(counts, free))
        if best is None or bent < best[0]:
            best = (bent, counts)
    return best[1] if best else free


def breaks(count: int, row: int, brick: bool, by_parity: bool) -> list[float]:
    """Where a row of ``count`` sections is cut, as shares of its length, ends included.

    Bricks that don't alternate by parity shift every cut by a quarter section, one way in
    odd rows and the other in even ones: rows are off by half, and the end sections are a
    quarter larger and smaller instead of one being cut in two.
    """
    shift = 0.0
    if brick and not by_parity and count > 1:
        shift = 0.25 if row % 2 == 0 else -0.25
    return [0.0] + [(i + shift) / count for i in range(1, count)] + [1.0]
