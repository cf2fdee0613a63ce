"""Rules from their declarations in a book: read, checked, and held against each other."""

from __future__ import annotations

import re
from functools import lru_cache

from ..meaning import conditions as written
from ..meaning.reading import Reading, string_of, units_for
from ..syntax.problem import Problem, Span
from ..syntax.suggest import did_you_mean, spoken_list
from ..syntax.tree import Declaration, Node, Statement
from .conditions import And, Compare, Condition, Each, Is, Not, Or, Unknown, check_condition, unknown_name
from .contradictions import contradictions
from .names import COUNTS, DIMENSIONS, find_fact, find_figure
from .rule import SEVERITIES, HouseRule
from .saying import check_message

_NEEDED = {"code": "code X01", "if": "if added weight over 300 g", "message": 'message "Too heavy."',
           "severity": "severity warn", "reason": 'reason "why"', "source": 'source "our own practice"',
           "fix": 'fix "Fewer or thinner strands."'}


def read_rules(declarations: tuple[Declaration, ...], problems: list[Problem]) -> tuple[HouseRule, ...]:
    """The rules that can be judged; what is wrong with the others goes to ``problems``.

    Memoised on the declarations themselves: a file that didn't change is the same tree.
    """
    rules, found = _read_once(_Same(declarations))
    problems += found
    return rules


class _Same:
    """Declarations as a key by identity: hashing whole trees would cost more than reading them."""

    __slots__ = ("declarations",)

    def __init__(self, declarations: tuple[Declaration, ...]) -> None:
        self.declarations = declarations

    def __hash__(self) -> int:
        return hash(tuple(map(id, self.declarations)))

    def __eq__(self, other: object) -> bool:
        return (isinstance(other, _Same) and len(other.declarations) == len(self.declarations)
                and all(a is b for a, b in zip(self.declarations, other.declarations)))


@lru_cache(maxsize=16)
def _read_once(same: _Same) -> tuple[tuple[HouseRule, ...], tuple[Problem, ...]]:
    from .catalogue import REASON_RULES, RULES

    taken = frozenset(rule.code for rule in (*RULES, *REASON_RULES))
    problems: list[Problem] = []
    rules = read_declarations(same.declarations, taken, ("code", "severity", "if", "message"), problems)
    if not problems:
        places = {(d.head.file, d.line): d for d in same.declarations}
        problems += contradictions(rules, lambda rule: _if_span(places[rule.origin.file, rule.origin.line]))
    return rules, tuple(problems)


def _if_span(declaration: Declaration) -> Span:
    return next((s.span() for s in declaration.statements if s.word == "if"), declaration.head.span())


def read_declarations(declarations: tuple[Declaration, ...], taken: frozenset[str], needed: tuple[str, ...],
                      problems: list[Problem]) -> tuple[HouseRule, ...]:
    """The rules of some declarations; ``taken`` codes are refused, ``needed`` statements may not be left out."""
    codes: dict[str, HouseRule] = {}
    places: dict[str, Declaration] = {}
    for declaration in declarations:
        rule = _read_rule(declaration, taken, needed, problems)
        if rule is None:
            continue
        if rule.code in codes:
            problems.append(Problem("E802", f"two rules have the code {rule.code}", "give one of them another code",
                                    declaration.head.span(), (("the other is here", places[rule.code].head.span()),)))
        codes[rule.code], places[rule.code] = rule, declaration
    return tuple(codes.values())


