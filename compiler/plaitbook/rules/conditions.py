"""Conditions of a house's own rules: a small tree, its check and its evaluation.

Truth has three values: a fact nobody knows makes a condition neither true nor
false (None), so that a rule over an unknown asks instead of passing silently.
Numbers in a condition are in the fixed unit of their dimension
(:mod:`plaitbook.meaning.values`); ``text`` keeps what was written.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Iterable, Literal, Union

from ..plan.model import Section
from .names import FACTS, SECTION_FIGURES, figure_name, figure_value, nearest
from .scene import Scene, section_load_mn

Operator = Literal["<", "<=", ">", ">=", "=", "!="]
OPERATORS: tuple[Operator, ...] = ("<", "<=", ">", ">=", "=", "!=")


@dataclass(frozen=True, slots=True)
class Compare:
    """A figure against a value: ``packs of base > 2``."""

    figure: str
    op: Operator
    value: float
    unit: str = ""
    """The fixed unit of ``value``, empty for a plain number."""
    text: str = ""
    over: str = ""
    """Another figure that the first is divided by: ``added weight over own weight > 1``."""


@dataclass(frozen=True, slots=True)
class Is:
    """A fact in words: ``strand is fine``."""

    fact: str
    word: str


@dataclass(frozen=True, slots=True)
class And:
    """All of these hold."""

    parts: tuple["Condition", ...]


@dataclass(frozen=True, slots=True)
class Or:
    """At least one of these holds."""

    parts: tuple["Condition", ...]


@dataclass(frozen=True, slots=True)
class Not:
    """This doesn't hold."""

    part: "Condition"


@dataclass(frozen=True, slots=True)
class Each:
    """A condition over sections: ``any section where area < 2 cm²``; ``zone`` narrows it."""

    how: Literal["any", "every"]
    where: "Condition"
    zone: str = ""


Condition = Union[Compare, Is, And, Or, Not, Each]


def check_condition(condition: Condition, section: bool = False) -> tuple[str, ...]:
    """What is wrong with a condition before any plan exists: names, words, units, nesting."""
    match condition:
        case Compare():
            found = [_check_figure(name, unit, section) for name, unit in (
                (condition.figure, None if condition.over else condition.unit), (condition.over, None)) if name]
            if condition.op not in OPERATORS:
                found.append(f'"{condition.op}" compares nothing; write one of {" ".join(OPERATORS)}')
            if not math.isfinite(condition.value):
                found.append(f"{condition.value} is no number to compare {condition.figure} with")
            if condition.over and condition.unit:
                found.append(f"{condition.figure} over {condition.over} is a plain number, not {condition.unit}")
            elif condition.over and not any(found):
                top, bottom = (_unit(name, section) for name in (condition.figure, condition.over))
                if top != bottom:
                    found.append(f"{condition.figure} is in {top or 'plain numbers'} and {condition.over} in "
                                 f"{bottom or 'plain numbers'}: they can't be divided")
            return tuple(sentence for sentence in found if sentence)
        case Is():
            fact = FACTS.get(condition.fact)
            if fact is None:
                return (_unknown(condition.fact, section),)
            if condition.word not in fact.words:
                return (f'{condition.fact} is never "{condition.word}"; it is one of {", ".join(fact.words)}',)
            return ()
        case And() | Or():
            if not condition.parts:
                return ("a condition of no parts",)
            return tuple(sentence for part in condition.parts for sentence in check_condition(part, section))
        case Not():
            return check_condition(condition.part, section)
        case Each():
            if section:
                return ("a condition over sections can't stand inside another one",)
            if condition.zone and condition.zone not in FACTS["zones"].words:
                return (f'there is no zone "{condition.zone}"; the zones are {", ".join(FACTS["zones"].words)}',)
            return check_condition(condition.where, True)
    return (f"{condition!r} is no condition",)


def _unit(name: str, section: bool) -> str | None:
    if section and name in SECTION_FIGURES:
        return SECTION_FIGURES[name]
    entry = figure_name(name)
    return None if entry is None else entry.unit


