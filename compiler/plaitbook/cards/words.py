"""How quantities print in English, for the desk's own sentences and for papers that are English only; with what prints
alike in every language. A card speaks through :class:`plaitbook.cards.speech.Speech` instead."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from .speech import speech
from .wording import (
    GLYPHS, MM_PER_INCH, NAME_LIMIT, NBSP, ODD, ORDINARY_LIMIT, THIRDS_AND_QUARTERS, Units, capital, clean, from_the_right,
    letter_room, mixed, name, plain, ranges, sentence, span,
)

__all__ = [
    "GLYPHS", "MM_PER_INCH", "NAME_LIMIT", "NBSP", "ODD", "ORDINARY_LIMIT", "THIRDS_AND_QUARTERS", "Units", "between", "capital", "clean",
    "counted", "duration", "from_the_right", "length", "letter_room", "listed", "mass", "mixed", "money", "name", "packs", "plain", "ranges",
    "sentence", "share", "span", "temperature", "temperatures", "width", "widths",
]

_ENGLISH = speech()


def length(mm: float, units: Units) -> str:
    """A length along the head or the strand."""
    return speech("en", units).length(mm)


def between(low_mm: float, high_mm: float, units: Units) -> str:
    """A range of lengths."""
    return speech("en", units).between(low_mm, high_mm)


def temperature(celsius: float, units: Units) -> str:
    """A temperature in both scales, the house's first."""
    return speech("en", units).temperature(celsius)


def temperatures(low_c: float, high_c: float, units: Units) -> str:
    """A range of temperatures in both scales."""
    return speech("en", units).temperatures(low_c, high_c)


def width(mm: float) -> str:
    """The width of a strand or a held piece."""
    return _ENGLISH.width(mm)


def widths(low_mm: float, high_mm: float) -> str:
    """A range of widths."""
    return _ENGLISH.widths(low_mm, high_mm)


def packs(count: float) -> str:
    """Packs used, as a mixed number."""
    return _ENGLISH.packs(count)


def duration(minutes: float) -> str:
    """Hours and minutes."""
    return _ENGLISH.duration(minutes)


def mass(grams: float) -> str:
    """A weight in grams."""
    return _ENGLISH.mass(grams)


def share(value: float) -> str:
    """A share of one as whole percent."""
    return _ENGLISH.share(value)


def money(amount: Decimal, currency: str) -> str:
    """An amount with its ISO 4217 code."""
    return _ENGLISH.money(amount, currency)


def listed(items: Iterable[str], last: str = "and") -> str:
    """``a, b and c``."""
    return _ENGLISH.listed(items, last)


def counted(count: int, one: str, many: str = "") -> str:
    """``1 piece``, ``12 pieces``."""
    return f"{count}{NBSP}{one if count == 1 else many or one + 's'}"