def _read_rule(declaration: Declaration, taken: frozenset[str], needed: tuple[str, ...],
               problems: list[Problem]) -> HouseRule | None:
    before = len(problems)
    said: dict[str, Statement] = {}
    again: list[Statement] = []
    for statement in declaration.statements:
        if statement.word in said:
            again.append(statement)
        said.setdefault(statement.word, statement)
    missing = [word for word in needed if word not in said]
    untold = [] if "?" in declaration.lost else [word for word in missing if word not in declaration.lost]
    if again and not untold and "?" not in declaration.lost:
        words = spoken_list([f"'{statement.word}'" for statement in again], "and")
        help_text = "keep one" if len(again) < 3 else 'if another rule begins here, put its first line above: rule "Name"'
        problems.append(Problem("E803", f"{words} {'is' if len(again) == 1 else 'are'} said twice in this rule", help_text,
                                again[0].span(), (("said first here", said[again[0].word].span()),)))
    if untold:
        lines = "; ".join(_NEEDED[word] for word in untold)
        problems.append(Problem("E801", f'rule "{declaration.name}" has no {spoken_list(untold)}',
                                f"add {'a line' if len(untold) == 1 else 'these lines'}: {lines}", declaration.head.span()))
    if missing or len(problems) > before:
        return None
    whose = f'rule "{declaration.name}"'
    code = said["code"].node.parts[0].parts[0].text.strip('"').upper()
    if code in taken:
        problems.append(Problem("E804", f"{code} is the code of a built-in rule",
                                "choose a code of your own, such as X01", said["code"].span()))
    severity = said["severity"].node.parts[0].text
    if severity not in SEVERITIES:
        problems.append(Problem("E805", f"'{severity}' is not a severity",
                                did_you_mean(severity, ("stop", "warn", "note")),
                                said["severity"].span(said["severity"].node.parts[0])))
    reading = Reading(said["if"], "house", whose, problems)
    condition = _condition_of(reading)
    if condition is not None and len(problems) == before:
        for word in ("message", "fix"):
            if word in said:
                for wrong, help_text in check_message(string_of(said[word].node), condition):
                    problems.append(Problem("E807", wrong, help_text, said[word].span()))
    if len(problems) > before or condition is None:
        return None

    def text(word: str, missing: str) -> str:
        return string_of(said[word].node) if word in said else missing

    return HouseRule(
        code=code, severity=severity, condition=condition, message=text("message", ""),  # type: ignore[arg-type]
        reason=text("reason", "the house's own rule"), source=text("source", "the house's own practice"),
        origin=Reading(declaration.head, "house", whose, problems).origin(), fix=text("fix", ""),
        name=declaration.name, asked=_spelled(said["if"].quote()),
    )


def _spelled(asked: str) -> str:
    """The condition for a reader: the grammar sees letters outside quotes in lower case."""
    for low, right in (("°c", "°C"), ("°f", "°F"), (" mn", " mN")):
        asked = re.sub(rf"{low}(?!\w)", right, asked)
    return asked


# --- conditions ---------------------------------------------------------------------


def _condition_of(reading: Reading) -> Condition | None:
    tree = written.read_condition(reading, reading.statement.node.parts[0])
    condition = None if tree is None else _condition(reading, tree, "")
    if condition is not None:
        for sentence in check_condition(condition):
            reading.say("E806", sentence, "docs/rules.md lists every figure, fact and word at its top")
    return condition


def _condition(reading: Reading, tree: written.Condition, thing: str) -> Condition | None:
    if isinstance(tree, (written.Every, written.Any_)):
        parts = [_condition(reading, part, thing) for part in tree.parts]
        known = tuple(part for part in parts if part is not None)
        if len(known) < len(parts):
            return None
        return And(known) if isinstance(tree, written.Every) else Or(known)
    if isinstance(tree, written.Not):
        inner = _condition(reading, tree.part, thing)
        return None if inner is None else Not(inner)
    if isinstance(tree, written.Sectionwise):
        if thing:
            reading.say("E808", f"'{tree.how} {tree.thing} where' stands inside another 'where'",
                        "write two rules, or join them with and outside the first where", tree.node)
            return None
        inner = _condition(reading, tree.where, tree.thing)
        return None if inner is None else Each(tree.how, inner, tree.thing, tree.zones)  # type: ignore[arg-type]
    if isinstance(tree, written.IsWord):
        return _is_word(reading, tree, thing)
    return _compare(reading, tree, thing)


