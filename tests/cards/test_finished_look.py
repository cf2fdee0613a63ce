"""The picture of the finished look: true lengths and widths, light, well formed, told in words."""

import re
from math import hypot
from xml.etree import ElementTree

import pytest
from sample import sample
from shipped_book import compile_in_book, shipped_looks, shipped_text

from plaitbook.cards.diagrams import finished_look as look
from plaitbook.cards.diagrams.finished_look import finished_look, finished_look_text
from plaitbook.cards.diagrams.look_colours import TONES, colours_of
from plaitbook.cards.speech import speech
from plaitbook.cards.diagrams.look_paths import cut_line, lying_strands, places

VIEWS = ("front", "side", "back")
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<script>alert(1)</script>&\"'"


@pytest.fixture(scope="module", params=shipped_looks())
def done(request):
    found = compile_in_book(shipped_text(request.param), request.param, wearer="Noor")
    assert found.plan is not None, found.problems
    return found


def length(points):
    return sum(hypot(*(b - a for a, b in zip(p, q))) for p, q in zip(points, points[1:]))


def test_every_strand_has_its_true_length(done):
    strands = lying_strands(done.plan)
    assert sorted(s.section for s in strands) == sorted(s.section for s in done.plan.strands)
    for lying in strands:
        assert length(lying.points) == pytest.approx(lying.kind.length_mm, abs=0.01)


def test_strands_leave_from_their_sections_and_hang(done):
    by_number = {s.number: s for s in done.plan.sections.items}
    for lying in lying_strands(done.plan):
        if lying.kind.technique != "row":
            assert lying.points[0] == by_number[lying.section].centroid
        if lying.kind.length_mm > 350:
            assert lying.points[-1][2] < lying.points[0][2]
        x, y, z = lying.points[-1]
        assert abs(x) < 200 and abs(y) < 200


@pytest.mark.parametrize("view", VIEWS)
def test_well_formed_with_ids_of_its_own(done, view):
    svg = finished_look(done.plan, view, width_mm=80, prefix="here-", recipe=done.recipe)
    tree = ElementTree.fromstring(svg)
    ids = [e.get("id") for e in tree.iter() if e.get("id")]
    assert len(ids) == len(set(ids)) and all(i.startswith("here-") for i in ids)
    used = {e.get("href")[1:] for e in tree.iter() if e.get("href")} | set(re.findall(r"url\(#([^)]*)\)", svg))
    assert used <= set(ids)
    assert tree.get("viewBox").split()[2] == "80"
    assert tree.find(f"{SVG}title").text and tree.find(f"{SVG}desc").text
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")


@pytest.mark.parametrize("view", VIEWS)
def test_a_hundred_strands_stay_light(done, view):
    if len(done.plan.strands) <= 100:
        assert len(finished_look(done.plan, view, width_mm=80, recipe=done.recipe).encode()) < 62_000


def test_width_on_the_drawing_is_the_strands_own():
    found = compile_in_book(shipped_text("looks/plain-saltmarsh.plait"), "looks/plain-saltmarsh.plait", wearer="Noor")
    svg = finished_look(found.plan, "back", width_mm=80)
    inked = {float(w) for w in re.findall(r'<use href="#s[0-9]+" stroke-width="([0-9]+)"/>', svg)}
    widest = max(s.width_mm for s in found.plan.strands)
    # Two lobes beside each other: outer edge to outer edge, in tenths of a millimetre.
    assert max(inked) + 2 * look_aside(widest) == pytest.approx(widest * 10, rel=0.2)


def look_aside(width):
    from plaitbook.cards.diagrams.look_strands import ASIDE

    return width * 10 * ASIDE


def test_words_say_what_the_plan_says(done):
    text = finished_look_text(done.plan, done.recipe, speech("en", "inch"))
    assert str(len(done.plan.strands)) in text or len({k.technique for k in done.plan.strand_kinds}) > 1
    assert "in long" in text.replace("\u00a0", " ") and text.endswith(".")
    for line in done.plan.material.hair:
        assert (line.colour or line.name) in text
    assert finished_look_text(done.plan) != ""


def test_colours_get_tones_of_their_own():
    found = compile_in_book(shipped_text("looks/fernrope.plait"), "looks/fernrope.plait", wearer="Noor")
    tones = colours_of(found.plan).tones
    assert list(tones) == ["driftwood", "soft black"]
    assert len(set(tones.values())) == 2 and set(tones.values()) <= set(TONES)


def test_hostile_names_stay_words():
    for kw in ({"words": HOSTILE}, {"words": "W" * 10_000}, {"words": ""}, {"name": "編" * 300}):
        plan, recipe, *_ = sample(ornaments=True, techniques=True, **kw)
        for view in VIEWS:
            svg = finished_look(plan, view, width_mm=60, recipe=recipe)
            assert "<script" not in svg
            ElementTree.fromstring(svg)


def test_a_drawing_is_kept_for_the_same_plan():
    plan, recipe, *_ = sample()
    assert finished_look(plan, "front", width_mm=60, recipe=recipe) is finished_look(plan, "front", width_mm=60, recipe=recipe)
    assert finished_look(plan, "front", width_mm=60) is not finished_look(plan, "back", width_mm=60)
    assert len(look._drawn) <= 6


def test_views_that_share_a_legend():
    plan, recipe, *_ = sample()
    with_words, without = (finished_look(plan, "front", width_mm=60, recipe=recipe, legend=l) for l in (True, False))
    assert "<text" in with_words and "<text" not in without and "wet sand" in without


def test_cut_and_places_measure_along_the_line():
    line = [(0.0, 0.0, 0.0), (0.0, 0.0, -10.0), (0.0, 5.0, -10.0)]
    assert length(cut_line(line, 12.0)) == pytest.approx(12.0)
    assert [p for p, _ in places(tuple(line), [4.0, 12.0])] == [(0.0, 0.0, -4.0), (0.0, 2.0, -10.0)]
