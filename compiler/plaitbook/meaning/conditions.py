"""Conditions as written after ``when`` and ``if``, made into a small tree.

``strand is fine or medium and age under 12 years`` mixes ``and`` with ``or``
without saying which binds first; that is a mistake with a fix, not a guess.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Union

from ..syntax.tree import Node
from . import tables
from .reading import Reading, words_of

AtLeast = {"over": ">", "under": "<", "at_least": ">=", "at_most": "<="}


@dataclass(frozen=True)
class IsWord:
    """``strand is fine or medium``, ``scalp is not healthy``."""

    fact: str
    words: tuple[str, ...]
    negated: bool
    node: Node
    fact_node: Node | None = None
    word_nodes: tuple[Node, ...] = ()
    """Where the fact's name and its words stand."""


@dataclass(frozen=True)
class Compared:
    """``added weight over 300 g``; ``bound`` is the node of a measure or a bare number.

    ``added weight over 2 times own weight``: ``other`` is the second name and
    ``bound`` the number of times (the name's own node where none is written).
    """

    fact: str
    operator: str
    bound: Node
    node: Node
    other: str = ""
    fact_nodes: tuple[Node, ...] = ()
    other_nodes: tuple[Node, ...] = ()
    """Where the two names stand."""


@dataclass(frozen=True)
class Every:
    """All of its parts hold."""

    parts: tuple["Condition", ...]


@dataclass(frozen=True)
class Any_:
    """At least one of its parts holds."""

    parts: tuple["Condition", ...]


@dataclass(frozen=True)
class Not:
    """Its part does not hold."""

    part: "Condition"


@dataclass(frozen=True)
class Sectionwise:
    """``any section where …``, ``every strand in nape where …``."""

    how: str
    where: "Condition"
    node: Node
    thing: str = "section"
    zones: tuple[str, ...] = ()


Condition = Union[IsWord, Compared, Every, Any_, Not, Sectionwise]


def read_condition(reading: Reading, node: Node) -> Condition | None:
    """The condition of a ``condition`` node; None (with a problem) when it can't be meant."""
    terms: list[Condition] = []
    joins: list[str] = []
    pending = ""
    for part in node.parts:
        if part.kind in ("both", "either"):
            pending = part.kind
            continue
        if part.kind == "bare":
            last = terms[-1] if terms else None
            if pending == "either" and isinstance(last, IsWord):
                word = meant(last.fact, words_of(part.parts[0]))
                terms[-1] = replace(last, words=(*last.words, word), word_nodes=(*last.word_nodes, part.parts[0]))
                continue
            return _nothing_to_test(reading, part)
        term = _term(reading, part)
        if term is None:
            return None
        if terms:
            joins.append(pending)
        terms.append(term)
    if len(set(joins)) > 1:
        reading.say("E702", "'and' and 'or' are mixed, so it could mean two things",
                    "put brackets round the part that belongs together", node)
        return None
    if len(terms) == 1:
        return terms[0]
    return Every(tuple(terms)) if joins[0] == "both" else Any_(tuple(terms))


def _term(reading: Reading, node: Node) -> Condition | None:
    if node.kind == "group":
        return read_condition(reading, node.parts[0])
    if node.kind == "bare":
        return _nothing_to_test(reading, node)
    if node.kind == "negation":
        inner = _term(reading, node.parts[0])
        return None if inner is None else Not(inner)
    if node.kind == "is_word":
        fact, value = words_of(node.parts[0]), words_of(node.parts[1])
        negated = " not " in reading.plain(node).replace(fact, "", 1)
        return IsWord(fact, (meant(fact, value),), negated, node, node.parts[0], (node.parts[1],))
    if node.kind == "compare":
        return _compared(node)
    inside = read_condition(reading, node.parts[-1])
    if inside is None:
        return None
    zones = node.first("zones")
    named = tuple(zone_word(zone) for zone in (zones.all("zone") if zones else ()))
    return Sectionwise(node.kind.removesuffix("_of"), inside, node, node.parts[0].kind.replace("_", " "), named)


def joined(nodes: tuple[Node, ...]) -> Node:
    """Nodes that follow each other as the place of all of them."""
    return nodes[0]._replace(end=nodes[-1].end)


def meant(fact: str, word: str) -> str:
    """The word that a wearer's fact is kept under: thin strands are fine."""
    return tables.OTHER_WORDS.get(fact, {}).get(word, word)


def _nothing_to_test(reading: Reading, node: Node) -> None:
    reading.say("E701", f"'{reading.quote(node)}' says nothing to test",
                "write what it is: strand is fine, or age under 12 years", node)


def _compared(node: Node) -> Compared:
    """A comparison; ``load in nape`` is one name."""
    at = next(place for place, part in enumerate(node.parts) if part.kind in AtLeast)
    right = node.parts[at + 1 :]
    second = () if right[-1].kind in ("measure", "number") else right[1:] if right[0].kind == "number" else right
    return Compared(_name(node.parts[:at]), AtLeast[node.parts[at].kind], right[0], node, _name(second), node.parts[:at], second)


def _name(parts: tuple[Node, ...]) -> str:
    words = [words_of(part) if part.kind == "words" else zone_word(part) if part.kind == "zone" else "in" for part in parts]
    return " ".join(words)


def zone_word(node: Node) -> str:
    """The zone of a ``zone`` node; the edges are the hairline."""
    word = node.parts[0].text
    return "hairline" if word == "edges" else word