def _is_word(reading: Reading, tree: written.IsWord, thing: str) -> Condition | None:
    fact, figure = find_fact(tree.fact, thing), find_figure(tree.fact, thing)
    if fact is None and (figure is None or tree.words != ("unknown",)):
        if figure is not None:
            reading.say("E806", f"{tree.fact} is a number, not a word",
                        f"write {tree.fact} over …, or {tree.fact} is unknown", tree.node)
        else:
            wrong, help_text = unknown_name(tree.fact, thing)
            reading.say("E806", wrong, help_text, tree.fact_node or tree.node)
        return None
    negated, words = tree.negated, tree.words
    if fact is not None and negated and f"not {words[0]}" in fact.words:
        negated, words = False, (f"not {words[0]}", *words[1:])  # "patch test is not done" is a word of its own
    for word, node in zip(words, tree.word_nodes):
        if fact is not None and word not in (*fact.words, "unknown"):
            reading.say("E806", f"{tree.fact} is never '{word}'", did_you_mean(word, (*fact.words, "unknown")), node)
            return None
    found: tuple[Condition, ...] = tuple(
        Unknown(tree.fact) if word == "unknown" else Is(tree.fact, word) for word in words)
    one: Condition = found[0] if len(found) == 1 else Or(found)
    return Not(one) if negated else one


def _compare(reading: Reading, tree: written.Compared, thing: str) -> Compare | None:
    entry = find_figure(tree.fact, thing)
    if entry is None:
        if find_fact(tree.fact, thing) is not None:
            reading.say("E806", f"{tree.fact} is known in words, not in numbers", f"write {tree.fact} is …", tree.node)
        else:
            wrong, help_text = unknown_name(tree.fact, thing)
            reading.say("E806", wrong, help_text, written.joined(tree.fact_nodes))
        return None
    unit, bound = entry.unit, tree.bound
    if tree.other:
        return _compare_figures(reading, tree, unit, thing)
    value: float | None = None
    if unit == "money":
        money = reading.money(bound) if bound.kind == "measure" else None
        if bound.kind != "measure":
            reading.say("E105", f"'{reading.quote(bound)}' has no currency", f"write its currency: {reading.quote(bound)} USD", bound)
        value = float(money[0]) if money else None
    elif unit in DIMENSIONS:
        dimension, one = DIMENSIONS[unit]
        if bound.kind != "measure":
            reading.say("E105", f"'{reading.quote(bound)}' has no unit", units_for(reading.quote(bound), {"years": "age", "weeks": "since", "um": "thickness"}.get(unit, dimension)), bound)
        else:
            measure = reading.measure(bound, dimension)
            value = measure.value / one if measure else None
    else:
        value = _plain_number(reading, bound)
    if value is None:
        return None
    return Compare(tree.fact, tree.operator, value, unit, reading.plain(bound))  # type: ignore[arg-type]


def _compare_figures(reading: Reading, tree: written.Compared, unit: str, thing: str) -> Compare | None:
    other = find_figure(tree.other, thing)
    if other is None:
        wrong, help_text = unknown_name(tree.other, thing)
        reading.say("E806", wrong, help_text, written.joined(tree.other_nodes))
        return None
    if other.unit != unit:
        reading.say("E806", f"{tree.fact} is in {unit or 'plain numbers'} and {tree.other} in "
                    f"{other.unit or 'plain numbers'}: they can't be compared", "compare figures of one kind", tree.node)
        return None
    times = reading.number(tree.bound) if tree.bound.kind == "number" else 1
    if times is None:
        return None
    return Compare(tree.fact, tree.operator, float(times), unit, than=tree.other)  # type: ignore[arg-type]


def _plain_number(reading: Reading, bound: Node) -> float | None:
    """A bare count, with or without its noun: ``60``, ``60 sections``, ``1½ packs``."""
    if bound.kind == "measure" and reading.dimension(bound) not in COUNTS:
        reading.say("E506", f"'{reading.quote(bound)}' is a measure where a plain number goes",
                    "take the unit out", bound)
        return None
    number = reading.number(bound if bound.kind == "number" else bound.all("number")[0])
    return None if number is None else float(number)
