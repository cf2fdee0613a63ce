"""Messages with figures in braces: ``"{time} in the chair, or {slow time} on a slow day"``.

A name in braces is any figure, fact or text of :mod:`.names`; in a rule with
``any … where`` also one of the thing looked at, which then speaks of what was
found: a figure of many prints its range, ``{zones}`` and ``{numbers}`` say where.
"""

from __future__ import annotations

import re
from typing import Any, Callable, Collection, Literal

from ..meaning.model import ZONES, House
from ..plan.model import Filled
from .conditions import And, Condition, Each
from .measures import between, listed, numbers, spoken
from .names import FACTS, TEXTS, figure_name, names_here
from .naming import FactName, FigureName, TextName
from .things import THINGS, Thing
from .truth import Asked, reader
from ..syntax.suggest import did_you_mean

_BRACES = re.compile(r"\{([^{}]*)\}")

Group = tuple[Any, ...]
"""The things that were found and are spoken of together."""
Saying = Callable[[Asked, Group], str]
Slot = Callable[[Asked, Group], Filled]

UNKNOWN = "unknown"
"""Printed for a figure nobody knows."""
NOTHING = {"allergies": "nothing known", "ornaments": "no ornaments"}
"""Printed for a fact told by names where there are none."""


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
    said = Said(text, condition)
    return lambda asked, group: said(asked, group)[0]


class Said:
    """A checked message: called, it gives the English words and what filled their braces."""

    def __init__(self, text: str, condition: Condition) -> None:
        each = witness(condition)
        thing = THINGS[each.thing] if each else None
        self.text = text
        self._parts: list[str | Slot] = []
        at = 0
        for found in _BRACES.finditer(text):
            if found.start() > at:
                self._parts.append(text[at : found.start()])
            self._parts.append(_slot(found.group(1), " ".join(found.group(1).split()), thing))
            at = found.end()
        if at < len(text):
            self._parts.append(text[at:])

    def __call__(self, asked: Asked, group: Group) -> tuple[str, tuple[Filled, ...]]:
        filled: list[Filled] = []
        words: list[str] = []
        for part in self._parts:
            if isinstance(part, str):
                words.append(part)
                continue
            now = part(asked, group)
            filled.append(now)
            words.append(in_english(now, asked.scene.house))
        return "".join(words), tuple(filled)


def in_english(filled: Filled, house: House) -> str:
    """What stands in the braces, as the plan says it."""
    if filled.kind == "measure":
        low, high = (spoken(value, filled.unit, house.units, house.currency, filled.style)
                     for value in (filled.low, filled.high))
        return between(low, high)
    if filled.kind == "zones":
        return zone_words(filled.words)
    return numbers(filled.numbers) if filled.kind == "sections" else listed(filled.words)


def _slot(written: str, name: str, thing: Thing | None) -> Slot:
    if thing is not None:
        if name == "zones" and thing.zone is not None:
            zone = thing.zone
            return lambda asked, group: Filled(name=written, kind="zones", words=tuple(dict.fromkeys(map(zone, group))))
        if name == "numbers" and thing.number is not None:
            number = thing.number
            return lambda asked, group: Filled(
                name=written, kind="sections", numbers=tuple(sorted({n for one in group for n in number(one)})))
        if name in thing.figures:
            return _of_many(written, thing.figures[name])
        if name in thing.facts:
            return _words_of_many(written, thing.facts[name])
        if name in thing.texts:
            return _text_of_many(written, thing.texts[name])
    if name in TEXTS:
        return _of_text(written, TEXTS[name])
    figure = figure_name(name)
    if figure is None:
        return _of_fact(written, FACTS[name])
    value = reader(name)
    return lambda asked, group: _measured(written, figure, value(asked, None))


def _measured(written: str, figure: FigureName, low: float | None, high: float | None = None) -> Filled:
    if low is None:
        return Filled(name=written, kind="phrase", words=(UNKNOWN,))
    return Filled(name=written, kind="measure", low=low, high=low if high is None else high, unit=figure.unit,
                  style=figure.style)


def _of_many(written: str, figure: FigureName) -> Slot:
    def say(asked: Asked, group: Group) -> Filled:
        known = [value for value in map(figure.read, group) if value is not None]
        if not known:
            return Filled(name=written, kind="phrase", words=(UNKNOWN + (" heat" if figure.unit == "c" else ""),))
        return _measured(written, figure, min(known), max(known))
    return say


def _words_of_many(written: str, fact: FactName) -> Slot:
    def say(asked: Asked, group: Group) -> Filled:
        return _worded(written, fact, {word for one in group for word in fact.read(one) or ()}, UNKNOWN)
    return say


def _worded(written: str, fact: FactName, held: Collection[str], else_: str) -> Filled:
    words = tuple(word for word in fact.words if word in held)
    return Filled(name=written, kind="words", words=words) if words else Filled(name=written, kind="phrase", words=(else_,))


def _text_of_many(written: str, text: TextName) -> Slot:
    def say(asked: Asked, group: Group) -> Filled:
        kind: Literal["phrase", "text"] = "text" if text.phrases is None else "phrase"
        return Filled(name=written, kind=kind, words=tuple(dict.fromkeys(text.read(one) for one in group)))
    return say


def _of_text(written: str, text: TextName) -> Slot:
    def say(asked: Asked, group: Group) -> Filled:
        if text.phrases is not None:
            return Filled(name=written, kind="phrase", words=text.phrases(asked.scene))
        return Filled(name=written, kind="words" if text.zone else "text", words=(text.read(asked.scene),))
    return say


def _of_fact(written: str, fact: FactName) -> Slot:
    if fact.names is not None:
        names = fact.names

        def said(asked: Asked, group: Group) -> Filled:
            found = names(asked.scene)
            return Filled(name=written, kind="text", words=found) if found else Filled(
                name=written, kind="phrase", words=(NOTHING.get(fact.name, UNKNOWN),))
        return said
    words = reader(fact.name)

    def say(asked: Asked, group: Group) -> Filled:
        held = words(asked, None)
        return Filled(name=written, kind="phrase", words=(UNKNOWN,)) if held is None else _worded(
            written, fact, held, "none")
    return say


def zone_words(zones: tuple[str, ...]) -> str:
    """``every zone``, ``the nape and back``."""
    return "every zone" if len(zones) == len(ZONES) else f"the {listed(zones)}"
