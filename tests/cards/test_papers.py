"""Intake and consent, the trainee's handout, crew sheets, CSV lists, the finished look on paper, and the whole book."""

import csv
import io
import re
import shutil
import subprocess

import pytest
from sample import sample
from shipped_book import compile_in_book, shipped_looks, shipped_text

from plaitbook.cards.book_pdf import BookCard, hair_index, render_book
from plaitbook.cards.build import write_card
from plaitbook.cards.card import Form, Table, Ticks
from plaitbook.cards.documents import write_document
from plaitbook.cards.html import render_html
from plaitbook.cards.intake import DEFERS, asked_fields
from plaitbook.cards.lists import LISTS, cell, write_list
from plaitbook.cards.pdf import _pages, best_form, render_pdf
from plaitbook.cards.reasons import PRACTICE, RULE_REASONS, why
from plaitbook.cards.speech import speech
from plaitbook.cards.text import render_text
from plaitbook.cards.words import NBSP

ENGLISH = speech()
from plaitbook.desk import printing
from plaitbook.desk.command import main
from plaitbook.meaning.model import EndKind, Wearer
from plaitbook.plan.model import Checkpoint, CrewLane, CrewStretch
from plaitbook.rules import CAUTION, rule_of


def shipped(wearer=None, house=None, look="saltmarsh"):
    done = compile_in_book(shipped_text(f"looks/{look}.plait"), f"looks/{look}.plait", wearer=wearer, house=house)
    return done.plan, done.recipe, done.wearer, done.house


def text_of(kind, parts):
    return " ".join(render_text(write_document(kind, *parts), width=100_000).replace(NBSP, " ").split())


# --- intake and consent -------------------------------------------------------


def test_every_fact_of_a_wearer_is_asked_or_confirmed():
    computed = {"origin", "demo", "allows", "strand_um", "density_cm2", "growth_mm", "sex"}
    assert set(Wearer.model_fields) - computed == asked_fields()


def test_what_is_unknown_is_a_question_and_what_is_known_is_confirmed():
    plan, recipe, wearer, house = sample()
    card = write_document("intake", plan, recipe, wearer.model_copy(update={"scalp": "healthy"}), house)
    asks = [item.text for part in card.parts for b in part.blocks if isinstance(b, Form) for item in b.items]
    known = {row[0]: row[1] for b in card.part("known").blocks if isinstance(b, Table) for row in b.rows}
    assert known["Scalp"] == "healthy" and known["Strand"] == "fine" and known["Allergies"] == "none" and known["Round the head"] == "54.8 cm"
    assert not any("scalp healthy" in a for a in asks)
    assert any("patch test" in a for a in asks) and any("relaxer" in a for a in asks) and any("ear's flap" in a for a in asks)


def test_every_question_can_be_answered_and_lists_pause_after_nine():
    card = write_document("intake", *shipped())
    for part in card.parts:
        for block in part.blocks:
            if isinstance(block, Form):
                assert 0 < len(block.items) < 10 and all(item.blank or item.options for item in block.items)


def test_consent_cautions_and_where_to_sign():
    text = text_of("intake", shipped("Adaeze"))
    assert CAUTION in text and DEFERS in text and "Signature, and date" in text and "Patch test record" in text
    assert "Adaeze is tender-headed" in text and "[M03]" not in text
    assert "Dune Curl _________" in text


def test_weeks_are_asked_only_after_a_chemical_service():
    plan, recipe, wearer, house = sample()
    for chemical, asked in ((None, False), ("none", False), ("relaxer", True)):
        text = text_of("intake", (plan, recipe, wearer.model_copy(update={"chemical": chemical}), house))
        assert ("How many weeks ago was the chemical service?" in text) is asked


def test_a_rule_that_waits_for_a_fact_is_not_asked_twice():
    assert "can't be said without" not in text_of("intake", shipped())


# --- the handout ----------------------------------------------------------------


@pytest.mark.parametrize("look", shipped_looks())
def test_every_step_at_the_chair_has_its_reason(look):
    done = compile_in_book(shipped_text(look), look, wearer="Noor")
    card = write_document("handout", done.plan, done.recipe, done.wearer, done.house)
    for key in ("cut", "finish", "aftercare"):
        for block in card.part(key).blocks:
            if isinstance(block, Ticks):
                assert all("Why: " in item.note for item in block.items), (key, block.items)


def test_reasons_stand_for_rules_that_exist():
    for codes in RULE_REASONS.values():
        assert all(rule_of(code) for code in codes)
    for kind in EndKind.__args__:
        assert why(ENGLISH, kind)
    assert all(text.endswith(".") for text in PRACTICE.values())
    with pytest.raises(KeyError):
        why(ENGLISH, "no such step")


