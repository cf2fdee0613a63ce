"""Highlighting is held to the grammar: every word of the language is coloured, as what it is."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from functools import lru_cache
from pathlib import Path

import pytest

from plaitbook.desk.editing import make_highlighting as made
from plaitbook.meaning.unit_table import UNITS
from plaitbook.shipped import shipped_folder
from plaitbook.syntax import vocabulary
from plaitbook.syntax.expected import expected_after, keywords
from plaitbook.syntax.parse import parse
from plaitbook.syntax.tree import Node, Statement

FOLDER = Path(str(shipped_folder("grammar") / "editor"))
RECIPES = sorted(Path(str(shipped_folder("recipes"))).rglob("*.plait"))


@pytest.mark.parametrize("path", made.FILES)
def test_files_are_as_generated(path: str) -> None:
    written = (FOLDER / path).read_text("utf-8")
    assert written == made.FILES[path](), "run: python -m plaitbook.desk.editing.make_highlighting"


@lru_cache(maxsize=1)
def patterns() -> list[tuple[re.Pattern[str], dict]]:
    grammar = json.loads((FOLDER / "plait.tmLanguage.json").read_text("utf-8"))
    return [(re.compile(each["match"]), each) for each in grammar["patterns"]]


def scopes(line: str) -> list[str]:
    """The scope of each character of a line, found as TextMate finds it: the earliest match, the first of equals."""
    found = [""] * len(line)
    at = 0
    while at < len(line):
        hits = [(m.start(), n, m, each) for n, (pattern, each) in enumerate(patterns())
                if (m := pattern.search(line, at)) is not None and m.end() > m.start()]
        if not hits:
            break
        _, _, match, each = min(hits, key=lambda hit: hit[:2])
        if "name" in each:
            found[match.start() : match.end()] = [each["name"]] * (match.end() - match.start())
        for group, capture in each.get("captures", {}).items():
            start, end = match.span(int(group))
            found[start:end] = [capture["name"]] * (end - start)
        at = match.end()
    return found


def scope_of(line: str, words: str) -> str:
    """The one scope of some words of a line."""
    start = line.index(words)
    here = set(scopes(line)[start : start + len(words)])
    assert len(here) == 1, f"{words!r} in {line!r} is {here}"
    return here.pop()


@pytest.mark.parametrize("word", keywords())
def test_every_word_of_the_grammar_is_coloured(word: str) -> None:
    scope = scope_of(f"  xyz {word} xyz", word)
    assert scope.startswith(("keyword.", "constant.language.zone")), scope


@pytest.mark.parametrize("word", made.leading_words())
def test_every_leading_word_is_coloured(word: str) -> None:
    assert scope_of(f"  {word} xyz", word).startswith("keyword.control")


@pytest.mark.parametrize("word", vocabulary.DECLARATIONS)
def test_declarations_are_told_from_headings(word: str) -> None:
    assert scope_of(f'{word} "Name"', word) == "storage.type.declaration.plait"
    assert "entity.name" in scope_of(f'{word} "Name"', "Name")


@pytest.mark.parametrize("unit", made.unit_words())
def test_every_unit_is_coloured_after_a_number(unit: str) -> None:
    assert scope_of(f"   18 {unit}, ", unit) == "keyword.other.unit.plait"


def test_inch_marks_and_quotes_are_told_apart() -> None:
    line = 'base: "Dune 2", cut 18" # "a"'
    assert scope_of(line, '"Dune 2"').startswith("string")
    assert scope_of(line, '18') == "constant.numeric.plait" and scopes(line)[line.index('18"') + 2].endswith("unit.plait")
    assert scope_of(line, '# "a"').startswith("comment")


def leaves(node: Node, unit: bool = False):
    if not node.parts:
        yield node, unit
    for part in node.parts:
        yield from leaves(part, unit or node.kind == "unit")


def wanted(node: Node, unit: bool) -> tuple[str, ...]:
    if node.kind == "string":
        return ("string.",)
    if node.kind in ("number", "clock"):
        return ("constant.numeric",)
    if node.kind == "zone":
        return ("constant.language.zone", "keyword.control")
    if unit and node.text in UNITS:
        return ("keyword.other.unit",)
    return ("keyword.", "support.", "variable.", "constant.language")


def check(statement: Statement, raw: list[str]) -> int:
    counted = 0
    for node, unit in leaves(statement.node):
        if not node.text:
            continue
        span = statement.span(node)
        here = set(scopes(raw[span.line - 1])[span.column - 1 : span.end - 1])
        assert all(scope.startswith(wanted(node, unit)) for scope in here), (raw[span.line - 1], node.text, here)
        counted += 1
    fixed = expected_after(RULES.get(statement.word, "fact_value"), statement.text)
    for terminal, text, offset in fixed.trail if fixed is not None else ():
        if text in keywords() and terminal not in ("WORD", "ZONE", "IN"):
            span = statement.span(Node("", offset, offset + len(text)))
            here = set(scopes(raw[span.line - 1])[span.column - 1 : span.end - 1])
            assert all(scope.startswith(("keyword.", "support.", "constant.language")) for scope in here), (text, here)
            counted += 1
    return counted


RULES = {**vocabulary.RECIPE_BLOCKS, **vocabulary.RECIPE_STATEMENTS, **vocabulary.RULE_STATEMENTS}


@pytest.mark.parametrize("path", RECIPES, ids=lambda path: path.name)
def test_every_token_of_the_shipped_recipes_is_scoped_as_what_it_is(path: Path) -> None:
    raw = path.read_text("utf-8").split("\n")
    tree = parse("\n".join(raw), path.name)[0]
    counted = sum(check(statement, raw) for declaration in tree.declarations for statement in declaration.statements)
    assert counted > 0 or not tree.declarations
    for comment in tree.comments:
        start = raw[comment.line - 1].index(comment.text)
        assert set(scopes(raw[comment.line - 1])[start:]) == {"comment.line.number-sign.plait"}


@pytest.mark.parametrize("path", ["vim/syntax/plait.vim", "emacs/plait-mode.el"])
def test_the_other_editors_have_every_word(path: str) -> None:
    text = (FOLDER / path).read_text("utf-8").replace("\\s+", " ").replace("\\%", "%").replace("\\/", "/")
    for word in (*keywords(), *made.leading_words(), *vocabulary.RECIPE_BLOCKS, *made.unit_words()):
        assert word in text, word


@pytest.mark.skipif(shutil.which("vim") is None, reason="vim is not here")
def test_vim_takes_its_file(tmp_path: Path) -> None:
    recipe = next(path for path in RECIPES if path.name == "saltmarsh.plait")
    out = tmp_path / "out.txt"
    script = tmp_path / "ask.vim"
    asked = {"parting": "plaitStatement", "¾": "plaitNumber", '"Dune"': "plaitString", "sections:": "plaitHeading",
             "recipe": "plaitDeclaration", "# Demo": "plaitComment", "nape up": "plaitZone", "every 9": "plaitKeyword"}
    lines = [f"set runtimepath^={FOLDER / 'vim'}", "syntax on", "set filetype=plait", "let found = []"]
    for words in asked:
        lines += ["call cursor(1, 1)", f"call search('\\V' . {json.dumps(words, ensure_ascii=False)}, 'cW')",
                  "call add(found, synIDattr(synID(line('.'), col('.'), 1), 'name'))"]
    lines += [f"call writefile(found, '{out}')", "qall!"]
    script.write_text("\n".join(lines), "utf-8")
    subprocess.run(["vim", "-u", "NONE", "-N", "-es", "--cmd", "set encoding=utf-8", "-S", str(script), str(recipe)],
                   timeout=60, check=False, capture_output=True)
    assert out.read_text().split() == list(asked.values())
