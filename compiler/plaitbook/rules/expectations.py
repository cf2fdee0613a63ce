"""The recipe's own tests: what it expects of a figure, against what the plan found."""

from __future__ import annotations

from ..meaning.model import Expectation
from ..meaning.reading import WANTED
from .names import COUNTS, DIMENSIONS, figure_name, nearest
from .scene import Scene


def applies(expectation: Expectation, scene: Scene) -> bool:
    """Whether it speaks of this wearer and this house."""
    return expectation.wearer in (None, scene.wearer.name) and expectation.house in (None, scene.house.name)


def missed(expectation: Expectation, scene: Scene) -> str | None:
    """The sentence that says how the plan misses it; None where it is met or speaks of someone else.

    ``low`` and ``high`` are in the figure's fixed unit, and both belong to the range.
    """
    if not applies(expectation, scene):
        return None
    entry = figure_name(expectation.figure)
    if entry is None:
        near = nearest(expectation.figure)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        return f'expected {expectation.text}, but nothing is called "{expectation.figure}"{hint}'
    value = entry.read(scene)
    if value is None:
        return f"expected {expectation.text}, but {expectation.figure} isn't known here"
    scale = _scale(expectation.dimension, entry.unit, scene.house.currency)
    if isinstance(scale, str):
        return f"expected {expectation.text}, but {expectation.figure} takes {scale}"
    slack = 1e-9 * max(1.0, abs(value))
    low = None if expectation.low is None else expectation.low / scale
    high = None if expectation.high is None else expectation.high / scale
    if (low is not None and value < low - slack) or (high is not None and value > high + slack):
        return f"expected {expectation.text}, found {spoken(value, entry.unit)}"
    return None


def _scale(written: str | None, unit: str, currency: str) -> float | str:
    """What a bound is divided by to be in the figure's unit; in words what it takes, where it can't be."""
    if written is None:
        return 1.0
    if unit == "money":
        return 1.0 if written == f"money {currency}" else f"money, such as 250 {currency}"
    if unit not in DIMENSIONS:
        return 1.0 if written in COUNTS else "a plain number"
    dimension, one = DIMENSIONS[unit]
    return one if written == dimension else WANTED[dimension]


def spoken(value: float, unit: str) -> str:
    """A figure's value for a sentence."""
    if unit == "s":
        return f"{value // 3600:.0f} h {value % 3600 // 60:02.0f}"
    shown = {"mn": "mN", "cm2": "cm²", "um": "µm", "per cm2": "per cm²", "c": "°C", "money": ""}.get(unit, unit)
    return f"{value:.4g} {shown}".strip()
