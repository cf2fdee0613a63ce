"""Choices that a look takes over: gone where its lines leave them nothing to change, as they were where they don't."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from shipped_book import BOOK_FILES, SMALL, compile_in_book, fetch, shipped_text

from plaitbook.cards.context import context_of
from plaitbook.cards.prepare import who
from plaitbook.desk.command import main
from plaitbook.desk.editor.desk import Desk
from plaitbook.desk.editor.places import uri_of
from plaitbook.desk.survey.cells import cells, read_book
from plaitbook.desk.ways import looks_and_ways
from plaitbook.meaning.book import Book, open_book
from plaitbook.meaning.inherit import inherit
from plaitbook.meaning.look import Look
from plaitbook.meaning.model import Recipe
from plaitbook.meaning.settle import settle
from plaitbook.meaning.standing import house_or_default, unknown_wearer
from plaitbook.mistakes import look_wrong
from plaitbook.plan.seal import look_ingredients

HEAD = 'edition 1\nuse "saltmarsh.plait"\n\nrecipe "Kid" version 1 based on "Saltmarsh"\n'
WEARING, GRID, WIDTH = "wearing 14 in", "grid brick 1 in", "feed: pieces of base ½ pencil, hold width 8 mm"
CUT = 'hair: base: "Dune" colour "driftwood", cut 40 in'
ALONE = {WEARING: ("size",), GRID: ("size", "length"), WIDTH: ("size", "length"), CUT: ("size", "length")}
"""A line of its own -> the choices of Saltmarsh that are left."""


def opened(text: str) -> Book:
    book = open_book([("looks/kid.plait", text), *((name, shipped_text(name)) for name in BOOK_FILES)], fetch)
    assert not book.problems, book.problems
    return book


def whole(text: str, name: str = "Kid") -> Look:
    book = opened(text)
    found = inherit(book.looks[name], book.looks, [])
    assert found is not None
    return found


def left(text: str, name: str = "Kid") -> tuple[str, ...]:
    """The choices a look has; nothing is wrong with it however it is taken, and its card prints just these."""
    book = opened(text)
    assert look_wrong(book, book.looks[name]) == []
    done = compile_in_book(text, "looks/kid.plait", look=name)
    assert done.plan is not None, done.problems
    found = inherit(book.looks[name], book.looks, [])
    assert found is not None
    names = tuple(choice.name for choice in found.choices)
    assert tuple(choice for choice, _ in done.plan.head.choices) == names
    said = dict(who(context_of(done.plan, done.recipe, done.wearer, done.house, None, None))).get("Chosen", "")
    assert [part.split(":")[0] for part in said.split(", ") if part] == list(names)
    return names


MIXES = [lines for n in range(1, 5) for lines in combinations((WEARING, GRID, WIDTH, CUT), n)]


@pytest.mark.parametrize("lines", MIXES, ids=lambda lines: " + ".join(line.split()[0] for line in lines))
def test_a_choice_goes_when_the_looks_lines_say_all_that_it_sets(lines: tuple[str, ...]) -> None:
    names = ["size"] if not {GRID, WIDTH} <= set(lines) else []
    names += ["length"] if WEARING not in lines else []
    assert left(HEAD + "\n".join(lines) + "\n") == tuple(names)
    if len(lines) == 1:
        assert tuple(names) == ALONE[lines[0]]


def test_her_own_cut_wins_over_one_that_goes_with_a_length_of_the_base() -> None:
    done = compile_in_book(HEAD + CUT + "\n", "looks/kid.plait", picks={"length": "bob"})
    assert done.recipe is not None, done.problems
    assert done.recipe.role("base").cut_mm.text == "40 in"
    done = compile_in_book(HEAD, "looks/kid.plait", picks={"length": "bob"})
    assert done.recipe is not None and done.recipe.role("base").cut_mm.text == "32 in"


def test_her_own_hair_wins_over_one_that_an_option_of_the_base_sets() -> None:
    base = SMALL.replace("hair:\n", 'choices: fibre: plant is hair base "Kelp"; other is hair base "Dune"\nhair:\n')
    text = base + '\nrecipe "Kid" based on "Small"\nhair: base: "Dune"\n'
    assert left(text) == ()
    done = compile_in_book(text, look="Kid")
    assert done.recipe is not None and [part.hair for part in done.recipe.role("base").parts] == ["Dune"]


@pytest.mark.parametrize(("lines", "option", "said", "help_words"), [
    ((WEARING,), "length=waist", "\"Kid\" says 'wearing 14 in' itself (looks/kid.plait:5), so there is no choice 'length' any more",
     "leave length=waist out, or take that line out"),
    ((GRID, WIDTH), "size=small", "\"Kid\" says 'grid brick 1 in' itself (looks/kid.plait:5) and "
     "'feed: pieces of base ½ pencil, hold width 8 mm' (looks/kid.plait:6), so there is no choice 'size' any more",
     "leave size=small out, or take those lines out"),
    ((WEARING,), "lenth=waist", "'lenth' is not a choice of \"Kid\"", "size"),
])
def test_a_pick_of_it_is_told_of_her_own_line(lines: tuple[str, ...], option: str, said: str, help_words: str) -> None:
    name, _, value = option.partition("=")
    done = compile_in_book(HEAD + "\n".join(lines) + "\n", "looks/kid.plait", picks={name: value})
    assert [(p.code, p.message) for p in done.problems] == [("E601", said)]
    assert help_words in done.problems[0].help and done.problems[0].span.file == "looks/kid.plait"


TWO = HEAD + WEARING + "\n" + GRID + '\nrecipe "Tot" based on "Kid"\n'


def test_two_looks_back_it_is_the_same() -> None:
    assert left(TWO, "Tot") == ("size",)
    assert left(TWO + WIDTH + "\n", "Tot") == ()
    done = compile_in_book(TWO, "looks/kid.plait", look="Tot", picks={"length": "bob"})
    assert [p.message for p in done.problems] == ["\"Kid\" says 'wearing 14 in' (looks/kid.plait:5), so there is no choice 'length' any more"]
    assert 'a line of "Tot"' in done.problems[0].help, "a line of another look isn't hers to take out"
    done = compile_in_book(TWO + "wearing 12 in\n", "looks/kid.plait", look="Tot", picks={"length": "bob"})
    assert "\"Tot\" says 'wearing 12 in' itself" in done.problems[0].message and done.problems[0].span.line == 8


def test_a_later_look_may_leave_it_to_the_choice_again() -> None:
    assert left(TWO + "wearing by length\n", "Tot") == ("size", "length"), "in the order of the first look"
    done = compile_in_book(TWO + "wearing by length\n", "looks/kid.plait", look="Tot", picks={"length": "waist"})
    assert done.recipe is not None and done.recipe.zone("top").wearing.length_mm.text == "22 in"


def test_a_look_may_say_the_choice_again() -> None:
    text = HEAD + WEARING + "\nchoices: size: tiny is grid ½ in, width 5 mm; huge is grid 2 in, width 10 mm\n"
    assert left(text) == ("size",)
    idle = HEAD + WEARING + "\nchoices: length: tiny is 5 in; huge is 30 in\n"
    done = compile_in_book(idle, "looks/kid.plait")
    assert [(p.code, p.span.file, p.span.line) for p in done.problems] == [("E606", "looks/kid.plait", 6)], "her own line, her own mistake"


BASE = SMALL.replace("hair:\n", "choices:\n{choice}\nhair:\n")


def kid(choice: str, lines: str, base: str = "") -> str:
    return BASE.replace("{choice}", choice) + base + f'\nrecipe "Kid" based on "Small"\n{lines}\n'


STAYS = {
    "in the zones that her line doesn't name": ("c: a is wearing 8 in; b is wearing 9 in", "wearing 10 in in nape"),
    "by its other option": ("c: a is grid 1 in; b is width 5 mm", "grid square 2 in"),
    "by a zone of one option": ("c: a is tightness firm; b is tightness relaxed, width 5 mm in nape", "technique plait, firm"),
    "her technique says no tightness": ("c: a is tightness firm; b is tightness relaxed", "technique twist"),
    "she leaves her own line to it": ("c: a is 5 mm; b is 9 mm", "feed: pieces of base ½ pencil, hold width by c"),
    "an adaptation of hers asks for it": ("c: a is wearing 8 in; b is wearing 9 in", "wearing 10 in\nwhen c is b: width 9 mm"),
    "a cut that goes with nothing": ("c: a is cut base 30 in; b is cut base 36 in", "wearing 10 in"),
    "a cut that goes with the grid": ("c: a is grid 1 in, cut base 30 in; b is grid 2 in", "grid square 2 in"),
    "zones left out": ("c: a is leave out hairline; b is leave out nape", "leave out hairline"),
}
GOES = {
    "by zone after zone": ("c: a is width 5 mm in nape; b is width 9 mm in nape", "feed: pieces of base ½ pencil, hold width 8 mm in nape"),
    "nothing is fed in": ("c: a is width 5 mm, pieces ¼ pencil; b is width 9 mm", "feed: none"),
    "the start takes no piece": ("c: a is first piece ¼ pencil; b is first piece ½ pencil", "start: own hair only"),
    "the zone is left out": ("c: a is width 5 mm in hairline; b is width 6 mm in hairline", "leave out hairline"),
    "a choice of hers sets the same": ("c: a is width 5 mm; b is width 9 mm", "choices: d: x is width 6 mm; y is width 7 mm"),
    "its zones are left out already": ("c: a is leave out hairline; b is width 5 mm", "leave out hairline\nfeed: pieces of base ½ pencil, hold width 8 mm"),
    "tightness": ("c: a is tightness firm; b is tightness relaxed", "technique plait, ordinary"),
    "a cut that went with the length": ("c: a is wearing 8 in, cut base 30 in; b is wearing 12 in", "wearing 10 in"),
    "the hairline": ("c: a is hairline ½ in; b is hairline ¾ in", "grid square 1 in in hairline"),
}


@pytest.mark.parametrize("case", STAYS)
def test_it_stays_while_it_changes_something(case: str) -> None:
    assert left(kid(*STAYS[case])) == ("c",)


@pytest.mark.parametrize("case", GOES)
def test_it_goes_when_nothing_is_left(case: str) -> None:
    assert [name for name in left(kid(*GOES[case])) if name == "c"] == []
    done = compile_in_book(kid(*GOES[case]), look="Kid", picks={"c": "b"})
    assert [p.code for p in done.problems] == ["E601"] and '"Kid" says \'' in done.problems[0].message


def test_an_adaptation_taken_over_keeps_it_while_it_can_hold() -> None:
    asks = "when c is b: every 6 stitches\naccents: every 9 stitches: 1 piece of base ¼ pencil\n"
    choice = "c: a is wearing 8 in; b is wearing 9 in"
    assert left(kid(choice, WEARING, asks)) == ("c",)
    assert left(kid(choice, WEARING + "\naccents: none", asks)) == (), "the adaptation is idle, and nobody is told so"


def test_what_the_default_sets_besides_stays_in_force() -> None:
    done = compile_in_book(kid("c: a is wearing 8 in, cut base 30 in; b is wearing 12 in", "wearing 10 in"), look="Kid")
    assert done.recipe is not None and done.recipe.choices == () and done.recipe.role("base").cut_mm.text == "30 in"


def test_order_in_the_file_does_not_matter() -> None:
    text = kid("c: a is wearing 8 in; b is wearing 9 in", "wearing 10 in")
    first, second = text.removeprefix("edition 1\n").split('\nrecipe "Kid"')
    assert left(f'edition 1\nrecipe "Kid"{second}\n{first}\n') == ()


def test_a_seal_holds_the_overruled_choice_as_it_did() -> None:
    book = opened(kid("c: a is wearing 8 in, cut base 30 in; b is wearing 12 in", "wearing 10 in", "when c is b: width 9 mm\n") + "feed: none\n")
    look = inherit(book.looks["Kid"], book.looks, [])
    assert look is not None and look.choices == () and len(look.overruled) == 1
    every = replace(look, choices=look.all_choices(), overruled=())
    assert look_ingredients(look, book.hairs, book.ornaments, {}) == look_ingredients(every, book.hairs, book.ornaments, {})


def test_an_editors_pick_that_the_file_cant_take_is_left_out(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "book")]) == 0
    kid_file = tmp_path / "book" / "looks" / "kid.plait"
    kid_file.write_text(HEAD + WEARING + "\n", "utf-8")
    desk = Desk()
    desk.settle({"choices": {"length": "waist", "size": "small"}})
    at = desk.open(uri_of(kid_file), HEAD + WEARING + "\n")
    assert at is not None and desk.request_for(at).picks == {"size": "small"}


# --- against settling itself: whatever is said, a choice is there if and only if it changes something

RICH = """size: a is grid 1 in, width 5 mm; b is grid 2 in, width 9 mm, hairline ½ in
reach: a is 8 in; b is 14 in
edge: a is width 4 mm in hairline and nape; b is first piece ¼ pencil in hairline
feel: a is tightness firm; b is every 6 stitches, accent piece ½ pencil
gone: a is leave out nape; b is leave out nape and hairline
"""
LINES = ("wearing 12 in", "grid square 1½ in", "grid brick 1 in in hairline", "hairline square ¾ in",
         "feed: pieces of base ½ pencil, hold width 8 mm", "feed: none in nape, hairline", "technique plait, firm", "accents: none",
         "start: own hair only in hairline", "leave out nape, hairline", "wearing 10 in in top", "choices: reach: x is wearing 9 in; y is wearing 10 in")


def seen(recipe: Recipe) -> object:
    """What a recipe says of the strands that are braided."""
    def value(measure: object) -> object:
        return getattr(measure, "value", measure)

    zones = []
    for zone in recipe.zones:
        if zone.left_out:
            continue
        grid, start = zone.grid, zone.start
        zones.append((zone.zone, zone.tightness, grid.shape, value(grid.height_mm), value(grid.width_mm), grid.count, value(zone.wearing.length_mm),
                      start.kind, value(start.own_mm), start.pieces and start.pieces.held_mm.value,
                      [(feed.kind, feed.pieces.held_mm.value, value(feed.width_mm)) for feed in zone.feeds],
                      [(accent.every, accent.pieces and accent.pieces.held_mm.value) for accent in zone.accents]))
    return zones


SOME = [mix for n in (1, 2) for mix in combinations(range(len(LINES)), n)] + list(combinations(range(len(LINES)), 3))[::9]


@pytest.mark.parametrize("lines", SOME, ids=str)
def test_a_choice_is_there_if_and_only_if_it_changes_something(lines: tuple[int, ...]) -> None:
    base = SMALL.replace("wearing 12 in", "wearing by reach").replace("hold width 8 mm", "hold width by size").replace("square 1½ in", "square by size")
    base = base.replace("hair:\n", f"choices:\n{RICH}hair:\n") + "accents: every 9 stitches: 1 piece of base ¼ pencil\n"
    text = base + '\nrecipe "Kid" based on "Small"\n' + "\n".join(LINES[n] for n in lines) + "\n"
    book = opened(text)
    look = inherit(book.looks["Kid"], book.looks, [])
    house = house_or_default(book, None, "looks/kid.plait", [])
    assert look is not None and house is not None
    every = replace(look, choices=look.all_choices(), overruled=())
    options = {choice.name: [option for option, _ in choice.options] for choice in every.choices}

    def made(picks: dict[str, str], of: Look = every) -> object:
        recipe = settle(of, unknown_wearer(), house, book.hairs, book.ornaments, picks, problems := [])
        return [p.code for p in problems if p.code != "E606"] or (seen(recipe) if recipe is not None else None)

    assert made({}, look) == made({}), "the ordinary card is the same"
    ways = [{}, *({name: option} for name in options for option in options[name])]
    for choice in every.choices:
        if not choice.depth:
            continue
        changes = any(made({**way, choice.name: options[choice.name][0]}) != made({**way, choice.name: option})
                      for way in ways if choice.name not in way for option in options[choice.name][1:])
        assert (choice.name in {each.name for each in look.choices}) == changes, choice.name


# --- what shows it elsewhere


def test_check_card_menu_and_survey_agree(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "book"
    assert main(["new", str(book)]) == 0
    for look in (book / "looks").glob("*.plait"):
        if look.name != "saltmarsh.plait":
            look.unlink()
    file = book / "looks" / "kid.plait"
    file.write_text(HEAD + WEARING + "\n", "utf-8")
    assert main(["check", str(file)]) == 0
    capsys.readouterr()
    assert main(["card", str(file), "--format", "text", "-o", "-"]) == 0
    printed = capsys.readouterr().out
    assert "Chosen        size: medium\n" in printed and "length:" not in printed
    assert main(["card", str(file), "--choose", "length=waist", "-o", str(tmp_path / "card.pdf")]) == 1
    told = capsys.readouterr().err
    assert "'wearing 14 in' itself (looks/kid.plait:5)" in told and "saltmarsh.plait" not in told and "1 mistake" in told
    ways, problems = looks_and_ways(book, None)
    kid_ways = next(one for one in ways if one.file == "looks/kid.plait")
    assert not problems and [words for words, _ in kid_ways.others] == ["size small", "size medium", "size large"]
    picks = {cell.picks for cell in cells(read_book(book), (), (), True) if cell.look == "Kid"}
    assert picks == {(("size", option),) for option in ("small", "medium", "large")}
