"""Write ``unit_table.py`` from ``grammar/trade-units.txt`` through Pint.

Run ``python -m plaitbook.meaning.make_unit_table`` after changing the
definitions. Pint is imported here only: importing it costs more than a whole
``plait check`` is allowed to take. A test holds the table to Pint.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from ..shipped import shipped_folder

DIMENSIONS = {
    "[length]^1": ("length", "millimetre"),
    "[mass]^1": ("mass", "gram"),
    "[time]^1": ("time", "second"),
    "[temperature]^1": ("temperature", "degree_Celsius"),
    "[pencil]^1": ("pencil", "pencil"),
    "[pack]^1": ("packs", "pack"),
    "[stitch]^1": ("stitches", "stitch"),
    "[piece]^1": ("pieces", "piece"),
    "[section]^1": ("sections", "section"),
    "[turn]^1": ("turns", "turn"),
    "[share]^1": ("share", "percent"),
    "[hair]^1 [length]^-2": ("density", "hair_per_cm2"),
    "[length]^2": ("area", "square_centimetre"),
    "[length]^-1 [mass]^1": ("linear mass", "gram_per_metre"),
    "[length]^1 [mass]^1 [time]^-2": ("force", "millinewton"),
}
"""Pint's dimensionality -> our word for it, and the unit used inside the program."""

SPELLINGS = {"hair_per_cm2": ("hairs/cm2", "hairs/cm²"), "hair_per_in2": ("hairs/in2", "hairs/in²"),
             "gram_per_metre": ("g/m",),
             "square_centimetre": ("cm2", "cm²"), "square_inch": ("in2", "in²"), "inch": ("in", "″"), "foot": ("′",), "percent": ("%",),
             "degree_Celsius": ("℃", "c"), "degree_Fahrenheit": ("℉", "f")}
"""What people write that Pint's definition format can't hold."""


def unit_rows() -> list[tuple[str, str, Fraction, Fraction]]:
    """(spelling, dimension, factor, offset): inside = written × factor + offset, exactly."""
    import pint

    registry = pint.UnitRegistry(
        str(shipped_folder("grammar") / "trade-units.txt"), non_int_type=Fraction
    )
    rows: dict[str, tuple[str, Fraction, Fraction]] = {}
    for name, definition in sorted(dict(registry._units).items()):
        canonical = getattr(definition, "name", name)
        unit = registry.Unit(canonical)
        key = " ".join(f"{base}^{power}" for base, power in sorted(unit.dimensionality.items()))
        if key not in DIMENSIONS or canonical == "kelvin" or canonical.startswith("delta_"):
            continue
        dimension, inside = DIMENSIONS[key]
        zero = registry.Quantity(Fraction(0), unit).to(inside).magnitude
        one = registry.Quantity(Fraction(1), unit).to(inside).magnitude
        value = (dimension, Fraction(one) - Fraction(zero), Fraction(zero))
        for spelling in {canonical, *getattr(definition, "aliases", ()), definition.symbol or canonical,
                         *SPELLINGS.get(canonical, ())}:
            if "_" not in spelling:
                rows[spelling] = value
    return [(spelling, *rows[spelling]) for spelling in sorted(rows)]


def table_source() -> str:
    """The text of ``unit_table.py``."""
    lines = [
        '"""Generated from grammar/trade-units.txt by make_unit_table.py: do not edit.',
        "",
        "Spelling -> (dimension, factor, offset), exact: inside = written × factor + offset.",
        '"""',
        "",
        "from fractions import Fraction as F",
        "",
        "UNITS = {",
    ]
    for spelling, dimension, factor, offset in unit_rows():
        lines.append(
            f"    {spelling!r}: ({dimension!r}, F({factor.numerator}, {factor.denominator}), "
            f"F({offset.numerator}, {offset.denominator})),"
        )
    return "\n".join([*lines, "}", ""])


if __name__ == "__main__":
    Path(__file__).with_name("unit_table.py").write_text(table_source(), encoding="utf-8")
