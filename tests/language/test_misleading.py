"""Slips whose message once sent the stylist to the wrong place, or to the wrong thing to write."""

from __future__ import annotations

import re

import pytest
from shipped_book import SMALL, compile_in_book

from plaitbook.desk.command import main
from plaitbook.desk.editing.edits import apply
from plaitbook.desk.editing.fixes import fixes
from plaitbook.desk.editing.session import Session
from plaitbook.meaning.book import file_meaning
from plaitbook.meaning.conditions import IsWord, read_condition
from plaitbook.meaning.reading import Reading
from plaitbook.shipped import shipped_folder
from plaitbook.syntax import vocabulary
from plaitbook.syntax.parse import parse
from plaitbook.syntax.problem import Problem

BASE = 'base: "Dune", cut 40 in'
END = "end: heat seal 180 °C"
START = "start: extension at root, 1 piece of base ½ pencil"


def one(text: str) -> Problem:
    problems = compile_in_book(text).problems
    assert len(problems) == 1, [(p.code, p.message) for p in problems]
    return problems[0]


def mended(problem: Problem, text: str) -> list[str]:
    return [apply(text, fix.edits) for fix in fixes(problem, text)]


def underlined(problem: Problem, text: str) -> str:
    return text.split("\n")[problem.span.line - 1][problem.span.column - 1 : problem.span.end - 1]


@pytest.mark.parametrize(("line", "right", "wrong"), [
    (BASE, 'base: "Dune" colour "ember", cut 40 in', '"embre"'),
    (BASE, 'base: blend of 1 part "Dune" colour "ember" and 2 parts "Dune" colour "driftwood"', '"driftwoood"'),
    (BASE, 'base: blend of 1 part "Dune" and 2 parts "Meadow"', '"Medaow"'),
    (BASE, 'base: "Dune" colour "ember", then colour "driftwood" from stitch 9', '"driftwod"'),
    (END, 'end: knot 5 turns, 3 beads of "Pebble bead"', '"Peble bead"'),
    (END, 'accents: every 9 stitches: 3 beads of "Pebble bead"', '"Peble bead"'),
    (END, "when strand is fine or medium: width 5 mm", "medum"),
    (END, "when strand is fine: width 5 mm", "strnd"),
    (END, "choices:\nsize: small is grid ½ in; large is grid 2 in; default large", "lareg"),
    (END, "when strand is fine: cut base 20 in", "bsae"),
    (END, 'when strand is fine: hair base "Dune" colour "ember"', '"embre"'),
])
def test_the_place_is_the_very_words_to_be_replaced(line: str, right: str, wrong: str) -> None:
    quote = '"' if wrong.startswith('"') else ""
    words = [w for w in (re.findall(r'"[^"]*"', right) if quote else re.findall(r"[a-z]+", right))]
    target = max(words, key=lambda word: (len(set(word) & set(wrong)) - abs(len(word) - len(wrong)), words.index(word)))
    good = SMALL.replace(line, right, 1)
    at = good.rindex(target)
    text = good[:at] + wrong + good[at + len(target) :]
    problems = [p for p in compile_in_book(text, wearer="Ilse").problems if "did you mean" in p.help]
    assert problems, "a misspelt name goes unnoticed"
    assert underlined(problems[0], text) == wrong
    assert good in mended(problems[0], text)


@pytest.mark.parametrize(("line", "instead", "units", "never"), [
    (END, 'finish "setting foam" 25', "25 g", "25 in"), ("grid square 1½ in", "grid ¾", "¾ in", "sections"),
    ("grid square 1½ in", "grid 60", "60 sections", "g"), (END, "end: dip 80 °C for 10", "10 s", "10 in"),
    (END, "end: curl rods 12", "12 mm", "°C"), (END, "when age over 12: width 5 mm", "12 years", "in"),
    (END, "when own hair under 6: width 5 mm", "6 in", "years"),
])
def test_a_number_without_a_unit_is_offered_those_that_are_asked_for(line: str, instead: str, units: str, never: str) -> None:
    text = SMALL.replace(line, instead)
    problem = one(text)
    assert problem.code == "E105" and units in problem.help and f" {never} " not in f"{problem.help} "
    assert text.replace(instead, instead.replace(units.split()[0], units, 1)) in mended(problem, text)


