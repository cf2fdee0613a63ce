"""All zones of a look, laid: strips, sizes, cells, and the marks the comb is set by."""

from __future__ import annotations

from math import pi, sqrt

from ...meaning.model import Grid
from .cell import Cell, mirror
from .jobs import Job, area_of, by_parity, jobs, plan, share_of
from .joins import join
from .laid import Asked, Laid, Mark, refusal, too_many
from .loops import Place
from .quads import lay_quads
from .rows import Row, cut_rows
from .runs import FIRST_RUN, counts_for, lay_run, runs_of
from .scalp import Scalp
from .slants import lay_slants
from .solve import solve_count
from .sweeps import across, lay_bun, lay_sweep, turn_of
from .zones import EAR, HAIRLINE_MM, ZIGZAG, Strip, band_depth, divide, parting_azimuth


def lay_zones(scalp: Scalp, asked: Asked, most: int) -> Laid:
    """Lay every zone that isn't left out. More than ``most`` sections is a problem."""
    worked = {zone: grid for zone, left_out, grid in asked.zones if not left_out}
    for grid in worked.values():
        bad = check(grid)
        if bad is not None:
            return bad
    part = parting_azimuth(
        scalp, asked.parting.kind, asked.parting.side,
        asked.parting.offset_mm.value if asked.parting.offset_mm else None, asked.parting.zigzag,
    )
    strips, each, areas = divided(scalp, hairline_size(worked.get("hairline")), part)
    edge = worked.get("hairline")
    if edge is not None and edge.count is not None and edge.shape != "rows":
        # Counted sections are as deep at the hairline as elsewhere; their zones together hardly
        # change in area when the hairline grows.
        area = sum(areas[zone] for zone, grid in worked.items() if grid.group == edge.group and grid.count is not None)
        strips, each, areas = divided(scalp, sqrt(share_of(edge.shape) * area / edge.count), part)
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
    cells: list[Cell] = []
    marks: dict[tuple[int, int], Mark] = {}
    own = dict(areas)
    through = lay_runs(scalp, strips, worked, part, asked.mirrored, most, cells, marks, own, sizes)
    if isinstance(through, Laid):
        return through
    worked = {zone: grid for zone, grid in worked.items() if zone not in through}
    zigzag = asked.parting.zigzag and part is not None
    exact: dict[int, tuple[list[Row], list[int]]] = {}
    for zones in [zones for zones in counted.values() if zones[0] not in through]:
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
    line: list[Place] = []
    for job in jobs(strips, worked, sizes, zigzag, part, asked.mirrored, each):
        rows, counts = exact.get(job.index) or plan(scalp, job)
        made = lay_job(scalp, job, rows, counts)
        cells += made
        if job.twin is not None:
            cells += mirror(made, job.twin)
        mark_rows(scalp, job, rows, marks)
        if job.narrow is not None and job.strip.side == "right":
            slanted = job.shape in ("triangle", "diamond")
            line += [] if slanted else swings(part or 0.0, rows)
        if len(cells) > most:
            return too_many(worked[job.strip.zone], sum(areas[z] for z in worked), most)
    join(cells)
    if part is not None and not line and not (through & {"top", "hairline"} and (part or crosses(cells))):
        line = [(part, i / LINE) for i in range(LINE + 1)]
    parting = tuple([(phi, u * scalp.hairline_at(phi)) for phi, u in line])
    return Laid(cells, own, marks, sizes, (), parting)


LINE = 10
"""Pieces that a straight parting is drawn in."""


def swings(part: float, rows: list[Row]) -> list[Place]:
    """The places a zigzag parting turns at, (azimuth, depth)."""
    sides = [part + (ZIGZAG if i % 2 == 0 else -ZIGZAG) for i in range(len(rows) + 1)]
    return list(zip(sides, [row.upper for row in rows] + [rows[-1].lower]))


def crosses(cells: list[Cell]) -> bool:
    """Whether a scalp row lies across the middle."""
    return any(cell.strip <= FIRST_RUN and cell.side == "middle" for cell in cells)


