"""The shopping list, the client's quote and the aftercare slip: the same plan, the same renderers."""

from decimal import Decimal

import pytest
from sample import sample
from shipped_book import SMALL, compile_in_book
from test_card import HOSTILE

from plaitbook.cards.build import write_card
from plaitbook.cards.documents import DOCUMENTS, GROWTH_MM, client_lines, take_down, write_document
from plaitbook.cards.context import Context
from plaitbook.cards.html import render_html
from plaitbook.cards.pdf import render_pdf
from plaitbook.cards.speech import speech
from plaitbook.cards.text import columns, render_text
from plaitbook.cards.words import NBSP
from plaitbook.desk.printing import KINDS


def test_the_command_knows_every_document():
    assert set(KINDS) == set(DOCUMENTS)


@pytest.mark.parametrize("kind", KINDS)
def test_each_prints_in_every_form(kind):
    pytest.importorskip("typst")
    card = write_document(kind, *sample(ornaments=True))
    assert render_pdf(card).startswith(b"%PDF-")
    assert all(columns(line) <= 60 for line in render_text(card, 60).splitlines())
    page = render_html(card)
    for part in card.parts:
        assert part.title in page


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_words_print_as_words(name):
    for kind in KINDS:
        assert "<script" not in render_html(write_document(kind, *sample(words=HOSTILE[name], ornaments=True)))


def test_the_list_holds_every_hair_and_thing():
    text = render_text(write_document("shopping", *sample(ornaments=True)))
    for said in ("Dune, wet sand", "Dune Curl", "3 packs of 100 g", "120 cuffs", "light mousse, about 20 g"):
        assert said in text


def test_the_client_sees_no_wage_and_the_same_total():
    plan, *rest = sample()
    text = render_text(write_document("quote", plan, *rest)).replace(NBSP, " ")
    assert "Labour" not in text and "217.50" not in text and "USD 290.00" in text and "USD 225.50" in text
    lines = client_lines(speech(), plan.quote.lines)
    assert sum((amount for _, amount, _ in lines), Decimal(0)) == sum((line.amount for line in plan.quote.lines), Decimal(0))


def test_scissors_stay_below_own_hair():
    s = sample(units="metric")
    c = Context(*s)
    own = max(k.own_ends_stitch * k.pitch_mm for k in s.plan.strand_kinds)
    first = take_down(c)[0].text.replace(NBSP, " ")
    assert first.startswith("Cut each braid ") and "or more below the root" in first and "never nearer the root" in first
    cut_cm = float(first.split("each braid ")[1].split(" cm")[0])
    assert own + GROWTH_MM <= cut_cm * 10 < own + GROWTH_MM + 15


def test_no_cut_where_own_hair_runs_to_the_end():
    plan, *rest = sample()
    kinds = tuple(k.model_copy(update={"own_ends_stitch": k.stitches}) for k in plan.strand_kinds)
    assert "Don't cut" in take_down(Context(plan.model_copy(update={"strand_kinds": kinds}), *rest))[0].text


def test_the_command_prints_to_a_file(tmp_path, monkeypatch, capsys):
    from plaitbook.desk.command import main

    monkeypatch.chdir(tmp_path)
    assert main(["new", "book"]) == 0
    out = tmp_path / "list.txt"
    assert main(["print", "book/looks/saltmarsh.plait", "shopping", "--wearer", "Noor", "--format", "text", "-o", str(out)]) == 0
    assert "To buy" in out.read_text("utf-8")
    capsys.readouterr()


def test_a_badge_on_her_own_look_is_explained():
    """The look is hers, the client and the house are the demo book's."""
    done = compile_in_book(SMALL, wearer="Ilse")
    card = write_card(done.plan, done.recipe, done.wearer, done.house)
    said = [block.text for block in card.part("know").blocks if block.block == "para"]
    assert card.badge == "Demo" and "Marked as a demo because invented: Ilse and Harbour Chair." in said
    demo = compile_in_book(SMALL.replace("technique plait", "demo\ntechnique plait"), wearer="Ilse")
    assert not [b for p in write_card(demo.plan, demo.recipe, demo.wearer, demo.house).parts for b in p.blocks if "because invented" in getattr(b, "text", "")]
