"""The built-in rules as files of the language: read by the same reader, kept as a table, asking nothing twice."""

from __future__ import annotations

import re

import pytest

from plaitbook.rules import REASON_RULES, RULES, HouseRule, Rule
from plaitbook.rules.conditions import And, Compare, Condition, Each, Is, Not, Or, Unknown, check_condition, names_in
from plaitbook.rules.contradictions import contradictions
from plaitbook.rules.make_built_in_table import FOLDER, TABLE, read_built_in, table_source
from plaitbook.rules.names import FACTS, FIGURES, FOUND_TEXTS, TEXTS
from plaitbook.rules.page import rule_text
from plaitbook.rules.saying import check_message
from plaitbook.rules.things import THINGS
from plaitbook.syntax.problem import Span
from scenes import HOUSE

WRITTEN = [rule for rule in RULES if rule.condition is not None]
SAID_BY_PYTHON = {"M01", "M03", "P01", "P02"}
"""What the language can't say; rules/work.py says why."""


def test_the_table_is_what_the_files_say() -> None:
    assert TABLE.read_text("utf-8") == table_source(), "run: python -m plaitbook.rules.make_built_in_table"
    assert tuple(read_built_in()) == tuple(WRITTEN)


def test_all_but_four_are_written_in_the_language() -> None:
    assert {rule.code for rule in RULES if rule.condition is None} == SAID_BY_PYTHON
    assert sum(path.read_text("utf-8").count("\ncode ") for path in FOLDER.glob("*.plait")) == len(WRITTEN)


@pytest.mark.parametrize("rule", WRITTEN, ids=lambda rule: rule.code)
def test_each_is_well_formed(rule: Rule) -> None:
    assert rule.condition is not None and check_condition(rule.condition) == ()
    assert check_message(rule.message, rule.condition) == () and check_message(rule.fix, rule.condition) == ()
    assert rule.what and rule.message and rule.fix and rule.why


SOURCE = re.compile(r"\b(?:19|20)\d\d\b|common practice, no source|our own estimate|trade (?:grade|web guide)|grade [ABCD]|"
                    r"the (?:house file|recipe|catalogue)|computed|PMC\d|16 CFR", re.I)


@pytest.mark.parametrize("rule", (*RULES, *REASON_RULES), ids=lambda rule: rule.code)
def test_each_names_a_source_or_says_that_there_is_none(rule: Rule) -> None:
    assert SOURCE.search(rule.source), rule.source


@pytest.mark.parametrize("rule", (*RULES, *REASON_RULES), ids=lambda rule: rule.code)
def test_the_page_fits_a_terminal(rule: Rule) -> None:
    text = rule_text(rule)
    assert text.startswith(f"{rule.code}: {rule.name}\n") and max(map(len, text.splitlines())) <= 80


def test_no_built_in_rule_is_dead_shadowed_or_always_true() -> None:
    rules = tuple(HouseRule(r.code, r.severity, r.condition, r.message, r.why, r.source, HOUSE, r.fix, r.name, r.what)
                  for r in WRITTEN)
    found = contradictions(rules, lambda rule: Span("x", 1, 1, 2))
    # L06 and R01 both speak of every set, and of different things: two notes, kept apart for their sources.
    assert [(p.code, p.message[:11]) for p in found] == [("E811", "L06 and R01")]


ASKED_FOR = {"scalp": "Q01", "allergies": "Q02", "patch test": "Q03", "chemical": "Q04", "shedding": "Q05",
             "tender": "Q06", "edges": "Q07", "reacts to added hair": "Q08", "age": "Q09", "past breakage": "Q10",
             "arrives": "Q11", "weeks since chemical service": "S04", "window high": "H04", "window low": "H04",
             "hot water": "W02", "bore": "M06", "heat": "W04"}
"""A name that may be unknown -> the rule that asks for it."""
LEFT_UNASKED = {"weeks of rest": "a note only", "sits": "a note only", "load limit": "the house has none",
                "added limit": "the house has none", "styling ceiling": "a hair without one isn't styled by heat",
                "coated": "a note only", "own hair clear of it": "no own hair is left there",
                "beyond reach": "no hair is added", "hairline load": "no hairline is braided",
                "load": "nothing is braided", "median load": "nothing is braided", "row": "", "area": ""}


def test_a_built_in_rule_passes_over_an_unknown_only_where_a_question_asks_it() -> None:
    sure = {"sections", "added hair", "ornaments", "ornaments weight", "added weight", "added to own", "end", "zones",
            "time", "slow time", "packs", "fewest sections", "most sections", "work before a break", "own hair here",
            "added to one strand", "wishes met", "stitch length", "strand length", "tightness", "hairs", "thickest place",
            "least side", "fibre", "kind", "end width", "asked area"}
    for rule in WRITTEN:
        for _, name in names_in(rule.condition):
            assert name in ASKED_FOR or name in LEFT_UNASKED or name in sure, (rule.code, name)
    codes = {rule.code for rule in RULES}
    assert set(ASKED_FOR.values()) <= codes


def test_every_name_has_words_for_the_page() -> None:
    for entry in (*FIGURES.values(), *FACTS.values(), *TEXTS.values()):
        assert entry.what, entry.name
    for thing in THINGS.values():
        assert all(entry.what for group in (thing.figures, thing.facts, thing.texts) for entry in group.values())
    assert set(FOUND_TEXTS) == {"zones", "numbers"}


def test_a_condition_is_one_of_seven_shapes() -> None:
    def shapes(condition: Condition) -> set[type]:
        parts = getattr(condition, "parts", ()) or [p for p in (getattr(condition, "part", None),
                                                                getattr(condition, "where", None)) if p is not None]
        return {type(condition)}.union(*(shapes(part) for part in parts))

    used = set().union(*(shapes(rule.condition) for rule in WRITTEN if rule.condition is not None))
    assert used <= {And, Or, Not, Is, Unknown, Compare, Each}
