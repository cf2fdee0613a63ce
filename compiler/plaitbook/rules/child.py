"""Children in the chair."""

from __future__ import annotations

from typing import Iterator

from . import limits
from .measures import hours
from .rule import Hit, Rule
from .scene import Scene, adds_hair, ornaments_worn


def _age(scene: Scene) -> float | None:
    return scene.wearer.age_years.value if scene.wearer.age_years else None


def _is_child(scene: Scene) -> bool:
    age = _age(scene)
    return age is not None and age < limits.CHILD_YEARS


def _small_parts(scene: Scene) -> Iterator[Hit]:
    age = _age(scene)
    if age is None or age >= limits.SMALL_PARTS_YEARS:
        return
    seen: set[str] = set()
    for ornament, look, _ in ornaments_worn(scene):
        if ornament.name not in seen:
            seen.add(ornament.name)
            yield Hit(f'"{ornament.name}" ({ornament.kind}) on a child under 3', look.grid.origin)


def _ornament_weight(scene: Scene) -> Iterator[Hit]:
    age = _age(scene)
    if age is not None and limits.SMALL_PARTS_YEARS <= age < limits.ORNAMENT_LOAD_YEARS:
        grams = sum(line.grams for line in scene.parts.material.ornaments)
        if grams > 0:
            yield Hit(f"{grams:.0f} g of ornaments on a child of {scene.wearer.age_years.text}",  # type: ignore[union-attr]
                      scene.wearer.age_years.origin)  # type: ignore[union-attr]


def _young_added(scene: Scene) -> Iterator[Hit]:
    age = _age(scene)
    if age is not None and age < limits.CHILD_ADDED_YEARS and adds_hair(scene):
        yield Hit(f"added hair on a child of {scene.wearer.age_years.text}",  # type: ignore[union-attr]
                  scene.wearer.age_years.origin)  # type: ignore[union-attr]


def _child_wear(scene: Scene) -> Iterator[Hit]:
    if _is_child(scene) and scene.parts.sections.count:
        yield Hit(f"a child's set: take it down before {limits.CHILD_WEAR_WEEKS} weeks", scene.wearer.origin)


def _child_long(scene: Scene) -> Iterator[Hit]:
    if _is_child(scene) and scene.parts.timing.median_minutes > limits.CHILD_LONG_MINUTES:
        yield Hit(f"{hours(scene.parts.timing.median_minutes)} in the chair for a child", scene.wearer.origin)


RULES = (
    Rule("C01", "small parts under three", "stop", "beads, cuffs or cords on a child under three",
         "Small parts that come off are swallowed or breathed in; cords can strangle.",
         "no ornaments at this age; a soft band instead",
         "US 16 CFR 1501 (small parts, children under three)", _small_parts),
    Rule("C02", "ornaments on a small child", "warn", "ornaments on a child of three to five",
         "Beads can come off and be swallowed, and their weight hangs on few hairs.",
         "few and light, tied off under a band, none at night",
         "common practice, no source; the age is our own estimate", _ornament_weight),
    Rule("C03", "added hair on a small child", "warn", "added hair on a child under five",
         "Small children's hair is fine, and hair loss from styling has been seen at this age.",
         "own hair only, or the lightest pieces and a short wear",
         "a salon's published policy (clients from age five), trade grade B; series of 24 girls with hair loss from "
         "braids and ponytails, mean age 5.9", _young_added),
    Rule("C04", "a child's wear", "note", "any set on a child",
         "Advice for girls is at most two or three sets a year, each under two months, with two months between.",
         "write the take-down date on the slip",
         "a hair-restoration surgeon's advice in a magazine reprint (secondary)", _child_wear),
    Rule("C05", "a long sit for a child", "warn", "more than four hours in the chair for a child",
         "Parents and salons spread such sets over two or three days.",
         "split it over two days, or larger sections",
         "two logged children's sets, trade grade C; the four hours are our own estimate", _child_long),
)
