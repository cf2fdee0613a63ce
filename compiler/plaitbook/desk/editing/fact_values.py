"""What a fact of a hair, a wearer or a house may be, from the readers that give it meaning."""

from __future__ import annotations

from collections.abc import Iterator

from ...meaning.model import ZONES
from ...meaning.unit_table import UNITS
from ...passes.currencies import DIGITS
from ...syntax.cursor import Cursor
from ...syntax.expected import Expected, expected_after
from .free_words import Word
from .oracle import examples, fact_words

GOODS = {"substitute": ("hair",), "brings": ("hair",), "stock": ("hair",), "pack": ("hair",),
         "price": ("hair", "ornament"), "rate": ("operation",)}
"""Fact -> what its names in quotes are."""


def fact_values(cursor: Cursor, expected: Expected) -> Iterator[Word]:
    """Its words or an example where it begins; further on, what an example goes on with."""
    kind, word = cursor.kind, cursor.word
    trail = expected.trail
    if not trail:
        for value in fact_words(kind, word):
            yield value, "value", ""
        for example in examples(kind, word):
            if word not in GOODS and '"' not in example:
                yield example, "example", ""
        if word == "currency":
            for code in DIGITS:
                yield code, "value", "money"
        return
    if word == "own hair" and trail[-1][0] in ("IN", "COMMA", "ZONE") and len(trail) > 2:
        for zone in ZONES:
            yield zone, "zone", ""
    shape = [terminal if terminal != "IN" else "WORD" for terminal, _, _ in trail]
    said = " ".join(text for _, text, _ in trail)
    for value in fact_words(kind, word):
        if value.startswith(f"{said} "):
            yield value.removeprefix(f"{said} "), "value", ""
    for example in examples(kind, word):
        read = expected_after("fact_value", example)
        if read is None:
            continue
        kinds = [terminal if terminal != "IN" else "WORD" for terminal, _, _ in read.trail]
        if kinds[: len(shape)] == shape and len(kinds) > len(shape):
            tail = []
            for terminal, text, _ in read.trail[len(shape):]:
                if terminal not in ("WORD", "IN"):
                    break
                tail.append(text)
            if tail and not ("unit" in expected.words and tail[0] in UNITS):
                yield " ".join(tail), "word", ""
