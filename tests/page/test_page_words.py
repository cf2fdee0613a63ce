"""The page speaks four languages: every word in each, no word too many, and no place forgotten."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from plaitbook.desk import page
from plaitbook.desk.page.editor_words import editor_words
from plaitbook.desk.page.sliders import _NAMES
from plaitbook.desk.page.starting import ANSWERS
from plaitbook.syntax import vocabulary

HERE = Path(page.__file__).parent
WEB = Path(__file__).resolve().parents[2] / "compiler" / "plaitbook" / "desk" / "page" / "web" / "src"
"""In the checkout only: an installed package holds what was built of these."""
SOURCES = {path.name: path.read_text("utf-8") for path in WEB.glob("*.js")}
WORDS = {path.stem: json.loads(path.read_text("utf-8")) for path in (HERE / "words").glob("*.json")}


def test_there_are_four():
    assert set(WORDS) == {"en", "fr", "es", "pt"}


@pytest.mark.parametrize("language", ["fr", "es", "pt"])
def test_every_word_is_in_every_language(language):
    assert list(WORDS[language]) == list(WORDS["en"])
    for key, words in WORDS["en"].items():
        there = WORDS[language][key]
        assert there.strip() and set(re.findall(r"{\w+}", there)) == set(re.findall(r"{\w+}", words)), key
    same = [key for key, words in WORDS["en"].items() if WORDS[language][key] == words and " " in words]
    assert not same, f"not translated: {same}"


def test_every_word_that_is_said_is_there():
    said = {key for text in SOURCES.values() for key in re.findall(r'\bt\(\s*"([^"]+)"', text)}
    said |= {key for text in SOURCES.values() for call in re.findall(r"\bt\(([^)`]*\?[^)`]*)", text) for key in re.findall(r'"([\w.]+\.[\w.]+)"', call)}
    assert said and said <= set(WORDS["en"]), said - set(WORDS["en"])


def test_every_family_of_words_is_whole():
    wanted = {f"block.{block}" for block in (*vocabulary.RECIPE_BLOCKS, "when", "finish", "wearing", "technique")}
    wanted |= {f"number.{what}" for what in {*_NAMES.values(), "pieces_count", "ornaments_count"}}
    wanted |= {f"holds.{kind}" for kind in vocabulary.DECLARATIONS} | {f"history.{why}" for why in ("saved", "before", "draft")}
    wanted |= {f"total.{what}" for what in ("sections", "packs", "chair", "price", "load", "added")}
    form = SOURCES["wearer.js"]
    for fact, options in re.findall(r'choose\("([\w ]+)", \[([^\]]+)\]', form):
        wanted |= {f"wearer.{fact}", f"wearer.{fact}.how", *(f"answer.{fact}.{option}" for option in re.findall(r'"([\w ]+)"', options))}
        assert set(re.findall(r'"([\w ]+)"', options)) <= set(ANSWERS[fact]), fact
    assert wanted <= set(WORDS["en"]), sorted(wanted - set(WORDS["en"]))


def test_the_editor_colours_the_compilers_words():
    assert (WEB / "vocabulary.json").read_text("utf-8") == editor_words()
