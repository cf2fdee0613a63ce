"""All zones of a look, laid: strips, sizes, cells, and the marks the comb is set by."""

from __future__ import annotations

from math import pi, sqrt
from typing import Literal, NamedTuple

from ...meaning.model import Grid, Parting
from ...syntax.problem import Problem, Span
from .cell import Cell, mirror
from .joins import join
from .quads import lay_quads
from .rows import Row, cut_rows, fit, plan_counts, set_rows, without_sliver
from .scalp import Scalp
from .slants import lay_slants, triangle_count
from .sweeps import across, lay_bun, lay_sweep, turn_of
from .zones import FRONT_ZONES, HAIRLINE_MM, Strip, band_depth, divide, parting_azimuth


class Asked(NamedTuple):
    """What the section pass reads of a recipe and a house; hashable."""

    zones: tuple[tuple[str, bool, Grid], ...]
    """(zone, left out, grid)."""
    parting: Parting
    mirrored: bool
    order: str
    left_handed: bool


class Mark(NamedTuple):
    """One row's parting guide, mm."""

    height: float
    from_hairline: float
    offset: Literal["none", "half"]
    note: str


class Laid(NamedTuple):
    """What :func:`lay_zones` found; areas in mm2 by zone, left-out zones included."""

    cells: list[Cell]
    areas: dict[str, float]
    marks: dict[tuple[int, int], Mark]
    sizes: dict[str, tuple[float, float]]
    """(height, width) in mm used in each worked zone."""
    problems: tuple[Problem, ...]


def refusal(code: str, message: str, advice: str, grid: Grid) -> Laid:
    """Nothing laid, and why."""
    span = Span(grid.origin.file, grid.origin.line, 1, 1)
    return Laid([], {}, {}, {}, (Problem(code, message, advice, span),))


class Job(NamedTuple):
    """One strip with its rows decided. ``twin`` is the strip its sections are reflected onto."""

    index: int
    strip: Strip
    twin: int | None
    size: tuple[float, float]
    shape: str
    mirrored: bool
    zigzag: bool = False
    """Whether one end lies on a zigzag parting."""


def lay_zones(scalp: Scalp, asked: Asked, most: int) -> Laid:
    """Lay every zone that isn't left out. More than ``most`` sections is a problem."""
    worked = {zone: grid for zone, left_out, grid in asked.zones if not left_out}
    for grid in worked.values():
        bad = check(grid)
        if bad is not None:
            return bad
    part = parting_azimuth(
        scalp, asked.parting.kind, asked.parting.side,
        asked.parting.offset_mm.value if asked.parting.offset_mm else None,
    )
    strips = divide(band_depth(scalp, hairline_size(worked.get("hairline"))), part)
    areas: dict[str, float] = {}
    for strip in strips:
        areas[strip.zone] = areas.get(strip.zone, 0.0) + area_of(scalp, strip)
    sizes = {
        zone: (grid.height_mm.value, grid.width_mm.value if grid.width_mm else grid.height_mm.value)
        for zone, grid in worked.items() if grid.height_mm is not None
    }
    for zone, (height, width) in sizes.items():
        if areas[zone] / (height * width) * share_of(worked[zone].shape) > most:
            return too_many(worked[zone], sum(areas[z] for z in worked), most)
    counted: dict[int, list[str]] = {}
    for zone, grid in worked.items():
        if grid.count is not None:
            counted.setdefault(grid.group, []).append(zone)
    grids = list(worked.values())
    if len(worked) == len(areas) and all(
        g.shape == "rows" and (g.group, g.direction) == (grids[0].group, grids[0].direction) for g in grids
    ):
        return lay_whole_rows(scalp, grids[0], part, areas, most)
    exact: dict[int, list[int]] = {}
    for zones in counted.values():
        grid = worked[zones[0]]
        if grid.count > most:
            return too_many(grid, sum(areas[z] for z in zones), most)
        solved = solve_count(scalp, strips, zones, grid, asked.mirrored, part, areas, asked.parting.zigzag and part is not None)
        if isinstance(solved, Laid):
            return solved
        size, counts = solved
        exact.update(counts)
        for zone in zones:
            sizes[zone] = (size, size)
    cells: list[Cell] = []
    marks: dict[tuple[int, int], Mark] = {}
    zigzag = asked.parting.zigzag and part is not None
    for job in jobs(strips, worked, sizes, zigzag, part, asked.mirrored):
        rows, counts = plan(scalp, job)
        counts = exact.get(job.index) or counts
        made = lay_job(scalp, job, rows, counts)
        cells += made
        if job.twin is not None:
            cells += mirror(made, job.twin)
        mark_rows(scalp, job, rows, marks)
        if len(cells) > most:
            return too_many(worked[job.strip.zone], sum(areas[z] for z in worked), most)
    join(cells)
    return Laid(cells, areas, marks, sizes, ())


