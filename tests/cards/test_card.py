"""What the card says, in what order, the same in every form."""

import html as entities
import re

import pytest
from pages import without_drawings
from sample import sample

from plaitbook.cards.build import write_card
from plaitbook.cards.card import Figure, Ticks
from plaitbook.cards.html import render_html
from plaitbook.cards.text import columns, render_text
from plaitbook.cards.words import NBSP
from plaitbook.rules import CAUTION

ORDER = ["never", "buy", "cut", "map", "strip", "zones", "finish", "clock", "quote", "know", "aftercare"]
HOSTILE = {
    "script": "<script>alert(1)</script>", "template": "{{7*1009}} {% raw %} {# x",
    "markup": '#include "x" #panic() $x$ *b* `c` \\ @ref <lab> // c', "long": "W" * 10_000,
    "right to left": "مرحبا שלום \u202eabc", "emoji": "💇🏾‍♀️ 编发", "control": "a\x00b\x07c\x1b[31m\x85 \ud800 \ufffe",
    "drawing": "<svg onload=x>]]>&amp;", "quotes": "\"'`</style></title></svg>", "empty": "",
}


def test_order_of_the_work(card):
    assert [p.key for p in card.parts] == ORDER


def test_caution_on_every_card():
    for found in (0, 5):
        assert CAUTION in render_text(write_card(*sample(found=found)), width=10_000)


def test_every_finding_prints_with_its_reason_source_and_allowance(card):
    text = render_text(card, width=10_000)
    for finding in sample().plan.findings:
        assert finding.message.rstrip(".") in text
        if finding.severity != "ask":
            assert finding.reason.rstrip(".") in text and finding.source in text
    assert "Going on because: Edges stay out" in text


def test_lists_end_at_a_pause_after_nine_things():
    for found in (0, 5, 30):
        for part in write_card(*sample(found=found, sections=150)).parts:
            for block in part.blocks:
                assert not isinstance(block, Ticks) or len(block.items) < 10


def test_every_picture_has_words(card):
    for part in card.parts:
        for block in part.blocks:
            if isinstance(block, Figure):
                assert block.text and block.caption and all(p.alt and p.width_mm > 0 < p.height_mm for p in block.pictures)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_of_text_is_too_wide(width):
    for kw in ({}, {"sections": 150, "techniques": True, "ornaments": True}, {"words": "W" * 500}, {"words": "编发" * 60}):
        for line in render_text(write_card(*sample(**kw)), width).splitlines():
            assert columns(line) <= width and line == line.rstrip() and NBSP not in line


def test_html_says_what_the_text_says(card):
    page = re.sub(r"<svg.*?</svg>", "", render_html(card), flags=re.S)
    words = re.sub(r"\s+", " ", entities.unescape(re.sub(r"<[^>]+>", " ", page)).replace(NBSP, " "))
    for part in card.parts:
        assert part.title in words
        for block in part.blocks:
            said = {
                "para": lambda: [block.text], "alert": lambda: [block.text, block.reason, block.fix, block.allowed],
                "ticks": lambda: [i.text for i in block.items], "facts": lambda: [v for _, v in block.items],
                "table": lambda: [cell for row in block.rows for cell in row], "figure": lambda: [block.caption, *block.text],
            }[block.block]()
            for sentence in said:
                assert re.sub(r"\s+", " ", sentence.replace(NBSP, " ")) in words


def test_html_is_whole_and_needs_nothing_else(card):
    page = render_html(card)
    assert '<html lang="en" dir="ltr">' in page and "<title>Saltmarsh" in page and "@page" in page
    assert not re.search(r"<script|<link|@import|url\((?!#)|(?:src|href)=\"(?!#)", page)
    levels = [int(n) for n in re.findall(r"<h([1-6])", page)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(levels, levels[1:]))
    assert page.count("<table") == page.count("<caption")
    assert all("scope=" in th for th in re.findall(r"<th[^>]*>", page.replace("<thead", "<t-head")))
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_words_print_as_words(name):
    card = write_card(*sample(words=HOSTILE[name], ornaments=True))
    page, plain = render_html(card), render_text(card)
    page.encode(), plain.encode()
    assert "<script" not in page and "onload=x>" not in page.replace("&lt;svg onload=x&gt;", "")
    assert "7063" not in re.sub(r"<svg.*?</svg>|<style>.*?</style>", "", page, flags=re.S) if name == "template" else True
    assert page.count("<style>") == page.count("</style>") == 1 and page.count("</title>") >= 1
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", page)
    assert len(page) < 400_000


def test_notes_and_stand_ins_are_said_once():
    plan, recipe, wearer, house = sample()
    recipe = recipe.model_copy(update={"notes": ("Keep the fringe light",), "swapped": (("Dune", "Kelp"),)})
    wearer = wearer.model_copy(update={"note": "Hears better on the right"})
    text = render_text(write_card(plan, recipe, wearer, house), width=10_000)
    for said in ("Keep the fringe light.", "Kelp for Dune", "Ines: Hears better on the right.", house.note):
        assert text.count(said) == 1


