"""Rules of one book against each other: order never matters, and what can't all be meant is told."""

from __future__ import annotations

import random

import pytest
from shipped_book import SMALL, compile_in_book

from plaitbook.rules import And, Compare, HouseRule, Is, Not, Or, Unknown, judge
from plaitbook.rules.conditions import Condition, Each, check_condition
from plaitbook.rules.contradictions import alternatives, contradictions
from plaitbook.rules.names import FACTS, FIGURES
from plaitbook.rules.things import THINGS
from plaitbook.rules.truth import holds
from plaitbook.syntax.problem import Problem, Span
from scenes import HOUSE, SAYS, at, scene

SETS = 1000
SEED = 19461107

SCENES = [
    scene(sections=28), scene(sections=14, wearer={"age_years": None, "scalp": None, "strand": "coarse"}, accents=0),
    scene(sections=21, wearer={"age_years": at(4, "4 years", SAYS), "edges": "fragile"}, accent_ornament=True, packs=4.5),
    scene(sections=35, added_g=0.0, wearer={"chemical": "relaxer", "chemical_weeks": at(1, "1 week", SAYS)}, hairs=40),
]


def house_rule(condition: Condition, code: str = "X01", severity: str = "warn", message: str = "found") -> HouseRule:
    return HouseRule(code, severity, condition, message, "our hands", "the house", HOUSE, asked=code)  # type: ignore[arg-type]


def a_condition(chance: random.Random, depth: int = 2, thing: str = "") -> Condition:
    """A checked condition of up to a few parts, any of the seven shapes."""
    kind = chance.randrange(8 if depth else 4)
    if kind < 2:
        figures = THINGS[thing].figures if thing and THINGS[thing].figures and chance.random() < 0.7 else FIGURES
        name = chance.choice(sorted(figures))
        bound = chance.choice((0.0, 0.05, 1.0, 5.0, 30.0, 60.0, 400.0, 20000.0))
        return Compare(name, chance.choice(("<", "<=", ">", ">=")), bound, figures[name].unit)
    if kind == 2:
        facts = THINGS[thing].facts if thing and THINGS[thing].facts else FACTS
        name = chance.choice(sorted(facts))
        return Is(name, chance.choice(facts[name].words))
    if kind == 3:
        return Unknown(chance.choice(sorted({**FIGURES, **FACTS})))
    if kind == 4:
        return Not(a_condition(chance, depth - 1, thing))
    if kind == 5 and not thing:
        inside = chance.choice(sorted(THINGS))
        return Each(chance.choice(("any", "every")), a_condition(chance, depth - 1, inside), inside)  # type: ignore[arg-type]
    parts = tuple(a_condition(chance, depth - 1, thing) for _ in range(chance.randint(2, 3)))
    return And(parts) if kind == 6 else Or(parts)


def test_a_thousand_sets_of_rules_find_the_same_in_any_order() -> None:
    chance = random.Random(SEED)
    spoke = 0
    for n in range(SETS):
        rules = [house_rule(a_condition(chance), f"X{k}", chance.choice(("stop", "warn", "note")),
                            chance.choice(("found", "{time}, {strand}", "{age} and {added weight}")))
                 for k in range(chance.randint(2, 6))]
        assert all(check_condition(rule.condition) == () for rule in rules)
        one = SCENES[n % len(SCENES)]
        first = judge(*one, house_rules=tuple(rules))
        chance.shuffle(rules)
        assert judge(*one, house_rules=tuple(rules)) == first
        spoke += any(finding.code.startswith("X") for finding in first)
    assert spoke > SETS / 2


def told(rules: list[HouseRule]) -> list[Problem]:
    return contradictions(tuple(rules), lambda rule: Span(rule.code, 1, 1, 2))


def test_what_is_told_is_true_of_every_scene() -> None:
    """A rule told to be dead holds nowhere, one that always holds fails nowhere, a shadowed one never speaks alone."""
    chance = random.Random(SEED + 1)
    codes: dict[str, int] = {}
    for _ in range(SETS):
        rules = [house_rule(a_condition(chance, 1), f"X{k}", chance.choice(("stop", "note")), f"m{k}") for k in range(6)]
        by_code = {rule.code: rule.condition for rule in rules}
        for problem in told(rules):
            codes[problem.code] = codes.get(problem.code, 0) + 1
            here = by_code[problem.span.file]
            other = by_code[problem.others[0][1].file] if problem.others else None
            for one in SCENES:
                truth = holds(here, one).holds
                if problem.code == "E809":
                    assert truth is not True
                elif problem.code == "E810":
                    assert truth is not False
                elif problem.code == "E811":
                    assert other is not None and truth is holds(other, one).holds
                else:
                    assert other is not None and (truth is not True or holds(other, one).holds is True)
    assert codes.get("E809", 0) > 0 and codes.get("E812", 0) > 0