def plan(scalp: Scalp, job: Job) -> tuple[list[Row], list[int]]:
    """The rows of a strip, and how many sections each is cut into."""
    strip, (height, width) = job.strip, job.size
    if job.shape == "rows":
        rows = cut_rows(scalp, strip, 1)
        return rows, [fit(rows[0].length, width)]
    if job.shape == "diamond":
        arc = scalp.down(strip.middle, strip.lower) - scalp.down(strip.middle, strip.upper)
        rows = cut_rows(scalp, strip, 2 * max(1, round(arc / height)) if strip.zone != "hairline" else 2)
        mean = sum(row.length for row in rows) / len(rows)
        return rows, [triangle_count(mean, width, mirror_odd(job))] * len(rows)
    rows = set_rows(scalp, strip, height, strip.zone == "hairline")
    # Rows that dip round the ears are lower across than they are along a meridian: what counts
    # is the strip's area over the length of its rows.
    area = area_of(scalp, strip)
    true = area / sum([row.length for row in rows])
    count = max(1, round(len(rows) * true / height))
    if count != len(rows) and strip.zone not in FRONT_ZONES:
        rows = cut_rows(scalp, strip, count)
        true = area / sum([row.length for row in rows])
    if not job.zigzag:
        # A zigzag needs the same rows on both of its sides.
        rows = without_sliver(scalp, strip, rows, width)
    if job.shape == "triangle":
        return rows, [triangle_count(row.length, width, mirror_odd(job)) for row in rows]
    # Whole rows are seldom exactly as high as asked. Half of what that does to a section's area
    # is made good in its width: the count stays near the size's, the shape near a square
    # (our own estimate).
    width *= sqrt(height / true)
    return rows, plan_counts(strip, rows, width, job.shape == "brick", job.mirrored)


def mirror_odd(job: Job) -> bool:
    """Whether a row must look the same from both ends."""
    return job.mirrored and job.strip.side == "middle"


def lay_job(scalp: Scalp, job: Job, rows: list[Row], counts: list[int]) -> list[Cell]:
    """The sections of one strip."""
    if job.shape in ("triangle", "diamond"):
        return lay_slants(scalp, job.strip, job.index, rows, counts, job.shape == "diamond")
    brick = job.shape == "brick"
    end = ""
    if job.zigzag:
        end = "low" if job.strip.side == "right" else "high"
    return lay_quads(scalp, job.strip, job.index, rows, counts, brick, brick and mirror_odd(job), end)


