"""Every mistake has a place, the author's words and a way out; one mistake, one message."""

from __future__ import annotations

import pytest
from shipped_book import SMALL, compile_in_book

CASES = [
    # (line to replace, what is written instead, code, words quoted, part of the help)
    ("technique plait", "tecnique plait", "E111", "tecnique", "technique"),
    ("wearing 12 in", "wearing 12", "E105", "12", "12 in"),
    ("wearing 12 in", "wearing 12 °C", "E506", "12 °c", "a length"),
    ("wearing 12 in", "wearing -3 in", "E507", "-3 in", "minus"),
    ("wearing 12 in", "wearing 17,5 in", "E104", "17,5", "17.5"),
    ("wearing 12 in", "wearing 12 inchs", "E505", "inchs", "inches"),
    ("wearing 12 in", "wearing 18 to 16 in", "E504", "18 to 16 in", "smaller end first"),
    ("wearing 12 in", "wearing 1/0 in", "E501", "1/0", "fraction"),
    ("wearing 12 in", "wearing 900 in", "E508", "900 in", "between"),
    ('base: "Dune", cut 40 in', 'base: "Dun, cut 40 in', "E102", '"Dun', "second \""),
    ('base: "Dune", cut 40 in', 'base: "Duen", cut 40 in', "E614", "Duen", "Dune"),
    ('base: "Dune", cut 40 in', 'base: "Dune", cut 60 in', "E612", "60 in", "48 in"),
    ('base: "Dune", cut 40 in', 'base: "Dune" colour "mauve"', "E615", "mauve", "driftwood"),
    ("grid square 1½ in", "grid sqare 1½ in", "E101", "sqare", "square"),
    ("grid square 1½ in", "grid square 1000000000 sections", "E503", "1000000000", "3,000"),
    ("grid square 1½ in", "grid square by size", "E609", "by size", "no choices|strand"),
    ("start: extension at root, 1 piece of base ½ pencil", "start: extension at root", "E408", "extension at root", "pieces"),
    ("start: extension at root, 1 piece of base ½ pencil", "start extension at root, 1 piece of base ½ pencil", "E111", "start", "start:"),
    ("feed: pieces of base ½ pencil, hold width 8 mm", "feed: every 0 stitches: 1 piece of base ½ pencil", "E503", "0 stitches", "at least 1"),
    ("feed: pieces of base ½ pencil, hold width 8 mm", "feed: pieces of bass ½ pencil, hold width 8 mm", "E616", "bass", "base"),
    ("feed: pieces of base ½ pencil, hold width 8 mm", "feed: every 4 stitches from stitch 9 to 5: 1 piece of base ½ pencil", "E409", "9 to 5", "earlier stitch first"),
    ("end: heat seal 180 °C", "end: heat seal 180 g", "E506", "180 g", "a temperature"),
    ("end: heat seal 180 °C", "accents: every 9 stitches: 3 beads of \"Peble bead\"", "E617", "Peble bead", "Pebble bead"),
    ("edition 1", "edition 7", "E109", "edition 7", "edition 1"),
    ("end: heat seal 180 °C", "wearing 14 in", "E410", "wearing", "in nape"),
    ("end: heat seal 180 °C", "when strnd is fine: width 5 mm", "E604", "strnd", "strand"),
    ("end: heat seal 180 °C", "when strand is fien: width 5 mm", "E605", "fien", "fine"),
    ("end: heat seal 180 °C", "when strand is fine or age over 3 years and texture is curly: width 5 mm", "E702", "mixed", "brackets"),
    ("end: heat seal 180 °C", "when strand is fine: every 6 stitches", "E606|", "", ""),
    ("end: heat seal 180 °C", "based on \"Nothing\"", "E430", "Nothing", ""),
    ('recipe "Small"', "recipe Small", "E110", "recipe", 'recipe "Small"'),
    ("grid square 1½ in", "grid brick 1 x 1½ in", "E505", "'1' before 'x'", "both numbers"),
    ("grid square 1½ in", "grid square 60", "E105", "60", "60 sections"),
    ("end: heat seal 180 °C", "end: heat seal 180", "E105", "180", "180 °C"),
    ("end: heat seal 180 °C", "when strand is coarse: cut bass 20 in", "E616", "bass", "base"),
    ("end: heat seal 180 °C", "expect added weight between 1 in and 2 g", "E506", "1 in and 2 g", "same unit"),
    ("end: heat seal 180 °C", "use \"../../outside.plait\"", None, "", ""),
]


@pytest.mark.parametrize(("line", "instead", "code", "quoted", "help_words"), [c for c in CASES if c[2] and "|" not in c[2]],
                         ids=lambda value: str(value)[:40])
def test_one_slip_one_message_on_its_line(line: str, instead: str, code: str, quoted: str, help_words: str) -> None:
    text = SMALL.replace(line, instead)
    assert text != SMALL
    done = compile_in_book(text)
    assert done.plan is None
    assert [p.code for p in done.problems] == [code], [(p.code, p.message) for p in done.problems]
    problem = done.problems[0]
    assert quoted.lower() in (problem.message + problem.help).lower()
    assert any(words in problem.help for words in help_words.split("|"))
    expected = text.splitlines().index(instead) + 1 if code not in ("E430",) else problem.span.line
    assert problem.span.line == expected
    written = text.splitlines()[problem.span.line - 1]
    assert 1 <= problem.span.column <= len(written) + 1
    assert problem.help, "every mistake says what to do"


def test_all_mistakes_come_in_one_run() -> None:
    text = SMALL.replace("technique plait", "tecnique plait").replace("12 in", "12").replace("sqare", "x").replace("180 °C", "180 g")
    assert [p.span.line for p in compile_in_book(text).problems] == [3, 4, 11]


