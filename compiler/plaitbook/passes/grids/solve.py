"""A grid given by count: the size at which it has exactly so many sections."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from ...meaning.model import Grid
from .jobs import Job, by_parity, jobs, mirror_odd, plan, sections_in, share_of
from .laid import Laid, refusal
from .rows import Row
from .scalp import Scalp
from .zones import Strip


Found = list[tuple[Job, list[Row], list[int]]]
"""Strips with their rows and counts."""


def solve_count(
    scalp: Scalp, strips: tuple[Strip, ...], zones: list[str], grid: Grid, mirrored: bool,
    part: float | None, areas: dict[str, float], zigzag: bool,
    each: list[float],
) -> tuple[float, dict[int, tuple[list[Row], list[int]]]] | Laid:
    """The size at which the zones' grid has exactly ``grid.count`` sections, and each strip's rows.

    The size is searched for; what whole rows leave over is given to, or taken from, the rows
    with the most sections, where one more or less shows least. Triangles and diamonds change
    together with their neighbours, so for those the changes that add up are searched for. A
    count that can't be had is refused with the nearest that can.
    """
    wanted = grid.count or 0
    worked = {zone: grid for zone in zones}

    def laid(size: float) -> tuple[int, Found]:
        found, total = [], 0
        for job in jobs(strips, worked, dict.fromkeys(zones, (size, size)), zigzag, part, mirrored, each):
            rows, counts = plan(scalp, job)
            found.append((job, rows, counts))
            total += sections_in(job, rows, counts)
        return total, found

    area = sum(areas[zone] for zone in zones)
    size = guess = sqrt(share_of(grid.shape) * area / wanted)
    slanted = grid.shape in ("triangle", "diamond")
    low, high = 0.6 * guess, 1.8 * guess
    if grid.shape == "rows":
        low, high = 1.0, 4 * sqrt(area)
    best_size, best_total, best = guess, -1, []
    for _ in range(14):
        total, found = laid(size)
        if best_total < 0 or abs(total - wanted) < abs(best_total - wanted):
            best_size, best_total, best = size, total, found
        if abs(best_total - wanted) <= NEAR * wanted:
            break
        if total > wanted:
            low = size
        else:
            high = size
        # Counts go with one over the size squared; where that leads outside, halve instead.
        size *= sqrt(total / wanted)
        if not low < size < high:
            size = sqrt(low * high)
    left = wanted - best_total
    near: list[int] = []
    if slanted:
        left, near = share_out(best, left)
    elif left:
        left = spread_over(best, left)
        pairs = all(job.twin is not None for job, _, _ in best)
        least = sum(len(counts) * (1 if job.twin is None else 2) for job, _, counts in best)
        near = [n for n in ((wanted - 1, wanted + 1) if pairs else (least,)) if n >= least] or [least]
    if left:
        close = " or ".join(str(n) for n in (sorted({wanted + n for n in near}) if slanted else near))
        return refusal(
            "E002", f"{wanted} {WORDS.get(grid.shape, 'sections')} can't be laid in {', '.join(zones)}",
            f"{close} can" + ("; so can others if the look isn't mirrored" if mirrored and (slanted or pairs) else ""), grid,
        )
    return best_size, {job.index: (rows, counts) for job, rows, counts in best}


NEAR = 0.012
"""How near, as a share, the search for a size must come before rows are evened out one by one
(our own estimate)."""
WORDS = {"triangle": "triangles", "diamond": "diamonds"}


def spread_over(found: Found, left: int) -> int:
    """Add or take sections row by row until none are left over; what can't be placed is returned.

    Sides go in pairs. Rows whose bricks rest on being odd or even change by two, and by one only
    for the last.
    """
    sign = 1 if left > 0 else -1
    while left:
        best = None
        for job, rows, counts in found:
            paired = job.twin is not None
            step = 2 if by_parity(job, rows) and abs(left) >= 2 else 1
            if abs(left) < step * (2 if paired else 1):
                continue
            for i, count in enumerate(counts):
                if count + sign * step >= 1 and (best is None or count > best[0]):
                    best = (count, counts, i, step, step * (2 if paired else 1))
        if best is None:
            break
        _, counts, i, step, worth = best
        counts[i] += sign * step
        left -= sign * worth
    return left


class Change(NamedTuple):
    """Rows ``first`` to ``last`` of a strip taking ``count`` sections each."""

    counts: list[int]
    first: int
    last: int
    count: int


def share_out(found: Found, left: int) -> tuple[int, list[int]]:
    """Change the counts of triangles and diamonds so that ``left`` more come of it, bending the
    fewest rows the least; (what is left, the nearest differences that can be had)."""
    reach = abs(left) + 14
    ways: dict[int, tuple[float, tuple]] = {0: (0.0, ())}
    for changes in [each for part in found for each in choices(*part)]:
        after = dict(ways)
        for delta, cost, change in changes:
            for total, (spent, chain) in ways.items():
                new = total + delta
                if abs(new) <= reach and (new not in after or after[new][0] > spent + cost):
                    after[new] = (spent + cost, (change, chain))
        ways = after
    if left not in ways:
        below = [n - left for n in ways if n < left]
        above = [n - left for n in ways if n > left]
        return left, ([max(below)] if below else []) + ([min(above)] if above else [])
    chain = ways[left][1]
    while chain:
        change, chain = chain
        for i in range(change.first, change.last + 1):
            change.counts[i] = change.count
    return 0, []


def choices(job: Job, rows: list[Row], counts: list[int]) -> list[list[tuple[int, float, Change]]]:
    """For each row of triangles, or band of diamonds, the counts near its own that it may have:
    (sections gained, cost, change)."""
    out = []
    paired = 1 if job.twin is None else 2
    first = 0
    while first < len(rows):
        last = first
        while job.shape == "diamond" and last + 1 < len(rows) and rows[last + 1].band == rows[first].band:
            last += 1
        count, size = counts[first], last - first + 1
        sliced = rows[first].sliced or count == 1
        odd = not sliced and (size > 1 or mirror_odd(job))
        some = []
        for new in range(max(1 if rows[first].sliced else 3 if odd else 2, count - 4), count + 5):
            if new == count or (odd and not new % 2) or not 0.7 < new / count < 1.4 or (sliced and size > 1):
                continue
            # Between two rows of a band, a base is shared by every second triangle.
            shared = (new - count) // 2 * (size - 1)
            some.append((paired * ((new - count) * size - shared), (new / count - 1) ** 2 * size, Change(counts, first, last, new)))
        out.append(some)
        first = last + 1
    return out