def sections_in(job: Job, counts: list[int]) -> int:
    """Sections that a strip's rows make, its twin's included."""
    total = sum(counts)
    if job.shape == "diamond":
        # Triangles that stand base to base across a row's edge are one section.
        total -= sum((count + (i % 2 == 0)) // 2 for i, count in enumerate(counts[:-1]))
    return total * (1 if job.twin is None else 2)


def lay_whole_rows(
    scalp: Scalp, grid: Grid, part: float | None, areas: dict[str, float], most: int
) -> Laid:
    """Scalp rows over the whole head. A row counts to the zone it passes at the crown's height,
    and so does its area."""
    bun = grid.direction == "up to bun"
    turn = turn_of(grid.direction)
    span = 2 * cut_rows(scalp, Strip("top", "right", 0.0, pi, 0.0, 1.0), 1)[0].length if bun else across(scalp, turn)[1][-1]
    count = grid.count or 0
    if grid.height_mm is not None and grid.count is None:
        count = max(1, round(span / grid.height_mm.value))
        if part is not None and not turn:
            count = max(2, 2 * round(span / grid.height_mm.value / 2))
    if count > most:
        return too_many(grid, sum(areas.values()), most)
    cells = lay_bun(scalp, count) if bun else lay_sweep(scalp, count, turn)
    own = dict.fromkeys(areas, 0.0)
    marks = {}
    note = "from the hairline up to the bun" if bun else f"{grid.direction}, hairline to nape"
    for cell in cells:
        own[cell.zone] += cell.area
        marks[(cell.strip, cell.first_row)] = Mark(cell.width, 0.0, "none", note)
    width = span / count
    return Laid(cells, own, marks, {zone: (width, width) for zone in areas}, ())


def check(grid: Grid) -> Laid | None:
    """A grid that can't be laid at all."""
    if grid.count is None and grid.height_mm is None:
        return refusal("grid-size", "this grid has neither a size nor a count", "write a size such as ¾ in, or a count", grid)
    for measure in (grid.height_mm, grid.width_mm):
        if measure is not None and not measure.value > 0:
            return refusal("grid-size", f"a section can't be {measure.text} in size", "write a size above zero", grid)
    if grid.count is not None and grid.count < 1:
        return refusal("grid-count", f"{grid.count} sections is none", "write 1 or more, or leave the zone out", grid)
    return None


def share_of(shape: str) -> float:
    """Sections to one height × width: triangles are halves of their rectangles, diamonds too."""
    return 2.0 if shape in ("triangle", "diamond") else 1.0


def too_many(grid: Grid, area_mm2: float, most: int) -> Laid:
    """More sections than can be laid, with a size that gives fewer."""
    least = sqrt(area_mm2 / most)
    return refusal(
        "too-many-sections", f"this grid gives more than {most} sections",
        f"sections of {least + 0.5:.0f} mm or more give fewer", grid,
    )


def hairline_size(grid: Grid | None) -> float:
    """Depth of the hairline band, mm."""
    if grid is None or grid.height_mm is None or grid.shape == "rows":
        return HAIRLINE_MM
    return grid.height_mm.value


def area_of(scalp: Scalp, strip: Strip) -> float:
    """Area of a strip, mm2."""
    low, high = strip.half
    upper, lower = scalp.level(strip.upper, low, high), scalp.level(strip.lower, low, high)
    return lower.upto(strip.high) - lower.upto(strip.low) - upper.upto(strip.high) + upper.upto(strip.low)


def jobs(
    strips: tuple[Strip, ...], worked: dict[str, Grid], sizes: dict[str, tuple[float, float]],
    zigzag: bool, part: float | None, mirrored: bool,
) -> list[Job]:
    """The strips to lay: of a mirrored pair only the right one, with the left as its twin.

    The zones that a parting divides are mirrored only if it is straight and in the middle.
    """
    pairs: dict[str, dict[str, int]] = {}
    for i, strip in enumerate(strips):
        pairs.setdefault(strip.zone, {})[strip.side] = i
    out = []
    for i, strip in enumerate(strips):
        if strip.zone not in worked:
            continue
        twin = None
        same = strip.zone not in FRONT_ZONES or (part == 0.0 and not zigzag)
        if mirrored and same and strip.side != "middle":
            if strip.side == "left":
                continue
            twin = pairs[strip.zone]["left"]
        out.append(Job(i, strip, twin, sizes[strip.zone], worked[strip.zone].shape, mirrored, zigzag and strip.zone in FRONT_ZONES))
    return out


def mark_rows(scalp: Scalp, job: Job, rows: list[Row], marks: dict[tuple[int, int], Mark]) -> None:
    """The comb's marks for every row of a strip."""
    phi = job.strip.middle
    edge = scalp.down(phi, 1.0)
    for i, row in enumerate(rows):
        offset = "half" if job.shape in ("brick", "diamond") and i % 2 else "none"
        mark = Mark(row.height, max(0.0, edge - scalp.down(phi, row.lower)), offset, "")
        marks[(job.index, i)] = mark
        if job.twin is not None:
            marks[(job.twin, i)] = mark


def solve_count(
    scalp: Scalp, strips: tuple[Strip, ...], zones: list[str], grid: Grid, mirrored: bool,
    part: float | None, areas: dict[str, float], zigzag: bool,
) -> tuple[float, dict[int, list[int]]] | Laid:
    """The size at which the zones' grid has exactly ``grid.count`` sections, and each strip's rows.

    Bisection on the size; what whole rows leave over is given to, or taken from, the rows
    with the most sections, where one more or less shows least.
    """
    wanted = grid.count or 0
    worked = {zone: grid for zone in zones}
    def laid(size: float) -> tuple[int, list[tuple[Job, list[int]]]]:
        found, total = [], 0
        for job in jobs(strips, worked, dict.fromkeys(zones, (size, size)), zigzag, part, mirrored):
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
