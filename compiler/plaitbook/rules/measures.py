"""Measures inside a finding's sentence, in both systems: a message doesn't know which the card uses."""

from __future__ import annotations


def heat(celsius: float) -> str:
    """``180 °C (356 °F)``."""
    return f"{celsius:.0f} °C ({celsius * 9 / 5 + 32:.0f} °F)"


def length(mm: float) -> str:
    """``38 mm (1.5 in)``; longer than a hand in centimetres."""
    inches = f"{mm / 25.4:.1f}".removesuffix(".0")
    return f"{mm:.0f} mm ({inches} in)" if mm < 100 else f"{mm / 10:.0f} cm ({inches} in)"


def width(mm: float) -> str:
    """``7.5 mm``."""
    return f"{mm:.1f}".removesuffix(".0") + " mm"


def hours(minutes: float) -> str:
    """``4 h 20``."""
    whole = round(minutes)
    return f"{whole // 60} h {whole % 60:02d}" if whole >= 60 else f"{whole} min"


def numbers(sections: tuple[int, ...], most: int = 6) -> str:
    """``section 4``, ``sections 4, 5, 9 and 12 more``."""
    shown = ", ".join(str(number) for number in sections[:most])
    more = f" and {len(sections) - most} more" if len(sections) > most else ""
    return f"section{'s' if len(sections) > 1 else ''} {shown}{more}"


def listed(words: list[str] | tuple[str, ...]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    words = list(words)
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1] if words else ""
