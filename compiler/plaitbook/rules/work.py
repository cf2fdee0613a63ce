"""The rules the language can't say, each with the reason why.

- M01 reads what the quote noted beside each of its lines.
- M03, P01 and P02 print sentences that the strands, the layers and the
  recipe's own tests made, as many as there are; a condition tests figures and
  words, and a message prints them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Iterator

from ..meaning.values import Origin
from ..passes.quote import NO_PRICE
from ..plan.model import Filled, StrandKind
from .expectations import missed
from .rule import COMMON_PRACTICE, OUR_OWN, Hit, Rule
from .saying import zone_words
from .scene import Scene, worked

UNMET = "{strands} strands of {zones}: {wish}"
_NUMBERS = re.compile(r"(\d+(?:\.\d+)?)")


@lru_cache(maxsize=1024)
def _around_numbers(sentence: str) -> tuple[str, ...]:
    """A sentence's words and numbers by turns; most sentences don't change from one compile to the next."""
    return tuple(_NUMBERS.split(sentence))


def _no_price(scene: Scene) -> Iterator[Hit]:
    origins = {hair.name: hair.origin for hair in scene.recipe.catalogue}
    origins |= {ornament.name: ornament.origin for ornament in scene.recipe.ornaments}
    for line in scene.parts.quote.lines:
        if line.label in origins and (line.note == NO_PRICE or line.note.startswith("priced in ")):
            yield Hit(f'"{line.label}": {line.note}', origins[line.label], "", '"{name}": {note}',
                      (Filled(name="name", kind="text", words=(line.label,)),
                       Filled(name="note", kind="phrase", words=(line.note,))))


def _unmet(scene: Scene) -> Iterator[Hit]:
    # Kinds of strand differ by a few hairs and so miss a wish by a little more or less: one finding
    # speaks for all that miss it for the same reason, with the range of every number.
    missed_by: dict[tuple[str, ...], tuple[Origin, list[StrandKind], list[tuple[str, ...]]]] = {}
    for look, kind in worked(scene):
        origin = look.feeds[0].origin if look.feeds else look.wearing.origin
        for sentence in kind.unmet:
            parts = _around_numbers(sentence)
            key = (origin.file, str(origin.line), *parts[::2])
            alike = missed_by.setdefault(key, (origin, [], []))
            alike[1].append(kind)
            alike[2].append(tuple(parts[1::2]))
    for (_, _, *words), (origin, kinds, numbers) in missed_by.items():
        zones = tuple(dict.fromkeys(kind.zone for kind in kinds))
        strands, wish = sum(len(kind.sections) for kind in kinds), _ranged(words, numbers)
        yield Hit(f"{strands} strands of {zone_words(zones)}: {wish}", origin, "", UNMET,
                  (Filled(name="strands", kind="measure", low=strands, high=strands), Filled(name="zones", kind="zones", words=zones),
                   Filled(name="wish", kind="phrase", words=(wish,))))


def _ranged(words: list[str], numbers: list[tuple[str, ...]]) -> str:
    """Sentences that differ in their numbers only, as one: "low to high" where they differ."""
    said = words[0]
    for these, after in zip(zip(*numbers), words[1:]):
        low, high = min(these, key=float), max(these, key=float)
        said += (low if float(low) == float(high) else f"{low} to {high}") + after
    return said


def _undone(scene: Scene) -> Iterator[Hit]:
    for sentence in scene.recipe.undone:
        yield Hit(sentence, scene.recipe.origin)


def _missed(scene: Scene) -> Iterator[Hit]:
    for expectation in scene.recipe.expects:
        sentence = missed(expectation, scene)
        if sentence:
            yield Hit(sentence, expectation.origin)


RULES = (
    Rule("M01", "no price", "note", "hair or ornaments without a price in the house's currency",
         "The quote leaves them out.", "put a price into the catalogue", OUR_OWN, _no_price),
    Rule("M03", "wish not met", "warn", "something the recipe asks of the strands that can't be had",
         "The hair, the pieces and the width asked for don't fit together.",
         "another piece size, another hair, or another width", "computed", _unmet),
    Rule("P01", "pick undoes an adaptation", "warn", "a pick that undoes an adaptation to the wearer",
         "The recipe's author adapted the look to this wearer for a reason.",
         "take the adaptation back in, or write down why not", COMMON_PRACTICE, _undone),
    Rule("P02", "expectation missed", "warn", "a clause of the recipe's own tests that this plan misses",
         "The recipe's author expected something else.", "check the recipe, the wearer's facts and the expectation",
         "the recipe", _missed),
)
