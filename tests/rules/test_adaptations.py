"""Adaptations to the wearer: what was taken is on the card, clashes and gaps are told."""

from __future__ import annotations

import pytest
from shipped_book import SMALL, compile_in_book

from plaitbook.cards.build import write_card
from plaitbook.cards.html import render_html
from plaitbook.cards.text import render_text

ADAPTED = SMALL + "when strand is fine: width 6 mm\nwhen strand is coarse: width 9 mm\n"


def card_text(done) -> tuple[str, str]:  # type: ignore[no-untyped-def]
    card = write_card(done.plan, done.recipe, done.wearer, done.house)
    return " ".join(render_text(card).replace("\u00a0", " ").split()), render_html(card)


def test_the_card_says_which_adaptations_were_taken() -> None:
    done = compile_in_book(ADAPTED, wearer="Ilse")  # her strand is fine
    assert done.plan is not None
    assert done.plan.head.adaptations == ("when strand is fine: width 6 mm",)
    text, html = card_text(done)
    assert "when strand is fine: width 6 mm" in text and "strand is fine" in html
    assert "strand is coarse" not in text


def test_a_card_without_adaptations_names_none() -> None:
    done = compile_in_book(ADAPTED, wearer="Tomasz")
    assert done.plan is not None
    taken = {"coarse": ("when strand is coarse: width 9 mm",), "fine": ("when strand is fine: width 6 mm",)}
    assert done.plan.head.adaptations == taken.get(done.wearer.strand or "", ())


@pytest.mark.parametrize("other", ["when edges is healthy or thin or fragile: width 7 mm",
                                   "when age over 2 years: width 7 mm"])
def test_two_that_both_hold_and_disagree_are_told_with_both_places(other: str) -> None:
    done = compile_in_book(SMALL + f"when strand is fine: width 6 mm\n{other}\n", wearer="Ilse")
    (problem,) = done.problems
    assert problem.code == "E603" and "'width 6 mm' and 'width 7 mm'" in problem.message
    assert problem.others and problem.others[0][1].line != problem.span.line


def test_two_that_agree_or_speak_of_other_zones_are_no_conflict() -> None:
    same = compile_in_book(SMALL + "when strand is fine: width 6 mm\nwhen age over 2 years: width 6 mm\n", wearer="Ilse")
    apart = compile_in_book(SMALL + "when strand is fine: width 6 mm in nape\nwhen age over 2 years: width 7 mm in crown\n",
                            wearer="Ilse")
    assert same.plan is not None and apart.plan is not None
    assert len(same.plan.head.adaptations) == 2 == len(apart.plan.head.adaptations)


@pytest.mark.parametrize("wearer", ["Ilse", "Tomasz", "Noor"])
@pytest.mark.parametrize(("base", "clause"), [
    (SMALL.replace("wearing 12 in", "wearing by strand"), "wearing {} in"),
    (SMALL.replace("hold width 8 mm", "hold width by strand"), "width {} mm")])
def test_a_value_left_to_adaptations_must_be_covered_for_every_word(wearer: str, base: str, clause: str) -> None:
    """Whoever sits in the chair: a fine-haired wearer's card also says that no clause covers coarse."""
    text = base + f"when strand is fine: {clause.format(8)}\nwhen strand is medium: {clause.format(9)}\n"
    (problem,) = compile_in_book(text, wearer=wearer).problems
    assert problem.code == "E608" and problem.message == "no clause covers strand coarse"
    assert problem.help.startswith("add: when strand is coarse: ")
    added = problem.help.removeprefix("add: ")
    assert compile_in_book(text + added + "\n", wearer=wearer).plan is not None, "the fix can be applied as it is"


def test_a_pick_that_undoes_an_adaptation_is_a_finding() -> None:
    text = SMALL.replace("hold width 8 mm", "hold width by size").replace(
        "technique plait\n", "technique plait\nchoices:\nsize: small is width 6 mm; large is width 9 mm; default small\n")
    text += "when strand is fine: width 5 mm\n"
    done = compile_in_book(text, wearer="Ilse", picks={"size": "large"})
    assert done.plan is not None, [p.message for p in done.problems]
    (finding,) = [f for f in done.plan.findings if f.code == "P01"]
    assert "undoes the adaptation" in finding.message and done.recipe.undone
