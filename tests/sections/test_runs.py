"""Scalp rows that run through several zones."""

from __future__ import annotations

import math

import pytest

from plaitbook.meaning.model import ZONES
from plaitbook.passes.sections import lay_sections

from .builders import grid, house, recipe, wearer

GROUPS = (
    ("hairline", "temples", "top"), ("sides",), ("nape",), ("nape", "back"), ("top", "crown"), ("sides", "temples", "hairline"),
    ("nape", "back", "crown", "top", "hairline"), ("hairline", "sides", "crown"),
)
DIRECTIONS = ("straight back", "to left", "to right", "up to bun")


def laid(zones, direction, part="centre", **size):
    rows = grid("rows", direction=direction, group=5, **size)
    return lay_sections(recipe(grid(size=25), {zone: rows for zone in zones}, parting=part), wearer(), house())


@pytest.mark.parametrize("zones", GROUPS)
@pytest.mark.parametrize("direction", DIRECTIONS)
@pytest.mark.parametrize("part", ["centre", "side", "none"])
def test_rows_fill_their_zones(zones, direction, part):
    plan = laid(zones, direction, part, count=8).part
    mine = [s for s in plan.items if s.zone in zones]
    assert len(mine) == 8
    whole = lay_sections(recipe(grid(size=25), parting=part), wearer(), house()).part
    if "hairline" in zones:
        # Rows have a hairline band of their own depth: compare what is left outside.
        assert sum(s.area_cm2 for s in plan.items) == pytest.approx(whole.head.scalp_cm2, rel=1e-7)
    else:
        wanted = sum(z.area_cm2 for z in whole.zones if z.zone in zones)
        assert sum(s.area_cm2 for s in mine) == pytest.approx(wanted, rel=1e-6)
    known = {s.number: set(s.neighbours) for s in plan.items}
    assert all(a in known[b] for a in known for b in known[a])
    assert [s.number for s in plan.items] == list(range(1, plan.count + 1))
    assert all(s.area_cm2 > 0 and s.height_mm > 0 and s.width_mm > 0 for s in mine)


def test_directions_differ():
    heads = {d: laid(GROUPS[0], d, count=8).part for d in DIRECTIONS}
    outlines = {d: {s.outline for s in plan.items if s.zone in GROUPS[0]} for d, plan in heads.items()}
    assert all(not outlines[a] & outlines[b] for a in DIRECTIONS for b in DIRECTIONS if a < b)
    # Straight back runs along the middle, up to a bun towards the vertex.
    back = [s for s in heads["straight back"].items if s.zone == "top"]
    assert all(abs(p) < math.pi / 2 for s in back for p, _ in s.outline)
    left, right = heads["to left"], heads["to right"]
    mirrored = lambda plan, sign: sorted(round(sign * s.centroid[0], 3) for s in plan.items if s.zone in GROUPS[0])
    assert mirrored(left, 1) == pytest.approx(mirrored(right, -1), abs=0.01)


def test_rows_meet_the_middle_and_are_done_together():
    plan = laid(GROUPS[0], "straight back", count=8).part
    rows = [s for s in plan.items if s.zone in GROUPS[0]]
    numbers = [s.number for s in rows]
    assert numbers == list(range(numbers[0], numbers[0] + 8))
    assert [s.centroid[0] for s in rows] == sorted(s.centroid[0] for s in rows)
    assert [s.side for s in rows] == ["left"] * 4 + ["right"] * 4
    areas = [s.area_cm2 for s in rows]
    assert areas == pytest.approx(areas[::-1], rel=1e-6)
    guides = [row for row in plan.rows if row.note]
    assert len(guides) == 8 and all("through temples, top, hairline" in row.note for row in guides)


def test_sizes_fall_either_side_of_a_centre_parting():
    plan = laid(GROUPS[0], "straight back", size=26).part
    assert not [s for s in plan.items if s.zone in GROUPS[0] and s.side == "middle"]


def test_a_count_for_two_sides_that_cannot_be_shared():
    outcome = laid(("sides",), "straight back", count=7)
    assert outcome.problems[0].message == "7 rows can't be laid in sides"
    assert outcome.problems[0].help == "6 or 8 can"


def test_every_zone_alone():
    for zone in ZONES:
        assert laid((zone,), "straight back", count=6).part is not None