def _check_figure(name: str, unit: str | None, section: bool) -> str:
    known = _unit(name, section)
    if known is None:
        return _unknown(name, section)
    if unit is not None and unit != known:
        return f"{name} is in {known or 'plain numbers'}, not {unit or 'plain numbers'}"
    return ""


def _unknown(name: str, section: bool) -> str:
    near = nearest(name, section)
    return f'nothing is called "{name}"' + (f'; did you mean {" or ".join(near)}?' if near else "")


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a condition holds (None: can't be known) and the names it couldn't read."""

    holds: bool | None
    unknown: tuple[str, ...] = ()


def holds(condition: Condition, scene: Scene) -> Verdict:
    """Evaluate a checked condition. KeyError for a name :func:`check_condition` would refuse."""
    missing: dict[str, None] = {}
    truth = _truth(condition, scene, None, missing)
    return Verdict(truth, tuple(missing) if truth is None else ())


class _AtSection:
    """The numbers of one section; which kind works it is looked up once for a whole quantifier."""

    __slots__ = ("kinds",)

    def __init__(self, scene: Scene) -> None:
        self.kinds = {number: kind for kind in scene.parts.kinds for number in kind.sections}

    def read(self, name: str, section: Section) -> float | None:
        match name:
            case "area":
                return section.area_cm2
            case "section width":
                return section.width_mm
            case "section height":
                return section.height_mm
            case "hairs":
                return float(section.hairs)
            case "row":
                return float(section.row)
            case "number":
                return float(section.number)
        kind = self.kinds.get(section.number)
        if kind is None:
            return None
        match name:
            case "load":
                return section_load_mn(section, kind)
            case "strand width":
                return kind.width_mm
            case "strand length":
                return kind.length_mm
        raise KeyError(name)


_Here = tuple[Section, _AtSection]


def _truth(condition: Condition, scene: Scene, here: _Here | None, missing: dict[str, None]) -> bool | None:
    match condition:
        case Compare():
            value = _value(condition.figure, scene, here)
            if value is None:
                missing[condition.figure] = None
                return None
            if condition.over:
                below = _value(condition.over, scene, here)
                if not below:  # nobody knows, or nothing to divide by
                    missing[condition.over] = None
                    return None
                value /= below
            return _compare(value, condition.op, condition.value)
        case Is():
            words = FACTS[condition.fact].read(scene)
            if words is None:
                missing[condition.fact] = None
                return None
            return condition.word in words
        case And():
            return _all(_truth(part, scene, here, missing) for part in condition.parts)
        case Or():
            return _any(_truth(part, scene, here, missing) for part in condition.parts)
        case Not():
            inner = _truth(condition.part, scene, here, missing)
            return None if inner is None else not inner
        case Each():
            at = _AtSection(scene)
            truths = (
                _truth(condition.where, scene, (section, at), missing)
                for section in scene.parts.sections.items
                if not condition.zone or section.zone == condition.zone
            )
            return _any(truths) if condition.how == "any" else _all(truths)
    raise TypeError(f"{condition!r} is no condition")


def _all(truths: Iterable[bool | None]) -> bool | None:
    """Kleene's and: false beats unknown beats true. All parts are read, so that every unknown is named."""
    seen = list(truths)
    return False if False in seen else None if None in seen else True


def _any(truths: Iterable[bool | None]) -> bool | None:
    seen = list(truths)
    return True if True in seen else None if None in seen else False


def _value(name: str, scene: Scene, here: _Here | None) -> float | None:
    if here is not None and name in SECTION_FIGURES:
        return here[1].read(name, here[0])
    return figure_value(name, scene)


def _compare(left: float, op: str, right: float) -> bool:
    # Equal to a part in a billion: figures are floats, and what is written is decimal.
    same = math.isclose(left, right, rel_tol=1e-9, abs_tol=1e-12)
    match op:
        case "=":
            return same
        case "!=":
            return not same
        case "<":
            return left < right and not same
        case "<=":
            return left < right or same
        case ">":
            return left > right and not same
        case ">=":
            return left > right or same
    raise ValueError(f"no comparison {op!r}")
