"""Messages with figures in braces: ``"{time} in the chair, or {slow time} on a slow day"``.

A name in braces is any figure, fact or text of :mod:`.names`; in a rule with
``any … where`` also one of the thing looked at, which then speaks of what was
found: a figure of many prints its range, ``{zones}`` and ``{numbers}`` say where.
"""

from __future__ import annotations

import re
from typing import Any, Callable

from ..meaning.model import ZONES
from .conditions import And, Condition, Each
from .measures import between, listed, numbers, spoken
from .names import FACTS, TEXTS, figure_name, names_here
from .naming import FactName, FigureName
from .things import THINGS, Thing
from .truth import Asked, reader
from ..syntax.suggest import did_you_mean

_BRACES = re.compile(r"\{([^{}]*)\}")

Group = tuple[Any, ...]
"""The things that were found and are spoken of together."""
Saying = Callable[[Asked, Group], str]

UNKNOWN = "unknown"
"""Printed for a figure nobody knows."""


def witness(condition: Condition) -> Each | None:
    """The ``any … where`` whose things a message can speak of: the first that must hold."""
    if isinstance(condition, Each):
        return condition if condition.how == "any" else None
    if isinstance(condition, And):
        return next((each for part in condition.parts if (each := witness(part)) is not None), None)
    return None


def check_message(text: str, condition: Condition) -> tuple[tuple[str, str], ...]:
    """(what is wrong, what to write) for each mistake in a message's braces."""
    found = []
    rest = _BRACES.sub("", text)
    if "{" in rest or "}" in rest:
        found.append((f"a brace stands alone in '{text}'", "write a figure's name between { and }"))
    each = witness(condition)
    thing = THINGS[each.thing] if each else None
    for name in _BRACES.findall(text):
        if not _known(" ".join(name.split()), thing):
            own = (*names_here(thing.name), *thing.texts, *_found(thing)) if thing else names_here()
            found.append((f"'{{{name}}}' is no figure, fact or name a message can print",
                          _hint(" ".join(name.split()), (*own, *TEXTS))))
    return tuple(found)


def _hint(name: str, allowed: tuple[str, ...]) -> str:
    hint = did_you_mean(name, allowed)
    return hint if len(hint) < 200 else "write a name that a rule's condition may use, such as {time}"


def _found(thing: Thing) -> tuple[str, ...]:
    return tuple(text for text, way in (("zones", thing.zone), ("numbers", thing.number)) if way is not None)


def _known(name: str, thing: Thing | None) -> bool:
    if thing and (name in thing.figures or name in thing.facts or name in thing.texts or name in _found(thing)):
        return True
    return name in TEXTS or name in FACTS or figure_name(name) is not None


def says_of_things(text: str, condition: Condition) -> bool:
    """Whether the message speaks of the things found, and not of the scene alone."""
    each = witness(condition)
    if each is None:
        return False
    thing = THINGS[each.thing]
    names = {" ".join(name.split()) for name in _BRACES.findall(text)}
    return bool(names & {*thing.figures, *thing.facts, *thing.texts, *_found(thing)})


def text_names(text: str, thing: Thing) -> tuple[str, ...]:
    """The thing's own texts that a message prints: things that differ in these are told apart."""
    return tuple(name for name in (" ".join(n.split()) for n in _BRACES.findall(text)) if name in thing.texts)


def saying(text: str, condition: Condition) -> Saying:
    """The checked message as a function. KeyError for a name that the check would refuse."""
    if "{" not in text:
        return lambda asked, group: text
    each = witness(condition)
    thing = THINGS[each.thing] if each else None
    parts: list[Saying] = []
    at = 0
    for found in _BRACES.finditer(text):
        if found.start() > at:
            parts.append(_fixed(text[at : found.start()]))
        parts.append(_slot(" ".join(found.group(1).split()), thing))
        at = found.end()
    if at < len(text):
        parts.append(_fixed(text[at:]))
    return lambda asked, group: "".join([part(asked, group) for part in parts])


def _fixed(text: str) -> Saying:
    return lambda asked, group: text


def _slot(name: str, thing: Thing | None) -> Saying:
    if thing is not None:
        if name == "zones" and thing.zone is not None:
            zone = thing.zone
            return lambda asked, group: zone_words(tuple(dict.fromkeys(zone(one) for one in group)))
        if name == "numbers" and thing.number is not None:
            number = thing.number
            return lambda asked, group: numbers(tuple(sorted({n for one in group for n in number(one)})))
        if name in thing.figures:
            return _of_many(thing.figures[name])
        if name in thing.facts:
            return _words_of_many(thing.facts[name])
        if name in thing.texts:
            read = thing.texts[name].read
            return lambda asked, group: listed(list(dict.fromkeys(read(one) for one in group)))
    if name in TEXTS:
        text = TEXTS[name].read
        return lambda asked, group: text(asked.scene)
    figure = figure_name(name)
    if figure is None:
        return _of_fact(FACTS[name])
    value = reader(name)
    return lambda asked, group: _said(value(asked, None), figure, asked)


def _said(value: float | None, figure: FigureName, asked: Asked) -> str:
    house = asked.scene.house
    return UNKNOWN if value is None else spoken(value, figure.unit, house.units, house.currency, figure.style)


def _of_many(figure: FigureName) -> Saying:
    def say(asked: Asked, group: Group) -> str:
        known = [value for value in map(figure.read, group) if value is not None]
        if not known:
            return UNKNOWN + (" heat" if figure.unit == "c" else "")
        return between(_said(min(known), figure, asked), _said(max(known), figure, asked))
    return say


def _words_of_many(fact: FactName) -> Saying:
    def say(asked: Asked, group: Group) -> str:
        held = {word for one in group for word in fact.read(one) or ()}
        return listed([word for word in fact.words if word in held]) or UNKNOWN
    return say


def _of_fact(fact: FactName) -> Saying:
    if fact.say is not None:
        said = fact.say
        return lambda asked, group: said(asked.scene)
    words = reader(fact.name)

    def say(asked: Asked, group: Group) -> str:
        held = words(asked, None)
        return UNKNOWN if held is None else listed([word for word in fact.words if word in held]) or "none"
    return say


def zone_words(zones: tuple[str, ...]) -> str:
    """``every zone``, ``the nape and back``."""
    return "every zone" if len(zones) == len(ZONES) else f"the {listed(zones)}"
