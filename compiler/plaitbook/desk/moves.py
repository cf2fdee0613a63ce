"""What moves a figure most: every number somebody wrote, 10 % down and up, and the whole plan worked anew.

The settled models are changed, not the text: a measure keeps its line. A
measure that stands for several zones is one input. Counts move by a tenth,
but by one at least. What the plan can't be made with is said so.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Callable

from ..compile import plan_settled
from ..meaning.values import Frozen, Measure, Origin
from ..plan.explain import spoken

if TYPE_CHECKING:
    from ..compile import Compiled

STEP = 0.1
"""10 % up and down."""

_PLAIN = {
    "count", "every", "turns", "ornament_count", "price", "labour_per_hour", "overhead", "tax", "deposit", "discount",
    "consumables", "spare", "rack_pegs", "pieces_per_peg", "seconds", "low_c", "high_c",
}
"""Fields of the models that are bare numbers and inputs; any Measure is one too."""

_WORDS = {"held_mm": "piece", "cut_mm": "cut length", "pulled_mm": "ends pulled", "flat_mm": "flat length",
          "pack_g": "pack weight", "own_mm": "own hair", "strand_um": "strand thickness", "density_cm2": "hair density",
          "seconds": "rate", "count": "how many", "low_c": "sealing window, low", "high_c": "sealing window, high",
          "break_s": "break", "break_every_s": "work before a break", "sits_s": "sits", "layers_mm": "layers"}
_ENDINGS = ("_mm", "_g_cm3", "_g_m", "_cm2", "_um", "_years", "_weeks", "_g", "_c", "_s", "_mn")

Key = tuple[str, int, str, str]
"""(file, line or 0, field, value as written): one input, wherever it stands in the models."""
Visit = Callable[[Key, Any], Any]


@dataclass(frozen=True)
class Moved:
    """An input changed, and what the figure became. ``value`` None: the plan can't be made so."""

    text: str
    """``9 → 10``."""
    value: float | None
    share: float
    """Change of the figure as a share of what it was (or by itself, where it was nothing)."""
    problem: str = ""
    moved: bool = True
    """False where a count of one can't be made less."""

    def said(self, unit: str) -> str:
        """One line."""
        if self.value is None:
            said = f"{self.text}: can't be worked: {self.problem}"
            return said if len(said) <= 75 else said[:74] + "…"
        return f"{self.text}: {spoken(self.value, unit)} ({self.share:+.1%})"


@dataclass(frozen=True)
class Move:
    """One input and both of its changes."""

    name: str
    what: str
    down: Moved
    up: Moved
    most: float
    """The greater of the two changes, as a share."""


def what_moves(key: str, compiled: "Compiled", file: str) -> tuple[Move, ...]:
    """Every input of the recipe, catalogue, wearer and house, by how far it moves the figure; furthest first.

    Raises KeyError for an unknown figure, ValueError for one that is a text.
    """
    assert compiled.plan and compiled.recipe and compiled.wearer and compiled.house
    # A price rounded to the nearest 5 hides what moves it, so the house's rounding is left out here.
    house = compiled.house.model_copy(update={"round_to": None})
    models: tuple[Any, ...] = (compiled.recipe, compiled.wearer, house)
    bare = plan_settled(*models, (), file)
    plan = compiled.plan if bare.plan is None or key not in bare.plan.figures else bare.plan
    base = float(plan.figures[key].value)
    found: dict[Key, tuple[Any, Origin]] = {}
    for model in models:
        _walk(model, model.origin, lambda origin, name, value: found.setdefault(name, (value, origin)) and value)
    moves = []
    for name, (value, origin) in found.items():
        sides = [_moved(key, base, models, name, value, factor, file) for factor in (1 - STEP, 1 + STEP)]
        most = max(abs(side.share) for side in sides)
        words = _words(name[2])
        moves.append(Move(words, f"{words} {name[3]} ({origin.where})", sides[0], sides[1], most))
    return tuple(sorted(moves, key=lambda move: (-move.most, move.what)))


def _words(field: str) -> str:
    if field in _WORDS:
        return _WORDS[field]
    for ending in _ENDINGS:
        field = field.removesuffix(ending)
    return field.replace("_", " ")


def _moved(key: str, base: float, models: tuple[Any, ...], name: Key, value: Any, factor: float, file: str) -> Moved:
    new = _scaled(value, factor)
    if new == value:
        return Moved(f"{_number(value)}", base, 0.0, moved=False)

    def change(origin: Origin, here: Key, old: Any) -> Any:
        return _with(old, new) if here == name else old

    recipe, wearer, house = (_walk(model, model.origin, change) for model in models)
    text = f"{_number(value)} → {_number(new)}"
    done = plan_settled(recipe, wearer, house, (), file)
    if done.plan is None:
        return Moved(text, None, 0.0, done.problems[0].message if done.problems else "no plan")
    figure = done.plan.figures.get(key)
    if figure is None or isinstance(figure.value, str):
        return Moved(text, None, 0.0, "the plan no longer has this figure")
    after = float(figure.value)
    share = (after - base) / abs(base) if base else after - base
    return Moved(text, after, 0.0 if abs(share) < 1e-12 else share)


def _scaled(value: Any, factor: float) -> Any:
    if isinstance(value, Measure):
        return value.value * factor
    if isinstance(value, int):
        step = max(1, round(abs(value) * STEP))
        return max(1, value + step if factor > 1 else value - step)
    if isinstance(value, Decimal):
        return value * Decimal(str(round(factor, 6)))
    return value * factor


def _with(old: Any, new: Any) -> Any:
    return old.model_copy(update={"value": new}) if isinstance(old, Measure) else new


def _number(value: Any) -> str:
    number = value.value if isinstance(value, Measure) else value
    return f"{float(number):.4g}"


def _walk(value: Any, origin: Origin, visit: Callable[[Origin, Key, Any], Any], field: str = "") -> Any:
    """The value with every input replaced by what ``visit`` gives for it; the same object where none changed."""
    if isinstance(value, Measure):
        return value if value.value == 0 else visit(value.origin, _key(value.origin, field, value.text), value)
    if isinstance(value, Frozen):
        if isinstance(value, Origin):
            return value
        own = getattr(value, "origin", origin)
        changed = {}
        for name in type(value).model_fields:
            part = getattr(value, name)
            new = _walk(part, own, visit, name)
            if new is not part:
                changed[name] = new
        return value.model_copy(update=changed) if changed else value
    if isinstance(value, tuple):
        parts = tuple(_walk(part, origin, visit, field) for part in value)
        return parts if any(new is not old for new, old in zip(parts, value)) else value
    if isinstance(value, (int, float, Decimal)) and not isinstance(value, bool) and field in _PLAIN and value:
        return visit(origin, _key(origin, field, str(value)), value)
    return value


def _key(origin: Origin, field: str, text: str) -> Key:
    return origin.file, origin.line, field, text