def test_the_steps_are_the_cards_own():
    parts = shipped("Noor")
    steps = {i.text.rstrip(".").lower() for p in write_card(*parts).parts if p.key in ("cut", "finish") for b in p.blocks
             if isinstance(b, Ticks) for i in b.items}
    told = {i.text.rstrip(".").lower() for p in write_document("handout", *parts).parts if p.key in ("cut", "finish") for b in p.blocks
            if isinstance(b, Ticks) for i in b.items}
    assert steps == told


def test_the_handout_leaves_the_working_to_explain():
    text = " ".join(text_of("handout", shipped("Noor")).split())
    assert "plait explain" in text and "Why: " in text
    assert not any(said in text for said in ("sqrt", "square root", "÷", "from memory", "Labour"))


# --- crew sheets -------------------------------------------------------------------


def test_one_braider_gets_the_whole_list():
    parts = sample()
    card = write_document("crew", *parts)
    assert len(card.parts) == 1
    table = next(b for b in card.parts[0].blocks if isinstance(b, Table) and b.caption == "Own sections")
    assert sum(int(row[2]) for row in table.rows) == parts.plan.sections.count
    marks = next(b for b in card.parts[0].blocks if isinstance(b, Table) and b.caption == "Checkpoints")
    assert [row[2] for row in marks.rows] == [p.clock for p in parts.plan.timing.checkpoints]


def test_each_braider_gets_a_sheet_with_her_own_sections_and_times():
    plan, *rest = sample()
    lanes = tuple(CrewLane(braider=name, speed=1, joins=30, leaves=200, sections=numbers,
                           stretches=(CrewStretch(zone="nape", sections=numbers, begins=30, ends=200),),
                           checkpoints=(Checkpoint(minutes=200, sections=len(numbers), zone="nape", clock="12:50"),))
                  for name, numbers in (("Anneke", tuple(range(1, 31))), ("=Bo<b>", tuple(range(31, 61)))))
    plan = plan.model_copy(update={"timing": plan.timing.model_copy(update={"crew": lanes, "braiders": 2})})
    card = write_document("crew", plan, *rest)
    assert [p.title for p in card.parts] == ["Anneke", "=Bo<b>"] and [p.sheet for p in card.parts] == [False, True]
    text = render_text(card)
    assert "31–60" in text and "10:00" in text and "12:50" in text
    page = render_html(card)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids)) and "<b>" not in page.replace("<b aria", "")
    pikepdf = pytest.importorskip("pikepdf")
    with pikepdf.open(io.BytesIO(render_pdf(card))) as pdf:
        assert len(pdf.pages) >= 2


# --- lists as CSV ------------------------------------------------------------------


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "＝1", "\t=1"])
def test_no_cell_is_run_as_a_formula(text):
    plan, recipe, *_ = sample(name=text, ornaments=True)
    for kind in LISTS:
        for row in csv.reader(io.StringIO(write_list(kind, plan, recipe))):
            assert not any(value.startswith(("=", "+", "-", "@", "＝", "\t")) for value in row), row
    assert cell("=1") == "'=1" and cell("plain") == "plain" and cell(1.5) == "1.5" and cell(None) == ""


def test_lists_hold_the_plan():
    plan, recipe, *_ = shipped("Noor")
    rows = {kind: list(csv.DictReader(io.StringIO(write_list(kind, plan, recipe)))) for kind in LISTS}
    assert [int(r["number"]) for r in rows["sections"]] == list(range(1, plan.sections.count + 1))
    assert sum(int(r["hairs"]) for r in rows["sections"]) == sum(s.hairs for s in plan.sections.items)
    assert [int(r["buy"]) for r in rows["shopping"][:len(plan.material.hair)]] == [line.packs_to_buy for line in plan.material.hair]
    for kind in plan.strand_kinds:
        own = [r for r in rows["stitches"] if r["kind"] == str(kind.id)]
        assert own[-1]["what"] == "end" and int(own[-1]["stitch"]) == kind.stitches
        assert sum(float(r["count"]) for r in own if r["what"] == "lay in") == pytest.approx(sum(f.pieces * f.part for f in kind.feed_ins))
    assert write_list("sections", plan, recipe).count("\r\n") == plan.sections.count + 1


# --- the finished look ---------------------------------------------------------------


def test_the_look_stands_on_the_quote_and_on_the_card_that_asks_for_it():
    parts = sample()
    quote = write_document("quote", *parts).part("look").blocks[0]
    assert [p.label for p in quote.pictures] == ["Front", "Side"] and all(p.width_mm == 60 for p in quote.pictures)
    assert quote.text[0] in quote.pictures[0].alt
    card = write_card(*parts, with_look=True)
    keys = [p.key for p in card.parts]
    assert keys[keys.index("look") - 1] == "map" and "look" not in [p.key for p in write_card(*parts).parts]
    page = render_html(card)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    numbers = [int(n) for n in re.findall(r'<b aria-hidden="true">(\d+)</b>', page)]
    assert numbers == list(range(1, len(numbers) + 1)) and len(numbers) == len(keys) - 2


