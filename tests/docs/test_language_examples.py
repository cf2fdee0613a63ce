"""Every example of docs/language.md does what the page says, and the page leaves no word out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from shipped_book import SMALL, compile_in_book

from plaitbook.desk.messages import problem_text
from plaitbook.meaning.book import file_meaning
from plaitbook.rules.names import FACTS, FIGURES, SECTION_FIGURES
from plaitbook.syntax import vocabulary
from plaitbook.syntax.parse import parse
from plaitbook.syntax.tree import Declaration, Statement

PAGE = Path(__file__).parents[2] / "docs" / "language.md"
FILE = "looks/swash.plait"

CARRIER = '''technique plait
wearing 14 in
hair:
base: "Dune", cut 48 in
hair:
curls: "Dune Curl", cut 36 in
sections:
grid square 1 in
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 9 mm
end: heat seal 180 °C
'''
"""What stands round a few lines to make them a recipe; lines of the same kind take its place."""


@dataclass(frozen=True)
class Fence:
    kind: str
    text: str
    line: int


def fences() -> list[Fence]:
    text = PAGE.read_text("utf-8")
    return [
        Fence(found.group(1), found.group(2), text[: found.start()].count("\n") + 2)
        for found in re.finditer(r"^```(\S*)\n(.*?)^```$", text, re.M | re.S)
    ]


def of_kind(kind: str) -> list:
    return [pytest.param(f, id=f"line {f.line}") for f in fences() if f.kind == kind]


def declared(text: str) -> tuple[Declaration, ...]:
    tree, problems = parse(text, FILE)
    assert problems == (), [(p.code, p.message) for p in problems]
    return tree.declarations


def subject(statement: Statement) -> str:
    """What a statement settles for every zone: lines with the same subject replace each other."""
    node = statement.node
    if statement.word == "hair":
        return f"hair {statement.quote(node.parts[0])}"
    if statement.word == "sections":
        return node.kind
    return statement.word


def in_a_recipe(lines: str) -> str:
    """The carrier with these lines in place of its own of the same kind."""
    (mine,) = declared('edition 1\nrecipe "Carrier"\n' + lines)
    said = {subject(s) for s in mine.statements if not s.node.has("zones")}
    (carrier,) = declared('edition 1\nrecipe "Carrier"\n' + CARRIER)
    kept = [f"{s.word}: {s.text}" if s.word in vocabulary.RECIPE_BLOCKS else f"{s.word} {s.text}"
            for s in carrier.statements if subject(s) not in said]
    return 'edition 1\nrecipe "Carrier"\n' + "\n".join(kept) + "\n" + lines


def compiles(text: str, **request) -> None:
    done = compile_in_book(text, FILE, **request)
    assert done.plan is not None, [(p.span.line, p.code, p.message) for p in done.problems]
    missed = [f.message for f in done.plan.findings if f.code in ("P02", "O01", "O02")]
    assert missed == []


@pytest.mark.parametrize("fence", of_kind("plait"))
def test_whole_files_compile(fence: Fence) -> None:
    declarations = declared(fence.text)
    names = {kind: [d.name for d in declarations if d.kind == kind] for kind in vocabulary.DECLARATIONS}
    text = fence.text
    if not names["recipe"]:  # what it declares is used by a look of ours
        text, names["recipe"] = fence.text + SMALL.replace("edition 1\n", ""), ["Small"]
    for look in names["recipe"]:
        for wearer in (None, "Ilse", *names["wearer"]):
            for house in (None, *names["house"]):
                compiles(text, look=look, wearer=wearer, house=house)


@pytest.mark.parametrize("fence", of_kind("plait-lines"))
def test_lines_compile_in_a_recipe(fence: Fence) -> None:
    text = in_a_recipe(fence.text)
    for wearer in (None, "Ilse", "Noor", "Adaeze"):
        compiles(text, wearer=wearer)


@pytest.mark.parametrize("fence", of_kind("plait-lines"))
def test_every_option_of_the_choices_compiles(fence: Fence) -> None:
    text = in_a_recipe(fence.text)
    (look,) = file_meaning(text, FILE).looks
    for choice in look.choices:
        for option, _ in choice.options:
            compiles(text, picks={choice.name: option})


def wrong() -> list:
    every = fences()
    return [pytest.param(one, after, id=f"line {one.line}") for one, after in zip(every, every[1:])
            if one.kind == "plait-wrong"]


@pytest.mark.parametrize(("fence", "answer"), wrong())
def test_what_is_wrong_gets_the_message_shown(fence: Fence, answer: Fence) -> None:
    assert answer.kind == "text"
    done = compile_in_book(fence.text, FILE)
    assert done.plan is None
    lines = fence.text.split("\n")
    shown = [problem_text(p, lambda _, line: lines[line - 1], lambda file: Path(file).name) for p in done.problems]
    assert "\n".join(shown) == answer.text.rstrip("\n")


def test_there_are_examples_of_every_kind() -> None:
    kinds = [fence.kind for fence in fences()]
    assert set(kinds) == {"plait", "plait-lines", "plait-wrong", "text"}
    assert kinds.count("plait-wrong") >= 3


EVERY_WORD = sorted({
    *vocabulary.DECLARATIONS, *vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS,
    *vocabulary.RULE_STATEMENTS, *(word for words in vocabulary.FACTS.values() for word in words), "edition", "use",
})


@pytest.mark.parametrize("word", EVERY_WORD)
def test_every_word_a_line_begins_with_is_explained(word: str) -> None:
    text = re.sub(r"^```.*?^```$", "", PAGE.read_text("utf-8"), flags=re.M | re.S)
    assert re.search(rf"`{re.escape(word)}\b", text), f"{word} stands nowhere on the page outside an example"


def test_every_word_of_a_fact_stands_in_its_own_table() -> None:
    text = PAGE.read_text("utf-8")
    for kind, heading in (("hair", "## Hair of the catalogue"), ("ornament", "## Hair of the catalogue"),
                          ("wearer", "## A wearer"), ("house", "## A house\n")):
        part = text.split(heading, 1)[1].split("\n## ", 1)[0]
        missing = [word for word in vocabulary.FACTS[kind] if not re.search(rf"^\|.*`{re.escape(word)}`", part, re.M)]
        assert missing == []


def test_every_name_a_rule_may_use_is_listed() -> None:
    part = PAGE.read_text("utf-8").split("## A house's own rule", 1)[1].split("\n## ", 1)[0]
    missing = [name for name in (*FIGURES, *FACTS, *SECTION_FIGURES) if not re.search(rf"\b{name}\b", part)]
    assert missing == []
