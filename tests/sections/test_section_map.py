"""The map: sound SVG, ids apart, numbers that can be read and belong to one section."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from plaitbook.cards.diagrams import section_map as drawing
from plaitbook.cards.diagrams.map_labels import DIGIT, OWN, TALL, Label, chord, place_labels, touch
from plaitbook.cards.diagrams.section_map import map_text, section_map, section_sheet
from plaitbook.passes.sections import lay_sections
from plaitbook.passes.surface import project

from .builders import grid, house, recipe, wearer

VIEWS = ("top", "back", "left", "right")
LOOKS = {
    "squares": recipe(grid("square", 19)),
    "bricks 300": recipe(grid("brick", count=300)),
    "triangles": recipe(grid("triangle", 25), parting="side", side="left"),
    "diamonds": recipe(grid("diamond", 25), parting="centre", zigzag=True),
    "rows": recipe(grid("rows", count=9)),
    "swept": recipe(grid("rows", count=10, direction="to left")),
    "bun": recipe(grid("rows", count=11, direction="up to bun")),
    "fine": recipe(grid("brick", 8)),
}
PLANS = {name: lay_sections(look, wearer(), house()).part for name, look in LOOKS.items()}


def labels(svg):
    """Every number of a drawing with its place and size."""
    found = []
    for group in re.findall(r'<g font-size="([\d.]+)">(.*?)</g>', svg):
        size = float(group[0])
        for x, y, text in re.findall(r'<text x="([-\d.]+)" y="([-\d.]+)">(\d+)</text>', group[1]):
            found.append(Label(int(text), text, float(x), float(y) - 0.36 * size, size))
    return found


@pytest.mark.parametrize("name", LOOKS)
@pytest.mark.parametrize("view", VIEWS)
def test_drawings_are_sound(name, view):
    svg = section_map(PLANS[name], view, width_mm=86, prefix="m1-")
    root = ET.fromstring(svg)
    assert root.tag.endswith("svg") and root.find("{*}title").text and root.find("{*}desc").text
    ids = re.findall(r'id="([^"]+)"', svg)
    assert len(ids) == len(set(ids)) and all(i.startswith("m1-") for i in ids)
    assert all(ref.startswith("m1-") for ref in re.findall(r"url\(#([^)]+)\)", svg))
    # Black, white and grey only.
    for colour in re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', svg):
        assert len(set(colour[1:])) == 1


@pytest.mark.parametrize("name", LOOKS)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("width", [62, 86, 95])
def test_no_number_touches_another(name, view, width):
    found = labels(section_map(PLANS[name], view, width_mm=width))
    for i, one in enumerate(found):
        for other in found[:i]:
            across = 0.556 * (len(one.text) * one.size + len(other.text) * other.size) / 2
            upright = 0.72 * (one.size + other.size) / 2
            assert abs(one.x - other.x) >= across - 0.15 or abs(one.y - other.y) >= upright - 0.15


@pytest.mark.parametrize("shape", ["square", "brick", "rectangle", "triangle", "diamond"])
@pytest.mark.parametrize("parting", ["centre", "side", "none"])
@pytest.mark.parametrize("width", [90, 186])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_at_300_sections_every_number_is_its_own(shape, parting, width, hand, monkeypatch):
    """The box of every number's digits lies in its section, but for a part of a number that marks
    a row's end or a fifth; and no two boxes touch."""
    plan = lay_sections(recipe(grid(shape, count=300), parting=parting, side="left"), wearer(), house(hand=hand)).part
    assert plan.count == 300
    caught = []

    def catch(shown, drawn, anchor, wanted):
        found = place_labels(shown, drawn, anchor, wanted)
        caught.append((found, dict(zip([s.number for s in shown], drawn))))
        return found

    monkeypatch.setattr(drawing, "place_labels", catch)
    for view in VIEWS:
        drawing.draw_map(plan, view, width, "auto", "t-")
    seen = set()
    for found, drawn in caught:
        for i, label in enumerate(found):
            seen.add(label.number)
            half = DIGIT * label.size * len(label.text) / 2
            room = chord(drawn[label.number], label.x, label.y)
            assert room is not None
            assert min(label.x - room[0], room[1] - label.x) >= OWN * half - 1e-9
            for other in found[:i]:
                across = DIGIT * (len(label.text) * label.size + len(other.text) * other.size) / 2
                upright = TALL * (label.size + other.size) / 2
                assert abs(label.x - other.x) >= across or abs(label.y - other.y) >= upright, (label, other)
    assert len(seen) > (0.95 if width == 186 else 0.25) * plan.count


def test_the_parting_is_the_heaviest_line():
    svg = section_map(PLANS["triangles"], "top", width_mm=90)
    widths = sorted({float(w) for w in re.findall(r'fill="none" stroke="#000" stroke-width="([\d.]+)"', svg)})
    assert widths[-1] == drawing.PARTING > widths[0] == drawing.HEAVY
    none = lay_sections(recipe(grid(size=25), parting="none"), wearer(), house()).part
    assert none.parting == () and f'stroke-width="{drawing.PARTING}"' not in section_map(none, "top", width_mm=90)


@pytest.mark.parametrize("view", VIEWS)
def test_the_projection_table(view):
    axes = (78.0, 100.0, 133.0)
    ray = drawing.rays(axes, view)
    for i in range(60):
        phi, theta = -3.1 + 0.105 * i, 0.01 + 0.03 * i
        assert ray(phi, theta) == pytest.approx(project(axes, view, phi, theta), abs=0.03)


@pytest.mark.parametrize("name", ["squares", "triangles", "rows", "bun"])
def test_every_section_is_numbered_somewhere(name):
    plan = PLANS[name]
    seen = {label.number for view in VIEWS for label in labels(section_map(plan, view, width_mm=90, labels="all"))}
    missing = set(range(1, plan.count + 1)) - seen
    # A sharp triangle may be too narrow for three digits; its neighbours in the row name it.
    assert len(missing) <= (0.07 * plan.count if name == "triangles" else 0), missing


def test_sparse_numbers_ends_and_every_fifth():
    plan = PLANS["fine"]
    svg = "".join(section_map(plan, view, width_mm=90, labels="sparse") for view in VIEWS)
    seen = {label.number for label in labels(svg)}
    assert len(seen) < 0.6 * plan.count
    assert labels(section_map(plan, "top", width_mm=90, labels="none")) == []


def test_sheet_and_text():
    plan = PLANS["bricks 300"]
    sheet = section_sheet(plan, width_mm=186)
    ET.fromstring(sheet)
    ids = re.findall(r' id="([^"]+)"', sheet)
    assert len(ids) == len(set(ids))
    assert len(sheet) < 120_000
    text = map_text(plan)
    assert "nape row 1" in text and len(text.splitlines()) == len(plan.rows) + 1


def test_touch():
    assert touch(Label(1, "1", 0, 0, 2), Label(2, "2", 0.5, 0, 2))
    assert not touch(Label(1, "1", 0, 0, 2), Label(2, "2", 9, 0, 2))