@pytest.mark.parametrize(("line", "instead", "says", "right"), [
    (END, "end: knot 5 turns,, heat seal 180 °C", "comma", "end: knot 5 turns, heat seal 180 °C"),
    (START, "start: extension at root, 1 piece of base, ½ pencil", "comma", START),
    ("grid square 1½ in", "grid square 1.25 in.", "full stop", "grid square 1.25 in"),
    (END, "end: heat seal 180 °C.", "full stop", END),
    ("technique plait", "technique plait;", "semicolon", "technique plait"),
    ("technique plait", "technique plait,", "comma", "technique plait"),
    ("grid square 1½ in", "grid square 1½ in,\nparting centre", "comma", "grid square 1½ in\nparting centre"),
])
def test_a_stray_mark_is_named_and_taken_out(line: str, instead: str, says: str, right: str) -> None:
    text = SMALL.replace(line, instead)
    problem = one(text)
    assert problem.help == f"take this {says} out"
    assert mended(problem, text) == [SMALL.replace(line, right)]


@pytest.mark.parametrize(("line", "right", "wrong"), [
    (BASE, BASE, "base: 'Dune', cut 40 in"), (BASE, BASE, 'base "Dune", cut 40 in'),
    (END, "accents: every 9 stitches: 1 piece of base ¼ pencil", "accents: every 9 stitches 1 piece of base ¼ pencil"),
    (END, 'finish "setting foam" 20 g', "finish setting foam 20 g"), (END, 'summary "So, now."', "summary So, now."),
])
def test_a_missing_mark_is_put_where_it_belongs(line: str, right: str, wrong: str) -> None:
    text = SMALL.replace(line, wrong)
    assert SMALL.replace(line, right) in mended(next(p for p in compile_in_book(text).problems), text)


def test_every_statement_with_nonsense_has_an_example_of_itself() -> None:
    lines = {"recipe": [*vocabulary.RECIPE_STATEMENTS, *(f"{block}:" for block in vocabulary.RECIPE_BLOCKS), *vocabulary.SECTION_WORDS],
             "rule": list(vocabulary.RULE_STATEMENTS), **{kind: list(facts) for kind, facts in vocabulary.FACTS.items()}}
    shown = 0
    for kind, words in lines.items():
        for word in words:
            for nonsense in ("% qq qq", "( qq", "qq %"):
                for problem in parse(f'{kind} "X"\n{word} {nonsense}\n', "x.plait")[1]:
                    found = re.search(r"write it like: (.*)$", problem.help)
                    if found:
                        shown += 1
                        assert found.group(1).startswith(word), (word, problem.help)
    assert shown > 60


@pytest.mark.parametrize("kind", vocabulary.FACT_EXAMPLES)
def test_the_example_of_a_fact_is_right(kind: str) -> None:
    assert set(vocabulary.FACT_EXAMPLES[kind]) == set(vocabulary.FACTS[kind])
    for word, example in vocabulary.FACT_EXAMPLES[kind].items():
        wrong = [p for p in file_meaning(f'edition 1\n{kind} "X"\n{example}\n', "x.plait").problems if p.code != "E306"]
        assert not wrong and example.startswith(word)


def test_the_example_of_an_order_is_an_order() -> None:
    assert one(SMALL.replace("grid square 1½ in", "grid square 1½ in\norder from nape")).help.endswith("write it like: order nape up")


@pytest.mark.parametrize(("line", "right", "lost"), [
    ("technique plait", 'summary "Knotless plaits"\ntechnique plait', '"Knotless'),
    ("technique plait", 'note "Ask for Ana, at ten"\ntechnique plait', '"Ask'),
    ('recipe "Small"', 'recipe "Small"', '"Small'), (BASE, 'base: "Dune" colour "ember", cut 40 in', '"Dune'),
    (BASE, 'base: "Dune" colour "ember", cut 40 in', '"ember'), (END, 'finish "setting foam" 20 g', '"setting'),
])
def test_a_missing_opening_quote_is_put_before_its_name(line: str, right: str, lost: str) -> None:
    good = SMALL.replace(line, right)
    text = good.replace(lost, lost[1:], 1)
    problem = next(p for p in compile_in_book(text).problems if p.code == "E102")
    assert problem.help == f'put a " before {re.match(r"[A-Za-z]+", lost[1:]).group()}'  # type: ignore[union-attr]
    assert mended(problem, text) == [good]


