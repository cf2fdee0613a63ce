"""The seal on the card: in words on every side, and as a square of dots."""

from __future__ import annotations

import re

import pytest
import segno

from plaitbook.cards.build import write_card
from plaitbook.cards.diagrams.seal_mark import LEVEL, MARGIN, MASK, seal_mark, seal_words
from plaitbook.cards.documents import write_document
from plaitbook.cards.html import render_html
from plaitbook.cards.pdf import render_pdf
from plaitbook.cards.text import render_text
from plaitbook.plan.aloud import dotted

from shipped_book import compile_in_book, shipped_text


@pytest.fixture(scope="module")
def done():
    return compile_in_book(shipped_text("looks/pebble-bob.plait"), "looks/pebble-bob.plait", wearer="Pim")


def card_of(done, **how):
    return write_card(done.plan, done.recipe, done.wearer, done.house, **how)


def test_the_drawing_is_the_code_dot_by_dot(done) -> None:
    seal = done.plan.head.seal
    code = segno.make(dotted(seal.look, seal.plan), error=LEVEL, mask=MASK, micro=False, boost_error=False)
    assert code.designator == "4-M" and code.mode == "alphanumeric"
    dark = set()
    for x, y, wide in re.findall(r"M(\d+) (\d+)h(\d+)v1", seal_mark(seal)):
        dark |= {(int(y), int(x) + n) for n in range(int(wide))}
    assert dark == {(y + MARGIN, x + MARGIN) for y, row in enumerate(code.matrix) for x, dot in enumerate(row) if dot}
    scale = float(re.search(r"scale\((.*?)\)", seal_mark(seal)).group(1))
    assert scale * (len(code.matrix) + 2 * MARGIN) == pytest.approx(15.0, abs=1e-3)


def test_every_form_says_the_seal(done) -> None:
    card = card_of(done, with_look=True)
    words = seal_words(done.plan.head.seal)
    assert words in card.foot and words in card.seal.alt
    assert words in " ".join(render_text(card).split())
    page = render_html(card)
    assert words in page and f'aria-label="{card.seal.alt}"' in page and page.count('class="seal"') == 1
    pdf = render_pdf(card)
    assert done.plan.head.seal.look_aloud.encode() in pdf.replace("\u200b".encode(), b"")
    assert b"CreationDate" not in pdf, "the same card comes out the same whenever it is made"


def test_a_preview_and_the_other_papers_go_without_the_dots(done) -> None:
    assert card_of(done).seal is None and seal_words(done.plan.head.seal) in card_of(done).foot
    paper = write_document("shopping", done.plan, done.recipe, done.wearer, done.house)
    assert paper.seal is None and done.plan.head.seal.look_aloud in paper.foot


def test_a_plan_without_a_seal_prints_none(done) -> None:
    bare = done.plan.model_copy(update={"head": done.plan.head.model_copy(update={"seal": None})})
    card = write_card(bare, done.recipe, done.wearer, done.house, with_look=True)
    assert card.seal is None and "look " not in card.foot
    assert "</html>" in render_html(card)


def test_the_dots_cost_no_side(done) -> None:
    bare = done.plan.model_copy(update={"head": done.plan.head.model_copy(update={"seal": None})})
    sides = [len(re.findall(rb"/Type\s*/Page\b(?!s)", render_pdf(write_card(plan, done.recipe, done.wearer, done.house, with_look=True))))
             for plan in (bare, done.plan)]
    assert sides == [2, 2]
