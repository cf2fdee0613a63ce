"""Bounded runs of the hardening commands, and the texts that once got through."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from fuzz import COMPILE_LIMIT, READ_LIMIT, escape_of
from grammar_walk import walked_file
from hardening_checks import check_compiling, check_reading
from mutating import corpus, mutated, window
from recipe_maker import made_recipe
from recovery import measure
from tidy_many import WEARERS, trouble

CASES = Path(__file__).parent / "cases"


@pytest.mark.parametrize("slips", [1, 2, 3])
def test_a_slip_is_found_in_its_place_with_few_messages_too_many(slips: int) -> None:
    tally = measure(slips, 150, 1)
    assert tally.without_tree == 0
    assert tally.placed / tally.broken >= (0.98 if slips == 1 else 0.95), tally.misplaced
    assert tally.spurious / tally.broken <= 0.2


def test_made_recipes_keep_their_plan_and_comments_when_tidied() -> None:
    random, compiled = Random(3), 0
    for _ in range(220):
        found = trouble(made_recipe(random), random.choice(WEARERS))
        assert found in ("", "no plan")
        compiled += found == ""
    assert compiled >= 180


def test_mutated_and_walked_texts_do_not_escape() -> None:
    random = Random(5)
    for at in range(600):
        text = mutated(window(random.choice(corpus()), random), random, random.randint(1, 6)) if at % 3 else walked_file(random)
        assert escape_of(text, lambda t: check_reading(t, at % 4 == 0), READ_LIMIT * 5) is None, text


@pytest.mark.parametrize("path", sorted(CASES.glob("*.case")), ids=lambda p: p.stem)
def test_what_once_escaped_does_not_again(path: Path) -> None:
    text, *changed = path.read_bytes().decode("utf-8", "surrogatepass").split("\n\f")
    others = dict(each.split("\n", 1) for each in changed)
    assert escape_of(text, check_reading, READ_LIMIT * 5) is None
    assert escape_of(text, lambda t: check_compiling(t, others), COMPILE_LIMIT * 5) is None
