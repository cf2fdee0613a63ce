"""Whether a condition holds: compiled to closures once, then asked of one scene after another.

Truth has three values: a fact nobody knows makes a condition neither true nor
false (None), so that a rule over an unknown asks instead of passing silently.
And: false beats unknown beats true. Or: true beats unknown beats false.
A figure is read once for a scene, however many rules ask for it.
"""

from __future__ import annotations

import math
import operator
from typing import Any, Callable, NamedTuple

from .conditions import And, Compare, Condition, Each, Is, Not, Or, Unknown
from .names import FACTS, figure_name, own_name
from .scene import Scene
from .things import THINGS

Truth = bool | None


class Asked:
    """A scene being judged: what was read of it so far."""

    __slots__ = ("scene", "read", "things")

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.read: dict[str, Any] = {}
        self.things: dict[str, tuple[Any, ...]] = {}

    def members(self, thing: str) -> tuple[Any, ...]:
        """The things of one kind in this scene, listed once."""
        found = self.things.get(thing)
        if found is None:
            found = self.things[thing] = THINGS[thing].members(self.scene)
        return found


Test = Callable[[Asked, Any], Truth]
"""(scene being judged, the thing looked at or None) -> truth."""
Reader = Callable[[Asked, Any], Any]


class Verdict(NamedTuple):
    """Whether a condition holds (None: can't be known) and the names that would settle it."""

    holds: Truth
    unknown: tuple[str, ...] = ()


def holds(condition: Condition, scene: Scene) -> Verdict:
    """Evaluate a checked condition. KeyError for a name that the check would refuse."""
    asked = Asked(scene)
    truth = compiled(condition)(asked, None)
    return Verdict(truth, unsettled(condition, asked) if truth is None else ())


def reader(name: str, thing: str = "") -> Reader:
    """How a figure or fact is read: from the thing where that has the name, else from the scene, once."""
    if own_name(name, thing):
        kind = THINGS[thing]
        read_own = (kind.figures.get(name) or kind.facts[name]).read
        return lambda asked, here: read_own(here)
    entry = figure_name(name)
    read = entry.read if entry is not None else FACTS[name].read

    def once(asked: Asked, here: Any) -> Any:
        known = asked.read
        if name in known:
            return known[name]
        value = known[name] = read(asked.scene)
        return value

    return once


def compiled(condition: Condition, thing: str = "") -> Test:
    """The condition as a function. Raises KeyError for an unknown name, ValueError for an unknown sign."""
    match condition:
        case Compare():
            return _comparison(condition, thing)
        case Is():
            read, word = reader(condition.fact, thing), condition.word

            def is_word(asked: Asked, here: Any) -> Truth:
                words = read(asked, here)
                return None if words is None else word in words
            return is_word
        case Unknown():
            read_it = reader(condition.name, thing)
            return lambda asked, here: read_it(asked, here) is None
        case And() | Or():
            return _joined(tuple(compiled(part, thing) for part in condition.parts), isinstance(condition, Or))
        case Not():
            part = compiled(condition.part, thing)

            def turned(asked: Asked, here: Any) -> Truth:
                truth = part(asked, here)
                return None if truth is None else not truth
            return turned
        case Each():
            return _over_things(condition)
    raise TypeError(f"{condition!r} is no condition")


def _over_things(each: Each) -> Test:
    where, members, stop = compiled(each.where, each.thing), among(each), each.how == "any"
    # A bound that the scene doesn't know (a house without a limit) needn't be asked for at every section.
    bound = each.where.than if isinstance(each.where, Compare) and not own_name(each.where.than, each.thing) else ""
    read_bound = reader(bound) if bound else None

    def over_things(asked: Asked, here: Any) -> Truth:
        result: Truth = not stop
        things = members(asked)
        if read_bound is not None and things and read_bound(asked, None) is None:
            return None
        for one in things:
            truth = where(asked, one)
            if truth is stop:
                return stop
            if truth is None:
                result = None
        return result

    return over_things


