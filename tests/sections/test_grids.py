"""What holds for every head, grid, parting and zone."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plaitbook.meaning.model import ZONES
from plaitbook.passes.grids.laid import Asked
from plaitbook.passes.grids.lay import lay_zones
from plaitbook.passes.grids.scalp import scalp_of
from plaitbook.passes.hairline import Hairline, cubics, hairline_at
from plaitbook.passes.sections import lay_sections
from plaitbook.passes.surface import cap_density

from .builders import grid, house, recipe, wearer

SHAPES = ("square", "brick", "rectangle", "triangle", "diamond", "rows")
PARTINGS = ("centre", "side", "off-centre", "none")

heads = st.builds(
    lambda c, e, h, sex: wearer(circumference_mm=c, ear_to_ear_mm=e, hairline=h, sex=sex),
    st.floats(530, 600), st.floats(325, 360), st.sampled_from([None, "low", "high", "receding"]),
    st.sampled_from([None, "female", "male"]),
)
looks = st.builds(
    lambda shape, size, width, parting, side, zigzag, mirrored, order, out, edge: recipe(
        grid(shape, size, width), {"hairline": grid(shape, edge)} if edge and shape != "rows" else {}, (out,) if out else (),
        parting, side, zigzag, mirrored, order,
    ),
    st.sampled_from(SHAPES), st.floats(11, 45), st.one_of(st.none(), st.floats(11, 45)), st.sampled_from(PARTINGS),
    st.sampled_from(["left", "right"]), st.booleans(), st.booleans(),
    st.sampled_from(["nape up", "front back", "left to right", "right to left"]),
    st.one_of(st.none(), st.sampled_from(ZONES)), st.one_of(st.none(), st.floats(10, 20)),
)


@settings(max_examples=60, deadline=None)
@given(looks, heads, st.sampled_from(["left", "right"]))
def test_invariants(look, head, hand):
    outcome = lay_sections(look, head, house(hand=hand))
    plan = outcome.part
    assert plan is not None, outcome.problems
    by_zone: dict[str, float] = {}
    for section in plan.items:
        assert section.area_cm2 > 0 and section.width_mm > 0 and section.height_mm > 0
        by_zone[section.zone] = by_zone.get(section.zone, 0.0) + section.area_cm2
        assert section.number not in section.neighbours
    for zone in plan.zones:
        if not zone.left_out:
            assert by_zone.get(zone.zone, 0.0) == pytest.approx(zone.area_cm2, rel=1e-9)
        else:
            assert zone.sections == 0
    assert sum(zone.area_cm2 for zone in plan.zones) == pytest.approx(plan.head.scalp_cm2, rel=1e-6)
    assert [section.number for section in plan.items] == list(range(1, plan.count + 1))
    assert sorted(n for row in plan.rows for n in row.sections) == list(range(1, plan.count + 1))
    known = {section.number: set(section.neighbours) for section in plan.items}
    assert all(a in known[b] for a in known for b in known[a])


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(SHAPES), st.floats(12, 40), st.sampled_from(["centre", "none"]), heads)
def test_mirrored_sides_are_equal(shape, size, parting, head):
    plan = lay_sections(recipe(grid(shape, size), parting=parting), head, house()).part

    def side(name, sign):
        return sorted(
            (s.zone, 0 if shape == "rows" else s.row, round(sign * s.centroid[0], 4), round(s.centroid[1], 4), round(s.area_cm2, 6), round(s.width_mm, 5))
            for s in plan.items if s.side == name
        )

    left, right = side("left", -1), side("right", 1)
    assert len(left) == len(right)
    for p, q in zip(left, right):
        assert p[:2] == q[:2]
        assert p[2:] == pytest.approx(q[2:], abs=2e-4)
    for s in plan.items:
        if s.side == "middle":
            assert abs(s.centroid[0]) < 1e-6


def net(plan):
    """Outlines in (azimuth, depth), where their edges are straight."""
    curve = cubics(tuple(t for p, t in sorted(plan.head.hairline) if p >= 0))

    def edge(phi):
        return hairline_at(curve, phi)

    return [[(p, t / edge(p)) for p, t in s.outline] for s in plan.items], edge


def holds(shape, phi, u):
    inside = False
    p0, u0 = shape[-1]
    for p1, u1 in shape:
        if (u0 > u) != (u1 > u) and phi < p0 + (u - u0) * (p1 - p0) / (u1 - u0):
            inside = not inside
        p0, u0 = p1, u1
    return inside


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(SHAPES[:5]), st.floats(14, 40), st.sampled_from(PARTINGS), st.booleans(), st.booleans(),
    st.lists(st.tuples(st.floats(-3.13, 3.13), st.floats(0.02, 0.99)), min_size=25, max_size=25),
)
def test_no_overlap_and_no_gap(shape, size, parting, zigzag, mirrored, places):
    plan = lay_sections(recipe(grid(shape, size), parting=parting, side="left", zigzag=zigzag, mirrored=mirrored), wearer(), house()).part
    shapes, _ = net(plan)
    for phi, u in places:
        found = sum(holds(s, p, u) for s in shapes for p in (phi, phi + 2 * math.pi, phi - 2 * math.pi))
        near = any(
            sum(holds(s, p + dp, u + du) for s in shapes for p in (phi, phi + 2 * math.pi, phi - 2 * math.pi)) == 1
            for dp, du in ((1e-5, 1.3e-5), (-1e-5, 1.1e-5), (1e-5, -1e-5), (-1e-5, -1.2e-5))
        )
        assert found == 1 or near


@pytest.mark.parametrize("shape", SHAPES[:5])
@pytest.mark.parametrize("zigzag", [False, True])
def test_each_area_is_the_area_of_its_outline(shape, zigzag):
    """Round every outline with an independent line integral, to 0.1 %."""
    plan = lay_sections(recipe(grid(shape, 22), parting="side", side="right", zigzag=zigzag), wearer(), house()).part
    shapes, edge = net(plan)
    for section, corners in list(zip(plan.items, shapes))[::5]:
        total = 0.0
        for (p0, u0), (p1, u1) in zip(corners, corners[1:] + corners[:1]):
            n = 40
            for i in range(n):
                s = (i + 0.5) / n
                p, u = p0 + s * (p1 - p0), u0 + s * (u1 - u0)
                total += cap_density(plan.head.semi_axes_mm, p, u * edge(p)) * (p1 - p0) / n
        assert abs(total) / 100 == pytest.approx(section.area_cm2, rel=1e-3)


@pytest.mark.parametrize("direction", ["straight back", "to left", "to right", "up to bun"])
@pytest.mark.parametrize("count", [2, 7, 8, 9, 14])
def test_whole_head_rows(direction, count):
    plan = lay_sections(recipe(grid("rows", count=count, direction=direction)), wearer(), house()).part
    assert plan.count == count
    assert sum(s.area_cm2 for s in plan.items) == pytest.approx(plan.head.scalp_cm2, rel=1e-5)
    assert all(s.area_cm2 > 0 for s in plan.items)
    widths = [s.width_mm for s in plan.items]
    assert max(widths) == pytest.approx(min(widths), rel=1e-6)
    for one, two in zip(plan.items, plan.items[1:]):
        assert two.number in one.neighbours


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(["square", "brick", "rectangle"]), st.integers(24, 320), st.sampled_from(PARTINGS), st.booleans())
def test_a_count_is_met_exactly(shape, count, parting, mirrored):
    outcome = lay_sections(recipe(grid(shape, count=count), parting=parting, side="left", mirrored=mirrored), wearer(), house())
    assert outcome.part.count == count
    assert (outcome.part.count_low, outcome.part.count_high) == (count, count)


def test_a_count_shared_by_some_zones():
    zones = {z: grid("brick", count=20, group=2) for z in ("back", "nape")}
    plan = lay_sections(recipe(grid(size=20), zones), wearer(), house()).part
    assert sum(z.sections for z in plan.zones if z.zone in zones) == 20


def test_a_count_that_cannot_be_mirrored():
    zones = {"sides": grid("brick", count=15, group=2)}
    outcome = lay_sections(recipe(grid(size=20), zones), wearer(), house())
    assert "15 sections can't be laid in sides" in outcome.problems[0].message
    assert outcome.problems[0].span.line == 3


@pytest.mark.parametrize("bad", [grid(size=2.0), grid("brick", size=None), grid(size=0.0), grid(count=0), grid(count=5000), grid(count=3)])
def test_grids_that_cannot_be(bad):
    outcome = lay_sections(recipe(bad), wearer(), house())
    assert outcome.part is None and outcome.problems[0].help


def test_bricks_are_off_by_half():
    plan = lay_sections(recipe(grid("brick", 19)), wearer(), house()).part
    back = [s for s in plan.items if s.zone == "back"]
    rows = sorted({s.row for s in back})
    for a, b in zip(rows, rows[1:]):
        middles = [min(abs(s.centroid[0]) for s in back if s.row == row) for row in (a, b)]
        assert (middles[0] < 1e-6) != (middles[1] < 1e-6)


def test_smaller_at_the_hairline_and_zone_overrides():
    plan = lay_sections(recipe(grid("brick", 25), {"hairline": grid("brick", 12.7)}), wearer(), house()).part
    means = {z.zone: z.area_cm2 / z.sections for z in plan.zones}
    assert means["hairline"] < 0.45 * means["back"]
    edges = [s for s in plan.items if s.zone == "hairline"]
    assert {s.row for s in edges} == {1}


def test_order_nape_up_and_left_handed():
    right = lay_sections(recipe(), wearer(), house()).part
    left = lay_sections(recipe(), wearer(), house(hand="left")).part
    assert right.items[0].zone == "nape" and right.items[0].centroid[0] < 0
    assert left.items[0].zone == "nape" and left.items[0].centroid[0] > 0
    row = [s for s in right.items if s.zone == "back" and s.row == 1]
    assert [s.centroid[0] for s in row] == sorted(s.centroid[0] for s in row)
    heights = [min(s.centroid[2] for s in right.items if s.zone == "back" and s.row == n) for n in (1, 2, 3)]
    assert heights == sorted(heights)
    assert [s.zone for s in right.items][-1] == "hairline"
    whole = lay_sections(recipe(order="left to right"), wearer(), house()).part
    sides = [s.side for s in whole.items]
    assert sides == sorted(sides, key=["left", "middle", "right"].index)


@pytest.mark.parametrize("order", ["nape up", "front back", "left to right", "right to left"])
@pytest.mark.parametrize("shape", SHAPES[:5])
def test_rows_are_counted_from_one_in_the_order_of_the_work(shape, order):
    plan = lay_sections(recipe(grid(shape, 25), order=order), wearer(), house()).part
    begun: dict = {}
    for section in sorted(plan.items, key=lambda s: s.number):
        begun.setdefault((section.zone, section.side), []).append(section.row)
    for (zone, _), rows in begun.items():
        assert rows == sorted(rows), f"{zone}: a row is done before the next is begun"
    for zone in {zone for zone, _ in begun}:
        rows = {row for (of, _), found in begun.items() if of == zone for row in found}
        assert rows == set(range(1, max(rows) + 1)), zone


def test_the_parting_guide_sets_a_comb():
    """Row by row in the braid order: from the hairline, from the last parting, and how wide."""
    plan = lay_sections(recipe(), wearer(), house()).part
    rows = [row for row in plan.rows if row.zone == "back"]
    for one, two in zip(rows, rows[1:]):
        assert two.from_hairline_mm - one.from_hairline_mm == pytest.approx(one.from_last_mm, rel=1e-6)
    for row in plan.rows:
        assert row.from_last_mm > 0 and row.ear_mm > 0 and row.width_mm > 0 and row.first_width_mm > 0
    # The head is lower above the ears than behind.
    assert all(row.ear_mm < row.from_last_mm for row in rows)


def test_hairs_follow_density():
    plan = lay_sections(recipe(), wearer(density_cm2=211), house()).part
    assert all(s.hairs == round(s.area_cm2 * 211) for s in plan.items)


@pytest.mark.parametrize("axes", [(73, 94, 130), (80, 100, 90), (90, 90, 90.5), (95, 100, 80)], ids=["tall", "flat", "round", "flatter"])
@pytest.mark.parametrize("line", [(0.2, 0.3, 1.1, 0.8), (-0.4, 0.9, -0.1, 0.5), (2.9, 0.5, 3.3, 0.6)])
def test_the_area_under_a_slanted_side_is_the_reference_integral_s(axes, line):
    """``scipy.integrate.quad`` over the same line, on heads higher and lower than they are long."""
    integrate = pytest.importorskip("scipy.integrate")
    phi0, u0, phi1, u1 = line
    scalp = scalp_of(axes, Hairline(tuple(1.3 + 0.4 * math.sin(i / 23) for i in range(73)), 330.0))

    def above(phi):
        a, b, c = axes
        end = (u0 + (u1 - u0) * (phi - phi0) / (phi1 - phi0)) * scalp.hairline_at(phi)

        def ring(t):
            s = math.sin(t)
            return s * math.sqrt((b * c * s * math.sin(phi)) ** 2 + (a * c * s * math.cos(phi)) ** 2 + (a * b * math.cos(t)) ** 2)
        return integrate.quad(ring, 0, end, epsabs=1e-9)[0]

    reference = integrate.quad(above, phi0, phi1, epsabs=1e-6, limit=200)[0]
    assert scalp.slant(phi0, u0, phi1, u1) == pytest.approx(reference, rel=5e-4)


def test_counts_on_a_sphere_cap():
    """A cap has 2 pi R^2 (1 - cos t) of area, whatever grid is laid on it."""
    radius, turn = 90.0, math.radians(80)
    scalp = scalp_of((radius, radius, radius), Hairline((turn,) * 73, 2 * radius * turn))
    area = 2 * math.pi * radius**2 * (1 - math.cos(turn))
    for size in (12.0, 16.0, 20.0):
        look = recipe(grid("square", size), parting="none")
        asked = Asked(tuple((z.zone, z.left_out, z.grid) for z in look.zones), look.parting, True, "nape up", False)
        laid = lay_zones(scalp, asked, 3000)
        assert sum(c.area for c in laid.cells) == pytest.approx(area, rel=1e-6)
        assert len(laid.cells) == pytest.approx(area / size**2, rel=0.08)
