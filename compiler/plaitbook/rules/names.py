"""The names a condition may use, in a stylist's words, and how each is read from a scene.

A figure is a number in the fixed unit of its dimension; a fact is one of a
few words. ``None`` means that nobody knows: a condition over it is neither
true nor false, and the rule asks. Inside ``any`` and ``every`` the names of
the thing looked at (:mod:`.things`) stand before these.
"""

from __future__ import annotations

import difflib
import statistics
from typing import Any, Callable

from ..meaning.model import ZONES
from ..meaning.values import Origin
from .measures import listed
from .naming import FactName, FigureName, TextName
from .scene import Scene, adds_hair, ornaments_worn, own_ends_mm, section_load_mn, worked
from .things import THINGS

DIMENSIONS = {"mm": ("length", 1.0), "um": ("length", 0.001), "cm2": ("area", 1.0), "g": ("mass", 1.0),
              "s": ("time", 1.0), "years": ("time", 31556952.0), "weeks": ("time", 604800.0),
              "c": ("temperature", 1.0), "mn": ("force", 1.0), "per cm2": ("density", 1.0)}
"""The fixed unit of a figure -> the dimension its bound is written in, and inside units in one of it."""

COUNTS = ("", "packs", "stitches", "pieces", "sections", "turns")
"""Dimensions that a plain number may be written in."""