def among(each: Each) -> Callable[[Asked], tuple[Any, ...]]:
    """The things an ``any`` or ``every`` looks at."""
    kind = THINGS[each.thing]
    name, zones, zone_of, within = each.thing, frozenset(each.zones), kind.zone, kind.within
    if not zones or zone_of is None:
        return lambda asked: asked.members(name)
    if within is not None:
        return lambda asked: tuple(one for one in asked.members(name) if not zones.isdisjoint(within(one)))
    return lambda asked: tuple(one for one in asked.members(name) if zone_of(one) in zones)


def _joined(parts: tuple[Test, ...], stop: bool) -> Test:
    """Or (``stop`` true) or And (false): stops at the first part that settles it."""
    def joined(asked: Asked, here: Any) -> Truth:
        result: Truth = not stop
        for part in parts:
            truth = part(asked, here)
            if truth is stop:
                return stop
            if truth is None:
                result = None
        return result
    return joined


_SIGNS: dict[str, tuple[Callable[[float, float], bool], bool]] = {
    "<": (operator.lt, False), ">": (operator.gt, False), "<=": (operator.lt, True), ">=": (operator.gt, True),
    "=": (lambda left, right: False, True), "!=": (lambda left, right: True, False),
}
"""sign -> (comparison of numbers that differ, the answer for equal ones)."""


def _comparison(condition: Compare, thing: str) -> Test:
    if condition.op not in _SIGNS:
        raise ValueError(f"no comparison {condition.op!r}")
    differs, equal = _SIGNS[condition.op]
    isclose, bound = math.isclose, condition.value
    # Equal to a part in a billion: figures are floats, and what is written is decimal.
    if own_name(condition.figure, thing) and not condition.over and not condition.than:
        read_own = THINGS[thing].figures[condition.figure].read
        grain = 1e-9 * abs(bound) + 1e-12

        def compare_own(asked: Asked, here: Any) -> Truth:
            value = read_own(here)
            if value is None:
                return None
            return equal if -grain <= value - bound <= grain else differs(value, bound)

        return compare_own
    if own_name(condition.figure, thing) and own_name(condition.than, thing) and not condition.over:
        read_first, read_second = (THINGS[thing].figures[name].read for name in (condition.figure, condition.than))

        def compare_two(asked: Asked, here: Any) -> Truth:
            value, other = read_first(here), read_second(here)
            if value is None or other is None:
                return None
            limit = bound * other
            grain = 1e-9 * (limit if limit > 0 else -limit) + 1e-12
            return equal if -grain <= value - limit <= grain else differs(value, limit)

        return compare_two
    read = reader(condition.figure, thing)
    read_over = reader(condition.over, thing) if condition.over else None
    read_than = reader(condition.than, thing) if condition.than else None

    def compare(asked: Asked, here: Any) -> Truth:
        limit = bound
        if read_than is not None:
            other = read_than(asked, here)
            if other is None:
                return None
            limit = bound * other
        value = read(asked, here)
        if value is None:
            return None
        if read_over is not None:
            below = read_over(asked, here)
            if not below:  # nobody knows, or nothing to divide by
                return None
            value /= below
        return equal if isclose(value, limit, rel_tol=1e-9, abs_tol=1e-12) else differs(value, limit)

    return compare


def unsettled(condition: Condition, asked: Asked, here: Any = None, thing: str = "") -> tuple[str, ...]:
    """The names nobody knows that keep this condition from being settled; each once."""
    if compiled(condition, thing)(asked, here) is not None:
        return ()
    match condition:
        case Compare():
            names = [name for name in (condition.figure, condition.over, condition.than) if name]
            return tuple(n for n in names
                         if (value := reader(n, thing)(asked, here)) is None or (n == condition.over and not value))
        case Is():
            return (condition.fact,)
        case And() | Or():
            found = [name for part in condition.parts for name in unsettled(part, asked, here, thing)]
        case Not():
            found = list(unsettled(condition.part, asked, here, thing))
        case Each():
            found = [name for one in among(condition)(asked)
                     for name in unsettled(condition.where, asked, one, condition.thing)]
        case _:
            found = []
    return tuple(dict.fromkeys(found))
