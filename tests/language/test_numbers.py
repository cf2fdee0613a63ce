"""Numbers and units are read by our own grammar; Pint is the reference for factors."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given, strategies as st

from plaitbook.meaning import make_unit_table
from plaitbook.meaning.unit_table import UNITS
from plaitbook.shipped import shipped_folder
from plaitbook.syntax.tree import number_value


def test_the_table_is_what_pint_makes_of_the_definitions() -> None:
    made = {spelling: (dimension, factor, offset) for spelling, dimension, factor, offset in make_unit_table.unit_rows()}
    assert made == UNITS


def test_the_generated_file_is_up_to_date() -> None:
    from pathlib import Path

    import plaitbook.meaning

    path = Path(plaitbook.meaning.__file__).with_name("unit_table.py")
    assert path.read_text("utf-8") == make_unit_table.table_source()


@pytest.mark.parametrize(("amount", "unit", "inside", "expected"), [
    # International yard and pound agreement 1959: 1 in = 25.4 mm, 1 lb = 453.59237 g exactly.
    (18, "in", "length", Fraction(4572, 10)),
    (1, "lb", "mass", Fraction("453.59237")),
    # Fixed points of the scales, as in the source's table (44 C is 111.2 F, 60 C is 140 F, 100 C is 212 F).
    (Fraction("111.2"), "°f", "temperature", Fraction(44)),
    (140, "f", "temperature", Fraction(60)),
    (212, "°f", "temperature", Fraction(100)),
    (350, "°f", "temperature", Fraction(1590, 9)),
    (1, "h", "time", Fraction(3600)),
])
def test_published_conversions_hold_exactly(amount: Fraction, unit: str, inside: str, expected: Fraction) -> None:
    dimension, factor, offset = UNITS[unit]
    assert dimension == inside
    assert amount * factor + offset == expected


def test_lengths_agree_with_pints_own_registry() -> None:
    """Pint's default registry, not ours: an independent set of definitions."""
    registry = pint.UnitRegistry(non_int_type=Fraction)
    for ours, theirs in (("in", "inch"), ("ft", "foot"), ("cm", "cm"), ("m", "m"), ("µm", "micrometer")):
        assert UNITS[ours][1] == registry.Quantity(Fraction(1), theirs).to("mm").magnitude
    for ours, theirs in (("oz", "ounce"), ("lb", "pound"), ("kg", "kg")):
        # Pint holds the pound as a decimal; the last digits of its ounce are rounded.
        assert float(UNITS[ours][1]) == pytest.approx(float(registry.Quantity(Fraction(1), theirs).to("g").magnitude), rel=1e-12)


@pytest.mark.parametrize(("text", "value"), [
    ("18", Fraction(18)), ("1.5", Fraction(3, 2)), ("½", Fraction(1, 2)), ("1½", Fraction(3, 2)),
    ("1 ½", Fraction(3, 2)), ("1 1/2", Fraction(3, 2)), ("3/4", Fraction(3, 4)), ("-3", Fraction(-3)),
    ("1⅓", Fraction(4, 3)),
])
def test_numbers(text: str, value: Fraction) -> None:
    assert number_value(text) == value


@given(st.integers(0, 500), st.integers(1, 15), st.integers(2, 16))
def test_mixed_numbers_are_exact(whole: int, top: int, bottom: int) -> None:
    assert number_value(f"{whole} {top}/{bottom}") == whole + Fraction(top, bottom)


def test_the_definitions_ship() -> None:
    assert (shipped_folder("grammar") / "trade-units.txt").is_file()
