"""Rules of one book that can't all be meant: what is looked for, and its limits.

Whether two rules "say opposite things" is a question about their words and
can't be decided; what can be decided from conditions and severities is:

R09  a rule that can never hold: ``age under 3 years and age over 5 years``;
R10  a rule that always holds: ``age under 5 years or age at least 5 years``;
R11  two rules that test the same thing and differ in severity, message or fix, or repeat each other;
R12  a rule that is shadowed: whenever it holds, a more severe rule on the same names holds too
     (the other way about, a narrower rule that is more severe, is how steps are written, and no fault).

A condition is put into alternatives, each a box: an interval for each figure
(none of which is below nothing, but for heat and for own hair's distance from
the end), a set of words for each fact. What can't be put so (``any … where``,
one figure against another) counts as one opaque yes or no. Conditions of more
than :data:`MOST_BOXES` alternatives aren't held against others.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Callable, Hashable, Iterator

from ..syntax.problem import Problem, Span
from .conditions import And, Compare, Condition, Each, Is, Not, Or, Unknown
from .names import find_fact, find_figure
from .rule import SEVERITIES, HouseRule

MOST_BOXES = 64

Interval = tuple[float, bool, float, bool]
"""(low, low belongs to it, high, high belongs to it)."""
Box = dict[Hashable, Any]
"""Name -> interval, or frozenset of words. All of them together."""

_BELOW_NOTHING = {"own hair clear of the end"}
_KNOWN, _UNKNOWN = frozenset((True,)), frozenset((False,))


class _TooMany(Exception):
    """More alternatives than are looked at."""


def contradictions(rules: tuple[HouseRule, ...], place: Callable[[HouseRule], Span]) -> list[Problem]:
    """What is wrong with these rules together; ``place`` tells where a rule's condition stands."""
    found: list[Problem] = []
    kept: list[_Boxed] = []
    for rule in rules:
        try:
            boxes = alternatives(rule.condition)
            if not boxes or _empty_inside(rule.condition):
                found.append(Problem("E809", f"{rule.code} can never hold: '{rule.asked}' asks for what can't be at once",
                                     "join its alternatives with 'or', or correct the bounds", place(rule)))
                continue
            if not alternatives(Not(rule.condition)):
                found.append(Problem("E810", f"{rule.code} always holds: '{rule.asked}' leaves nothing out",
                                     "test something that can be otherwise", place(rule)))
                continue
        except _TooMany:
            continue
        kept.append(_Boxed(rule, boxes, frozenset(frozenset(box.items()) for box in boxes),
                           frozenset(name for box in boxes for name in box), SEVERITIES.index(rule.severity)))
    found += _pairs(kept, place)
    return found


@dataclass(frozen=True)
class _Boxed:
    rule: HouseRule
    boxes: tuple[Box, ...]
    form: frozenset[Any]
    names: frozenset[Any]
    rank: int
    """0 is the most severe."""


def _pairs(kept: list[_Boxed], place: Callable[[HouseRule], Span]) -> Iterator[Problem]:
    first: dict[frozenset[Any], _Boxed] = {}
    for one in kept:
        other = first.setdefault(one.form, one)
        if other is not one:
            yield _same(one.rule, other.rule, place)
    for narrow in kept:
        for wide in kept:
            if (wide.rank < narrow.rank and wide.form != narrow.form and wide.names <= narrow.names
                    and all(any(_within(box, room) for room in wide.boxes) for box in narrow.boxes)):
                yield Problem(
                    "E812", f"{narrow.rule.code} ({narrow.rule.severity}) is shadowed by {wide.rule.code} "
                    f"({wide.rule.severity}): whenever '{narrow.rule.asked}' holds, '{wide.rule.asked}' holds too",
                    f"make {narrow.rule.code} at least as severe, or leave out of it what {wide.rule.code} says already",
                    place(narrow.rule), (("the more severe rule is here", place(wide.rule)),))
                break


def _same(rule: HouseRule, other: HouseRule, place: Callable[[HouseRule], Span]) -> Problem:
    if rule.severity != other.severity:
        how = f"and disagree: {other.code} says {other.severity}, {rule.code} says {rule.severity}"
    elif (rule.message, rule.fix) != (other.message, other.fix):
        how = "and say different things"
    else:
        how = "and say the same"
    return Problem("E811", f"{other.code} and {rule.code} test the same thing {how}", "keep one of them, or narrow one",
                   place(rule), (("the other is here", place(other)),))