@pytest.mark.parametrize("seed", range(25))
def test_contradictions_put_into_a_set_are_found_in_any_order(seed: int) -> None:
    chance = random.Random(seed)
    low, high = sorted(chance.sample(range(1, 900), 2))
    word, another = chance.sample(FACTS["scalp"].words, 2)
    rules = [
        house_rule(And((Compare("age", "<", low, "years"), Compare("age", ">", high, "years"))), "X1"),
        house_rule(And((Is("scalp", word), Is("scalp", another))), "X2"),
        house_rule(Or((Compare("packs", "<", low), Compare("packs", ">=", low))), "X3"),
        house_rule(And((Is("strand", "fine"), Compare("added weight", ">", low, "g"))), "X4", "warn"),
        house_rule(And((Compare("added weight", ">", low, "g"), Is("strand", "fine"))), "X5", "stop"),
        house_rule(Compare("time", ">", low * 60.0, "s"), "X6", "stop"),
        house_rule(Compare("time", ">", high * 60.0, "s"), "X7", "note"),
        house_rule(Compare("stitches", ">", low), "X8", "warn"),
        house_rule(Compare("stitches", ">", high), "X9", "stop"),  # a step up: as it should be
    ]
    chance.shuffle(rules)
    found = {(p.code, frozenset((p.span.file, *(span.file for _, span in p.others)))) for p in told(rules)}
    assert found == {("E809", frozenset({"X1"})), ("E809", frozenset({"X2"})), ("E810", frozenset({"X3"})),
                     ("E811", frozenset({"X4", "X5"})), ("E812", frozenset({"X6", "X7"}))}


def in_text(*rules: tuple[str, str]) -> str:
    return SMALL + "".join(f'\nrule "r{n}"\ncode X{n}\nseverity {severity}\nif {asked}\nmessage "m{n}"\n'
                           for n, (asked, severity) in enumerate(rules))


@pytest.mark.parametrize(("rules", "code", "words"), [
    ([("age under 3 years and age over 5 years", "warn")], "E809", "can never hold"),
    ([("any section where hairs over 5 and hairs under 3", "warn")], "E809", "can never hold"),
    ([("scalp is unknown and scalp is sore", "warn")], "E809", "can never hold"),
    ([("time under 0 min", "warn")], "E809", "can never hold"),
    ([("strand is fine or medium or coarse or unknown", "warn")], "E810", "always holds"),
    ([("strand is fine and packs over 2", "warn"), ("packs over 2 and strand is fine", "stop")], "E811", "X0 says warn"),
    ([("not (packs over 2)", "warn"), ("packs at most 2", "warn")], "E811", "say different things"),
    ([("added weight over 300 g", "stop"), ("added weight over 400 g and strand is fine", "note")], "E812", "X1 (note)"),
    ([("scalp is sore or broken", "stop"), ("scalp is broken", "note")], "E812", "shadowed"),
])
def test_both_places_are_told(rules: list[tuple[str, str]], code: str, words: str) -> None:
    done = compile_in_book(in_text(*rules))
    (problem,) = done.problems
    assert problem.code == code and words in problem.message and problem.help
    assert len(problem.others) == len(rules) - 1
    assert all(span.line != problem.span.line for _, span in problem.others)


def test_a_step_up_is_no_contradiction() -> None:
    done = compile_in_book(in_text(("added weight over 300 g", "warn"), ("added weight over 400 g", "stop")))
    assert done.plan is not None


def test_too_many_alternatives_are_left_alone() -> None:
    many = And(tuple(Or((Compare(name, ">", 1, figure.unit), Compare("packs", ">", n)))
                     for n, (name, figure) in enumerate(sorted(FIGURES.items()))))
    with pytest.raises(Exception):
        alternatives(many)
    assert told([house_rule(many)]) == []
