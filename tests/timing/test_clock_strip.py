"""The clock as a drawing: well formed, inside its box, nothing printed over its neighbour."""

from __future__ import annotations

import re
import xml.etree.ElementTree as xml

import pytest

from plaitbook.cards.diagrams.clock_strip import LETTER_MM, clock_strip, clock_text, clock_words
from scenes import at, scene

SVG = "{http://www.w3.org/2000/svg}"

SCENES = {
    "medium": {},
    "two braiders": {"house": {"start_clock": "09:30", "braiders": 2}},
    "long": {"sections": 200, "side_mm": 16, "width_mm": 4, "length_mm": 508, "wearer": {"arrives": "in an old set"}},
    "child": {"wearer": {"age_years": at(8)}},
    "three strands": {"sections": 3, "zones": ("nape",)},
    "nothing": {"sections": 0},
}


@pytest.mark.parametrize("name", SCENES)
def test_every_mark_and_word_is_inside_and_no_words_overlap(name: str) -> None:
    parts = scene(**SCENES[name]).parts
    root = xml.fromstring(clock_strip(parts.timing, parts.sections.count))
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    boxes = []
    for text in root.iter(f"{SVG}text"):
        size, x, y = (float(text.attrib[key]) for key in ("font-size", "x", "y"))
        wide = len(text.text or "") * size * LETTER_MM
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.attrib["text-anchor"]]
        assert left >= -0.01 and left + wide <= width + 0.01 and size <= y <= height, text.text
        boxes.append((left, y - size * 0.75, left + wide, y, text.text))
    for number, one in enumerate(boxes):
        for other in boxes[:number]:
            apart = one[0] >= other[2] - 0.01 or other[0] >= one[2] - 0.01 or one[1] >= other[3] or other[1] >= one[3]
            assert apart, (one[4], other[4])
    for box in root.iter(f"{SVG}rect"):
        if "x" in box.attrib:
            assert 0 <= float(box.attrib["x"]) <= float(box.attrib["x"]) + float(box.attrib["width"]) <= width


def test_blocks_and_breaks_fill_the_chair_time() -> None:
    parts = scene().parts
    lines = clock_text(parts.timing, 60)
    assert lines[0].startswith("consult: from the start")
    assert sum(line.startswith("break") for line in lines) == len(parts.timing.breaks) == 2
    assert re.search(r"60 of 60 by 4.h", clock_words(parts.timing, 60))


def test_ids_take_the_prefix_so_that_two_drawings_can_share_a_page() -> None:
    parts = scene().parts
    svg = clock_strip(parts.timing, 60, prefix="day2-")
    assert 'id="day2-hatch"' in svg and "url(#day2-hatch)" in svg and "clock-" not in svg
