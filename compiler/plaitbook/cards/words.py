"""How a quantity is printed: the words a stylist reads, from the numbers the passes compute.

Every function takes a number in its fixed unit (see :mod:`plaitbook.meaning.values`)
and gives text. Inside a quantity the number and its unit are joined by a
no-break space, so that no line ends between them.

The steps that numbers are rounded to are common practice, no source: an eighth
of an inch is the finest mark on a tape measure in use at a chair, a half
centimetre the finest a comb's edge can be held to on a long strand.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from math import isfinite
from typing import Literal

from ..passes.currencies import DIGITS

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


@lru_cache(maxsize=1024)
def length(mm: float, units: Units) -> str:
    """A length along the head or the strand: ``17 in``, ``¾ in``; ``43 cm``, ``19 mm``."""
    if not isfinite(mm):
        return "–"
    if units == "inch":
        inches = mm / MM_PER_INCH
        return f"{mixed(inches, EIGHTHS if inches < 3 else QUARTERS if inches < 10 else (2,))}{NBSP}in"
    if mm < 30:
        return f"{plain(mm)}{NBSP}mm"
    return f"{plain(round(mm / 5) / 2, 1)}{NBSP}cm"


def alike(many: Iterable[float], units: Units) -> list[str]:
    """Several lengths in one unit, so that they can be read against each other."""
    values = list(many)
    if units == "inch" or all(mm < 30 for mm in values):
        return [length(mm, units) for mm in values]
    return [f"{plain(mm / 10, 1)}{NBSP}cm" for mm in values]


def lengths(many: Iterable[float], units: Units) -> str:
    """Several lengths with their unit said once: ``⅝, 1½, 2⅞ in``."""
    said = alike(many, units)
    return ", ".join([text.partition(NBSP)[0] for text in said[:-1]] + said[-1:])


def by(first_mm: float, second_mm: float, units: Units) -> str:
    """Two measures of one thing: ``¾ × ⅞ in``."""
    first, second = alike((first_mm, second_mm), units)
    return f"{first.partition(NBSP)[0]} × {second}"


def between(low_mm: float, high_mm: float, units: Units) -> str:
    """A range of lengths: ``16–18 in``, or one length where both print alike."""
    low, high = alike((low_mm, high_mm), units)
    return length(high_mm, units) if low == high else f"{low.partition(NBSP)[0]}–{high}"


def widths(low_mm: float, high_mm: float) -> str:
    """A range of widths: ``6–7.5 mm``, or one width where both print alike."""
    low, high = width(low_mm), width(high_mm)
    return low if low == high else f"{low.partition(NBSP)[0]}–{high}"


@lru_cache(maxsize=1024)
def width(mm: float) -> str:
    """The width of a strand or a held piece. Millimetres in every house, to the half: ``3.5 mm``."""
    return f"{plain(round(mm * 2) / 2, 1)}{NBSP}mm"


def pencil(mm: float, pencil_mm: float) -> str:
    """A held piece in the trade's measure: ``½ pencil``, ``about ⅔ pencil``."""
    share = mm / pencil_mm
    nearest = mixed(share, THIRDS_AND_QUARTERS)
    about = "" if abs(mm - _value(nearest) * pencil_mm) < 0.25 else "about "
    return f"{about}{nearest}{NBSP}pencil{'s' if share > 1.13 else ''}"


@lru_cache(maxsize=1024)
def pencils(mm: float, pencil_mm: float) -> str:
    """The same with its millimetres: ``½ pencil (3.5 mm)``."""
    return f"{pencil(mm, pencil_mm)} ({width(mm)})"


def _value(text: str) -> float:
    glyphs = {g: f for f, g in GLYPHS.items()}
    part = glyphs.get(text[-1], Fraction(0))
    digits = text[:-1] if text[-1] in glyphs else text
    return float(part) + (int(digits) if digits else 0)


def span(low: float, high: float) -> str:
    """Two mixed numbers as a range, or the one they both print as: ``8½–9``."""
    first, last = mixed(low, THIRDS_AND_QUARTERS), mixed(high, THIRDS_AND_QUARTERS)
    return first if first == last else f"{first}–{last}"


@lru_cache(maxsize=1024)
def packs(count: float) -> str:
    """Packs used, as a mixed number: ``1⅓ packs``."""
    text = mixed(count, THIRDS_AND_QUARTERS)
    return f"{text}{NBSP}pack{'' if count <= 1.1 and text in ('1', '¼', '⅓', '½', '⅔', '¾') else 's'}"


