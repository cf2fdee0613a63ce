"""The section grid: from recipe, wearer and house to numbered sections on the head.

No braider parts a sliver. Where a zone ends in a point at the vertex, its rows are done as one
until a section keeps half the area and half the width asked for (``grids/rows.py``); a parting
near the corner of the hairline ends the top (``grids/zones.py``); the ends of triangle and
diamond rows are drawn out, and diamonds lie in bands (``grids/bands.py``). What was asked stands
in :class:`ZoneSummary`, so that a rule can name the sections that still miss it.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from ..meaning.model import Grid, House, Recipe, Wearer
from ..meaning.values import Measure, Origin
from ..plan.model import HeadPlan, RowGuide, Section, Sections, ZoneSummary
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, Span, whole_line
from . import head as heads
from .grids.cell import Cell
from .grids.handed import lay_from_first
from .grids.jobs import share_of
from .grids.laid import Asked, Laid
from .grids.order import put_in_order
from .grids.scalp import scalp_of
from .hairline import ArcRange, Hairline, draw_hairline, enclosed
from .section_figures import figures_of
from .surface import STEP

MOST = 3000
"""Most sections one head may have: about five times the finest published sets
(our own estimate)."""


class Body(NamedTuple):
    """What the pass reads of a wearer, under the wearer's own names."""

    circumference_mm: Measure | None
    ear_to_ear_mm: Measure | None
    hairline_to_nape_mm: Measure | None
    head_length_mm: Measure | None
    head_breadth_mm: Measure | None
    age_years: Measure | None
    sex: str | None
    hairline: str | None
    density_cm2: Measure


def lay_sections(recipe: Recipe, wearer: Wearer, house: House) -> Outcome[Sections]:
    """Sections of every zone the look doesn't leave out, numbered in the braid order.

    Areas are exact surface integrals on the ellipsoid; lengths follow its surface.
    Problems: measures no head can have, a grid with neither size nor count, a count that
    can't be mirrored, and more than :data:`MOST` sections.
    """
    asked = Asked(
        tuple([(look.zone, look.left_out, look.grid) for look in recipe.zones]),
        recipe.parting, recipe.mirrored, recipe.order, house.hand == "left",
    )
    return lay(asked, Body(*[getattr(wearer, name) for name in Body._fields]))


@lru_cache(maxsize=32)
def lay(asked: Asked, body: Body) -> Outcome[Sections]:
    """:func:`lay_sections` on the parts of its arguments that matter, remembered: editing a
    feed or a price lays nothing anew."""
    given = heads.measured(body)
    head = heads.shape_head(given)
    problems = [refuse(body, bad) for bad in head.impossible]
    line = draw_hairline(head.axes, body.hairline or "ordinary", given.hairline_to_nape)
    if isinstance(line, ArcRange):
        bad = heads.Impossible(
            "hairline_to_nape_mm", given.hairline_to_nape or 0.0, line.low, line.high, "on a head of this size"
        )
        problems.append(refuse(body, bad))
    if problems or isinstance(line, ArcRange):
        return Outcome(None, (), tuple(problems))
    plan, laid = on_head(asked, head, line, body.density_cm2.value)
    if plan is None:
        return Outcome(None, (), laid.problems)
    return Outcome(plan, figures_of(plan, body, head, laid), ())


@lru_cache(maxsize=64)
def on_head(asked: Asked, head: heads.HeadShape, line: Hairline, density: float) -> tuple[Sections | None, Laid]:
    """The grid on a head of this shape, whoever's it is: most wearers' heads are alike, as far as anyone
    has measured them. ``density`` in hairs/cm2."""
    laid = lay_from_first(scalp_of(head.axes, line), asked, MOST)
    if laid.problems:
        return None, laid
    cells = put_in_order(laid.cells, asked.order, asked.left_handed)
    items = published(cells, density)
    low, high = counted(asked, len(items), head)
    plan = Sections(
        count=len(items),
        count_low=low,
        count_high=high,
        head=head_plan(head, line),
        items=items,
        zones=summaries(asked, laid, cells),
        rows=guides(laid, cells),
        parting=laid.parting,
    )
    for cell in cells:
        # Neighbours hold each other; letting go here spares the collector the cycle.
        cell.links.clear()
    return plan, laid._replace(cells=[])


FIELD_WORDS = {
    "circumference_mm": "a circumference",
    "head_length_mm": "a head length",
    "head_breadth_mm": "a head breadth",
    "ear_to_ear_mm": "an ear-to-ear arc",
    "hairline_to_nape_mm": "a hairline-to-nape arc",
}