def lay_runs(
    scalp: Scalp, strips: tuple[Strip, ...], worked: dict[str, Grid], part: float | None, mirrored: bool,
    most: int, cells: list[Cell], marks: dict[tuple[int, int], Mark], own: dict[str, float],
    sizes: dict[str, tuple[float, float]],
) -> set[str] | Laid:
    """Lay the scalp rows that run through zones; the zones done. Fills ``cells``, ``marks`` and
    ``sizes``, and moves each row's area to the zone the row counts to."""
    groups: dict[tuple[int, str], list[str]] = {}
    for zone, grid in worked.items():
        if grid.shape == "rows":
            groups.setdefault((grid.group, grid.direction), []).append(zone)
    done: set[str] = set()
    index = FIRST_RUN
    for (_, direction), zones in groups.items():
        grid = worked[zones[0]]
        runs = runs_of(scalp, [strip for strip in strips if strip.zone in zones], direction)
        if runs is None:
            continue
        counts, near = counts_for(runs, grid, part == 0.0, mirrored)
        if not counts:
            words = " or ".join(str(n) for n in near)
            return refusal("E002", f"{grid.count} rows can't be laid in {', '.join(zones)}", f"{words} can", grid)
        if sum(counts) > most:
            return too_many(grid, sum(own.values()), most)
        done.update(zones)
        for zone in zones:
            own[zone] = 0.0
        note = direction if len(zones) == 1 else f"{direction}, through {', '.join(zones)}"
        for run, count in zip(runs, counts):
            made = lay_run(scalp, run, index, count)
            for cell in made:
                own[cell.zone] += cell.area
                marks[(index, cell.first_row)] = Mark(cell.width, 0.0, "none", note)
            width = run.arcs[-1] / count
            sizes.update(dict.fromkeys(zones, (width, width)))
            cells += made
            index -= 1
    return done


def divided(
    scalp: Scalp, hairline: float, part: float | None
) -> tuple[tuple[Strip, ...], list[float], dict[str, float]]:
    """The strips beside a hairline band of so many mm, the area of each, and of each zone, mm2."""
    strips = divide(band_depth(scalp, hairline), part)
    each: list[float] = []
    for i, strip in enumerate(strips):
        # The right of two mirrored strips stands after the left and has the same area.
        left = strips[i - 1] if strip.side == "right" else strip
        same = left is not strip and left.half == strip.half
        each.append(each[-1] if same else area_of(scalp, strip))
    areas: dict[str, float] = {}
    for strip, area in zip(strips, each):
        areas[strip.zone] = areas.get(strip.zone, 0.0) + area
    return strips, each, areas


def lay_job(scalp: Scalp, job: Job, rows: list[Row], counts: list[int]) -> list[Cell]:
    """The sections of one strip."""
    if job.shape in ("triangle", "diamond"):
        return lay_slants(scalp, job.strip, job.index, rows, counts, job.shape == "diamond")
    brick = job.shape == "brick" and len(rows) > 1
    end = ""
    if job.narrow is not None:
        end = "low" if job.strip.side == "right" else "high"
    return lay_quads(scalp, job.strip, job.index, rows, counts, brick, by_parity(job, rows), end)


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
        return refusal("E001", "this grid has neither a size nor a count", "write a size such as ¾ in, or a count", grid)
    for measure in (grid.height_mm, grid.width_mm):
        if measure is not None and not measure.value > 0:
            return refusal("E001", f"a section can't be {measure.text} in size", "write a size above zero", grid)
    if grid.count is not None and grid.count < 1:
        return refusal("E002", f"{grid.count} sections is none", "write 1 or more, or leave the zone out", grid)
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
    ear = min(job.strip.half, key=lambda x: abs(x - EAR))
    edges = [row.upper for row in rows] + [rows[-1].lower]
    downs, middles = [scalp.down(ear, u) for u in edges], [scalp.down(phi, u) for u in edges]
    for i, row in enumerate(rows):
        offset = "half" if i % 2 and (job.shape == "brick" or (job.shape == "diamond" and not row.sliced)) else "none"
        mark = Mark(row.height, max(0.0, edge - middles[i + 1]), offset, "", downs[i + 1] - downs[i])
        marks[(job.index, i)] = mark
        if job.twin is not None:
            marks[(job.twin, i)] = mark
