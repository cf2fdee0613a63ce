"""A house's own rules, from their declarations to :class:`HouseRule`."""

from __future__ import annotations

from ..meaning import conditions as written
from ..meaning.reading import WANTED, Reading, string_of
from ..syntax.problem import Problem
from ..syntax.suggest import did_you_mean
from ..syntax.tree import Declaration, Node, Statement
from .conditions import And, Compare, Condition, Each, Is, Not, Or, check_condition
from .catalogue import RULES
from .engine import HouseRule
from .names import FACTS, FIGURES, SECTION_FIGURES, figure_name
from .rule import SEVERITIES

_DIMENSIONS = {"mm": ("length", 1.0), "um": ("length", 0.001), "cm2": ("area", 1.0), "g": ("mass", 1.0),
               "s": ("time", 1.0), "years": ("time", 31556952.0), "weeks": ("time", 604800.0),
               "c": ("temperature", 1.0), "mn": ("force", 1.0), "per cm2": ("density", 1.0)}
"""The fixed unit of a figure -> the dimension its bound is written in, and inside units in one of it."""
_NEEDED = {"code": "code X01", "if": "if added weight over 300 g", "message": 'message "Too heavy."',
           "severity": "severity warn", "reason": 'reason "why"', "source": 'source "our own practice"'}


def read_rules(declarations: tuple[Declaration, ...], problems: list[Problem]) -> tuple[HouseRule, ...]:
    """The rules that can be judged; what is wrong with the others goes to ``problems``."""
    rules = [rule for d in declarations if (rule := _read_rule(d, problems)) is not None]
    codes: dict[str, HouseRule] = {}
    for rule in rules:
        if rule.code in codes:
            problems.append(Problem("R02", f"two rules have the code {rule.code}", "give one of them another code",
                                    _span_of(rule, declarations)))
        codes[rule.code] = rule
    return tuple(codes.values())


def _span_of(rule: HouseRule, declarations: tuple[Declaration, ...]):  # type: ignore[no-untyped-def]
    for declaration in declarations:
        if declaration.line == rule.origin.line and declaration.head.file == rule.origin.file:
            return declaration.head.span()
    return declarations[0].head.span()


def _read_rule(declaration: Declaration, problems: list[Problem]) -> HouseRule | None:
    before = len(problems)
    said: dict[str, Statement] = {}
    for statement in declaration.statements:
        if statement.word in said:
            problems.append(Problem("R03", f"'{statement.word}' is said twice in this rule", "keep one",
                                    statement.span(), (("said first here", said[statement.word].span()),)))
        said[statement.word] = statement
    for word in ("code", "severity", "if", "message"):
        if word not in said:
            problems.append(Problem("R01", f'rule "{declaration.name}" has no {word}',
                                    f"add a line: {_NEEDED[word]}", declaration.head.span()))
    if len(problems) > before:
        return None
    whose = f'rule "{declaration.name}"'
    code = said["code"].node.parts[0].parts[0].text.strip('"').upper()
    if code in {rule.code for rule in RULES}:
        problems.append(Problem("R04", f"{code} is the code of a built-in rule",
                                "choose a code of your own, such as X01", said["code"].span()))
    severity = said["severity"].node.parts[0].text
    if severity not in SEVERITIES:
        problems.append(Problem("R05", f"'{severity}' is not a severity",
                                did_you_mean(severity, ("stop", "warn", "note")), said["severity"].span()))
    reading = Reading(said["if"], "house", whose, problems)
    tree = written.read_condition(reading, said["if"].node.parts[0])
    condition = None if tree is None else _condition(reading, tree)
    if condition is not None:
        for sentence in check_condition(condition):
            reading.say("R06", sentence, "see the list of figures and facts with: plait explain")
    if len(problems) > before or condition is None:
        return None
    head = Reading(declaration.head, "house", whose, problems)

    def text(word: str, missing: str) -> str:
        return string_of(said[word].node) if word in said else missing

    return HouseRule(
        code=code, severity=severity, condition=condition, message=text("message", ""),  # type: ignore[arg-type]
        reason=text("reason", "the house's own rule"), source=text("source", "the house's own practice"),
        origin=head.origin(),
    )


def _condition(reading: Reading, tree: written.Condition) -> Condition | None:
    if isinstance(tree, (written.Every, written.Any_)):
        parts = [_condition(reading, part) for part in tree.parts]
        if any(part is None for part in parts):
            return None
        return And(tuple(parts)) if isinstance(tree, written.Every) else Or(tuple(parts))  # type: ignore[arg-type]
    if isinstance(tree, written.Not):
        inner = _condition(reading, tree.part)
        return None if inner is None else Not(inner)
    if isinstance(tree, written.Sectionwise):
        inner = _condition(reading, tree.where)
        return None if inner is None else Each(tree.how, inner)  # type: ignore[arg-type]
    if isinstance(tree, written.IsWord):
        found = tuple(Is(tree.fact, word) for word in tree.words)
        one: Condition = found[0] if len(found) == 1 else Or(found)
        return Not(one) if tree.negated else one
    return _compare(reading, tree)


def _compare(reading: Reading, tree: written.Compared) -> Compare | None:
    unit = SECTION_FIGURES.get(tree.fact)
    entry = figure_name(tree.fact)
    if entry is None and unit is None:
        names = [*FIGURES, *SECTION_FIGURES, *FACTS]
        reading.say("R06", f"nothing is called '{tree.fact}'", did_you_mean(tree.fact, names), tree.node)
        return None
    unit = entry.unit if entry is not None else unit or ""
    bound = tree.bound
    value: float | None = None
    if unit == "money":
        money = reading.money(bound) if bound.kind == "measure" else None
        if bound.kind != "measure":
            reading.say("P05", f"'{reading.quote(bound)}' has no currency", "write it as 250 USD", bound)
        value = float(money[0]) if money else None
    elif unit in _DIMENSIONS:
        dimension, one = _DIMENSIONS[unit]
        if bound.kind != "measure":
            reading.say("P05", f"'{reading.quote(bound)}' has no unit", f"write {WANTED[dimension]}", bound)
        else:
            measure = reading.measure(bound, dimension)
            value = measure.value / one if measure else None
    else:
        value = _plain_number(reading, bound)
    if value is None:
        return None
    return Compare(tree.fact, tree.operator, value, unit, reading.quote(bound))  # type: ignore[arg-type]


def _plain_number(reading: Reading, bound: Node) -> float | None:
    """A bare count, with or without its noun: ``60``, ``60 sections``, ``1½ packs``."""
    if bound.kind == "measure" and reading.dimension(bound) not in ("packs", "stitches", "pieces", "sections", "turns"):
        reading.say("M06", f"'{reading.quote(bound)}' is a measure where a plain number goes",
                    "take the unit out", bound)
        return None
    number = reading.number(bound if bound.kind == "number" else bound.all("number")[0])
    return None if number is None else float(number)