def refuse(body: Body, bad: heads.Impossible) -> Problem:
    """The problem of a measure that doesn't fit, with the plausible range."""
    measure = getattr(body, bad.field)
    origin: Origin = measure.origin
    beside = f" {bad.because}" if bad.because else ""
    message = f"{FIELD_WORDS[bad.field]} of {measure.text} can't be{beside}"
    advice = f"measure again: {bad.low / 10:.1f} to {bad.high / 10:.1f} cm is plausible"
    if body.age_years is None and bad.field == "circumference_mm" and bad.value < bad.low:
        advice += "; for a child give the age"
    return Problem("E004", message, advice, span(origin))


def span(origin: Origin) -> Span:
    """The line a value stands on."""
    return whole_line(origin.file, origin.line)


def counted(asked: Asked, count: int, head: heads.HeadShape) -> tuple[int, int]:
    """The 90 % range of the count; a grid given by count has none."""
    worked = [grid for _, left_out, grid in asked.zones if not left_out]
    if all(grid.count is not None for grid in worked):
        return count, count
    return heads.spread_of(count, head)


FIELDS = set(Section.model_fields)
"""What every published section has."""


def published(cells: list[Cell], density: float) -> tuple[Section, ...]:
    """The published form of the cells; ``density`` in hairs/cm2. Every value was computed here, so
    none is validated again (a test does that): on a fine grid it would take as long as the rest
    of this pass."""
    out = []
    for cell in cells:
        area = cell.area / 100.0
        section = Section.__new__(Section)
        set_slot(section, "__dict__", {
            "number": cell.number, "zone": cell.zone, "row": cell.row, "column": cell.column, "side": cell.side,
            "area_cm2": area, "width_mm": cell.width, "height_mm": cell.height,
            "hairs": round(area * density), "centroid": cell.centre,
            "neighbours": tuple(sorted({other.number for other in cell.links})), "outline": cell.outline,
        })
        set_slot(section, "__pydantic_fields_set__", FIELDS)
        set_slot(section, "__pydantic_extra__", None)
        set_slot(section, "__pydantic_private__", None)
        out.append(section)
    return tuple(out)


set_slot = object.__setattr__
"""How a frozen model's own parts are filled, as pydantic's ``model_construct`` does."""


@lru_cache(maxsize=64)
def head_plan(head: heads.HeadShape, line: Hairline) -> HeadPlan:
    """The head as the card shows it."""
    ring = [(i * STEP, t) for i, t in enumerate(line.theta)]
    ring += [(-p, t) for p, t in reversed(ring[1:-1])]
    return HeadPlan(
        semi_axes_mm=head.axes,
        circumference_mm=head.circumference,
        ear_to_ear_mm=head.ear_to_ear,
        hairline_to_nape_mm=line.arc,
        scalp_cm2=enclosed(head.axes, line) / 100.0,
        hairline=tuple(ring),
        measured=head.taken,
    )


def summaries(asked: Asked, laid: Laid, cells: list[Cell]) -> tuple[ZoneSummary, ...]:
    """The zone table, in the order of the recipe's zones."""
    by_zone: dict[str, list[Cell]] = {}
    for cell in cells:
        by_zone.setdefault(cell.zone, []).append(cell)
    return tuple(summary(zone, out, grid, laid, by_zone.get(zone, [])) for zone, out, grid in asked.zones)


def summary(zone: str, left_out: bool, grid: Grid, laid: Laid, cells: list[Cell]) -> ZoneSummary:
    """One line of the zone table."""
    n = len(cells)
    size = None if left_out else laid.sizes.get(zone)
    return ZoneSummary(
        zone=zone,
        sections=n,
        area_cm2=laid.areas[zone] / 100.0,
        rows=len({cell.row for cell in cells}),
        mean_width_mm=sum([cell.width for cell in cells]) / n if n else 0.0,
        mean_height_mm=sum([cell.height for cell in cells]) / n if n else 0.0,
        left_out=left_out,
        asked_mm=size,
        asked_cm2=size[0] * size[1] / 100.0 / share_of(grid.shape) if size and grid.shape != "rows" else None,
    )


def guides(laid: Laid, cells: list[Cell]) -> tuple[RowGuide, ...]:
    """What the comb is set by, row by row in the braid order."""
    rows: dict[tuple[str, int], list[Cell]] = {}
    for cell in cells:
        key = (cell.zone, cell.row)
        found = rows.get(key)
        if found is None:
            rows[key] = [cell]
        else:
            found.append(cell)
    out = []
    for key, found in rows.items():
        cell = found[0]
        mark = laid.marks[cell.strip, cell.first_row]
        out.append(
            RowGuide(
                zone=key[0], row=key[1], sections=tuple([each.number for each in found]), height_mm=mark.height,
                from_hairline_mm=mark.from_hairline, offset=mark.offset, note=mark.note,
                from_last_mm=mark.height, ear_mm=mark.ear or mark.height,
                width_mm=sum([each.width for each in found]) / len(found), first_width_mm=cell.width,
            )
        )
    return tuple(out)
