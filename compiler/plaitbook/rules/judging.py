"""One rule made ready: its condition, its message and its place compiled once, then asked of every plan."""

from __future__ import annotations

from typing import Any, Callable, Iterator, NamedTuple

from ..meaning.values import Origin
from ..plan.model import Filled
from .conditions import And, Condition, Each, Is, Not, Or, Unknown
from .names import FACTS, figure_name
from .rule import HouseRule, Rule, Severity
from .saying import Group, Said, says_of_things, text_names, witness
from .things import THINGS
from .truth import Asked, Test, among, compiled, unsettled

Place = Callable[[Asked, Any], Origin | None]


ASK = "ask, and write it down"
"""What to do where a fact is missing that a house's rule turns on."""


class Found(NamedTuple):
    """What a rule says of one scene, in one place. ``asks`` where it can't be known whether it holds."""

    message: str
    fix: str
    origin: Origin
    asks: bool = False
    filled: tuple[Filled, ...] = ()
    """What stands in the braces of the rule's message and fix."""


class Ready(NamedTuple):
    """A rule ready to be asked."""

    code: str
    severity: Severity
    reason: str
    source: str
    test: Test
    condition: Condition
    message: Said
    fix: Said
    each: Each | None
    """The ``any … where`` whose things it speaks of."""
    inside: Test | None
    """What these things fulfil."""
    members: Callable[[Asked], tuple[Any, ...]] | None
    of_things: bool
    """Whether message or fix speak of the things found."""
    apart: tuple[Callable[[Any], str], ...]
    """Texts by which things found are told apart."""
    places: tuple[Place, ...]
    origin: Origin | None
    """A house rule's own place; a built-in rule stands at what it is about."""

    def found(self, asked: Asked) -> Iterator[Found]:
        """What it has to say of this scene."""
        truth = self.test(asked, None)
        if truth:
            for place, group in self._groups(asked):
                (message, in_message), (fix, in_fix) = self.message(asked, group), self.fix(asked, group)
                yield Found(message, fix, place, filled=tuple(dict.fromkeys((*in_message, *in_fix))))
        elif truth is None and self.origin is not None:
            names = ", ".join(unsettled(self.condition, asked))
            said, filled = self.message(asked, ())
            said = said.rstrip(" .!?")
            yield Found(f"{said}? That can't be said without: {names}", ASK, self.origin, True, filled)

    def _groups(self, asked: Asked) -> list[tuple[Origin, Group]]:
        if self.each is None or self.inside is None or self.members is None:
            return [(self._place(asked, None), ())]
        inside, kind = self.inside, THINGS[self.each.thing]
        if not self.of_things:
            if self.origin is not None:
                return [(self.origin, ())]
            one = next(one for one in self.members(asked) if inside(asked, one))
            return [(self._place(asked, one) if self.places else kind.place(one), ())]
        groups: dict[tuple[Any, ...], tuple[Origin, list[Any]]] = {}
        for one in self.members(asked):
            if inside(asked, one):
                place = self._place(asked, one)
                key = (place.file, place.line, *(read(one) for read in self.apart))
                groups.setdefault(key, (place, []))[1].append(one)
        return [(place, tuple(group)) for place, group in groups.values()]

    def _place(self, asked: Asked, one: Any) -> Origin:
        if self.origin is not None:
            return self.origin
        for place in self.places:
            found = place(asked, one)
            if found is not None and found.line:
                return found
        return asked.scene.recipe.origin if one is None or self.each is None else THINGS[self.each.thing].place(one)


def ready_rule(rule: Rule) -> Ready:
    """A built-in rule of the language, ready; its findings stand at the first thing it tests that was written."""
    assert rule.condition is not None
    return _ready(rule.code, rule.severity, rule.condition, rule.message, rule.why, rule.source, rule.fix, None)


def ready_house_rule(rule: HouseRule) -> Ready:
    """A checked rule of the house, ready; its findings stand at the rule."""
    return _ready(rule.code, rule.severity, rule.condition, rule.message, rule.reason, rule.source, rule.fix,
                  rule.origin)


def _ready(code: str, severity: Severity, condition: Condition, message: str, reason: str, source: str, fix: str,
           origin: Origin | None) -> Ready:
    each = witness(condition)
    thing = THINGS[each.thing] if each else None
    apart = tuple(thing.texts[name].read for name in text_names(message + fix, thing)) if thing else ()
    return Ready(
        code, severity, reason, source, compiled(condition), condition, Said(message, condition),
        Said(fix, condition), each, compiled(each.where, each.thing) if each else None,
        among(each) if each else None,
        says_of_things(message, condition) or says_of_things(fix, condition), apart,
        tuple(_places(condition, "")) if origin is None else (), origin,
    )


def _places(condition: Condition, thing: str) -> Iterator[Place]:
    """Where each name of a condition was written, in the order of the condition."""
    match condition:
        case And() | Or():
            for part in condition.parts:
                yield from _places(part, thing)
        case Not():
            yield from _places(condition.part, thing)
        case Each():
            yield from _places(condition.where, condition.thing)
            if condition.how == "any":
                own = THINGS[condition.thing].place
                yield lambda asked, one: None if one is None else own(one)
        case Is():
            if not (thing and condition.fact in THINGS[thing].facts):
                where, word = FACTS[condition.fact].place, condition.word
                if where is not None:
                    yield lambda asked, one: where(asked.scene, word)
        case Unknown():
            yield from _figure_places((condition.name,), thing)
        case _:
            yield from _figure_places((condition.figure, condition.over, condition.than), thing)


def _figure_places(names: tuple[str, ...], thing: str) -> Iterator[Place]:
    for name in names:
        own = THINGS[thing].figures.get(name) if thing else None
        if own is not None:
            if own.place is not None:
                yield _at_thing(own.place)
            continue
        if thing and name in THINGS[thing].facts:
            continue
        entry = figure_name(name) if name else None
        if entry is not None and entry.place is not None:
            yield _at_scene(entry.place)
        fact = FACTS.get(name)
        if fact is not None and fact.place is not None:
            yield _at_fact(fact.place)


def _at_thing(place: Callable[[Any], Origin | None]) -> Place:
    return lambda asked, one: None if one is None else place(one)


def _at_scene(place: Callable[[Any], Origin | None]) -> Place:
    return lambda asked, one: place(asked.scene)


def _at_fact(place: Callable[[Any, str], Origin | None]) -> Place:
    return lambda asked, one: place(asked.scene, "")
