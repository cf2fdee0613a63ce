"""What a condition can look at one by one: ``any section where …``, ``every strand where …``.

Each kind of thing lists its members in a scene and has names of its own,
which stand before the scene's inside the condition and in the message.
"""

from __future__ import annotations

from math import ceil
from typing import Any, Callable, Collection, NamedTuple

from ..meaning.model import EndStep, Hair, Ornament, ZoneLook
from ..meaning.values import Measure, Origin
from ..plan.model import Section, StrandKind
from . import scald
from .naming import FactName, FigureName, TextName
from .scene import (
    Scene, braided_zones, end_width_mm, ends, ends_with_hair, ornaments_worn, own_ends_mm, section_load_mn, worked,
)


class SectionHere(NamedTuple):
    section: Section
    kind: StrandKind | None
    scene: Scene
    asked_cm2: float = 0.0
    """The area its zone's grid asks for; its own where the grid asks for none (scalp rows)."""


class StrandHere(NamedTuple):
    look: ZoneLook
    kind: StrandKind
    scene: Scene


class EndHere(NamedTuple):
    step: EndStep
    kind: StrandKind


class HairInHeat(NamedTuple):
    step: EndStep
    zone: str
    hair: Hair


class OrnamentHere(NamedTuple):
    ornament: Ornament
    kind: StrandKind
    origin: Origin
    widest_mm: float
    """The widest end it hangs on anywhere."""


class Thing(NamedTuple):
    """A kind of thing: its members in a scene, its names, where one stands, and its zone if it has one."""

    name: str
    what: str
    members: Callable[[Scene], tuple[Any, ...]]
    figures: dict[str, FigureName]
    facts: dict[str, FactName]
    texts: dict[str, TextName]
    place: Callable[[Any], Origin]
    zone: Callable[[Any], str] | None = None
    number: Callable[[Any], tuple[int, ...]] | None = None
    """The sections it speaks of, for ``{sections}``."""
    within: Callable[[Any], Collection[str]] | None = None
    """Every zone it lies in, where that may be more than one: scalp rows run through zones."""


def _fig(name: str, unit: str, what: str, read: Callable[[Any], float | None], place: Any = None,
         style: Any = "") -> tuple[str, FigureName]:
    return name, FigureName(name, unit, what, read, place, (), style)


def _fact(name: str, words: tuple[str, ...], what: str, read: Callable[[Any], str | None]) -> tuple[str, FactName]:
    def found(one: Any) -> frozenset[str] | None:
        word = read(one)
        return None if word is None else frozenset((word,))
    return name, FactName(name, words, found, what)


def _text(name: str, what: str, read: Callable[[Any], str]) -> tuple[str, TextName]:
    return name, TextName(name, what, read)


def _value(measure: Measure | None) -> float | None:
    return None if measure is None else measure.value


def _origin(measure: Measure | None) -> Origin | None:
    return None if measure is None else measure.origin


# --- sections and strands ----------------------------------------------------------


def _sections(scene: Scene) -> tuple[SectionHere, ...]:
    kinds = {number: kind for kind in scene.parts.kinds for number in kind.sections}
    asked = {zone.zone: zone.asked_cm2 for zone in scene.parts.sections.zones}
    return tuple([
        SectionHere(item, kinds.get(item.number), scene, asked.get(item.zone) or item.area_cm2)
        for item in scene.parts.sections.items
    ])


def _of_kind(read: Callable[[StrandKind], float]) -> Callable[[SectionHere], float | None]:
    return lambda one: None if one.kind is None else read(one.kind)


SECTION = Thing(
    "section", "a section of the scalp", _sections,
    dict((
        _fig("area", "cm2", "its area", lambda s: s.section.area_cm2),
        _fig("asked area", "cm2", "the area its zone's grid asks for; its own where the grid asks for none",
             lambda s: s.asked_cm2),
        _fig("section width", "mm", "its width, round the head", lambda s: s.section.width_mm),
        _fig("section height", "mm", "its height, down the head", lambda s: s.section.height_mm),
        _fig("least side", "mm", "the smaller of the two", lambda s: min(s.section.width_mm, s.section.height_mm)),
        _fig("hairs", "", "own hairs in it", lambda s: float(s.section.hairs)),
        _fig("load", "mn", "dry load on each of its hairs at rest",
             lambda s: None if s.kind is None else section_load_mn(s.section, s.kind)),
        _fig("strand width", "mm", "its strand's width, on average", _of_kind(lambda k: k.width_mm), style="width"),
        _fig("thickest place", "mm", "its strand's width at the thickest", _of_kind(lambda k: k.width_max_mm),
             style="width"),
        _fig("strand length", "mm", "its strand's length", _of_kind(lambda k: k.length_mm)),
        _fig("row", "", "its row in the zone", lambda s: float(s.section.row)),
        _fig("number", "", "its place in the braid order", lambda s: float(s.section.number)),
    )), {}, {},
    lambda s: s.scene.recipe.zone(s.section.zone).grid.origin,
    lambda s: s.section.zone, lambda s: (s.section.number,),
    lambda s: s.scene.crossed.get(s.section.number, (s.section.zone,)),
)

