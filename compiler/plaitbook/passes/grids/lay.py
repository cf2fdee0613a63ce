"""All zones of a look, laid: strips, sizes, cells, and the marks the comb is set by."""

from __future__ import annotations

from math import pi

from ...meaning.model import Grid
from .cell import Cell, mirror
from .jobs import Job, area_of, jobs, mirror_odd, plan, share_of
from .joins import join
from .laid import Asked, Laid, Mark, refusal, too_many
from .quads import lay_quads
from .rows import Row, cut_rows
from .scalp import Scalp
from .slants import lay_slants
from .solve import solve_count
from .sweeps import across, lay_bun, lay_sweep, turn_of
from .zones import HAIRLINE_MM, Strip, band_depth, divide, parting_azimuth


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
    each = [area_of(scalp, strip) for strip in strips]
    areas: dict[str, float] = {}
    for strip, area in zip(strips, each):
        areas[strip.zone] = areas.get(strip.zone, 0.0) + area
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
    zigzag = asked.parting.zigzag and part is not None
    exact: dict[int, list[int]] = {}
    for zones in counted.values():
        grid = worked[zones[0]]
        if grid.count > most:
            return too_many(grid, sum(areas[z] for z in zones), most)
        solved = solve_count(scalp, strips, zones, grid, asked.mirrored, part, areas, zigzag, each)
        if isinstance(solved, Laid):
            return solved
        size, counts = solved
        exact.update(counts)
        for zone in zones:
            sizes[zone] = (size, size)
    cells: list[Cell] = []
    marks: dict[tuple[int, int], Mark] = {}
    for job in jobs(strips, worked, sizes, zigzag, part, asked.mirrored, each):
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


def lay_job(scalp: Scalp, job: Job, rows: list[Row], counts: list[int]) -> list[Cell]:
    """The sections of one strip."""
    if job.shape in ("triangle", "diamond"):
        return lay_slants(scalp, job.strip, job.index, rows, counts, job.shape == "diamond")
    brick = job.shape == "brick"
    end = ""
    if job.zigzag:
        end = "low" if job.strip.side == "right" else "high"
    return lay_quads(scalp, job.strip, job.index, rows, counts, brick, brick and mirror_odd(job), end)


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


def hairline_size(grid: Grid | None) -> float:
    """Depth of the hairline band, mm."""
    if grid is None or grid.height_mm is None or grid.shape == "rows":
        return HAIRLINE_MM
    return grid.height_mm.value


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
