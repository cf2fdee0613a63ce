"""House rules: conditions are checked before they run, and an unknown is asked about, never passed."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from plaitbook.rules import And, Compare, Each, HouseRule, Is, Not, Or, check_condition, judge
from plaitbook.rules.truth import holds
from plaitbook.rules.expectations import missed
from plaitbook.rules.names import FACTS, FIGURES, SECTION_FIGURES, figure_name, figure_value
from plaitbook.meaning.model import Allowance, Expectation
from scenes import HOUSE, LINE, scene

PLAIN = scene()
MANY = Compare("sections", ">", 50)
FEW = Compare("sections", "<", 50)
UNKNOWN = Compare("circumference", ">", 570, "mm")  # nobody measured the wearer's head


def house_rule(condition, code: str = "X01", severity: str = "warn", **changes) -> HouseRule:
    values = dict(code=code, severity=severity, condition=condition, message="too many sections", reason="our hands",
                  source="the house", origin=HOUSE)
    return HouseRule(**(values | changes))


# --- truth ---------------------------------------------------------------------


@pytest.mark.parametrize("op, true", [("<", False), ("<=", True), (">", False), (">=", True), ("=", True), ("!=", False)])
def test_comparisons_at_the_very_value(op: str, true: bool) -> None:
    assert holds(Compare("sections", op, 60), PLAIN).holds is true
    # A decimal that a float can't hold exactly is still equal to itself.
    assert holds(Compare("packs", op, 0.1 + 3.2), PLAIN).holds is true


@pytest.mark.parametrize("condition, truth", [
    (And((MANY, FEW)), False), (And((MANY, UNKNOWN)), None), (And((FEW, UNKNOWN)), False), (Or((MANY, UNKNOWN)), True),
    (Or((FEW, UNKNOWN)), None), (Or((FEW, FEW)), False), (Not(MANY), False), (Not(UNKNOWN), None), (Not(Not(MANY)), True),
])
def test_unknown_is_neither_true_nor_false(condition, truth) -> None:
    assert holds(condition, PLAIN).holds is truth


@pytest.mark.parametrize("condition, truth", [
    (Is("strand", "fine"), True), (Is("strand", "coarse"), False), (Is("tender", "no"), True), (Is("technique", "plait"), True),
    (Is("end", "knot"), True), (Is("zones", "hairline"), True), (Is("end", "dip"), False),
    (Compare("packs of base", "=", 1.3), True), (Compare("packs of Dune Curl", "=", 2), True),
    (Compare("sections in nape", "=", 9), True), (Compare("load in hairline", "<", 0.04, "mn"), True),
    (Compare("added weight", "=", 150, "g"), True), (Compare("added weight", ">", 2, "", over="own weight"), True),
    (Compare("age", "<", 18, "years"), False), (Compare("time", ">", 4 * 3600, "s"), True),
    (Compare("price", ">", 100, "money"), True), (Compare("wearing", "=", 432, "mm"), True),
    (Each("any", Compare("area", ">", 8, "cm2")), True), (Each("every", Compare("hairs", ">", 1400)), False),
    (Each("every", Compare("load", "<", 0.06, "mn"), zones=("nape",)), True),
    (Each("any", And((Compare("number", "=", 3), Is("strand", "fine")))), True),
])
def test_conditions_a_house_would_write(condition, truth) -> None:
    assert check_condition(condition) == ()
    assert holds(condition, PLAIN).holds is truth


def test_division_by_nothing_is_unknown_and_named() -> None:
    bare = scene(added_g=0.0)
    verdict = holds(Compare("own weight", ">", 1, "", over="added weight"), bare)
    assert verdict.holds is None and verdict.unknown == ("added weight",)


def test_every_name_reads_on_a_scene_and_on_an_empty_one() -> None:
    for one in (PLAIN, scene(sections=0, load={"worst": ()})):
        for name in (*FIGURES, "packs of base", "packs to buy of base", "hair used of curls", "pieces of curls",
                     "sections in crown", "load in crown", "wearing in crown", "width in crown"):
            value = figure_value(name, one)
            assert value is None or isinstance(value, (int, float)), name
        for fact in FACTS.values():
            words = fact.read(one)
            assert words is None or words <= set(fact.words), fact.name
        for name, unit in SECTION_FIGURES.items():
            assert check_condition(Each("any", Compare(name, ">", 1, unit))) == ()
            holds(Each("any", Compare(name, ">", 1, unit)), one)


# --- checking -------------------------------------------------------------------


@pytest.mark.parametrize("condition, words", [
    (Compare("sectons", ">", 5), 'nothing is called "sectons"; did you mean \'sections'),
    (Compare("zzz", ">", 5), 'nothing is called "zzz"'),
    (Compare("time", ">", 5, "mm"), "time is in s, not mm"),
    (Compare("sections", ">", 5, "mm"), "sections is in plain numbers, not mm"),
    (Compare("wearing", ">", 5), "wearing is in mm, not plain numbers"),
    (Compare("sections", "~", 5), '"~" compares nothing'),
    (Compare("sections", ">", float("nan")), "nan is no number"),
    (Compare("time", ">", 1, "", over="wearing"), "time is in s and wearing in mm"),
    (Compare("time", ">", 1, "s", over="preparation"), "is a plain number, not s"),
    (Compare("time", ">", 1, "", over="preperation"), "did you mean 'preparation"),
    (Is("strand", "thick"), 'strand is never "thick"; it is one of fine, medium, coarse'),
    (Is("strnd", "fine"), "did you mean 'strand"),
    (And(()), "no parts"),
    (Not(Or((MANY, Compare("nope", ">", 1)))), 'nothing is called "nope"'),
    (Each("any", Each("any", MANY)), "can't stand inside"),
    (Each("any", MANY, zones=("elbow",)), 'no zone "elbow"'),
    (Compare("area", ">", 1, "cm2"), 'nothing is called "area"'),
    ("sections > 5", "is no condition"),
])
def test_a_wrong_condition_is_refused_in_words(condition, words: str) -> None:
    found = check_condition(condition)
    assert len(found) == 1 and words in found[0]


# --- rules in the engine -----------------------------------------------------------


def x_findings(rules: tuple[HouseRule, ...], one=PLAIN):
    return [finding for finding in judge(*one, house_rules=rules) if finding.code.startswith("X")]


def test_a_house_rule_finds_asks_or_stays_quiet() -> None:
    (found,) = x_findings((house_rule(MANY),))
    assert (found.severity, found.message, found.file, found.line) == ("warn", "too many sections", HOUSE.file, HOUSE.line)
    (asked,) = x_findings((house_rule(And((MANY, UNKNOWN))),))
    assert asked.severity == "ask" and asked.message.endswith("without: circumference")
    assert x_findings((house_rule(FEW),)) == []


def test_a_rule_that_cannot_be_read_is_found_and_never_passes_silently() -> None:
    (found,) = x_findings((house_rule(Compare("sectons", ">", 5), severity="stop"),))
    assert found.severity == "warn" and "can't be read" in found.message and "did you mean 'sections" in found.message


def test_a_house_stop_yields_to_a_written_reason_too() -> None:
    allowed = scene(recipe={"allows": (Allowance(code="X01", reason="two days booked", origin=LINE),)})
    (found,) = x_findings((house_rule(MANY, severity="stop"),), allowed)
    assert (found.severity, found.allowed_because) == ("warn", "two days booked")


LEAVES = some.builds(Compare, some.sampled_from(sorted(FIGURES)), some.sampled_from((">", "<=", "=")),
                     some.floats(-1e3, 1e3)).map(lambda c: Compare(c.figure, c.op, c.value, FIGURES[c.figure].unit))
FACT_LEAVES = some.sampled_from([Is(fact.name, word) for fact in FACTS.values() for word in fact.words])
CONDITIONS = some.recursive(
    LEAVES | FACT_LEAVES,
    lambda inner: some.builds(Not, inner)
    | some.builds(And, some.lists(inner, min_size=1, max_size=3).map(tuple))
    | some.builds(Or, some.lists(inner, min_size=1, max_size=3).map(tuple)), max_leaves=6)


@given(some.lists(CONDITIONS, min_size=1, max_size=6), some.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_the_order_of_rules_never_changes_the_findings(conditions, chance: random.Random) -> None:
    rules = [house_rule(condition, code=f"X{n:02d}") for n, condition in enumerate(conditions)]
    for rule in rules:
        assert check_condition(rule.condition) == ()
    shuffled = rules[:]
    chance.shuffle(shuffled)
    assert judge(*PLAIN, house_rules=tuple(rules)) == judge(*PLAIN, house_rules=tuple(shuffled))


@given(CONDITIONS)
@settings(max_examples=60, deadline=None)
def test_not_turns_truth_and_keeps_unknown(condition) -> None:
    plain, turned = holds(condition, PLAIN).holds, holds(Not(condition), PLAIN).holds
    assert turned is (None if plain is None else not plain)


def test_findings_are_in_order_of_severity_then_code() -> None:
    order = ["stop", "warn", "ask", "note"]
    findings = judge(*scene(wearer={"scalp": "sore", "tender": True, "edges": None, "patch_test": "reacted"}))
    keys = [(order.index(f.severity), f.code, f.file, f.line) for f in findings]
    assert keys == sorted(keys) and findings[0].code == "A01" and findings[1].code == "S01"


# --- expectations -------------------------------------------------------------------


def expect(figure: str, low: float | None = None, high: float | None = None, **changes) -> Expectation:
    return Expectation(figure=figure, low=low, high=high, text="so", origin=LINE, **changes)


def test_expectations() -> None:
    assert missed(expect("packs of base", 1, 1.3), PLAIN) is None
    assert missed(expect("packs of base", 1.4), PLAIN) == "expected so, found 1.3"
    assert missed(expect("time", high=3600), PLAIN).startswith("expected so, found 4 h ")  # type: ignore[union-attr]
    assert "did you mean sections" in missed(expect("sectons", 1), PLAIN)  # type: ignore[operator]
    assert "isn't known here" in missed(expect("circumference", 1), PLAIN)  # type: ignore[operator]
    assert missed(expect("packs", high=0, house="Elsewhere"), PLAIN) is None
    assert missed(expect("packs", high=0, wearer="Ines"), PLAIN) is not None
    assert figure_name("packs of ") is None