def _figures() -> dict[str, FigureName]:
    found: list[FigureName] = []

    def figure(name: str, unit: str, what: str, read: Callable[[Scene], float | None], *keys: str,
               place: Callable[[Scene], Origin | None] | None = None, style: Any = "") -> None:
        found.append(FigureName(name, unit, what, read, place, keys, style))

    def measure(name: str, unit: str, what: str, field: str, whose: str = "wearer") -> None:
        def read(scene: Scene) -> float | None:
            value = getattr(getattr(scene, whose), field)
            return None if value is None else value.value

        def place(scene: Scene) -> Origin | None:
            owner = getattr(scene, whose)
            value = getattr(owner, field)
            return owner.origin if value is None else value.origin

        figure(name, unit, what, read, place=place)

    def items(least: bool, read: Callable[[Any], float]) -> Callable[[Scene], float | None]:
        pick = min if least else max
        return lambda s: pick((read(item) for item in s.parts.sections.items), default=None)

    def kinds(least: bool, read: Callable[[Any], float]) -> Callable[[Scene], float | None]:
        pick = min if least else max
        return lambda s: pick((read(kind) for _, kind in worked(s)), default=None)

    def hairline(scene: Scene) -> Origin | None:
        return scene.recipe.zone("hairline").grid.origin

    figure("sections", "", "sections on the head", lambda s: float(s.parts.sections.count), "sections.count")
    figure("fewest sections", "", "sections on the smallest head this may be, where it isn't measured",
           lambda s: float(s.parts.sections.count_low), "sections.count_low", place=lambda s: s.wearer.origin)
    figure("most sections", "", "sections on the largest head this may be, where it isn't measured",
           lambda s: float(s.parts.sections.count_high), "sections.count_high", place=lambda s: s.wearer.origin)
    figure("smallest section", "cm2", "area of the smallest section", items(True, lambda i: i.area_cm2))
    figure("largest section", "cm2", "area of the largest section", items(False, lambda i: i.area_cm2))
    figure("fewest hairs", "", "own hairs in the sparsest section", items(True, lambda i: float(i.hairs)))
    figure("width", "mm", "width of the widest kind of strand, on average along it",
           kinds(False, lambda k: k.width_mm), "strands.*.width_mm", style="width")
    figure("thinnest width", "mm", "width at the thinnest place of any strand",
           kinds(True, lambda k: k.width_min_mm), "strands.*.width_min_mm", style="width")
    figure("thickest width", "mm", "width at the thickest place of any strand",
           kinds(False, lambda k: k.width_max_mm), "strands.*.width_max_mm", style="width")
    figure("wearing", "mm", "length of the longest strand", kinds(False, lambda k: k.length_mm), "strands.*.length_mm")
    figure("shortest strand", "mm", "length of the shortest strand", kinds(True, lambda k: k.length_mm),
           "strands.*.length_mm")
    figure("stitches", "", "stitches of the longest strand", kinds(False, lambda k: float(k.stitches)),
           "strands.*.stitches")
    figure("own hair clear of the end", "mm", "least distance from own hair's ends to a strand's end",
           kinds(True, lambda k: k.length_mm - own_ends_mm(k)))
    figure("packs", "", "packs of all hair used", lambda s: sum(line.packs_used for line in s.parts.material.hair),
           "material.*.packs_used")
    figure("packs to buy", "", "packs of all hair to buy",
           lambda s: float(sum(line.packs_to_buy for line in s.parts.material.hair)), "material.*.packs_to_buy")
    figure("hair used", "g", "hair used, off-cuts included",
           lambda s: sum(line.grams for line in s.parts.material.hair), "material.*.*.grams")
    figure("added weight", "g", "added hair and ornaments on the head, dry",
           lambda s: s.parts.material.added_worn_g, "material.added_worn_g")
    figure("ornaments weight", "g", "all ornaments on the head",
           lambda s: sum(line.grams for line in s.parts.material.ornaments))
    figure("own weight", "g", "own hair over the worked sections, dry", lambda s: s.parts.material.own_g,
           "material.own_g")
    figure("added to own", "", "added weight over own weight", lambda s: s.parts.load.added_to_own, "load.added_to_own")
    figure("load", "mn", "dry load on each hair, worst section",
           lambda s: max((at.dry_mn for at in s.parts.load.worst), default=None), "load.worst_mn")
    figure("wet load", "mn", "wet load on each hair, worst section",
           lambda s: max((at.wet_mn for at in s.parts.load.worst), default=None), "load.worst_wet_mn")
    figure("own load", "mn", "what each hair of the worst section would carry unbraided",
           lambda s: s.parts.load.worst[0].own_mn if s.parts.load.worst else None)
    figure("load to own", "", "dry load of the worst section over what its hairs would carry unbraided",
           lambda s: _over(s.parts.load.worst[0].dry_mn, s.parts.load.worst[0].own_mn) if s.parts.load.worst else None)
    figure("worst section", "", "the section whose hairs carry most",
           lambda s: float(s.parts.load.worst[0].section) if s.parts.load.worst else None)
    figure("median load", "mn", "dry load on each hair, middle section", lambda s: s.parts.load.median_mn,
           "load.median_mn")
    figure("hairline load", "mn", "dry load on each hair at the hairline, middle section",
           lambda s: s.parts.load.hairline_median_mn, "load.hairline_median_mn", place=hairline)
    figure("hairline to whole", "", "hairline load over median load",
           lambda s: _over(s.parts.load.hairline_median_mn, s.parts.load.median_mn), place=hairline)
    figure("time", "s", "chair time, median", lambda s: s.parts.timing.median_minutes * 60, "timing.median_minutes")
    figure("slow time", "s", "chair time on a slow day (80 %)", lambda s: s.parts.timing.p80_minutes * 60,
           "timing.p80_minutes")
    figure("preparation", "s", "work ahead", lambda s: s.parts.timing.ahead_minutes * 60, "timing.ahead_minutes")
    figure("breaks", "s", "time in breaks", lambda s: s.parts.timing.break_minutes * 60, "timing.break_minutes")
    figure("braiders", "", "braiders at the head", lambda s: float(s.parts.timing.braiders), "timing.braiders")
    figure("price", "money", "the quote's total", lambda s: float(s.parts.quote.total), "quote.total")
    figure("deposit", "money", "the deposit",
           lambda s: None if s.parts.quote.deposit is None else float(s.parts.quote.deposit), "quote.deposit")
    measure("age", "years", "the wearer's age", "age_years")
    measure("own hair", "mm", "length of own hair, stretched", "own_mm")
    measure("strand thickness", "um", "diameter of one own hair", "strand_um")
    measure("hair density", "per cm2", "own hairs on a square centimetre", "density_cm2")
    measure("circumference", "mm", "round the head", "circumference_mm")
    measure("weeks since chemical service", "weeks", "weeks since a relaxer, bleach, colour or perm", "chemical_weeks")
    measure("weeks of rest", "weeks", "weeks since the last set came down", "rest_weeks")
    measure("sits", "s", "longest sit without a break", "sits_s")
    measure("work before a break", "s", "how long the house works before a break", "break_every_s", "house")
    measure("load limit", "mn", "the house's own limit of load on one hair", "load_limit_mn", "house")
    measure("added limit", "g", "the house's own limit of added weight", "added_limit_g", "house")
    return {entry.name: entry for entry in found}