def counted(count: int, one: str, many: str = "") -> str:
    """``1 piece``, ``12 pieces``."""
    return f"{count}{NBSP}{one if count == 1 else many or one + 's'}"


@lru_cache(maxsize=1024)
def duration(minutes: float) -> str:
    """``4 h 35``, ``35 min``, to the whole minute; ``under 1 min`` for less than half of one."""
    if not isfinite(minutes):
        return "–"
    if 0 < minutes < 0.5:
        return f"under{NBSP}1{NBSP}min"
    whole = max(0, round(minutes))
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest}{NBSP}min"
    return f"{hours}{NBSP}h" + (f"{NBSP}{rest:02d}" if rest else "")


@lru_cache(maxsize=1024)
def temperature(celsius: float, units: Units) -> str:
    """The house's scale first, the other beside it, because an iron's dial may show either."""
    c, f = f"{plain(celsius)}{NBSP}°C", f"{plain(celsius * 9 / 5 + 32)}{NBSP}°F"
    return f"{f} ({c})" if units == "inch" else f"{c} ({f})"


def temperatures(low_c: float, high_c: float, units: Units) -> str:
    """A range in the house's scale with the other beside it: ``350–390 °F (177–199 °C)``."""
    c = f"{plain(low_c)}–{plain(high_c)}{NBSP}°C"
    f = f"{plain(low_c * 9 / 5 + 32)}–{plain(high_c * 9 / 5 + 32)}{NBSP}°F"
    return f"{f} ({c})" if units == "inch" else f"{c} ({f})"


@lru_cache(maxsize=1024)
def mass(grams: float) -> str:
    """``220 g``; under 10 g to a tenth."""
    return f"{plain(grams, 1 if grams < 10 else 0)}{NBSP}g"


def share(value: float) -> str:
    """A share of one as whole percent."""
    return f"{plain(value * 100)}{NBSP}%"


@lru_cache(maxsize=1024)
def money(amount: Decimal, currency: str) -> str:
    """``USD 245.00``: the ISO 4217 code, because a dollar sign names no country."""
    digits = DIGITS.get(currency, 2)
    rounded = amount.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)
    return f"{currency}{NBSP}{rounded:,.{digits}f}"


def ranges(numbers: Iterable[int]) -> str:
    """Section numbers in runs: ``1–14, 18, 20–22``."""
    runs: list[list[int]] = []
    for n in sorted(set(numbers)):
        if runs and n == runs[-1][1] + 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    return ", ".join(str(a) if a == b else f"{a}–{b}" if b > a + 1 else f"{a}, {b}" for a, b in runs)


def listed(words: Iterable[str], last: str = "and") -> str:
    """``a, b and c``."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


NAME_LIMIT = 48
"""Letters of a name; our own estimate of what a table cell holds."""

_BIDI = {ord(c): None for c in "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"}
ODD = re.compile("[^\u0020-\u007e\u00a0-\u0237\u2010-\u2027\u2150-\u215f\u2190-\u22ff]")
"""Finds anything but signs that need no care: printable, one column wide, never combining, the same in every
normal form."""


@lru_cache(maxsize=2048)
def clean(text: str, limit: int = ORDINARY_LIMIT) -> str:
    """Somebody's own words, fit to print anywhere.

    Control characters, lone surrogates and the marks that force a writing
    direction are dropped (they could make a line read as something else), runs
    of white space become one space, and what is longer than ``limit`` is cut
    and says so.
    """
    if ODD.search(text):
        text = unicodedata.normalize("NFC", text).translate(_BIDI)
        text = "".join(" " if c in "\t\n\r\v\f\x85\u2028\u2029" else c for c in text
                       if c in "\t\n\r\v\f\x85" or unicodedata.category(c) not in ("Cc", "Cs", "Co", "Cn"))
    if len(text) > limit:
        said = f" (cut: {len(text)} letters)" if limit > NAME_LIMIT else ""
        text = f"{text[:limit].rstrip()}…{said}"
    if "  " in text or text[:1] == " " or text[-1:] == " ":
        text = " ".join(part for part in text.split(" ") if part)
    return text


def name(text: str) -> str:
    """A name that somebody gave a hair, a role, a product or a person, short enough for a table cell."""
    return clean(text, NAME_LIMIT)


def letter_room(letter: str) -> float:
    """How much room a letter takes in a drawing, an ordinary one being 1; Noto Sans, rounded up."""
    return 1.8 if letter in "WMwm@%" or ord(letter) > 0x1100 else 1.0


def sentence(text: str) -> str:
    """First letter up, a full stop at the end."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".!?…:" else text + "."