@pytest.mark.parametrize(("right", "name"), [
    ('base: "Dune", cut 40 in', "Dune"), ('base: "Dune" colour "ember", cut 40 in', "Dune"), ('base: "Little Reed", cut 18 in', "Little Reed"),
    ('base: "Dune" colour "Soft Black", cut 40 in', "Soft Black"),
])
def test_a_name_without_quotes_is_quoted_as_it_is_written(right: str, name: str) -> None:
    good = SMALL.replace(BASE, right)
    text = good.replace(f'"{name}"', name, 1)
    problem = next(p for p in compile_in_book(text).problems if p.code == "E101")
    assert problem.help == f"put quotes around {name}" and name in problem.message
    assert mended(problem, text) == [good]


@pytest.mark.parametrize(("text", "words", "help"), [
    ('house "H"\ncurrency EUR\nprice Dune 4.10\n', "'Dune 4.10'", 'price "Dune" 4.10 EUR'),
    ('house "H"\nprice Dune 4.10\n', "'Dune 4.10'", 'price "Dune" 4.10 USD'),
    ('house "H"\nlabour 45\nround to 1 GBP\n', "'45'", "labour 45 GBP per hour"),
    ('wearer "W"\nnote Likes it\n', "'Likes it'", 'note "Likes it"'),
    ('wearer "W"\nown hair 350 °C\n', "'350 °C'", "a length"), ('hair "R"\ncolours Reed, Soft Black\n', "'Reed, Soft Black'", '"Reed", "Soft Black"'),
    ("recipe Tide Plaits\n", "'recipe'", 'recipe "Tide Plaits"'), ('wearer "W"\nTexturre curly\n', "'Texturre'", "'texture'"),
])
def test_her_words_come_back_as_she_wrote_them(text: str, words: str, help: str) -> None:
    problems = [p for p in file_meaning(f"edition 1\n{text}", "x.plait").problems if p.code != "E306"]
    assert words in problems[0].message and help in problems[0].help


def test_a_choice_that_is_misspelt_once_is_told_once() -> None:
    text = SMALL.replace("wearing 12 in", "wearing by lenght\nchoices:\nlength: bob is 10 in; mid is 14 in; waist is 24 in; long is 30 in; default mid")
    assert [(p.code, underlined(p, text)) for p in all_of(text)] == [("E609", "lenght")]


def all_of(text: str) -> tuple[Problem, ...]:
    session = Session(shipped_folder("recipes"))
    session.put("looks/x.plait", text)
    return session.problems("looks/x.plait")


@pytest.mark.parametrize("wrong", ["bsae", "bses"])
def test_a_hair_whose_own_line_is_misspelt_is_told_there(wrong: str) -> None:
    text = SMALL.replace("base:", f"{wrong}:", 1)
    (problem,) = all_of(text)
    assert underlined(problem, text) == wrong and mended(problem, text) == [SMALL]


@pytest.mark.parametrize(("fact", "word", "same"), [
    ("strand", "thin", "fine"), ("strand", "thick", "coarse"), ("density", "thin", "sparse"), ("density", "thick", "dense"),
    ("chemical service", "color", "colour"),
])
def test_a_recipe_and_a_rule_take_the_words_that_a_wearer_takes(fact: str, word: str, same: str) -> None:
    (look,) = file_meaning(SMALL + f"when {fact} is {word} or unknown: width 5 mm\n", "x.plait").looks
    condition = read_condition(Reading(look.whens[0].statement, "when", "x"), look.whens[0].condition)
    assert isinstance(condition, IsWord) and condition.words == (same, "unknown")
    assert compile_in_book(SMALL + f"when {fact} is {word}: width 5 mm\n", wearer="Ilse").problems == ()


def test_two_choices_in_one_argument_are_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "x.plait", "--choose", "length=mid back,size=large"]) == 2
    assert '--choose "length=mid back" --choose size=large' in capsys.readouterr().err
