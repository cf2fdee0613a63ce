"""An old file means the same under a new compiler, and an edition that isn't known says what to write."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from shipped_book import SMALL, compile_in_book
from stored import compiled, lost, meaning, texts

from plaitbook.syntax import vocabulary


@pytest.mark.parametrize("path", texts(), ids=lambda p: p.stem)
def test_what_was_stored_still_holds(path: Path) -> None:
    before = json.loads(path.with_suffix(".json").read_text("utf-8"))
    assert lost(before, meaning(compiled(path))) == []


def test_a_lost_value_is_seen() -> None:
    """The comparison itself can fail."""
    before = json.loads(texts()[0].with_suffix(".json").read_text("utf-8"))
    now = json.loads(json.dumps(before))
    now["strands"][0]["stitches"] += 1
    now["new field"] = 1
    assert len(lost(before, now)) == 1


def test_every_kind_of_line_is_in_a_stored_file() -> None:
    whole = "\n".join(path.read_text("utf-8") for path in texts())
    words = (*vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS)
    missing = [word for word in words if f"\n{word}" not in whole and f"\n  {word}" not in whole and f" {word} " not in whole]
    assert missing == []


@pytest.mark.parametrize(("written", "said", "help_words"), [
    ("edition 0", "edition 0 is not one", "write edition 1"), ("edition 2", "edition 2 is not one", "install a newer plaitbook"),
    ("edition 99", "edition 99 is not one", "write edition 1"), ("edition -1", "edition -1 is not one", "write edition 1"),
    ("edition 1.5", "edition 1.5 is not one", "write edition 1"), ("edition one", "'one' is not understood", "edition 1"),
    ("edition", "nothing follows", "edition 1"), ("edition 1 2", "'2' is not understood", "edition 1"), ("edition: 1", "':' is not understood", "take this colon out"),
    ("edition 1\nedition 1", "once", "keep one"), ("ediiton 1", "'ediiton' ", "edition"),
])
def test_an_edition_that_is_not_known_says_what_to_write(written: str, said: str, help_words: str) -> None:
    done = compile_in_book(SMALL.replace("edition 1", written))
    assert len(done.problems) == 1, [(p.message, p.help) for p in done.problems]
    assert said in done.problems[0].message and help_words in done.problems[0].help
    assert done.problems[0].span.line == written.count("\n") + 1


def test_an_edition_below_a_declaration_is_told() -> None:
    done = compile_in_book(SMALL.replace("edition 1\n", "") + "edition 1\n")
    assert [p.code for p in done.problems] == ["E108"] and "top" in done.problems[0].message
    assert done.problems[0].span.line == len(SMALL.splitlines())


def test_without_an_edition_a_file_is_of_the_first() -> None:
    assert compile_in_book(SMALL.replace("edition 1\n", "")).plan is not None
