"""The plan's own single words, each under the heading by which a translator knows what it is of.

A card prints them through :meth:`plaitbook.cards.language.Language.term`. English prints them as they stand.
"""

from __future__ import annotations

from ..meaning.model import ZONES
from ..meaning.standing import NOBODY
from ..rules.names import FACTS
from ..rules.things import THINGS
from .trade_words import TRADE_WORDS

_FACT_WORDS: dict[str, dict[str, None]] = {}
for _fact in (*FACTS.values(), *(fact for thing in THINGS.values() for fact in thing.facts.values())):
    if _fact.name != "zones":
        _FACT_WORDS.setdefault(_fact.name, {}).update(dict.fromkeys(_fact.words))

TERMS: dict[str, tuple[str, ...]] = {
    **{name: tuple(words) for name, words in _FACT_WORDS.items()},
    "list": ("and", "or"),
    "answer": ("yes", "no"),
    "unit": ("in", "in²", "year", "years", "week", "weeks", "hairs/cm²"),
    "zone": ZONES,
    "strand size": ("very slim", "slim", "medium", "large", "very large"),
    "side": ("left", "middle", "right", "both", "front"),
    "stage": (
        "cut the hair", "stretch the ends", "brush", "divide into pieces", "load the racks", "consult",
        "take down the old set", "detangle", "wash", "blow-dry", "part the sections", "start the strands",
        "work the strands", "feed in", "accents", "finish the ends", "finish the head", "front refresh", "short pauses",
        "breaks", "braiding", "break",
    ),
    "quote": ("labour", "preparation", "consumables", "overhead", "discount", "tax", "rounding"),
    "hairline": ("ordinary", "low", "high", "receding"),
    "wearer": (NOBODY,),
    "packs": ("Left",),
    "trade word": tuple(word for word, _ in TRADE_WORDS),
}
"""Heading -> the words under it."""
