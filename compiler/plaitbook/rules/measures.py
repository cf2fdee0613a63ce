"""Measures inside a finding's sentence, in the units of the house that reads it."""

from __future__ import annotations

from typing import Literal

Units = Literal["inch", "metric"]

MM_PER_INCH = 25.4
"""Exact: the international yard and pound agreement, 1959."""
CM2_PER_IN2 = 6.4516
"""Exact: the square of 2.54."""


def spoken(value: float, unit: str, units: Units, currency: str = "", style: str = "") -> str:
    """A figure's value, in its fixed unit inside, as a sentence of this house says it.

    Heat is said in both systems, the house's first: irons are marked in either.
    Widths of strands are in millimetres everywhere.
    """
    match unit:
        case "mm":
            return width(value) if style == "width" else length(value, units)
        case "s":
            return hours(value / 60)
        case "c":
            c, f = f"{value:.0f} °C", f"{value * 9 / 5 + 32:.0f} °F"
            return f"{f} ({c})" if units == "inch" else f"{c} ({f})"
        case "cm2":
            return f"{value / CM2_PER_IN2:.2g} in²" if units == "inch" else f"{value:.2g} cm²"
        case "g":
            return f"{value:.0f} g" if abs(value) >= 10 else f"{plain(value)} g"
        case "mn":
            return f"{value:.2f} mN"
        case "money":
            return f"{value:.2f} {currency}".strip()
        case "years" | "weeks":
            return f"{value:.3g} {unit if value != 1 else unit[:-1]}"
        case "um":
            return f"{value:.0f} µm"
        case "per cm2":
            return f"{value:.0f} hairs/cm²"
    return plain(value)


def plain(value: float) -> str:
    """A plain number to the tenth, whole ones without a point."""
    return f"{value:.1f}".removesuffix(".0")


def length(mm: float, units: Units) -> str:
    """``38 mm``, ``43 cm``; in a house that measures in inches ``1.5 in``."""
    if units == "inch":
        return f"{plain(mm / MM_PER_INCH)} in"
    return f"{mm:.0f} mm" if mm < 100 else f"{mm / 10:.0f} cm"


def width(mm: float) -> str:
    """``7.5 mm``."""
    return f"{plain(mm)} mm"


def hours(minutes: float) -> str:
    """``4 h 20``, ``2 h``, ``35 min``."""
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h" + (f" {whole % 60:02d}" if whole % 60 else "")


def between(low: str, high: str) -> str:
    """``0.31 to 0.42 mN``: the unit once where both have the same; one of them where they are alike."""
    if low == high:
        return high
    first, _, unit = low.partition(" ")
    return f"{first} to {high}" if unit and unit == high.partition(" ")[2] and " " not in unit else f"{low} to {high}"


def numbers(sections: tuple[int, ...], most: int = 6) -> str:
    """``section 4``, ``sections 4, 5, 9 and 12 more``."""
    shown = ", ".join(str(number) for number in sections[:most])
    more = f" and {len(sections) - most} more" if len(sections) > most else ""
    return f"section{'s' if len(sections) > 1 else ''} {shown}{more}"


def listed(words: list[str] | tuple[str, ...]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    words = list(words)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1] if words else ""
