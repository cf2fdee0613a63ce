"""Lengths in the house's own units, for the sentences that the passes write."""

from __future__ import annotations


def say_length(mm: float, units: str) -> str:
    """A length as a stylist reads it: ``14.2 in``, or ``36.1 cm``."""
    return _trim(mm / 25.4) + " in" if units == "inch" else _trim(mm / 10.0) + " cm"


def say_width(mm: float) -> str:
    """A strand's or a piece's width; millimetres in either house."""
    return _trim(mm) + " mm"


def _trim(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")


def say_count(count: int) -> str:
    """Small counts in words, as instructions have them."""
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return words[count] if 0 <= count < len(words) else str(count)
