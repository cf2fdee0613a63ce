"""How many rows a strip has, where they lie, and how many sections each row takes."""

from __future__ import annotations

from typing import NamedTuple

from .scalp import RowLine, Scalp
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


def set_rows(scalp: Scalp, strip: Strip, size_mm: float, one_row: bool) -> list[Row]:
    """Rows of equal height by true arc along the strip's middle meridian, crown side first."""
    phi = strip.middle
    top, bottom = scalp.down(phi, strip.upper), scalp.down(phi, strip.lower)
    count = 1 if one_row else max(1, round((bottom - top) / size_mm))
    return cut_rows(scalp, strip, count)


def cut_rows(scalp: Scalp, strip: Strip, count: int) -> list[Row]:
    """``count`` rows of equal height."""
    phi = strip.middle
    low, high = strip.half
    top, bottom = scalp.down(phi, strip.upper), scalp.down(phi, strip.lower)
    height = (bottom - top) / count
    edges = [strip.upper] + [scalp.depth(phi, top + i * height) for i in range(1, count)] + [strip.lower]
    rows = []
    for i in range(count):
        line = RowLine(scalp, scalp.depth(phi, top + (i + 0.5) * height), low, high)
        start = line.along(strip.low)
        rows.append(Row(edges[i], edges[i + 1], line, start, line.along(strip.high) - start, height))
    return rows


SLIVER = 0.5
"""A row at the vertex whose sections would be smaller than this share of the size asked for is
done together with the next one (our own estimate)."""


def without_sliver(scalp: Scalp, strip: Strip, rows: list[Row], width_mm: float) -> list[Row]:
    """The rows, the first two made one where the first ends in a point too small to hold."""
    if strip.upper or len(rows) < 2:
        return rows
    first, second = rows[0], rows[1]
    if first.length / fit(first.length, width_mm) >= SLIVER * width_mm:
        return rows
    low, high = strip.half
    arc = (scalp.down(strip.middle, second.lower)) / 2
    line = RowLine(scalp, scalp.depth(strip.middle, arc), low, high)
    start = line.along(strip.low)
    joined = Row(0.0, second.lower, line, start, line.along(strip.high) - start, first.height + second.height)
    return [joined, *rows[2:]]


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
        return 2
    lower, upper = count - 1, count + 1
    return upper if ideal * ideal > lower * upper else lower


def plan_counts(strip: Strip, rows: list[Row], size_mm: float, brick: bool, mirrored: bool) -> list[int]:
    """Sections of each row, crown side first."""
    if not (brick and mirrored and strip.side == "middle"):
        return [fit(row.length, size_mm) for row in rows]
    free = [fit(row.length, size_mm) for row in rows]
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
