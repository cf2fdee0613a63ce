"""The names a condition may use, in a stylist's words, and how each is read from a scene.

A figure is a number in the fixed unit of its dimension; a fact is one of a
few words. ``None`` means that nobody knows: a condition over it is neither
true nor false, and the rule asks.
"""

from __future__ import annotations

import difflib
import statistics
from dataclasses import dataclass
from typing import Callable

from ..meaning.model import ZONES
from .scene import Scene, own_ends_mm, section_load_mn, worked


@dataclass(frozen=True, slots=True)
class FigureName:
    """A number a condition may compare."""

    name: str
    unit: str
    """The fixed unit inside: ``mm``, ``cm2``, ``g``, ``s``, ``c``, ``mn``, ``um``, ``per cm2``, ``years``,
    ``weeks``, ``money``, or empty for a plain number."""
    what: str
    read: Callable[[Scene], float | None]


@dataclass(frozen=True, slots=True)
class FactName:
    """A fact in words, and the words it can be."""

    name: str
    words: tuple[str, ...]
    read: Callable[[Scene], frozenset[str] | None]
    """Every word that holds; None where it isn't known."""


def _widths(scene: Scene) -> list[float]:
    return [kind.width_mm for _, kind in worked(scene)]


def _figures() -> dict[str, FigureName]:
    found: list[FigureName] = []

    def figure(name: str, unit: str, what: str, read: Callable[[Scene], float | None]) -> None:
        found.append(FigureName(name, unit, what, read))

    def measure(field: str) -> Callable[[Scene], float | None]:
        def read(scene: Scene) -> float | None:
            value = getattr(scene.wearer, field)
            return None if value is None else value.value
        return read

    figure("sections", "", "sections on the head", lambda s: float(s.parts.sections.count))
    figure("smallest section", "cm2", "area of the smallest section",
           lambda s: min((item.area_cm2 for item in s.parts.sections.items), default=None))
    figure("largest section", "cm2", "area of the largest section",
           lambda s: max((item.area_cm2 for item in s.parts.sections.items), default=None))
    figure("fewest hairs", "", "own hairs in the sparsest section",
           lambda s: min((float(item.hairs) for item in s.parts.sections.items), default=None))
    figure("width", "mm", "width of the widest kind of strand, on average along it",
           lambda s: max(_widths(s), default=None))
    figure("thinnest width", "mm", "width at the thinnest place of any strand",
           lambda s: min((kind.width_min_mm for _, kind in worked(s)), default=None))
    figure("thickest width", "mm", "width at the thickest place of any strand",
           lambda s: max((kind.width_max_mm for _, kind in worked(s)), default=None))
    figure("wearing", "mm", "length of the longest strand",
           lambda s: max((kind.length_mm for _, kind in worked(s)), default=None))
    figure("shortest strand", "mm", "length of the shortest strand",
           lambda s: min((kind.length_mm for _, kind in worked(s)), default=None))
    figure("stitches", "", "stitches of the longest strand",
           lambda s: max((float(kind.stitches) for _, kind in worked(s)), default=None))
    figure("own hair clear of the end", "mm", "least distance from own hair's ends to a strand's end",
           lambda s: min((kind.length_mm - own_ends_mm(kind) for _, kind in worked(s)), default=None))
    figure("packs", "", "packs of all hair used", lambda s: sum(line.packs_used for line in s.parts.material.hair))
    figure("packs to buy", "", "packs of all hair to buy",
           lambda s: float(sum(line.packs_to_buy for line in s.parts.material.hair)))
    figure("hair used", "g", "hair used, off-cuts included", lambda s: sum(l.grams for l in s.parts.material.hair))
    figure("added weight", "g", "added hair and ornaments on the head, dry", lambda s: s.parts.material.added_worn_g)
    figure("own weight", "g", "own hair over the worked sections, dry", lambda s: s.parts.material.own_g)
    figure("added to own", "", "added weight over own weight", lambda s: s.parts.load.added_to_own)
    figure("load", "mn", "dry load on each hair, worst section",
           lambda s: max((at.dry_mn for at in s.parts.load.worst), default=None))
    figure("wet load", "mn", "wet load on each hair, worst section",
           lambda s: max((at.wet_mn for at in s.parts.load.worst), default=None))
    figure("median load", "mn", "dry load on each hair, middle section", lambda s: s.parts.load.median_mn)
    figure("hairline load", "mn", "dry load on each hair at the hairline, middle section",
           lambda s: s.parts.load.hairline_median_mn)
    figure("time", "s", "chair time, median", lambda s: s.parts.timing.median_minutes * 60)
    figure("slow time", "s", "chair time on a slow day (80 %)", lambda s: s.parts.timing.p80_minutes * 60)
    figure("preparation", "s", "work ahead", lambda s: s.parts.timing.ahead_minutes * 60)
    figure("breaks", "s", "time in breaks", lambda s: s.parts.timing.break_minutes * 60)
    figure("braiders", "", "braiders at the head", lambda s: float(s.parts.timing.braiders))
    figure("price", "money", "the quote's total", lambda s: float(s.parts.quote.total))
    figure("deposit", "money", "the deposit",
           lambda s: None if s.parts.quote.deposit is None else float(s.parts.quote.deposit))
    figure("age", "years", "the wearer's age", measure("age_years"))
    figure("own hair", "mm", "length of own hair, stretched", measure("own_mm"))
    figure("strand thickness", "um", "diameter of one own hair", measure("strand_um"))
    figure("hair density", "per cm2", "own hairs on a square centimetre", measure("density_cm2"))
    figure("circumference", "mm", "round the head", measure("circumference_mm"))
    figure("weeks since chemical service", "weeks", "weeks since a relaxer, bleach, colour or perm",
           measure("chemical_weeks"))
    figure("weeks of rest", "weeks", "weeks since the last set came down", measure("rest_weeks"))
    figure("sits", "s", "longest sit without a break", measure("sits_s"))
    return {entry.name: entry for entry in found}


