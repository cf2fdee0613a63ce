"""Sections a braider can part: neither slivers nor lost in a zone's point."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plaitbook.passes.grids.jobs import share_of
from plaitbook.passes.sections import lay_sections

from .builders import grid, house, recipe, wearer
from .test_grids import PARTINGS, heads

LEAST = {"square": 0.38, "brick": 0.38, "rectangle": 0.38, "triangle": 0.3, "diamond": 0.3}
"""Smallest section over the area asked for. Rows join at a half; below that lies only what a
zone's own shape takes: its rows are lower, and triangles besides narrower, at one end."""
RECEDING = 0.2
"""The same for triangles and diamonds under a receding hairline, whose temples are a third as
high in front as behind."""
NARROW = 0.3
"""Smallest side over the smaller side asked for."""


@settings(max_examples=35, deadline=None)
@given(
    st.sampled_from(sorted(LEAST)), st.one_of(st.floats(9, 30), st.integers(50, 310)), st.sampled_from(PARTINGS),
    st.sampled_from(["left", "right"]), st.booleans(), st.booleans(), heads,
)
def test_no_slivers(shape, size, parting, side, zigzag, mirrored, head):
    asked = grid(shape, count=size) if isinstance(size, int) else grid(shape, size)
    outcome = lay_sections(recipe(asked, parting=parting, side=side, zigzag=zigzag, mirrored=mirrored), head, house())
    if outcome.part is None:
        assert outcome.problems[0].code == "E002" and shape in ("triangle", "diamond")
        return
    plan = outcome.part
    if isinstance(size, int):
        assert plan.count == size
    summaries = {zone.zone: zone for zone in plan.zones}
    least = RECEDING if head.hairline == "receding" and shape in ("triangle", "diamond") else LEAST[shape]
    for section in plan.items:
        zone = summaries[section.zone]
        assert section.area_cm2 >= least * zone.asked_cm2, section
        assert min(section.width_mm, section.height_mm) >= NARROW * min(zone.asked_mm), section


def test_what_was_asked_is_in_the_plan():
    plan = lay_sections(recipe(grid("triangle", 20, 30), left_out=("nape",)), wearer(), house()).part
    found = {zone.zone: zone for zone in plan.zones}
    assert found["back"].asked_mm == (20, 30)
    assert found["back"].asked_cm2 == pytest.approx(6.0 / share_of("triangle"))
    assert found["nape"].asked_mm is None and found["nape"].asked_cm2 is None


def test_a_side_parting_ends_the_top():
    """What would be left between the parting and the corner of the hairline is too narrow."""
    plan = lay_sections(recipe(grid(size=19), parting="side", side="left"), wearer(), house()).part
    assert {s.side for s in plan.items if s.zone == "top"} <= {"left", "middle", "right"}
    lines = sorted({round(p, 6) for s in plan.items if s.zone == "top" for p, t in s.outline if t})
    assert lines[0] == pytest.approx(-lines[-1]) and lines[0] == pytest.approx(plan.parting[0][0], abs=1e-6)


@pytest.mark.parametrize("shape", ["triangle", "diamond"])
@pytest.mark.parametrize("count", range(60, 300, 29))
def test_counts_of_slanted_sections(shape, count):
    outcome = lay_sections(recipe(grid(shape, count=count)), wearer(), house())
    assert outcome.part is not None and outcome.part.count == count, outcome.problems


@pytest.mark.parametrize("shape", ["square", "triangle", "diamond"])
def test_nearest_counts_are_named_and_can_be_had(shape):
    zones = ("sides", "temples")

    def lay(n):
        return lay_sections(recipe(grid(size=25), {z: grid(shape, count=n, group=4) for z in zones}), wearer(), house())

    outcome = lay(31)
    words = {"square": "sections"}.get(shape, shape + "s")
    assert outcome.problems[0].message == f"31 {words} can't be laid in sides, temples"
    near = [int(word) for word in outcome.problems[0].help.split(" can")[0].split(" or ")]
    assert near and all(n % 2 == 0 and abs(n - 31) < 14 for n in near)
    for n in near:
        part = lay(n).part
        assert part is not None and sum(z.sections for z in part.zones if z.zone in zones) == n


@pytest.mark.parametrize("shape", ["triangle", "diamond"])
@settings(max_examples=10, deadline=None)
@given(count=st.integers(60, 250))
def test_counted_slants_are_mirrored(shape, count):
    plan = lay_sections(recipe(grid(shape, count=count)), wearer(), house()).part
    if plan is None:
        return
    left, right = (
        sorted((s.zone, round(s.area_cm2, 5)) for s in plan.items if s.side == name) for name in ("left", "right")
    )
    assert [zone for zone, _ in left] == [zone for zone, _ in right]
    assert [area for _, area in left] == pytest.approx([area for _, area in right], abs=1e-4)
