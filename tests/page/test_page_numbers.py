"""Sliders: every step of every number of a recipe makes a text that the grammar reads."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shipped_book import shipped_looks, shipped_text

from plaitbook.desk.page.sliders import said_as, sliders
from plaitbook.desk.page.steps import MOST_STEPS, steps_of
from plaitbook.meaning.book import file_meaning
from plaitbook.syntax.parse import parse
from plaitbook.syntax.tree import number_value

MADE_UP = '''edition 1
recipe "Sampler"
technique plait
wearing 16 to 18.5 in
choices:
  size: small is grid 1 1/2 cm, width 5 mm; big is grid 12 sections; default small
hair:
  base: blend of 2 parts "Dune" and 1 part "Kelp", cut 48 in, folded at 3, ends pulled 4 in
  curls: "Dune Curl", then colour "ember" from stitch 12
sections:
  grid rectangle ¾ in by 1 in
  hairline brick 12 mm
  grid square 15 mm in temples
  parting off-centre 1 in left
start: own hair 1½ in first, then 1 piece of base ⅓ pencil
feed: every 3 stitches from 2 to 20: 2 pieces of base 3.5 mm
accents: at stitch 4, 8 and 12: 2 beads of "Pebble bead"
end: knot 4 turns, dip 80 to 90 °C for 10 s last 1 in, curl rods 12 mm
finish "setting foam" 25 g
when age under 12 years: width 5 mm, every 6 stitches
expect packs of base between 1 and 2
'''


def moved(text: str, slider, step: str) -> str:
    lines = text.split("\n")
    line = lines[slider.span.line - 1]
    lines[slider.span.line - 1] = line[: slider.span.column - 1] + step + line[slider.span.end - 1 :]
    return "\n".join(lines)


@pytest.mark.parametrize("text", [MADE_UP, *map(shipped_text, shipped_looks())], ids=["made up", *shipped_looks()])
def test_every_step_reads(text):
    found = sliders(text, "a.plait", None)
    assert found
    for slider in found:
        line = text.split("\n")[slider.span.line - 1]
        written = line[slider.span.column - 1 : slider.span.end - 1]
        assert slider.steps[slider.at] == written
        values = [number_value(step) for step in slider.steps]
        assert values == sorted(set(values)) and len(values) <= MOST_STEPS + 2
        for step in {slider.steps[0], slider.steps[-1], slider.steps[len(values) // 2]}:
            problems = parse(moved(text, slider, step), "a.plait")[1]
            assert not problems, (slider, step)
            again = sliders(moved(text, slider, step), "a.plait", None)
            assert [s.what for s in again] == [s.what for s in found]


def test_what_is_moved_is_named():
    found = {(s.block, s.what, s.about, s.option) for s in sliders(MADE_UP, "a.plait", "Sampler")}
    assert ("choices", "grid", "", "small") in found and ("choices", "width", "", "small") in found
    assert ("hair", "cut", "base", "") in found and ("sections", "grid", "in temples", "") in found and ("sections", "hairline", "", "") in found
    assert ("accents", "at", "", "") in found and ("finish", "product", "setting foam", "") in found
    assert ("when", "every", "age under 12 years", "") in found
    assert not any(block == "expect" for block, *_ in found), "an expectation judges, it makes nothing"
    assert not any(about == "12 years" for _, _, about, _ in found)


def test_a_bare_measure_of_an_option_is_named_by_the_line_that_is_left_to_it():
    found = sliders(shipped_text("looks/saltmarsh.plait"), "a.plait", None)
    assert {(one.option, one.what) for one in found if one.choice == "length" and not one.about} == {
        ("bob", "wearing"), ("mid back", "wearing"), ("waist", "wearing")}


def test_the_two_ends_of_a_stretch_have_names_of_their_own():
    assert [(one.what, one.steps[one.at]) for one in sliders(MADE_UP, "a.plait", None) if one.what in ("from", "to")] == [("from", "2"), ("to", "20")]


def test_feet_and_inches_are_left_alone():
    assert not sliders('edition 1\nrecipe "A"\nwearing 1 ft 6 in\n', "a.plait", None)


def test_only_the_look_in_hand():
    two = 'edition 1\nrecipe "A"\nwearing 18 in\nrecipe "B"\nwearing 20 in\n'
    assert [s.span.line for s in sliders(two, "a.plait", "B")] == [5]
    assert sliders(two, "a.plait", "C") == ()


@given(st.text(max_size=200))
def test_any_text_has_some_or_none(text):
    for slider in sliders(f'edition 1\nrecipe "A"\n{text}', "a.plait", None):
        assert slider.steps


@given(st.fractions(min_value=Fraction(1, 8), max_value=500), st.sampled_from(["in", "mm", "cm", "pencil", "°c", "g", "%", "", "s", "hairs/cm²"]))
def test_steps_go_up_and_end(value, unit):
    steps = steps_of(value, unit, "grid")
    assert len(steps) <= MOST_STEPS + 1 and list(steps) == sorted(set(steps)) and all(step > 0 for step in steps)


@pytest.mark.parametrize("value, like, said", [
    (Fraction(3, 2), "1½", "1½"), (Fraction(3, 2), "1.5", "1.5"), (Fraction(3, 2), "1 1/2", "1 1/2"), (Fraction(3, 4), "¼", "¾"),
    (Fraction(2), "1½", "2"), (Fraction(1, 2), "1/4", "1/2"), (Fraction(21, 4), "5", "5¼"),
])
def test_a_number_is_written_as_its_author_writes(value, like, said):
    assert said_as(value, like) == said


def test_the_tree_is_what_is_asked():
    """Numbers in names and notes are no numbers of the recipe."""
    text = 'edition 1\nrecipe "18 in of 3"\nnote "grid 2 in"\nsummary "5 mm"\n# wearing 3 in\n'
    assert sliders(text, "a.plait", None) == () and file_meaning(text, "a.plait").looks