def test_a_misspelt_heading_does_not_blame_the_lines_below_it() -> None:
    done = compile_in_book(SMALL.replace("sections:", "sectons:"))
    assert [(p.code, p.span.line) for p in done.problems] == [("E111", 7)]


def test_an_adaptation_that_changes_nothing_is_told() -> None:
    done = compile_in_book(SMALL + "when strand is fine: every 6 stitches\n", wearer="Ilse")
    assert [p.code for p in done.problems] == ["E606"]


def test_two_adaptations_that_disagree_are_told() -> None:
    done = compile_in_book(SMALL + "when strand is fine: width 5 mm\nwhen texture is straight: width 6 mm\n", wearer="Ilse")
    assert [p.code for p in done.problems] == ["E603"]
    assert done.problems[0].others


def test_a_value_left_to_a_fact_needs_a_clause_for_every_word() -> None:
    text = SMALL.replace("hold width 8 mm", "hold width by strand") + "when strand is fine or medium: width 6 mm\n"
    done = compile_in_book(text, wearer="Marisol")
    assert [p.code for p in done.problems] == ["E608"]
    assert "coarse" in done.problems[0].message


def test_looks_based_on_each_other_are_refused() -> None:
    ring = SMALL.replace('recipe "Small"', 'recipe "A" based on "B"') + SMALL.replace("edition 1\n", "").replace('recipe "Small"', 'recipe "B" based on "A"')
    done = compile_in_book(ring, look="A")
    assert [p.code for p in done.problems] == ["E432"]
    assert "A → B → A" in done.problems[0].message


def test_a_line_of_five_megabytes_is_one_short_message() -> None:
    done = compile_in_book(SMALL + "summary \"" + "x" * 5_000_000 + "\"\n")
    assert [p.code for p in done.problems] == ["E106"]
    assert len(done.problems[0].message) < 200


def test_deep_brackets_are_refused_before_they_hurt() -> None:
    done = compile_in_book(SMALL + "when " + "(" * 500 + "strand is fine" + ")" * 500 + ": width 5 mm\n")
    assert [p.code for p in done.problems] == ["E101"]


def test_a_long_run_of_digits_is_refused() -> None:
    done = compile_in_book(SMALL.replace("12 in", "9" * 900 + " in"))
    assert [p.code for p in done.problems] == ["E501"]


@pytest.mark.parametrize(("line", "instead", "code"), [
    ('base: "Dune", cut 40 in', 'base: "Dune", cut 40 in, cut 30 in', "E411"),
    ('base: "Dune", cut 40 in', 'base: "Dune", folded in the middle, not folded', "E411"),
    ('base: "Dune", cut 40 in', 'base: "Dune", blunt ends, ends pulled 4 in', "E411"),
    ("end: heat seal 180 °C", "end: none, band", "E411"),
    ("end: heat seal 180 °C", "end: knot 3 turns, knot 4 turns", "E411"),
    ("end: heat seal 180 °C", "feed: none", "E411"),
    ("end: heat seal 180 °C", 'stock "Dunn" 3 packs', "E111"),
])
def test_contradictions_are_told(line: str, instead: str, code: str) -> None:
    assert [p.code for p in compile_in_book(SMALL.replace(line, instead)).problems] == [code]


@pytest.mark.parametrize("line", [
    'rate "cut" 2 min, sometimes', "own hair 8 in roughly", "last set down 3 weeks before", "chemical service colour 3 weeks hence",
    "rack 20 pegs, 10 pieces sideways", 'stock "Dunn" 3 packs', 'rate "cut" 2 min\nrate "cut" 3 min', 'stock "Dune" 1 pack\nstock "Dune" 2 packs',
    "own hair 8 in in nape\nown hair 7 in in nape",
])
def test_no_word_of_a_fact_is_dropped_unread(line: str) -> None:
    kind = "house" if line.split()[0] in ("rate", "rack", "stock") else "wearer"
    done = compile_in_book(SMALL + f'\n{kind} "X"\n{line}\n', **{kind: "X"})
    assert len(done.problems) == 1, [(p.code, p.message) for p in done.problems]


@pytest.mark.parametrize(("line", "instead"), [
    ("technique plait", "technique braids, tight"), ("technique plait", "technique loose plait"), ("wearing 12 in", "wearing waist"),
    ("wearing 12 in", "wearing level at the waist"), ("end: heat seal 180 °C", "end: knot"),
    ("end: heat seal 180 °C", "end: heat seal 350 degrees F"), ("end: heat seal 180 °C", "leave out the edges"),
    ("end: heat seal 180 °C", "- end: heat seal 180 °C"), ("end: heat seal 180 °C", "* wearing 10 in in nape"),
    ("end: heat seal 180 °C", "when edges are thin: leave out the hairline"),
    ("end: heat seal 180 °C", "accents: every stitch from stitch 3: 1 bead of \"Pebble bead\""),
])
def test_what_a_stylist_would_write_is_understood(line: str, instead: str) -> None:
    done = compile_in_book(SMALL.replace(line, instead), wearer="Tomasz")
    expected = [] if instead != "technique loose plait" else ["E101"]
    assert [p.code for p in done.problems] == expected, [(p.code, p.message) for p in done.problems]


def test_names_that_stand_for_nothing_are_told() -> None:
    done = compile_in_book(SMALL + 'expect sections at most 200 for wearer "Isle"\n')
    assert [p.code for p in done.problems] == ["E619"] and "Ilse" in done.problems[0].help
