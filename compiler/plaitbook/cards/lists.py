"""Lists of a plan as CSV (RFC 4180), for a spreadsheet or a shop's own program.

Measures are in the units that stand in the headings, never the house's, so that a program can rely on them.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable

from ..meaning.model import Recipe
from ..plan.model import Plan
from . import wording as words

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""Signs with which a spreadsheet begins a formula, as OWASP's page on CSV injection lists them."""

Row = tuple[object, ...]


def write_list(kind: str, plan: Plan, recipe: Recipe) -> str:
    """One of :data:`LISTS` as CSV, lines ended by CR LF. Raises KeyError for another name."""
    headings, rows = LISTS[kind]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(headings)
    for row in rows(plan, recipe):
        writer.writerow([cell(value) for value in row])
    return out.getvalue()


def cell(value: object) -> str:
    """A value as a spreadsheet shows it: somebody's words are never run as a formula."""
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, int):
        return str(value)
    text = words.clean(str(value))
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text


def _shopping(plan: Plan, recipe: Recipe) -> Iterable[Row]:
    for line in plan.material.hair:
        yield (line.name, line.colour, "; ".join(line.roles), line.packs_to_buy, "pack", line.pack_g, line.packs_used, line.grams,
               line.in_stock, line.brought)
    for thing in plan.material.ornaments:
        yield thing.name, None, thing.kind, thing.count, "piece", None, None, thing.grams, None, None
    for product in recipe.products:
        yield product.name, None, "product", 1, "", None, None, product.mass_g.value if product.mass_g else None, None, None


def _sections(plan: Plan, recipe: Recipe) -> Iterable[Row]:
    for s in sorted(plan.sections.items, key=lambda s: s.number):
        yield s.number, s.zone, s.row, s.column, s.side, s.height_mm, s.width_mm, s.area_cm2, s.hairs


def _stitches(plan: Plan, recipe: Recipe) -> Iterable[Row]:
    for kind in plan.strand_kinds:
        numbers = words.ranges(kind.sections)
        lines: list[Row] = [(f.stitch, f.at_mm, "lay in", f.role, f.colour, f.pieces * f.part, f.held_mm, "") for f in kind.feed_ins]
        lines += [(a.stitch, a.at_mm, "thread" if a.ornament else "draw out", a.ornament or a.role, a.colour, a.count, a.held_mm, a.side)
                  for a in kind.accents]
        if 0 < kind.own_ends_stitch < kind.stitches:
            lines.append((kind.own_ends_stitch, kind.own_ends_stitch * kind.pitch_mm, "own hair ends", "", "", None, None, ""))
        lines.append((kind.stitches, kind.length_mm, "end", "", "", None, None, ""))
        for line in sorted(lines, key=lambda at: (at[0], at[2] == "end")):  # type: ignore[arg-type, return-value]
            yield (kind.id, kind.zone, kind.technique, numbers, *line)


LISTS: dict[str, tuple[tuple[str, ...], Callable[[Plan, Recipe], Iterable[Row]]]] = {
    "shopping": (("name", "colour", "for", "buy", "unit", "pack_g", "packs_used", "grams", "in_stock_packs", "brought_packs"), _shopping),
    "sections": (("number", "zone", "row", "column", "side", "height_mm", "width_mm", "area_cm2", "hairs"), _sections),
    "stitches": (("kind", "zone", "technique", "sections", "stitch", "from_root_mm", "what", "name", "colour", "count", "held_mm", "side"),
                 _stitches),
}
"""Name on the command line -> (headings, what makes its rows)."""