def _over(value: float | None, below: float) -> float | None:
    return None if value is None or not below else value / below


def _of_wearer(name: str, field: str, what: str, *words: str) -> FactName:
    def read(scene: Scene) -> frozenset[str] | None:
        value = getattr(scene.wearer, field)
        if isinstance(value, bool):
            return frozenset(("yes" if value else "no",))
        return None if value is None else frozenset((value,))

    return FactName(name, words, read, what, lambda scene, _: scene.wearer.origin)


def _of_strands(name: str, words: tuple[str, ...], what: str, read: Callable[[Any, Any], Any],
                place: Callable[[Any], Origin]) -> FactName:
    """A fact of many strands: each of its words may hold somewhere, and stands where it first holds."""
    def found(scene: Scene) -> frozenset[str]:
        return frozenset(word for look, kind in worked(scene) for word in read(look, kind))

    def where(scene: Scene, word: str) -> Origin | None:
        return next((place(look) for look, kind in worked(scene) if word in read(look, kind)), None)

    return FactName(name, words, found, what, where, single=False)


def _yes(holds: bool) -> frozenset[str]:
    return frozenset(("yes" if holds else "no",))


def _ornament_names(scene: Scene) -> tuple[str, ...]:
    return tuple(f'"{name}"' for name in dict.fromkeys(o.name for o, *_ in ornaments_worn(scene)))


def _ornament_place(scene: Scene, _: str) -> Origin | None:
    return next((origin for _, _, _, origin in ornaments_worn(scene)), None)


def _end_place(scene: Scene, word: str) -> Origin | None:
    return next((step.origin for look, _ in worked(scene) for step in look.end if step.kind == word), None)


def _added(scene: Scene) -> tuple[str, ...]:
    kinds = [f"{kind}s" for kind in dict.fromkeys(ornament.kind for ornament, *_ in ornaments_worn(scene))]
    hair = ["hair"] if any(line.worn_grams > 0 for line in scene.parts.material.hair) else []
    return tuple(hair + kinds) or ("hair",)


CHILD_YEARS = 13.0
"""Younger than this is a child, as in the rules' own conditions: our own estimate."""


def _is_child(scene: Scene) -> bool:
    age = scene.wearer.age_years
    return age is not None and age.value < CHILD_YEARS


def _delicate(scene: Scene) -> tuple[str, ...]:
    who, found = scene.wearer, []
    if who.edges in ("thin", "fragile"):
        found.append(f"{who.edges} edges")
    if who.tender:
        found.append("a tender head")
    if who.past_breakage:
        found.append("breakage from an earlier set")
    if _is_child(scene):
        found.append("a child's head")
    return tuple(found) or ("nothing known",)


def _of_phrases(name: str, what: str, phrases: Callable[[Scene], tuple[str, ...]]) -> TextName:
    return TextName(name, what, lambda scene: listed(phrases(scene)), phrases)


