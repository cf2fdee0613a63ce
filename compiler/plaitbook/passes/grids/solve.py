"""A grid given by count: the size at which it has exactly so many sections."""

from __future__ import annotations

from math import sqrt

from ...meaning.model import Grid
from .jobs import Job, jobs, mirror_odd, plan, sections_in, share_of
from .laid import Laid, refusal
from .scalp import Scalp
from .zones import Strip


def solve_count(
    scalp: Scalp, strips: tuple[Strip, ...], zones: list[str], grid: Grid, mirrored: bool,
    part: float | None, areas: dict[str, float], zigzag: bool,
    each: list[float],
) -> tuple[float, dict[int, list[int]]] | Laid:
    """The size at which the zones' grid has exactly ``grid.count`` sections, and each strip's rows.

    Bisection on the size; what whole rows leave over is given to, or taken from, the rows
    with the most sections, where one more or less shows least.
    """
    wanted = grid.count or 0
    worked = {zone: grid for zone in zones}
    def laid(size: float) -> tuple[int, list[tuple[Job, list[int]]]]:
        found, total = [], 0
        for job in jobs(strips, worked, dict.fromkeys(zones, (size, size)), zigzag, part, mirrored, each):
            counts = plan(scalp, job)[1]
            found.append((job, counts))
            total += sections_in(job, counts)
        return total, found

    area = sum(areas[zone] for zone in zones)
    guess = sqrt(share_of(grid.shape) * area / wanted)
    low, high = 0.6 * guess, 1.8 * guess
    if grid.shape == "rows":
        low, high = 1.0, 4 * sqrt(area)
    best_size, (best_total, best) = guess, laid(guess)
    near = {best_total}
    for _ in range(14):
        if best_total == wanted:
            break
        size = sqrt(low * high)
        total, found = laid(size)
        near.add(total)
        if abs(total - wanted) < abs(best_total - wanted):
            best_size, best_total, best = size, total, found
        if total > wanted:
            low = size
        else:
            high = size
    left = wanted - best_total
    if left and grid.shape != "diamond":
        left = spread_over(best, left)
    if left and grid.shape == "diamond":
        close = " or ".join(str(n) for n in sorted(near, key=lambda n: abs(n - wanted))[:2])
        return refusal(
            "grid-count", f"{wanted} diamonds can't be laid in {', '.join(zones)}", f"{close} can", grid)
    if left:
        least = sum(len(c) * (1 if j.twin is None else 2) for j, c in best)
        advice = f"write an even number such as {wanted + 1}, or say that the look isn't mirrored"
        if wanted < least:
            advice = f"write {least} or more, or leave a zone out"
        return refusal("grid-count", f"{wanted} sections can't be laid in {', '.join(zones)}", advice, grid)
    return best_size, {job.index: counts for job, counts in best}


def spread_over(found: list[tuple[Job, list[int]]], left: int) -> int:
    """Add or take sections row by row until none are left over; what can't be placed is returned.

    Sides go in pairs. Rows whose mirroring rests on being odd or even change by two, and by one
    only for the last.
    """
    sign = 1 if left > 0 else -1
    while left:
        best = None
        for job, counts in found:
            paired = job.twin is not None
            careful = mirror_odd(job) and job.shape in ("brick", "triangle")
            step = 2 if careful and abs(left) >= 2 else 1
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
