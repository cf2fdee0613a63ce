"""Left-handed work is the mirror image of right-handed work, in the grid, the guides and the maps."""

from __future__ import annotations

import re

import pytest

from plaitbook.cards.diagrams.section_map import section_map, section_sheet, views_in_order
from plaitbook.passes.sections import lay_sections

from .builders import grid, house, recipe, wearer
from .test_section_map import labels

OTHER = {"left": "right", "right": "left", "middle": "middle", None: None, "": ""}
TURNED = {
    "left to right": "right to left", "right to left": "left to right",
    "to left": "to right", "to right": "to left",
}
GRIDS = {
    "square": {"base": grid("square", 19)},
    "brick": {"base": grid("brick", 19.7)},
    "rectangle": {"base": grid("rectangle", 20, 28)},
    "triangle": {"base": grid("triangle", 25)},
    "diamond": {"base": grid("diamond", 25)},
    "brick by count": {"base": grid("brick", count=150)},
    "rows": {"base": grid("rows", count=10)},
    "rows to left": {"base": grid("rows", count=10, direction="to left")},
    "rows to right": {"base": grid("rows", 24, direction="to right")},
    "rows up to bun": {"base": grid("rows", count=11, direction="up to bun")},
    "rows in the temples": {"base": grid("square", 25), "zones": {"temples": grid("rows", count=6, group=5)}},
    "rows in the sides": {"base": grid("brick", 25), "zones": {"sides": grid("rows", 16, group=5, direction="up to bun")}},
    "rows in the back": {"base": grid("square", 25), "zones": {z: grid("rows", count=8, group=5, direction="to left") for z in ("back", "nape")}},
}
PARTINGS = (("centre", None), ("none", None), ("side", "left"), ("off-centre", "right"), ("off-centre", None))


def turned(asked):
    """A grid with its rows to the other side."""
    return asked.model_copy(update={"direction": TURNED.get(asked.direction, asked.direction)})


def pair(name, parting, side, mirrored, order):
    """A look laid for the right hand, and the same look in a mirror laid for the left."""
    asked = GRIDS[name]
    zones = asked.get("zones") or {}
    mine = recipe(asked["base"], zones, parting=parting, side=side, mirrored=mirrored, order=order)
    across = OTHER[side] or ("left" if parting == "off-centre" else None)
    theirs = recipe(
        turned(asked["base"]), {zone: turned(each) for zone, each in zones.items()}, parting=parting,
        side=across, mirrored=mirrored, order=TURNED.get(order, order),
    )
    head = wearer(sex="female")
    return lay_sections(mine, head, house(hand="right")).part, lay_sections(theirs, head, house(hand="left")).part


@pytest.mark.parametrize("name", GRIDS)
@pytest.mark.parametrize(("parting", "side"), PARTINGS)
@pytest.mark.parametrize("mirrored", [True, False])
@pytest.mark.parametrize("order", ["nape up", "left to right"])
def test_every_number_lies_where_the_mirror_shows_it(name, parting, side, mirrored, order):
    right, left = pair(name, parting, side, mirrored, order)
    assert right.count == left.count
    for one, other in zip(right.items, left.items):
        x, y, z = other.centroid
        assert one.centroid == pytest.approx((-x, y, z), abs=1e-6)
        assert (one.zone, one.row, one.column, one.side) == (other.zone, other.row, other.column, OTHER[other.side])
        assert one.area_cm2 == pytest.approx(other.area_cm2) and one.neighbours == other.neighbours
    for one, other in zip(right.rows, left.rows, strict=True):
        assert one.sections == other.sections and one.offset == other.offset
        assert one.first_width_mm == pytest.approx(other.first_width_mm)
        assert one.from_hairline_mm == pytest.approx(other.from_hairline_mm)
    for (p, t), (q, s) in zip(right.parting, left.parting, strict=True):
        assert (p, t) == pytest.approx((-q, s), abs=1e-9)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_row_still_runs_as_the_recipe_says(hand):
    for direction in ("to left", "to right"):
        plan = lay_sections(recipe(grid("rows", count=10, direction=direction)), wearer(), house(hand=hand)).part
        assert all(row.note.startswith(direction) for row in plan.rows)


@pytest.mark.parametrize("order", ["nape up", "front back", "left to right", "right to left"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_rows_begin_on_the_hand_s_side_unless_the_order_names_one(order, hand):
    plan = lay_sections(recipe(grid("square", 19), order=order), wearer(), house(hand=hand)).part
    side = {"left to right": "left", "right to left": "right"}.get(order, "right" if hand == "left" else "left")
    by_number = {section.number: section for section in plan.items}
    for row in plan.rows:
        first, last = by_number[row.sections[0]], by_number[row.sections[-1]]
        if {first.side, last.side} == {"left", "right"}:
            assert first.side == side, row
    views = views_in_order(plan)
    assert views[2] == side
    found = re.findall(r">(Top|Back|Left|Right)</text>", section_sheet(plan))
    assert [word.lower() for word in found] == list(views)


@pytest.mark.parametrize("name", ["square", "brick", "triangle", "diamond", "rows", "rows up to bun"])
def test_the_map_is_the_mirror_image(name):
    right, left = pair(name, "centre", None, True, "nape up")
    for view, across in (("top", "top"), ("back", "back"), ("left", "right"), ("right", "left")):
        mine = {label.number: label for label in labels(section_map(right, view, width_mm=90, labels="all"))}
        theirs = {label.number: label for label in labels(section_map(left, across, width_mm=90, labels="all"))}
        assert mine.keys() == theirs.keys() and mine
        for number, label in mine.items():
            assert label.x + theirs[number].x == pytest.approx(90, abs=0.25)
            assert label.y == pytest.approx(theirs[number].y, abs=0.25)