STRAND = Thing(
    "strand", "strands of one zone that are worked the same way",
    lambda scene: tuple(StrandHere(look, kind, scene) for look, kind in worked(scene)),
    dict((
        _fig("strand width", "mm", "width, on average", lambda s: s.kind.width_mm, style="width"),
        _fig("thinnest place", "mm", "width at the thinnest", lambda s: s.kind.width_min_mm, style="width"),
        _fig("thickest place", "mm", "width at the thickest", lambda s: s.kind.width_max_mm, style="width"),
        _fig("strand length", "mm", "length of the finished strand", lambda s: s.kind.length_mm,
             lambda s: s.look.wearing.origin),
        _fig("reach", "mm", "the longest strand its added hair can reach",
             lambda s: s.kind.reach_mm if s.kind.added_g > 0 else None, lambda s: s.look.wearing.origin),
        _fig("beyond reach", "mm", "how much longer it is than its added hair reaches",
             lambda s: s.kind.length_mm - s.kind.reach_mm if s.kind.added_g > 0 else None,
             lambda s: s.look.wearing.origin),
        _fig("stitch length", "mm", "finished length of one stitch", lambda s: s.kind.pitch_mm, style="width"),
        _fig("strand stitches", "", "its stitches", lambda s: float(s.kind.stitches)),
        _fig("hairs", "", "own hairs in one strand", lambda s: float(s.kind.hairs)),
        _fig("own hair here", "mm", "length of own hair in its zone",
             lambda s: s.scene.wearer.own_hair_mm(s.kind.zone).value,
             lambda s: s.scene.wearer.own_hair_mm(s.kind.zone).origin),
        _fig("own hair clear of its end", "mm", "from own hair's ends to the strand's end",
             lambda s: s.kind.length_mm - own_ends_mm(s.kind) if s.kind.hairs else None),
        _fig("added to one strand", "g", "hair and ornaments added to it", lambda s: s.kind.added_g),
    )),
    dict((
        _fact("technique", ("plait", "twist", "row"), "how it is worked", lambda s: s.kind.technique),
        _fact("tightness", ("relaxed", "ordinary", "firm"), "how tight", lambda s: s.kind.tightness),
        _fact("wishes met", ("yes", "no"), "whether all the recipe asks of it can be had",
              lambda s: "no" if s.kind.unmet else "yes"),
    )), {},
    lambda s: s.look.start.origin, lambda s: s.kind.zone, lambda s: s.kind.sections,
    lambda s: braided_zones(s.scene, s.kind),
)


# --- ends ---------------------------------------------------------------------------


def _clear(one: EndHere) -> float | None:
    """Least distance from own hair's ends to the end step's upper edge; nothing where none is left."""
    if not one.kind.hairs:
        return None
    edge = one.step.length_mm.value if one.step.length_mm else 0.0
    return max(0.0, one.kind.length_mm - own_ends_mm(one.kind) - edge)


def _end(name: str, what: str, step: str, texts: dict[str, TextName]) -> Thing:
    return Thing(
        name, what, lambda scene: tuple(EndHere(*found) for found in ends(scene, step)),
        dict((
            _fig("heat", "c", "its temperature", lambda e: _value(e.step.temperature_c)),
            _fig("strand length", "mm", "length of the strands it is done on", lambda e: e.kind.length_mm),
            _fig("own hair clear of it", "mm", "from own hair's ends to its upper edge", _clear),
        )), {}, texts, lambda e: e.step.origin, lambda e: e.kind.zone, lambda e: e.kind.sections,
    )


def _scald(one: EndHere) -> str:
    if one.step.temperature_c is None:
        return "the recipe doesn't say how hot; water off the boil burns through skin in a second or less"
    return f"water that hot burns through skin {scald.scald_words(one.step.temperature_c.value)}"


SEAL = _end("seal", "a heat seal on the strands of one zone", "heat seal", {})
DIP = _end("dip", "a hot-water dip on the strands of one zone", "dip",
           {"scald": TextName("scald", "how fast this water burns skin (Moritz & Henriques 1947, secondary)", _scald,
                              lambda one: (_scald(one),))})


# --- hair ---------------------------------------------------------------------------

_FIBRES = ("modacrylic", "pvc", "polyester", "pbt", "nylon", "polypropylene", "acrylic", "human", "plant")


