"""A settled look planned again with something changed: another count, another house, wider parts."""

from __future__ import annotations

from typing import NamedTuple

from ..meaning.model import House, Recipe, Wearer
from ..passes.material import portion_material
from ..passes.quote import price_service
from ..passes.sections import lay_sections
from ..passes.strands import work_strands
from ..passes.timing import clock_service
from ..plan.model import Material, Quote, Sections, StrandKind, Timing


class Variant(NamedTuple):
    """The parts of a plan that a desk command compares."""

    recipe: Recipe
    house: House
    sections: Sections
    kinds: tuple[StrandKind, ...]
    material: Material
    timing: Timing
    quote: Quote


def plan_variant(recipe: Recipe, wearer: Wearer, house: House) -> Variant | None:
    """The plan's parts for a changed look or house; None where it can't be made."""
    sections = lay_sections(recipe, wearer, house)
    if sections.part is None or sections.problems:
        return None
    work = work_strands(recipe, wearer, house, sections.part)
    if work.part is None or work.problems:
        return None
    kinds, _ = work.part
    material = portion_material(recipe, wearer, house, sections.part, kinds)
    if material.part is None or material.problems:
        return None
    timing = clock_service(recipe, wearer, house, sections.part, kinds, material.part)
    if timing.part is None or timing.problems:
        return None
    quote = price_service(recipe, wearer, house, material.part, timing.part)
    if quote.part is None or quote.problems:
        return None
    return Variant(recipe, house, sections.part, kinds, material.part, timing.part, quote.part)


def with_count(recipe: Recipe, sections: Sections, count: int) -> tuple[Recipe, ...]:
    """The look with so many sections in all, each zone keeping its share; what to try, best first."""
    had = {zone.zone: zone.sections for zone in sections.zones if zone.sections}
    exact = {zone: count * n / sections.count for zone, n in had.items()}
    shares = {zone: max(1, int(part)) for zone, part in exact.items()}
    for zone in sorted(exact, key=lambda z: int(exact[z]) - exact[z]):
        if sum(shares.values()) < count:
            shares[zone] += 1
    by_zone = recipe.model_copy(update={"zones": tuple(
        look.model_copy(update={"grid": look.grid.model_copy(update={
            "count": shares[look.zone], "height_mm": None, "width_mm": None, "group": 1000 + n})})
        if look.zone in shares else look for n, look in enumerate(recipe.zones))})
    whole = recipe.model_copy(update={"zones": tuple(
        look.model_copy(update={"grid": look.grid.model_copy(update={
            "count": count, "height_mm": None, "width_mm": None, "group": 1000})}) for look in recipe.zones)})
    loose = {"mirrored": False}
    return (by_zone, by_zone.model_copy(update=loose), whole, whole.model_copy(update=loose))