def test_the_look_costs_paper_no_side():
    pytest.importorskip("typst")
    parts = sample()
    plain, drawn = (best_form(write_card(*parts, with_look=look), "letter") for look in (False, True))
    assert _pages(plain[0]) == _pages(drawn[0]) <= 2


# --- on the sheet -----------------------------------------------------------------------


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="needs pdftotext")
@pytest.mark.parametrize("kind", ["intake", "handout", "crew", "quote"])
@pytest.mark.parametrize("words", [None, "W" * 10_000])
def test_no_word_leaves_the_sheet_or_covers_another(kind, words, tmp_path):
    """On the narrowest paper. A little is allowed: boxes are as high as the font, not as its letters."""
    file = tmp_path / "paper.pdf"
    file.write_bytes(render_pdf(write_document(kind, *sample(words=words, ornaments=True, techniques=True)), "half"))
    said = subprocess.run(["pdftotext", "-bbox", str(file), "-"], capture_output=True, text=True, check=True).stdout
    for page in said.split("<page ")[1:]:
        boxes = [tuple(map(float, box)) for box in re.findall(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)"', page)]
        for i, (left, top, right, bottom) in enumerate(boxes):
            assert left >= 10 and top >= 8 and right <= 396 - 10 and bottom <= 612 - 5
            for x0, y0, x1, y1 in boxes[i + 1:]:
                across, down = min(right, x1) - max(left, x0), min(bottom, y1) - max(top, y0)
                assert not (across > 1.5 and down > 0.55 * min(bottom - top, y1 - y0)), (left, top, x0, y0)


# --- the book --------------------------------------------------------------------------


def test_the_index_finds_each_hair_once():
    card = write_card(*sample())
    index = hair_index((BookCard(card, ("Reed", "Dune", "Dune")), BookCard(card, ("Dune",))))
    assert index == [("Dune", [0, 1]), ("Reed", [0])]


def test_a_book_has_contents_cards_and_index_in_one_tagged_file():
    pikepdf = pytest.importorskip("pikepdf")
    cards = tuple(BookCard(write_card(*shipped("Noor", look=look), with_quote=False), ("Dune",)) for look in ("shingle", "pebble-bob"))
    pdf = render_book("Our <b>book", ("Two looks.",), cards, "a4")
    alone = [best_form(one.card, "a4")[0] for one in cards]
    with pikepdf.open(io.BytesIO(pdf)) as book:
        sides = 0
        for one in alone:
            with pikepdf.open(io.BytesIO(one)) as single:
                sides += len(single.pages)
        assert len(book.pages) == sides + 2
        assert book.Root.MarkInfo.Marked and "Our <b>book" in str(book.docinfo["/Title"])
        with book.open_metadata() as meta:
            assert meta["pdfuaid:part"] == "1"
        with book.open_outline() as outline:
            assert [item.title for item in outline.root if item.title != "Our <b>book"][-1] == "Index"
    with pytest.raises(ValueError):
        render_book("Empty", (), (), "a4")


# --- the command ------------------------------------------------------------------------


def test_the_command_knows_every_list():
    assert set(printing.LISTS) == set(LISTS)


def test_lists_and_book_from_the_command_line(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["new", "book"]) == 0
    for extra in tmp_path.glob("book/looks/*.plait"):
        if extra.name not in ("shingle.plait", "pebble-bob.plait"):
            extra.unlink()
    look = "book/looks/pebble-bob.plait"
    assert main(["print", look, "sections", "-o", "s.csv"]) == 0 and (tmp_path / "s.csv").read_bytes().startswith(b"number,zone,row")
    assert main(["print", look, "shopping", "--format", "csv", "-o", "b.csv"]) == 0 and b"packs_used" in (tmp_path / "b.csv").read_bytes()
    assert main(["print", look, "sections", "--format", "pdf"]) == 2
    assert main(["print", look, "quote", "-o", "q.csv"]) == 2
    assert main(["print", look, "book"]) == 2
    assert main(["print", "book", "book", "--format", "html"]) == 2
    assert main(["print", "book", "book", "-o", "all.pdf"]) == 0 and (tmp_path / "all.pdf").read_bytes().startswith(b"%PDF-")
    (tmp_path / look).write_text('edition 1\nrecipe "Broken"\nwearing 12 bananas\n', "utf-8")
    assert main(["print", "book", "book", "-o", "none.pdf"]) == 1 and not (tmp_path / "none.pdf").exists()
    capsys.readouterr()