def _facts() -> dict[str, FactName]:
    found: list[FactName] = []

    def fact(name: str, field: str, *words: str) -> None:
        def read(scene: Scene) -> frozenset[str] | None:
            value = getattr(scene.wearer, field)
            if isinstance(value, bool):
                return frozenset(("yes" if value else "no",))
            return None if value is None else frozenset((value,))
        found.append(FactName(name, words, read))

    fact("strand", "strand", "fine", "medium", "coarse")
    fact("density", "density", "sparse", "medium", "dense")
    fact("texture", "texture", "straight", "wavy", "curly", "coily")
    fact("edges", "edges", "healthy", "thin", "fragile")
    fact("scalp", "scalp", "healthy", "dry", "flaking", "sore", "broken", "infected")
    fact("patch test", "patch_test", "clear", "reacted", "not done")
    fact("chemical", "chemical", "none", "relaxer", "bleach", "colour", "perm")
    fact("shedding", "shedding", "ordinary", "heavy")
    fact("tender", "tender", "yes", "no")
    fact("past breakage", "past_breakage", "yes", "no")
    fact("reacts to added hair", "reacts_to_added_hair", "yes", "no")
    fact("arrives", "arrives", "washed and dried", "washed", "unwashed", "in an old set")
    found.append(FactName("technique", ("plait", "twist", "row"),
                          lambda s: frozenset(kind.technique for _, kind in worked(s))))
    found.append(FactName("tightness", ("relaxed", "ordinary", "firm"),
                          lambda s: frozenset(kind.tightness for _, kind in worked(s))))
    found.append(FactName("zones", ZONES, lambda s: frozenset(kind.zone for _, kind in worked(s))))
    found.append(FactName(
        "end", ("knot", "heat seal", "dip", "curl rods", "ornaments", "band", "tuck", "leave loose",
                "leave curls loose", "trim"),
        lambda s: frozenset(step.kind for look, _ in worked(s) for step in look.end)))
    found.append(FactName(
        "start", ("extension", "own hair first", "own hair only", "knotted"),
        lambda s: frozenset(look.start.kind for look, _ in worked(s))))
    return {entry.name: entry for entry in found}


FIGURES = _figures()
FACTS = _facts()

SECTION_FIGURES: dict[str, str] = {
    "area": "cm2", "section width": "mm", "section height": "mm", "hairs": "", "load": "mn",
    "strand width": "mm", "strand length": "mm", "row": "", "number": "",
}
"""What a condition over sections (``any section where …``) may compare, and its unit."""


def _per_hair_used(name: str) -> FigureName | None:
    """Names that hold another name: ``packs of base``, ``sections in nape``, ``load in hairline``."""
    for word, unit in (("packs of ", ""), ("packs to buy of ", ""), ("hair used of ", "g"), ("pieces of ", "")):
        if name.startswith(word) and (what := name.removeprefix(word).strip().strip('"')):
            return FigureName(name, unit, f"{word}one role or hair", lambda s: _of_role(s, word, what))
    for word, unit in (("sections in ", ""), ("load in ", "mn"), ("wearing in ", "mm"), ("width in ", "mm")):
        if name.startswith(word) and (zone := name.removeprefix(word)) in ZONES:
            return FigureName(name, unit, f"{word}one zone", lambda s: _in_zone(s, word, zone))
    return None


def _of_role(scene: Scene, word: str, what: str) -> float | None:
    lines = [line for line in scene.parts.material.hair if what in line.roles or what == line.name]
    if not lines:
        return None
    if word == "packs of ":
        return sum(line.packs_used for line in lines)
    if word == "packs to buy of ":
        return float(sum(line.packs_to_buy for line in lines))
    if word == "pieces of ":
        return float(sum(line.pieces_used for line in lines))
    return sum(line.grams for line in lines)


def _in_zone(scene: Scene, word: str, zone: str) -> float | None:
    if word == "sections in ":
        return float(sum(1 for item in scene.parts.sections.items if item.zone == zone))
    if word == "load in ":
        items = {item.number: item for item in scene.parts.sections.items}
        here = [section_load_mn(items[n], kind) for _, kind in worked(scene) if kind.zone == zone for n in kind.sections]
        return statistics.median(here) if here else None
    kinds = [kind for _, kind in worked(scene) if kind.zone == zone]
    if word == "wearing in ":
        return max((kind.length_mm for kind in kinds), default=None)
    return max((kind.width_mm for kind in kinds), default=None)


def figure_name(name: str) -> FigureName | None:
    """The figure with this name, or None."""
    return FIGURES.get(name) or _per_hair_used(name)


def figure_value(name: str, scene: Scene) -> float | None:
    """A figure's value in its fixed unit; None where it isn't known. KeyError for no such name."""
    entry = figure_name(name)
    if entry is None:
        raise KeyError(name)
    return entry.read(scene)


def nearest(name: str, section: bool = False) -> tuple[str, ...]:
    """Up to three names like this one."""
    return tuple(difflib.get_close_matches(name, sorted({*FIGURES, *FACTS, *(SECTION_FIGURES if section else ())}), n=3))
