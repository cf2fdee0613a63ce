"""Conditions of rules: a small tree, and its check before any plan exists.

Numbers in a condition are in the fixed unit of their dimension
(:mod:`plaitbook.meaning.values`); ``text`` keeps what was written. How a
condition is found true is in :mod:`.truth`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, Union

from ..meaning.model import ZONES
from ..syntax.suggest import spoken_list
from .names import find_fact, find_figure, names_here, nearest
from .things import THINGS

Operator = Literal["<", "<=", ">", ">=", "=", "!="]
OPERATORS: tuple[Operator, ...] = ("<", "<=", ">", ">=", "=", "!=")


@dataclass(frozen=True)
class Compare:
    """A figure against a value, ``packs of base > 2``, or against another figure some times over."""

    figure: str
    op: Operator
    value: float
    """The bound; with ``than``, how many times that figure."""
    unit: str = ""
    """The fixed unit of ``value``, empty for a plain number; the figures' own unit with ``than``."""
    text: str = ""
    over: str = ""
    """Another figure that the first is divided by: ``added weight over own weight > 1``."""
    than: str = ""
    """The figure it is compared with: ``added weight > 2 times own weight``. Nothing is divided."""


@dataclass(frozen=True)
class Is:
    """A fact in words: ``strand is fine``."""

    fact: str
    word: str


@dataclass(frozen=True)
class Unknown:
    """Nobody knows this figure or fact: ``age is unknown``. Itself always true or false."""

    name: str


@dataclass(frozen=True)
class And:
    """All of these hold."""

    parts: tuple["Condition", ...]


@dataclass(frozen=True)
class Or:
    """At least one of these holds."""

    parts: tuple["Condition", ...]


@dataclass(frozen=True)
class Not:
    """This doesn't hold."""

    part: "Condition"


@dataclass(frozen=True)
class Each:
    """A condition over things one by one: ``any section in nape where area < 2 cm²``."""

    how: Literal["any", "every"]
    where: "Condition"
    thing: str = "section"
    zones: tuple[str, ...] = ()
    """Empty: everywhere."""


Condition = Union[Compare, Is, Unknown, And, Or, Not, Each]


def check_condition(condition: Condition, thing: str = "") -> tuple[str, ...]:
    """What is wrong with a condition before any plan exists: names, words, units, nesting.

    ``thing`` is the kind of thing it is asked of, inside an :class:`Each`.
    """
    match condition:
        case Compare():
            return tuple(sentence for sentence in _check_compare(condition, thing) if sentence)
        case Is():
            fact = find_fact(condition.fact, thing)
            if fact is None:
                return (_unknown(condition.fact, thing),)
            if condition.word not in fact.words:
                return (f'{condition.fact} is never "{condition.word}"; it is one of {", ".join(fact.words)}',)
            return ()
        case Unknown():
            if find_fact(condition.name, thing) is None and find_figure(condition.name, thing) is None:
                return (_unknown(condition.name, thing),)
            return ()
        case And() | Or():
            if not condition.parts:
                return ("a condition of no parts",)
            return tuple(sentence for part in condition.parts for sentence in check_condition(part, thing))
        case Not():
            return check_condition(condition.part, thing)
        case Each():
            return _check_each(condition, thing)
    return (f"{condition!r} is no condition",)


def _check_compare(condition: Compare, thing: str) -> list[str]:
    free = bool(condition.over or condition.than)
    found = [_check_figure(condition.figure, None if free else condition.unit, thing)]
    found += [_check_figure(name, None, thing) for name in (condition.over, condition.than) if name]
    if condition.op not in OPERATORS:
        found.append(f'"{condition.op}" compares nothing; write one of {" ".join(OPERATORS)}')
    if not math.isfinite(condition.value):
        found.append(f"{condition.value} is no number to compare {condition.figure} with")
    if condition.over and condition.unit:
        found.append(f"{condition.figure} over {condition.over} is a plain number, not {condition.unit}")
    elif free and not any(found):
        first = _unit(condition.figure, thing)
        for name, doing in ((condition.over, "divided"), (condition.than, "compared")):
            if name and _unit(name, thing) != first:
                found.append(f"{condition.figure} is in {first or 'plain numbers'} and {name} in "
                             f"{_unit(name, thing) or 'plain numbers'}: they can't be {doing}")
    return found


def _check_each(condition: Each, thing: str) -> tuple[str, ...]:
    if thing:
        return (f"'{condition.how} {condition.thing} where' can't stand inside another 'where'",)
    kind = THINGS.get(condition.thing)
    if kind is None:
        return (f'there is no "{condition.thing}" to look at; there are {", ".join(THINGS)}',)
    if condition.zones and kind.zone is None:
        return (f"a {condition.thing} stands in no zone",)
    for zone in condition.zones:
        if zone not in ZONES:
            return (f'there is no zone "{zone}"; the zones are {", ".join(ZONES)}',)
    return check_condition(condition.where, condition.thing)


def _unit(name: str, thing: str) -> str | None:
    entry = find_figure(name, thing)
    return None if entry is None else entry.unit


def _check_figure(name: str, unit: str | None, thing: str) -> str:
    known = _unit(name, thing)
    if known is None:
        if find_fact(name, thing) is not None:
            return f"{name} is known in words, not in numbers: write {name} is …"
        return _unknown(name, thing)
    if unit is not None and unit != known:
        return f"{name} is in {known or 'plain numbers'}, not {unit or 'plain numbers'}"
    return ""


def _unknown(name: str, thing: str) -> str:
    wrong, help_text = unknown_name(name, thing)
    return f"{wrong}; {help_text}"


def unknown_name(name: str, thing: str = "") -> tuple[str, str]:
    """What is wrong with a name that nothing has here, and what to write."""
    wrong = f'nothing is called "{name}"' + (f" of a {thing}" if thing else "")
    owners = [f"'any {kind} where'" for kind in THINGS if name in names_here(kind)]
    if owners:
        return wrong, f"it is known after {spoken_list(owners)}"
    near = nearest(name, thing)
    return wrong, f"did you mean {spoken_list(map(repr, near))}?" if near else "docs/rules.md lists every figure and fact at its top"


def names_in(condition: Condition, thing: str = "") -> tuple[tuple[str, str], ...]:
    """(thing or empty, name) of every figure and fact it reads, in the order written, each once."""
    match condition:
        case Compare():
            found = [(thing, name) for name in (condition.figure, condition.over, condition.than) if name]
        case Is():
            found = [(thing, condition.fact)]
        case Unknown():
            found = [(thing, condition.name)]
        case And() | Or():
            found = [name for part in condition.parts for name in names_in(part, thing)]
        case Not():
            found = list(names_in(condition.part, thing))
        case Each():
            found = list(names_in(condition.where, condition.thing))
    return tuple(dict.fromkeys(found))


