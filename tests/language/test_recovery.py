"""One slip, one message: what only follows from another mistake is not told, what doesn't is."""

from __future__ import annotations

import pytest
from shipped_book import SMALL, compile_in_book, shipped_text

from plaitbook.meaning.book import file_meaning
from plaitbook.syntax.parse import parse

SALTMARSH = shipped_text("looks/saltmarsh.plait")


def said(text: str, **request: str) -> list[tuple[str, int]]:
    return [(p.code, p.span.line) for p in compile_in_book(text, **request).problems]


def line_of(text: str, begins: str) -> int:
    return next(n for n, row in enumerate(text.split("\n"), 1) if row.strip().startswith(begins))


@pytest.mark.parametrize(("line", "instead", "code"), [
    ('recipe "Small"', 'recipe "Small', "E102"), ('recipe "Small"', 'recipe Small"', "E102"), ('recipe "Small"', 'recpe "Small"', "E110"),
    ('recipe "Small"', "recipe", "E110"), ("hair:", "hair", "E111"), ("hair:", "ha", "E111"), ("hair:", "hair hair:", "E111"), ("hair:", ":", "E111"),
    ("sections:", "sectionsx", "E103"), ("hair:", 'ha"ir:', "E102"), ("start:", "satrt:", "E111"), ("start:", ":", "E101"),
])
def test_a_broken_heading_costs_one_message(line: str, instead: str, code: str) -> None:
    text = SMALL.replace(line, instead, 1)
    found = said(text)
    if instead == 'ha"ir:':  # two: the hair below a heading nobody can read is told where it belongs
        found = found[:1]
    assert [c for c, _ in found] == [code], found
    assert found[0][1] == next(n for n, row in enumerate(text.split("\n"), 1) if row.startswith(instead))


def test_a_heading_that_is_gone_is_missed_once_below() -> None:
    text = SALTMARSH.replace("hair:\n", "")
    assert said(text) == [("E113", line_of(text, 'base: "Dune"'))]


def test_lines_of_sections_need_no_heading() -> None:
    assert said(SALTMARSH.replace("sections:\n", "")) == []


def test_a_broken_choice_is_not_missed_by_the_lines_that_use_it() -> None:
    text = SALTMARSH.replace("size: small is", "size: smal l is,")
    assert [line for _, line in said(text)] == [line_of(text, "size:")]


def test_what_is_missing_is_missed_at_its_empty_heading() -> None:
    text = SMALL.replace("start: extension at root, 1 piece of base ½ pencil", "start:")
    assert said(text) == [("E623", line_of(text, "start:"))]


def test_mistakes_of_form_and_of_meaning_come_in_one_run() -> None:
    text = SMALL.replace("technique plait", "tecnique plait").replace('"Dune"', '"Duen"').replace("180 °C", "180 g")
    assert [code for code, _ in said(text)] == ["E111", "E614", "E506"]


def test_a_mistake_in_the_book_does_not_hide_one_in_the_look() -> None:
    text = SMALL.replace("of base ½ pencil, hold", "of bass ½ pencil, hold") + '\nwearer "X"\nage 12\n'
    assert {code for code, _ in said(text)} == {"E616", "E302"}


def test_a_hair_that_can_not_be_read_is_not_missed_by_the_look() -> None:
    text = 'hair "Tide\nkind plain\n' + SMALL.replace("edition 1\n", "").replace("Dune", "Tide")
    assert said(text) == [("E102", 1)]


@pytest.mark.parametrize("head", ["", "weacer \"Bea\"", "wearer \"Bea", "wea", "wearer"])
def test_a_second_wearer_without_a_first_line_is_one_message(head: str) -> None:
    facts = "age 30 years\nstrand fine\ndensity medium\ntexture curly\nown hair 8 in\n"
    text = f'edition 1\nwearer "Ada"\n{facts}{head}\n{facts}'
    problems = file_meaning(text, "w.plait").problems
    assert len(problems) == 1 and problems[0].span.line in (8, 9), [(p.span.line, p.message) for p in problems]


def test_two_facts_said_twice_are_two_messages() -> None:
    text = 'edition 1\nwearer "Ada"\nage 30 years\nstrand fine\nage 31 years\nstrand coarse\n'
    assert [(p.code, p.span.line) for p in file_meaning(text, "w.plait").problems] == [("E305", 5), ("E305", 6)]


def test_lines_of_a_nameless_look_are_still_read() -> None:
    tree, problems = parse('recpe "X"\nwearing 12\ntechnique plait\n', "x.plait")
    assert tree.declarations == () and tree.lost == ("recipe",)
    assert [(p.code, p.span.line) for p in problems] == [("E110", 1), ("E105", 2)]


def test_the_same_thing_said_in_two_zones_is_one_message() -> None:
    text = SMALL + "technique twist in nape, back\ntechnique plait in nape, back\n"
    problems = compile_in_book(text).problems
    assert [p.code for p in problems] == ["E410"] and "nape, back" in problems[0].message
