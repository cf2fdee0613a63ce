"""What prints alike in every language: mixed numbers, runs of numbers, and somebody's own words made fit to print.

Quantities with a unit are in :mod:`.speech`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from math import isfinite
from typing import Literal

Units = Literal["inch", "metric"]
NBSP = "\u00a0"

MM_PER_INCH = 25.4
"""Exact: the international yard and pound agreement, 1959."""

GLYPHS = {
    Fraction(1, 8): "⅛", Fraction(1, 4): "¼", Fraction(1, 3): "⅓", Fraction(3, 8): "⅜",
    Fraction(1, 2): "½", Fraction(5, 8): "⅝", Fraction(2, 3): "⅔", Fraction(3, 4): "¾",
    Fraction(7, 8): "⅞",
}
EIGHTHS = (8,)
QUARTERS = (4,)
THIRDS_AND_QUARTERS = (3, 4)

ORDINARY_LIMIT = 240
"""Letters of one field that a card prints; our own estimate of what a two-sided sheet can carry."""


@lru_cache(maxsize=4096)
def mixed(value: float, denominators: tuple[int, ...]) -> str:
    """A mixed number such as ``1⅓``: the nearest that these denominators can say.

    A value above zero never prints as ``0``: it prints as the smallest fraction.
    """
    best = min((Fraction(round(value * d), d) for d in denominators),
               key=lambda f: (abs(float(f) - value), f.denominator))
    if best == 0 and value > 0:
        best = min(Fraction(1, d) for d in denominators)
    whole, part = divmod(best, 1)
    if part == 0:
        return str(int(whole))
    return (str(int(whole)) if whole else "") + GLYPHS[part]


def plain(value: float, digits: int = 0) -> str:
    """A number with at most ``digits`` decimals, without trailing zeros."""
    if not isfinite(value):
        return "–"
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def mixed_value(text: str) -> float:
    """The number that such a text says."""
    glyphs = {g: f for f, g in GLYPHS.items()}
    part = glyphs.get(text[-1], Fraction(0))
    digits = text[:-1] if text[-1] in glyphs else text
    return float(part) + (int(digits) if digits else 0)


def span(low: float, high: float) -> str:
    """Two mixed numbers as a range, or the one they both print as: ``8½–9``."""
    first, last = mixed(low, THIRDS_AND_QUARTERS), mixed(high, THIRDS_AND_QUARTERS)
    return first if first == last else f"{first}–{last}"


def ranges(numbers: Iterable[int]) -> str:
    """Section numbers in runs: ``1–14, 18, 20–22``."""
    runs: list[list[int]] = []
    for n in sorted(set(numbers)):
        if runs and n == runs[-1][1] + 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    return ", ".join(str(a) if a == b else f"{a}–{b}" if b > a + 1 else f"{a}, {b}" for a, b in runs)


NAME_LIMIT = 48
"""Letters of a name; our own estimate of what a table cell holds."""

_BIDI = {ord(c): None for c in "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"}
FIRST_STRONG, POP = "\u2068", "\u2069"
_RIGHT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]")
"""Letters written from the right."""
ODD = re.compile("[^\u0020-\u007e\u00a0-\u0237\u2010-\u2027\u2150-\u215f\u2190-\u22ff]")
"""Finds anything but signs that need no care: printable, one column wide, never combining, the same in every
normal form."""


@lru_cache(maxsize=2048)
def clean(text: str, limit: int = ORDINARY_LIMIT) -> str:
    """Somebody's own words, fit to print anywhere.

    Control characters, lone surrogates and the marks that force a writing
    direction are dropped (they could make a line read as something else), runs
    of white space become one space, and what is longer than ``limit`` is cut
    and says so. What is written from the right is set apart with the marks made
    for that (Unicode Annex 9: isolates), so that our own words round it stay in place.
    """
    if ODD.search(text):
        text = unicodedata.normalize("NFC", text).translate(_BIDI)
        text = "".join(" " if c in "\t\n\r\v\f\x85\u2028\u2029" else c for c in text
                       if c in "\t\n\r\v\f\x85" or unicodedata.category(c) not in ("Cc", "Cs", "Co", "Cn"))
        if len(text) > limit or _RIGHT.search(text):
            text = _shortened(text, limit)
            return f"{FIRST_STRONG}{text}{POP}" if _RIGHT.search(text) else text
    return _shortened(text, limit)


def _shortened(text: str, limit: int) -> str:
    if len(text) > limit:
        said = f" ({limit}/{len(text)})" if limit > NAME_LIMIT else ""
        text = f"{text[:limit].rstrip()}…{said}"
    if "  " in text or text[:1] == " " or text[-1:] == " ":
        text = " ".join(part for part in text.split(" ") if part)
    return text


def from_the_right(text: str) -> bool:
    """Whether any of a text is written from the right."""
    return not text.isascii() and _RIGHT.search(text) is not None


def name(text: str) -> str:
    """A name that somebody gave a hair, a role, a product or a person, short enough for a table cell."""
    return clean(text, NAME_LIMIT)


def letter_room(letter: str) -> float:
    """How much room a letter takes in a drawing, an ordinary one being 1; Noto Sans, rounded up."""
    return 1.8 if letter in "WMwm@%" or ord(letter) > 0x1100 else 1.0


def capital(text: str) -> str:
    """First letter up, the rest as it is."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """First letter up, a full stop at the end."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".!?…:" else text + "."
