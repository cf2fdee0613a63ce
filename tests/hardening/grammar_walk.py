"""Statements drawn at random from the grammar itself, word by word, with the spaces a person leaves.

Each start rule of ``grammar/plaitbook.lark`` is walked downwards; past a
certain depth only the shortest way out is taken, so a walk always ends.
"""

from __future__ import annotations

import re
from functools import lru_cache
from random import Random

from lark import Lark
from lark.grammar import NonTerminal, Symbol

from mutating import NUMBERS, words
from plaitbook.shipped import shipped_folder
from plaitbook.syntax import vocabulary

DEEP = 14
_START = re.compile(r"^(\w+_(?:line|statement|value)):", re.M)
_NAMES = ("Dune", "Kelp", "Dune Curl", "Meadow", "Meadow Curl", "Little Reed", "Brass cuff", "Pebble bead", "Saltmarsh", "Ilse", "driftwood",
          "setting foam", "“Düne”", "", " ", "a # b", "x" * 60)
_WORDS = ("base", "curls", "size", "length", "strand", "density", "fine", "medium", "coarse", "small", "large", "added", "weight", "sections",
          "packs", "x", "é", "w01", "in", "mm", "cm", "g", "min", "h", "pencil", "usd", "years", "turns", "pieces", "ß", "o'clock")


@lru_cache(maxsize=1)
def grammar_text() -> str:
    return (shipped_folder("grammar") / "plaitbook.lark").read_text("utf-8")


@lru_cache(maxsize=1)
def starts() -> tuple[str, ...]:
    """The start rules of the grammar: one for each kind of line."""
    return tuple(_START.findall(grammar_text()))


@lru_cache(maxsize=1)
def whole_grammar() -> Lark:
    return Lark(grammar_text(), parser="lalr", start=list(starts()))


@lru_cache(maxsize=1)
def _expansions() -> dict[str, list[tuple[Symbol, ...]]]:
    table: dict[str, list[tuple[Symbol, ...]]] = {}
    for rule in whole_grammar().rules:
        table.setdefault(str(rule.origin.name), []).append(tuple(rule.expansion))
    return table


@lru_cache(maxsize=1)
def _least_depth() -> dict[str, int]:
    depth = dict.fromkeys(_expansions(), 1000)
    for _ in range(40):
        for name, ways in _expansions().items():
            depth[name] = min(_way_depth(way, depth) for way in ways)
    return depth


def _way_depth(way: tuple[Symbol, ...], depth: dict[str, int]) -> int:
    return 1 + max((depth[str(s.name)] if isinstance(s, NonTerminal) else 0 for s in way), default=0)


@lru_cache(maxsize=1)
def _terminals() -> dict[str, str]:
    return {t.name: t.pattern.value for t in whole_grammar().terminals if t.pattern.type == "str"}


def walk(start: str, random: Random) -> str:
    """One statement of a start rule."""
    out: list[str] = []
    _walk(start, random, out, 0)
    space = " " if random.random() < 0.8 else random.choice(("  ", "\t", "\u00a0", " \u200b"))
    return re.sub(r"\s+([,;:])", r"\1", space.join(out)) if random.random() < 0.8 else space.join(out)


def _walk(name: str, random: Random, out: list[str], depth: int) -> None:
    ways = _expansions()[name]
    if depth > DEEP:
        least = min(_way_depth(way, _least_depth()) for way in ways)
        ways = [way for way in ways if _way_depth(way, _least_depth()) == least]
    for symbol in random.choice(ways):
        if isinstance(symbol, NonTerminal):
            _walk(str(symbol.name), random, out, depth + 1)
        else:
            out.append(_terminal(symbol.name, random))


def _terminal(name: str, random: Random) -> str:
    if name in _terminals():
        return _terminals()[name]
    if name == "NUMBER":
        return random.choice(NUMBERS) if random.random() < 0.15 else str(random.choice((1, 2, 3, 5, 7, 9, 12, 18, 48, 180, "½", "¼", "1½", "0.5", "2.25")))
    if name == "STRING":
        return f'"{random.choice(_NAMES)}"'
    if name == "WORD":
        return random.choice(_WORDS) if random.random() < 0.8 else random.choice(words())
    return {"ZONE": random.choice(("nape", "back", "crown", "sides", "temples", "top", "hairline", "edges")), "_TO": "to", "_X": "x",
            "DEGREES": "degrees c", "CLOCK": "10:30"}.get(name) or random.choice(("″", "°c", "°f", "%", "g/m", "cm²", "in²", "hairs/cm²"))


_HEADS = {**{rule: f"{word}: " for word, rule in vocabulary.RECIPE_BLOCKS.items() if word != "adapt"},
          **{rule: f"{word} " for word, rule in (*vocabulary.RECIPE_STATEMENTS.items(), *vocabulary.RULE_STATEMENTS.items())},
          "edition_statement": "edition ", "use_statement": "use "}


def walked_line(random: Random) -> str:
    """A whole line: the word it begins with, and a statement."""
    start = random.choice(starts())
    body = walk(start, random)
    if start == "declaration_statement":
        return f"{random.choice(vocabulary.DECLARATIONS)} {body}"
    if start == "fact_value":
        return f"{random.choice([word for facts in vocabulary.FACTS.values() for word in facts])} {body}"
    return _HEADS[start] + body


def walked_file(random: Random, most: int = 6) -> str:
    """A file of such lines under a declaration."""
    kind = random.choice(("recipe", "recipe", "recipe", *vocabulary.DECLARATIONS))
    rows = ["edition 1", f'{kind} "Walked"']
    rows += [walked_line(random) for _ in range(random.randint(1, most))]
    return "\n".join(rows)
