"""The strip, cut and rack pictures: well formed, inside their frame, and complete."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
import strand_builders as b

from plaitbook.cards.diagrams.cut_picture import cut_picture, cut_words
from plaitbook.cards.diagrams.rack_picture import rack_picture
from plaitbook.cards.diagrams.strand_strip import strand_strip, strip_text
from plaitbook.cards.speech import speech
from plaitbook.passes.material import portion_material
from plaitbook.passes.strands import work_strands

LOOKS = {
    "curls and beads": dict(
        accents=[b.accent(), b.accent(20, 5, None, ornament="Pip", ornament_count=2)],
        ornaments=[b.bead(bore=9)],
    ),
    "every stitch": dict(accents=[b.accent(every=1, first=1, side="both")]),
    "twist": dict(technique="twist", feeds=[b.feed("until", 9)]),
    "row": dict(technique="row", feeds=[b.feed("every", None, every=3, last=30)]),
    "own": dict(start="own hair only", start_held=None, feeds=(), length_in=6),
    "very long": dict(length_in=60, feeds=[b.feed("hold", 3, 2)]),
    "stub": dict(length_in=1, feeds=()),
    "shaded": dict(hairs=(b.use(colour="Umber", shades=((42, "Honey"), (47, "A colour with a very long name"))),
                          b.use("curls", "Dune Curl", "curly", 18, 0.5, 0, shades=((30, "Sand"),))),
                   accents=[b.accent()]),
}


def _drawn(look: dict):
    recipe, sections = b.recipe(**look), b.sections(20)
    kinds = work_strands(recipe, b.wearer(), b.house(), sections).part[0]
    return kinds[0], portion_material(recipe, b.wearer(), b.house(), sections, kinds).part


def _check(svg: str) -> ElementTree.Element:
    root = ElementTree.fromstring(svg)
    _, _, width, height = (float(n) for n in root.attrib["viewBox"].split())
    spot = "{http://www.w3.org/2000/svg}"
    assert [child.tag for child in root][:2] == [spot + "title", spot + "desc"]
    assert " id=" not in svg and "nan" not in svg and "inf" not in svg.replace("info", "")
    for node in root.iter(spot + "text"):
        size = float(node.attrib["font-size"])
        assert size >= 3.0
        x, y, wide = float(node.attrib["x"]), float(node.attrib["y"]), len(node.text or "") * size * 0.6
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[node.attrib["text-anchor"]]
        assert -0.5 <= left and left + wide <= width + 3.0, node.text
        assert 2.0 <= y <= height, node.text
    for path in root.iter(spot + "path"):
        numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", path.attrib["d"])]
        assert all(-0.5 <= n <= width + 0.5 for n in numbers[::2])
        assert all(-0.5 <= n <= height + 0.5 for n in numbers[1::2])
    return root


@pytest.mark.parametrize("units", ["inch", "metric"])
@pytest.mark.parametrize("name", LOOKS)
def test_every_picture_is_well_formed_and_inside_its_frame(name: str, units: str) -> None:
    kind, material = _drawn(LOOKS[name])
    _check(strand_strip(kind, speech("en", units)))
    if material.cuts:
        _check(cut_picture(material, speech("en", units)))
        _check(rack_picture(material))
        assert len(cut_words(material).splitlines()) == len(
            {(c.hair, c.role, c.held_mm, c.colour) for c in material.cuts})


def test_the_words_name_every_feed_in_and_accent() -> None:
    kind, _ = _drawn(LOOKS["curls and beads"])
    said = strip_text(kind, speech("en", "inch"))
    for fed in kind.feed_ins:
        assert re.search(rf"\b{fed.stitch}\b" if fed.stitch else "the root", said)
    for accent in kind.accents:
        assert re.search(rf"\b{accent.stitch}\b", said)
    assert f"own hair ends at stitch {kind.own_ends_stitch}" in said


def test_shades_are_named_where_they_begin() -> None:
    kind, material = _drawn(LOOKS["shaded"])
    said = strip_text(kind, speech("en", "inch"))
    assert "base 3.5 mm, Umber at the root" in said and "base 3.5 mm, Honey at stitch" in said
    assert "curls 1.8 mm, Sand at stitches" in said.replace("1.75", "1.8")
    svg = strand_strip(kind, speech("en", "inch"))
    assert ">base, Umber<" in svg and ">Honey<" in svg
    assert "A colour wit…" in cut_words(material)


def test_names_are_escaped() -> None:
    recipe = b.recipe(accents=[b.accent(20, 5, None, ornament='<b>"&', ornament_count=2)],
                      ornaments=[b.bead('<b>"&', bore=9)])
    kinds = work_strands(recipe, b.wearer(), b.house(), b.sections(20)).part[0]
    assert "<b>" not in strand_strip(kinds[0])
    _check(strand_strip(kinds[0]))
