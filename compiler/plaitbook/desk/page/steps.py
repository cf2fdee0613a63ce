"""How far a number of a recipe can be moved, and how finely.

All of it is our own estimate: from about half to twice what is written, in
steps that a tape measure, a comb or a hand can hold to.
"""

from __future__ import annotations

from fractions import Fraction

F = Fraction
_PENCILS = (F(1, 8), F(1, 4), F(1, 3), F(1, 2), F(2, 3), F(3, 4), F(1), F(5, 4), F(3, 2), F(7, 4), F(2))
_FINENESS: dict[str, tuple[tuple[Fraction, Fraction], ...]] = {
    "in": ((F(3), F(1, 8)), (F(10), F(1, 4)), (F(1000), F(1, 2))),
    "mm": ((F(20), F(1, 2)), (F(100), F(1)), (F(3000), F(5))),
    "cm": ((F(10), F(1, 2)), (F(300), F(1))),
    "°c": ((F(300), F(5)),),
    "°f": ((F(600), F(10)),),
    "g": ((F(10), F(1, 2)), (F(50), F(1)), (F(5000), F(5))),
    "oz": ((F(10), F(1, 4)),),
    "min": ((F(30), F(1)), (F(1000), F(5))),
    "s": ((F(30), F(1)), (F(1000), F(5))),
    "%": ((F(200), F(5)),),
}
"""Unit -> (up to, step)."""
_UNITS = {"inch": "in", "inches": "in", "″": "in", '"': "in", "℃": "°c", "℉": "°f", "pencils": "pencil", "grams": "g", "gram": "g",
          "minutes": "min", "minute": "min", "seconds": "s", "second": "s", "centimetres": "cm", "millimetres": "mm"}
_WARMTH = {"°c": F(40), "°f": F(70)}
"""How far a temperature is moved either way: halving one means nothing."""
_LEAST_TOP = {"every": 20, "from": 30, "to": 60, "at": 60, "turns": 10, "pieces_count": 6, "ornaments_count": 8, "count": 12, "blend": 6}
"""The least that the upper end of a count is."""
MOST_STEPS = 60


def steps_of(value: Fraction, unit: str, what: str) -> tuple[Fraction, ...]:
    """The values a number may take, in order; nothing where no sensible step is known."""
    unit = _UNITS.get(unit.lower(), unit.lower())
    if unit == "pencil":
        return _PENCILS
    if unit in _FINENESS:
        step = next((step for upto, step in _FINENESS[unit] if value <= upto), _FINENESS[unit][-1][1])
        low, high = (value - _WARMTH[unit], value + _WARMTH[unit]) if unit in _WARMTH else (value / 2, value * 2)
    elif not unit:
        if value.denominator != 1:
            return ()
        top = max(2 * value, F(_LEAST_TOP.get(what, 10)))
        step = F(1) if top <= MOST_STEPS else F(-(-int(top) // MOST_STEPS))
        low, high = F(1), top
    else:
        step, low, high = _nice(value), value / 2, value * 2
    if step <= 0 or value <= 0:
        return ()
    while (high - low) / step > MOST_STEPS:
        step *= 2
    first = max(step, (low // step) * step)
    if not unit and value > MOST_STEPS:
        first = max(first, (value / 2) // step * step)
    return tuple(first + n * step for n in range(int((high - first) // step) + 1))


def _nice(value: Fraction) -> Fraction:
    """A twentieth of a value, or the nearest of 1, 2 and 5 times a power of ten."""
    step = F(1, 100)
    while step * 20 < value:
        for factor in (2, F(5, 2), 2):
            if step * 20 >= value:
                break
            step *= factor
    return step