# --- boxes ---------------------------------------------------------------------------


def alternatives(condition: Condition, holds: bool = True, thing: str = "") -> tuple[Box, ...]:
    """The boxes in one of which a scene must lie for the condition to hold (or, with ``holds`` false, not to)."""
    match condition:
        case Not():
            return alternatives(condition.part, not holds, thing)
        case And() | Or():
            parts = [alternatives(part, holds, thing) for part in condition.parts]
            if isinstance(condition, Or) is holds:
                return _few(tuple(box for boxes in parts for box in boxes))
            result: tuple[Box, ...] = ({},)
            for boxes in parts:
                result = _few(tuple(both for a in result for b in boxes if (both := _both(a, b)) is not None))
            return result
        case Is():
            fact = find_fact(condition.fact, thing)
            if fact is None or not fact.single:
                return ({("is", condition.fact, condition.word): frozenset((holds,))},)
            rest = frozenset(fact.words) - {condition.word}
            return _one(("fact", condition.fact), frozenset((condition.word,)) if holds else rest)
        case Unknown():
            fact = find_fact(condition.name, thing)
            if fact is not None and fact.single:
                return _one(("fact", condition.name), frozenset(("unknown",) if holds else fact.words))
            return ({("known", condition.name): _UNKNOWN if holds else _KNOWN},)
        case Compare() if not condition.over and not condition.than:
            return _compared(condition, holds, thing)
    return ({("other", condition): frozenset((holds,))},)


def _few(boxes: tuple[Box, ...]) -> tuple[Box, ...]:
    if len(boxes) > MOST_BOXES:
        raise _TooMany
    return boxes


def _one(name: Hashable, words: frozenset[str]) -> tuple[Box, ...]:
    return ({name: words},) if words else ()


_TURNED = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "=": "!=", "!=": "="}


def _compared(condition: Compare, holds: bool, thing: str) -> tuple[Box, ...]:
    figure = find_figure(condition.figure, thing)
    free = figure is None or figure.unit == "c" or condition.figure in _BELOW_NOTHING
    low, closed = (-math.inf, False) if free else (0.0, True)
    op = condition.op if holds else _TURNED[condition.op]
    value, whole = condition.value, (low, closed, math.inf, False)
    match op:
        case "<" | "<=":
            ranges = [(low, closed, value, op == "<=")]
        case ">" | ">=":
            ranges = [(value, op == ">=", math.inf, False)]
        case "=":
            ranges = [(value, True, value, True)]
        case _:
            ranges = [(low, closed, value, False), (value, False, math.inf, False)]
    name, known = ("figure", condition.figure), ("known", condition.figure)
    return tuple({name: shared, known: _KNOWN} for each in ranges if (shared := _overlap(each, whole)) is not None)


def _overlap(a: Interval, b: Interval) -> Interval | None:
    low, low_in = max((a[0], not a[1]), (b[0], not b[1]))
    high, high_in = min((a[2], a[3]), (b[2], b[3]))
    if low > high or (low == high and (low_in or not high_in)):
        return None
    return low, not low_in, high, high_in


def _both(a: Box, b: Box) -> Box | None:
    """The box of what lies in both; None where that is nothing."""
    both = dict(a)
    for name, value in b.items():
        mine = both.get(name)
        shared = value if mine is None else (mine & value if isinstance(value, frozenset) else _overlap(mine, value))
        if not shared:
            return None
        both[name] = shared
    return both


def _within(inner: Box, outer: Box) -> bool:
    """Whether all of one box lies in another."""
    for name, room in outer.items():
        mine = inner.get(name)
        if mine is None:
            return False
        if not (mine <= room if isinstance(room, frozenset) else _overlap(mine, room) == mine):
            return False
    return True


def _empty_inside(condition: Condition) -> bool:
    """Whether an ``any … where`` that must hold asks for what no thing can be."""
    match condition:
        case Each():
            return condition.how == "any" and not alternatives(condition.where, True, condition.thing)
        case And():
            return any(_empty_inside(part) for part in condition.parts)
        case Or():
            return all(_empty_inside(part) for part in condition.parts)
    return False