def test_shades_stand_in_the_stitch_table():
    plan, *rest = sample()
    kinds = tuple(k.model_copy(update={"feed_ins": tuple(f.model_copy(update={"colour": "ember"}) for f in k.feed_ins)})
                  for k in plan.strand_kinds)
    rows = write_card(plan.model_copy(update={"strand_kinds": kinds}), *rest).part("strip").blocks[1].rows
    assert any("base in ember" in row[2] for row in rows)


def test_what_every_zone_shares_stands_in_a_sentence():
    part = write_card(*sample()).part("zones")
    assert part.blocks[0].text == f"Everywhere: plait, 17{NBSP}in long, 77 stitches, 6–7.5{NBSP}mm wide."


def test_the_text_keeps_a_drawing_that_says_more_than_the_tables(card):
    text = render_text(card)
    assert "Nape: left " in text and "Circle of" not in text and text.count("tuck it in") == 1


def test_without_the_quote():
    card = write_card(*sample(), with_quote=False)
    assert "quote" not in [p.key for p in card.parts] and "290.00" not in render_html(card)


def _shipped(look, wearer):
    from shipped_book import compile_in_book, shipped_text

    done = compile_in_book(shipped_text(f"looks/{look}.plait"), f"looks/{look}.plait", wearer=wearer)
    return done.plan, done.recipe, done.wearer, done.house


def test_zones_that_rows_pass_over_are_not_left_out():
    intro, _, table = write_card(*_shipped("shingle", "Tomasz")).part("map").blocks
    assert "left out" not in intro.text
    assert "nape, back, temples, top and hairline worked with the rows of crown and sides" in intro.text
    said = " ".join(row[2] for row in table.rows).replace(NBSP, " ")
    assert "rows 4–7 side by side, 1⅛ in apart" in said and "0 in" not in said


def test_what_is_left_out_is_said():
    plan, *rest = sample()
    zones = tuple(z.model_copy(update={"left_out": z.zone == "hairline"}) for z in plan.sections.zones)
    sections = plan.sections.model_copy(update={"zones": zones, "rows": tuple(r for r in plan.sections.rows if r.zone != "hairline")})
    assert "left out: hairline" in write_card(plan.model_copy(update={"sections": sections}), *rest).part("map").blocks[0].text.lower()


def test_a_total_without_a_price_says_what_it_leaves_out():
    plan, *rest = sample()
    quote = plan.quote.model_copy(update={"unpriced": ("Dune", "Kelp")})
    text = render_text(write_card(plan.model_copy(update={"quote": quote}), *rest), width=10_000)
    assert "\nTotal without Dune and Kelp: USD" in text and "Total USD" not in text
    assert "\nTotal USD" in render_text(write_card(plan, *rest), width=10_000)


def test_no_tax_is_not_a_line():
    plan, *rest = sample()
    lines = tuple(line for line in plan.quote.lines if not line.label.startswith("tax"))
    quote = plan.quote.model_copy(update={"tax": plan.quote.tax * 0, "lines": lines})
    card = write_card(plan.model_copy(update={"quote": quote}), *rest)
    assert "tax" not in card.part("quote").blocks[1].text


def test_sizes_on_one_rack_say_that_they_share_it(card):
    plan, recipe, wearer, house = sample()
    said = f"All share one rack of {house.rack_pegs}{NBSP}pegs, by need."
    assert any(getattr(b, "text", "") == said for b in card.part("cut").blocks)
    alone = plan.model_copy(update={"material": plan.material.model_copy(update={"racks": plan.material.racks[:1]})})
    assert not any(getattr(b, "text", "") == said for b in write_card(alone, recipe, wearer, house).part("cut").blocks)


@pytest.mark.parametrize(("hand", "order", "said"), [("right", "nape up", False), ("left", "nape up", True), ("left", "left to right", False)])
def test_a_left_handed_house_is_told_how_the_map_is_numbered(hand, order, said):
    plan, recipe, wearer, house = sample()
    card = write_card(plan, recipe.model_copy(update={"order": order}), wearer, house.model_copy(update={"hand": hand}))
    assert ("left-handed" in card.part("map").blocks[0].text) is said


def test_a_source_is_printed_whole():
    plan, *rest = sample()
    finding = plan.findings[0].model_copy(update={"severity": "stop", "source": "A journal " * 20})
    assert "(cut:" not in render_text(write_card(plan.model_copy(update={"findings": (finding,)}), *rest))


def test_lists_that_go_on_have_no_gap(card):
    text = render_text(card)
    slip = text[text.index("Aftercare:"):]
    assert "\n\n[ ]" in slip and slip.count("\n\n[ ]") == 1


def test_text_snapshot(card, snapshot):
    assert render_text(card) == snapshot


def test_html_snapshot(card, snapshot):
    assert without_drawings(render_html(card)) == snapshot


def test_metric_text_snapshot(snapshot):
    card = write_card(*sample(units="metric", techniques=True, ornaments=True, found=0))
    assert render_text(card) == snapshot
