"""The formatter: idempotent, keeps every comment, never changes what a text says."""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st
from shipped_book import SMALL, compile_in_book, shipped_looks, shipped_text

from plaitbook.syntax.parse import parse
from plaitbook.syntax.tidy import tidy

MESSY = '''EDITION 1
recipe   “Small”   # hers
     Technique  plait
  wearing 12   in
hair :
base:"Dune",cut 40 in ,
   folded in the middle



sections:
# the grid
grid square 1½ in
start: extension at root,1 piece of base ½ pencil
feed: pieces of base ½ pencil , hold width 8 mm
end: heat seal 180 °C
'''

TIDY = '''edition 1
recipe "Small"  # hers
technique plait
wearing 12 in
hair:
  base: "Dune", cut 40 in,
    folded in the middle

sections:
  # the grid
  grid square 1½ in
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
end: heat seal 180 °C
'''


def test_a_messy_recipe_is_laid_out() -> None:
    assert tidy(MESSY) == TIDY


@pytest.mark.parametrize("name", [*shipped_looks(), "hairs.plait", "houses.plait", "wearers.plait", "house-rules.plait"])
def test_shipped_files_keep_their_meaning_and_comments(name: str) -> None:
    text = shipped_text(name)
    once = tidy(text)
    assert tidy(once) == once
    assert [c.text for c in parse(once, "")[0].comments] == [c.text for c in parse(text, "")[0].comments]


@pytest.mark.parametrize("name", shipped_looks())
def test_the_plan_is_the_same(name: str) -> None:
    plan = compile_in_book(shipped_text(name), name, wearer="Noor").plan
    tidied = compile_in_book(tidy(shipped_text(name)), name, wearer="Noor").plan
    assert plan is not None and tidied is not None
    keep = {"sections", "strand_kinds", "strands", "material", "load", "timing", "quote"}
    assert tidied.model_dump(include=keep) == plan.model_dump(include=keep)


_LINES = [line for line in (SMALL + MESSY + shipped_text("looks/saltmarsh.plait") + shipped_text("houses.plait")).split("\n")]
_NOISE = st.sampled_from(["", "  ", "# note", "   # a # b", 'x "open', "acents:", "end", ",", "17,5", "recipe \"A\"", "when strand is fine: width 5 mm"])


@settings(max_examples=300, deadline=None)
@given(st.lists(st.one_of(st.sampled_from(_LINES), _NOISE), max_size=25), st.sampled_from(["\n", "\r\n"]))
def test_any_mix_of_lines_is_tidied_twice_alike(lines: list[str], ending: str) -> None:
    """tidy() raises if it would change what is said, so finishing is the proof."""
    once = tidy(ending.join(lines))
    assert tidy(once) == once