def _hair_names(hair: Callable[[Any], Hair]) -> tuple[dict[str, FigureName], dict[str, FactName], dict[str, TextName]]:
    def window(end: str) -> Callable[[Any], float | None]:
        def read(one: Any) -> float | None:
            sealing = hair(one).sealing
            return None if sealing is None else getattr(sealing, end)
        return read

    figures = dict((
        _fig("window low", "c", "the foot of its sealing window", window("low_c")),
        _fig("window high", "c", "the top of its sealing window", window("high_c")),
        _fig("styling ceiling", "c", "its styling ceiling", lambda one: _value(hair(one).styling_ceiling_c)),
        _fig("pack weight", "g", "hair in one pack", lambda one: hair(one).pack_g.value),
        _fig("flat length", "mm", "its length laid out flat", lambda one: hair(one).flat_mm.value),
    ))
    facts = dict((
        _fact("kind", ("plain", "curly"), "plain or curly", lambda one: hair(one).kind),
        _fact("fibre", _FIBRES, "what it is made of", lambda one: hair(one).fibre),
        _fact("hot water", ("allowed", "never"), "whether it may go into hot water",
              lambda one: None if hair(one).hot_water == "unknown" else hair(one).hot_water),
        _fact("coated", ("yes", "no"), "whether it has a coating",
              lambda one: None if hair(one).coated == "unknown" else hair(one).coated),
    ))
    return figures, facts, dict((_text("hair", "the hair's name", lambda one: f'"{hair(one).name}"'),))


HAIR = Thing("hair", "a hair of the catalogue that the look uses", lambda scene: scene.recipe.catalogue,
             *_hair_names(lambda hair: hair), lambda hair: hair.origin)


def _hair_in(name: str, what: str, members: Callable[[Scene], tuple[HairInHeat, ...]]) -> Thing:
    figures, facts, texts = _hair_names(lambda one: one.hair)
    figures = dict((_fig("heat", "c", "the temperature it meets", lambda one: _value(one.step.temperature_c)),)) | figures
    return Thing(name, what, members, figures, facts, texts, lambda one: one.step.origin, lambda one: one.zone)


def _met(*steps: str, along: bool = False, heated: bool = False) -> Callable[[Scene], tuple[HairInHeat, ...]]:
    def members(scene: Scene) -> tuple[HairInHeat, ...]:
        return tuple(
            HairInHeat(step, zone, hair)
            for step, zone, hairs in ends_with_hair(scene, *steps)
            # A seal without a length is a touch at the tip; with one, the iron works along the hair.
            if not (along and (step.temperature_c is None or (step.kind == "heat seal" and step.length_mm is None)))
            if not (heated and step.kind != "heat seal" and step.temperature_c is None)
            for hair in hairs)
    return members


SEALED_HAIR = _hair_in("sealed hair", "a hair under a heat seal", _met("heat seal"))
DIPPED_HAIR = _hair_in("dipped hair", "a hair in a hot-water dip", _met("dip"))
STYLED_HAIR = _hair_in("styled hair", "a hair that heat is led along", _met("heat seal", "curl rods", along=True))
HEATED_HAIR = _hair_in("heated hair", "a hair that is sealed, or curled or dipped at a stated heat",
                       _met("heat seal", "curl rods", "dip", heated=True))


# --- ornaments ----------------------------------------------------------------------


def _ornaments(scene: Scene) -> tuple[OrnamentHere, ...]:
    widest: dict[str, float] = {}
    for ornament, _, kind, _ in ornaments_worn(scene):
        widest[ornament.name] = max(widest.get(ornament.name, 0.0), end_width_mm(kind))
    return tuple(OrnamentHere(ornament, kind, origin, widest[ornament.name])
                 for ornament, _, kind, origin in ornaments_worn(scene))


ORNAMENT = Thing(
    "ornament", "an ornament on the strands of one zone", _ornaments,
    dict((
        _fig("bore", "mm", "its hole", lambda o: _value(o.ornament.bore_mm), style="width"),
        _fig("ornament weight", "g", "one of it", lambda o: o.ornament.mass_g.value),
        _fig("end width", "mm", "width at the end of the strand it goes on", lambda o: end_width_mm(o.kind),
             style="width"),
        _fig("hole needed", "mm", "the widest end it goes on anywhere, rounded up to a whole millimetre",
             lambda o: float(ceil(o.widest_mm)), style="width"),
    )),
    dict((_fact("kind", ("bead", "cuff", "ring", "shell", "cord"), "what it is", lambda o: o.ornament.kind),)),
    dict((_text("ornament", "the ornament's name", lambda o: f'"{o.ornament.name}"'),)),
    lambda o: o.origin, lambda o: o.kind.zone, lambda o: o.kind.sections,
)


THINGS: dict[str, Thing] = {
    thing.name: thing for thing in (SECTION, STRAND, HAIR, SEAL, DIP, SEALED_HAIR, DIPPED_HAIR, STYLED_HAIR,
                                    HEATED_HAIR, ORNAMENT)
}
"""By the words that follow ``any`` or ``every``."""