def _facts() -> dict[str, FactName]:
    found = (
        _of_wearer("strand", "strand", "the wearer's own hair", "fine", "medium", "coarse"),
        _of_wearer("density", "density", "how dense own hair is", "sparse", "medium", "dense"),
        _of_wearer("texture", "texture", "own hair's texture", "straight", "wavy", "curly", "coily"),
        _of_wearer("edges", "edges", "the hairline's hair", "healthy", "thin", "fragile"),
        _of_wearer("scalp", "scalp", "the scalp", "healthy", "dry", "flaking", "sore", "broken", "infected"),
        _of_wearer("patch test", "patch_test", "the patch test with this hair", "clear", "reacted", "not done"),
        _of_wearer("chemical", "chemical", "the last chemical service", "none", "relaxer", "bleach", "colour", "perm"),
        _of_wearer("shedding", "shedding", "how much hair is shed", "ordinary", "heavy"),
        _of_wearer("tender", "tender", "a tender head", "yes", "no"),
        _of_wearer("past breakage", "past_breakage", "breakage from an earlier set", "yes", "no"),
        _of_wearer("reacts to added hair", "reacts_to_added_hair", "an earlier reaction to added hair", "yes", "no"),
        _of_wearer("arrives", "arrives", "how the hair comes to the chair",
                   "washed and dried", "washed", "unwashed", "in an old set"),
        FactName("allergies", ("some", "none"),
                 lambda s: None if s.wearer.allergies is None else frozenset(("some" if s.wearer.allergies else "none",)),
                 "known allergies", lambda s, _: s.wearer.origin,
                 lambda s: s.wearer.allergies or ()),
        FactName("added hair", ("yes", "no"), lambda s: _yes(adds_hair(s)), "whether any hair is added"),
        FactName("ornaments", ("yes", "no"), lambda s: _yes(next(ornaments_worn(s), None) is not None),
                 "whether any ornament is worn; in a message, their names", _ornament_place, _ornament_names),
        _of_strands("technique", ("plait", "twist", "row"), "how any strand is worked",
                    lambda look, kind: (kind.technique,), lambda look: look.start.origin),
        _of_strands("tightness", ("relaxed", "ordinary", "firm"), "how tight any strand is",
                    lambda look, kind: (kind.tightness,), lambda look: look.start.origin),
        FactName("zones", ZONES, lambda s: frozenset(s.braided), "zones that are braided; a scalp row braids every zone "
                 "it runs through", lambda s, word: s.braided.get(word), single=False),
        FactName("end", ("knot", "heat seal", "dip", "curl rods", "ornaments", "band", "tuck", "leave loose",
                         "leave curls loose", "trim"),
                 lambda s: frozenset(step.kind for look, _ in worked(s) for step in look.end),
                 "how any end is finished", _end_place, single=False),
        _of_strands("start", ("extension", "own hair first", "own hair only", "knotted"), "how any strand begins",
                    lambda look, kind: (look.start.kind,), lambda look: look.start.origin),
    )
    return {entry.name: entry for entry in found}


FIGURES = _figures()
FACTS = _facts()
TEXTS: dict[str, TextName] = {text.name: text for text in (
    TextName("wearer", "the wearer's name", lambda s: s.wearer.name),
    TextName("house", "the house's name", lambda s: s.house.name),
    TextName("look", "the look's name", lambda s: s.recipe.name),
    _of_phrases("what is added", "hair, beads: what is added to own hair", _added),
    _of_phrases("delicate", "what about the wearer asks for a loose hand: thin edges, a tender head", _delicate),
    _of_phrases("child or adult", "a child, or an adult; an adult where nobody knows",
                lambda s: ("a child" if _is_child(s) else "an adult",)),
    TextName("worst zone", "the zone of the worst section",
             lambda s: s.parts.load.worst[0].zone if s.parts.load.worst else "nowhere", zone=True),
)}
"""What a message may print besides figures and facts."""

FOUND_TEXTS = {"zones": "the zones where it was found", "numbers": "the sections where it was found, by number"}
"""What a message of a rule with ``any … where`` may print of what was found."""

SECTION_FIGURES: dict[str, str] = {name: figure.unit for name, figure in THINGS["section"].figures.items()}
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
        here = [section_load_mn(items[n], kind) for _, kind in worked(scene) for n in kind.sections
                if zone in scene.crossed[n]]
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


def find_figure(name: str, thing: str = "") -> FigureName | None:
    """A figure by name: the thing's own first, then the scene's. :func:`own_name` tells which it was."""
    return (THINGS[thing].figures.get(name) if thing else None) or figure_name(name)


def find_fact(name: str, thing: str = "") -> FactName | None:
    """A fact by name: the thing's own first, then the scene's."""
    return (THINGS[thing].facts.get(name) if thing else None) or FACTS.get(name)


def own_name(name: str, thing: str) -> bool:
    """Whether the thing itself has this name, so that it is read from the thing and not from the scene."""
    return bool(thing) and (name in THINGS[thing].figures or name in THINGS[thing].facts or name in THINGS[thing].texts)


def names_here(thing: str = "") -> tuple[str, ...]:
    """Every name a condition may use here, sorted."""
    own = (*THINGS[thing].figures, *THINGS[thing].facts) if thing else ()
    return tuple(sorted({*FIGURES, *FACTS, *own}))


def nearest(name: str, thing: str = "") -> tuple[str, ...]:
    """Up to three names like this one."""
    return tuple(difflib.get_close_matches(name, names_here(thing), n=3))
