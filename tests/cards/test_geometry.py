"""No text beyond the margin, over other text or cut off: every shipped look on every paper in every language.

The ordinary run takes a fair share: each look once, each paper and language with several looks. All of it:
``PLAITBOOK_GEOMETRY=all python -m pytest tests/cards/test_geometry.py``.
"""

import os
from functools import lru_cache

import pytest
from pdf_boxes import troubles

from plaitbook.cards.build import write_card
from plaitbook.cards.documents import write_document
from plaitbook.cards.pdf import render_pdf
from shipped_book import compile_in_book, shipped_looks, shipped_text, shipped_wearers

PAPERS, LANGUAGES = ("letter", "a4", "half"), ("en", "fr", "es", "pt")
EVERY = [(look, paper, code) for look in shipped_looks() for paper in PAPERS for code in LANGUAGES]
SHARE = [(look, PAPERS[i % 3], LANGUAGES[1 + i % 3]) for i, look in enumerate(shipped_looks())]
ASKED = EVERY if os.environ.get("PLAITBOOK_GEOMETRY") == "all" else SHARE


@lru_cache(maxsize=2)
def planned(look):
    wearers = shipped_wearers()
    done = compile_in_book(shipped_text(look), look, wearer=wearers[shipped_looks().index(look) % len(wearers)])
    return done.plan, done.recipe, done.wearer, done.house


@pytest.mark.parametrize(("look", "paper", "code"), ASKED)
def test_no_text_leaves_its_place(look, paper, code):
    card = write_card(*planned(look), with_look=True, paper=paper, language=code)
    assert not list(troubles(render_pdf(card, paper)))[:12]


@pytest.mark.parametrize(("kind", "paper", "code"), [
    (kind, PAPERS[i % 3], LANGUAGES[i % 4]) for i, kind in enumerate(("intake", "quote", "crew", "handout", "aftercare", "shopping"), 1)])
def test_nor_on_the_other_papers(kind, paper, code):
    card = write_document(kind, *planned(shipped_looks()[-1]), paper=paper, language=code)
    assert not list(troubles(render_pdf(card, paper)))[:12]


def test_the_check_sees_what_is_wrong():
    from plaitbook.cards.card import Card, Figure, Para, Part, Picture

    def pdf(svg):
        figure = Figure(caption="x", pictures=(Picture(svg=svg, alt="x", width_mm=60, height_mm=20),), true_scale=True)
        return render_pdf(Card(title="t", parts=(Part(key="a", title="A", blocks=(Para(text="y"), figure)),)), "a4")

    frame = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 20" width="60mm" height="20mm" font-family="Noto Sans" font-size="4">{}</svg>'
    assert not list(troubles(pdf(frame.format('<text x="2" y="8">good</text>'))))
    assert any("overlap" in t for t in troubles(pdf(frame.format('<text x="2" y="8">aaaa</text><text x="3" y="8.5">bbbb</text>'))))
    assert any("cut off" in t for t in troubles(pdf(frame.format('<text x="56" y="8">clipped</text>'))))
    assert any("cut off" in t for t in troubles(pdf(frame.format('<text x="2" y="21.6">below</text>'))))
