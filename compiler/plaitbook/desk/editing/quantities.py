"""A quantity in both unit systems."""

from __future__ import annotations

from fractions import Fraction

from ...cards import words
from ...meaning.reading import Reading, unit_word
from ...meaning.unit_table import UNITS
from ...syntax.tree import Node, Statement

_IN_BOTH = {"length": ("mm", "in"), "area": ("cm²", "in²"), "mass": ("g", "oz"), "temperature": ("°c", "°f"),
            "density": ("hairs/cm²", "hairs/in²")}
"""Dimension -> its unit in either system."""
_NBSP = "\u00a0"


def in_both(statement: Statement, node: Node, pencil_mm: float) -> str:
    """A ``measure`` or ``range`` in the units it isn't written in: ``45.7 cm``; nothing where there are none."""
    reading = Reading(statement, "recipe", "", [])
    numbers, units = node.all("number"), node.all("unit")
    if node.kind == "range":
        ends = [reading.in_unit(number, unit, _dimension(unit), node) for number, unit in zip(numbers, (units[0], units[-1]))]
    else:
        parts = [reading.in_unit(number, unit, _dimension(unit), node) for number, unit in zip(numbers, units)]
        ends = [None] if any(part is None for part in parts) else [sum(parts, Fraction(0))]  # type: ignore[list-item, arg-type]
    if any(end is None for end in ends) or len({_dimension(unit) for unit in units}) != 1:
        return ""
    return " to ".join(filter(None, (_other(end, units[-1], pencil_mm) for end in ends)))  # type: ignore[arg-type]


def _dimension(unit: Node) -> str:
    return UNITS.get(unit_word(unit), ("", 0, 0))[0]


def _other(value: Fraction, unit: Node, pencil_mm: float) -> str:
    dimension = _dimension(unit)
    if dimension == "pencil":
        return f"{words.plain(float(value) * pencil_mm, 2)}{_NBSP}mm wide"
    if dimension == "time":
        return _time(float(value))
    metric = {"mm", "cm", "m", "g", "kg", "cm²", "°c", "hairs/cm²"}
    written = unit_word(unit)
    shown = [each for each in _IN_BOTH.get(dimension, ()) if (each in metric) != _is_metric(written)]
    return " = ".join(_said(value, dimension, each) for each in shown)


def _is_metric(unit: str) -> bool:
    """Whether a spelling stands for a unit of the metric system: its factor is a power of ten."""
    _, factor, offset = UNITS[unit]
    size = Fraction(factor)
    while size and size % 10 == 0:
        size /= 10
    while 0 < size < 1 and size.numerator == 1 and (size * 10).denominator < size.denominator:
        size *= 10
    return size == 1 and not offset


def _said(value: Fraction, dimension: str, unit: str) -> str:
    _, factor, offset = UNITS[unit]
    amount = float((value - offset) / factor)
    if unit == "mm" and amount >= 30:
        return f"{words.plain(amount / 10, 1)}{_NBSP}cm"
    if unit == "in":
        mixed = words.mixed(amount, (8,)) if amount >= 0.1 else ""
        exact = mixed and abs(round(amount * 8) / 8 - amount) <= 0.015 * amount
        return f"{mixed if exact else words.plain(amount, 2)}{_NBSP}in"
    digits = 0 if dimension in ("temperature", "density") else 2 if amount < 10 else 1
    return f"{words.plain(amount, digits)}{_NBSP}{unit.upper() if dimension == 'temperature' else unit}"


def _time(seconds: float) -> str:
    if seconds >= 14 * 86400:
        return f"{words.plain(seconds / 604800, 1)}{_NBSP}weeks"
    if seconds >= 86400:
        return f"{words.plain(seconds / 86400, 1)}{_NBSP}days"
    return words.duration(seconds / 60) if seconds >= 60 else f"{words.plain(seconds / 60, 2)}{_NBSP}min"
