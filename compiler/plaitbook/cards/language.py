"""The language a card speaks: its catalogue of translated sentences, and how it writes numbers and lists.

A sentence of the card is written in English with named places, ``say("Take it down after {weeks}", weeks=…)``, and
looked up whole; one that has no translation prints in English. The catalogues are gettext's, read by the standard
library; Babel makes them (see :mod:`plaitbook.cards.make_catalogues`). A :class:`Language` is a value that is handed
down to whatever prints words; there is no current language.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from gettext import GNUTranslations
from pathlib import Path
from typing import Iterable, Literal

from .wording import NBSP

Code = Literal["en", "fr", "es", "pt"]
NAMES: dict[str, Code] = {"english": "en", "french": "fr", "spanish": "es", "portuguese": "pt"}
"""A house's word for its language -> its ISO 639-1 code."""
TRANSLATED: tuple[Code, ...] = ("fr", "es", "pt")
LOCALES = Path(__file__).parent / "locales"
DOMAIN = "plaitbook"

_POINT = re.compile(r"(?<=\d)\.(?=\d)")


def mark(text: str) -> str:
    """A sentence that a table holds and a card says later: marked here for the translator, unchanged."""
    return text


@dataclass(frozen=True, eq=False)
class Language:
    """One language, English where there is no catalogue. Two are the same only if they are one object."""

    code: Code = "en"
    catalogue: GNUTranslations | None = None

    def __call__(self, text: str, /, **values: object) -> str:
        """A sentence of ours in this language, its named places filled in."""
        if self.catalogue is not None:
            text = self.catalogue.gettext(text)
        return text.format(**values) if values else text

    def many(self, one: str, many: str, n: int, /, **values: object) -> str:
        """The same of a sentence that turns on a count, which may stand in it as ``{n}``."""
        if self.catalogue is not None:
            text = self.catalogue.ngettext(one, many, n)
        else:
            text = one if n == 1 else many
        return text.format(n=n, **values)

    def counted(self, one: str, many: str, n: int, /) -> str:
        """A bare count with its noun, never parted at a line's end: ``12 pieces``."""
        return self.many(one, many, n).replace(" ", NBSP, 1)

    def term(self, context: str, word: str, /) -> str:
        """One of the plan's own words (a zone, a side, a fact); a word that isn't one of :mod:`.terms` as it is."""
        return word if self.catalogue is None else self.catalogue.pgettext(context, word)

    def number(self, text: str, /) -> str:
        """A figure, or a text with figures in it, with this language's decimal sign."""
        return text if self.code == "en" else _POINT.sub(",", text)

    def series(self, parts: Iterable[str]) -> str:
        """Parts set off by semicolons, before which French leaves a space."""
        return (f"{NBSP}; " if self.code == "fr" else "; ").join(parts)

    def listed(self, words: Iterable[str], last: str = "and") -> str:
        """``a, b and c``; ``last`` may be ``or``."""
        items = list(words)
        if len(items) < 2:
            return "".join(items)
        return f"{', '.join(items[:-1])} {self.term('list', last)} {items[-1]}"


@lru_cache(maxsize=None)
def catalogue(code: Code) -> GNUTranslations | None:
    """The translations of a language, none for English. Raises OSError where the catalogue is missing."""
    if code == "en":
        return None
    with open(LOCALES / code / "LC_MESSAGES" / f"{DOMAIN}.mo", "rb") as file:
        return GNUTranslations(file)


@lru_cache(maxsize=None)
def language(code: Code) -> Language:
    """The language with this code."""
    return Language(code, catalogue(code))
