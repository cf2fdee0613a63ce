"""How a house prints a quantity: in its card's language and its own units.

Every method takes a number in its fixed unit (see :mod:`plaitbook.meaning.values`)
and gives text. Inside a quantity the number and its unit are joined by a
no-break space, so that no line ends between them.

The steps that numbers are rounded to are common practice, no source: an eighth
of an inch is the finest mark on a tape measure in use at a chair, a half
centimetre the finest a comb's edge can be held to on a long strand.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from math import isfinite
from typing import Iterable

from ..passes.currencies import DIGITS
from .language import Code, Language, catalogue
from .wording import EIGHTHS, MM_PER_INCH, NBSP, QUARTERS, THIRDS_AND_QUARTERS, Units, mixed, mixed_value, plain

SINGULAR_PARTS = ("1", "¼", "⅓", "½", "⅔", "¾")


@dataclass(frozen=True, eq=False)
class Speech(Language):
    """A card's language with the units of its house. Made by :func:`speech`, one of each."""

    units: Units = "metric"

    @property
    def inch(self) -> str:
        """The sign of an inch."""
        return self.term("unit", "in")

    def plain(self, value: float, digits: int = 0) -> str:
        """A number with at most ``digits`` decimals, without trailing zeros."""
        return self.number(plain(value, digits))

    @lru_cache(maxsize=4096)
    def length(self, mm: float) -> str:
        """A length along the head or the strand: ``17 in``, ``¾ in``; ``43 cm``, ``19 mm``."""
        if not isfinite(mm):
            return "–"
        if self.units == "inch":
            inches = mm / MM_PER_INCH
            return f"{mixed(inches, EIGHTHS if inches < 3 else QUARTERS if inches < 10 else (2,))}{NBSP}{self.inch}"
        if mm < 30:
            return f"{plain(mm)}{NBSP}mm"
        return f"{self.plain(round(mm / 5) / 2, 1)}{NBSP}cm"

    def alike(self, many: Iterable[float], among: Iterable[float] = ()) -> list[str]:
        """Several lengths in one unit, so that they can be read against each other and ``among`` others."""
        values = list(many)
        if self.units == "inch" or all(mm < 30 for mm in (*values, *among)):
            return [self.length(mm) for mm in values]
        return [f"{self.plain(mm / 10, 1)}{NBSP}cm" for mm in values]

    def lengths(self, many: Iterable[float]) -> str:
        """Several lengths with their unit said once: ``⅝, 1½, 2⅞ in``. Where a comma is the decimal sign,
        ``4,5; 6 cm``."""
        said = self.alike(many)
        comma = ", " if self.code == "en" else "; "
        return comma.join([text.partition(NBSP)[0] for text in said[:-1]] + said[-1:])

    def by(self, first_mm: float, second_mm: float, among: Iterable[float] = ()) -> str:
        """Two measures of one thing, in the unit of those ``among`` which they stand: ``¾ × ⅞ in``."""
        first, second = self.alike((first_mm, second_mm), among)
        return f"{first.partition(NBSP)[0]} × {second}"

    def between(self, low_mm: float, high_mm: float) -> str:
        """A range of lengths: ``16–18 in``, or one length where both print alike."""
        low, high = self.alike((low_mm, high_mm))
        return self.length(high_mm) if low == high else f"{low.partition(NBSP)[0]}–{high}"

    def widths(self, low_mm: float, high_mm: float) -> str:
        """A range of widths: ``6–7.5 mm``, or one width where both print alike."""
        low, high = self.width(low_mm), self.width(high_mm)
        return low if low == high else f"{low.partition(NBSP)[0]}–{high}"

    @lru_cache(maxsize=4096)
    def width(self, mm: float) -> str:
        """The width of a strand or a held piece. Millimetres in every house, to the half: ``3.5 mm``; below 2 mm to the
        quarter, so that a quarter of a pencil is ``1.75 mm`` wherever it stands."""
        step = 4 if mm < 2 else 2
        return f"{self.plain(round(mm * step) / step, 2)}{NBSP}mm"

    def pencil(self, mm: float, pencil_mm: float) -> str:
        """A held piece in the trade's measure: ``½ pencil``, ``about ⅔ pencil``."""
        share = mm / pencil_mm
        nearest = mixed(share, THIRDS_AND_QUARTERS)
        said = self.many("{amount} pencil", "{amount} pencils", 2 if share > 1.13 else 1, amount=nearest).replace(" ", NBSP)
        return said if abs(mm - mixed_value(nearest) * pencil_mm) < 0.25 else self("about {amount}", amount=said)

    @lru_cache(maxsize=4096)
    def pencils(self, mm: float, pencil_mm: float) -> str:
        """The same with its millimetres: ``½ pencil (3.5 mm)``."""
        return f"{self.pencil(mm, pencil_mm)} ({self.width(mm)})"

    @lru_cache(maxsize=4096)
    def packs(self, count: float) -> str:
        """Packs used, as a mixed number: ``1⅓ packs``; French and Portuguese have a plural from two on."""
        text = mixed(count, THIRDS_AND_QUARTERS)
        one = mixed_value(text) < 2 if self.code in ("fr", "pt") else count <= 1.1 and text in SINGULAR_PARTS
        return self.many("{amount} pack", "{amount} packs", 1 if one else 2, amount=text).replace(" ", NBSP)

    @lru_cache(maxsize=4096)
    def duration(self, minutes: float) -> str:
        """``4 h 35``, ``35 min``, to the whole minute; ``under 1 min`` for less than half of one."""
        if not isfinite(minutes):
            return "–"
        if 0 < minutes < 0.5:
            return self("under 1 min").replace(" ", NBSP)
        whole = max(0, round(minutes))
        hours, rest = divmod(whole, 60)
        if not hours:
            return f"{rest}{NBSP}min"
        return f"{hours}{NBSP}h" + (f"{NBSP}{rest:02d}" if rest else "")

    @lru_cache(maxsize=4096)
    def temperature(self, celsius: float) -> str:
        """The house's scale first, the other beside it, because an iron's dial may show either."""
        c, f = f"{plain(celsius)}{NBSP}°C", f"{plain(celsius * 9 / 5 + 32)}{NBSP}°F"
        return f"{f} ({c})" if self.units == "inch" else f"{c} ({f})"

    def temperatures(self, low_c: float, high_c: float) -> str:
        """A range in the house's scale with the other beside it: ``350–390 °F (177–199 °C)``."""
        c = f"{plain(low_c)}–{plain(high_c)}{NBSP}°C"
        f = f"{plain(low_c * 9 / 5 + 32)}–{plain(high_c * 9 / 5 + 32)}{NBSP}°F"
        return f"{f} ({c})" if self.units == "inch" else f"{c} ({f})"

    @lru_cache(maxsize=4096)
    def mass(self, grams: float) -> str:
        """``220 g``; under 10 g to a tenth."""
        return f"{self.plain(grams, 1 if grams < 10 else 0)}{NBSP}g"

    def share(self, value: float) -> str:
        """A share of one as whole percent."""
        return f"{plain(value * 100)}{NBSP}%"

    def day(self, on: date) -> str:
        """``Thu 4 Mar 2027``, in the language's own short words: ``jeu. 4 mars 2027``."""
        return f"{on:%a} {on.day} {on:%b} {on.year}" if self.code == "en" else self._dated(on, "EEE d MMM y")

    def day_and_month(self, on: date) -> str:
        """``4 Mar``."""
        return f"{on.day} {on:%b}" if self.code == "en" else self._dated(on, "d MMM")

    def _dated(self, on: date, pattern: str) -> str:
        from babel.dates import format_date

        return format_date(on, pattern, locale=self.code)

    @lru_cache(maxsize=4096)
    def money(self, amount: Decimal, currency: str) -> str:
        """``USD 245.00``: the ISO 4217 code, because a dollar sign names no country. In other languages Babel
        writes the figure as its readers do, the code where they look for it: ``245,00 USD``."""
        digits = DIGITS.get(currency, 2)
        rounded = amount.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)
        if self.code == "en":
            return f"{currency}{NBSP}{rounded:,.{digits}f}"
        from babel import Locale
        from babel.numbers import parse_pattern

        where = Locale.parse(self.code)
        pattern = parse_pattern(where.currency_formats["standard"].pattern.replace("¤", "¤¤"))
        pattern.frac_prec = (digits, digits)
        said = pattern.apply(rounded, where, currency=currency, currency_digits=False)
        return said.replace("\u202f", NBSP)


@lru_cache(maxsize=None)
def speech(code: Code = "en", units: Units = "metric") -> Speech:
    """How a house with these units speaks a language."""
    return Speech(code, catalogue(code), units)
