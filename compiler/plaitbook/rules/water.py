"""Hot water: what it does to the hair, and to the wearer."""

from __future__ import annotations

from typing import Iterator

from . import limits, scald
from .measures import heat, length
from .rule import HERE, Hit, Rule
from .scene import Scene, clearances, ends, ends_with_hair, is_synthetic


def _never(scene: Scene) -> Iterator[Hit]:
    for step, zone, hairs in ends_with_hair(scene, "dip"):
        for hair in hairs:
            if hair.kind == "curly" or hair.hot_water == "never":
                why = "is curly" if hair.kind == "curly" else 'is marked "never" for hot water'
                yield Hit(f'ends in {HERE} are dipped, but "{hair.name}" {why}', step.origin, zone=zone)


def _unknown(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "dip"):
        for hair in hairs:
            if hair.kind == "plain" and hair.hot_water == "unknown" and is_synthetic(hair):
                yield Hit(f'the catalogue doesn\'t say whether "{hair.name}" may go into hot water', step.origin)


def _living_fibre(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "dip"):
        for hair in hairs:
            if not is_synthetic(hair):
                yield Hit(f'"{hair.name}" is {hair.fibre} hair and is dipped', step.origin)


def _scald(scene: Scene) -> Iterator[Hit]:
    for step, kind in ends(scene, "dip"):
        if step.temperature_c is None:
            yield Hit(f"ends in {HERE} are dipped and the recipe doesn't say how hot; "
                      "water off the boil burns through skin in a second or less", step.origin, zone=kind.zone)
        elif scald.scald_seconds(step.temperature_c.value) is not None:
            yield Hit(f"water at {heat(step.temperature_c.value)} burns through skin "
                      f"{scald.scald_words(step.temperature_c.value)}", step.origin)


def _child(scene: Scene) -> Iterator[Hit]:
    age = scene.wearer.age_years
    if age is None or age.value >= limits.CHILD_YEARS:
        return
    for step, kind in ends(scene, "dip"):
        yield Hit(f"{scene.wearer.name} is {age.text}, and ends in {HERE} are dipped in hot water",
                  step.origin, zone=kind.zone)


def _short(scene: Scene) -> Iterator[Hit]:
    for step, kind in ends(scene, "dip"):
        if kind.length_mm < limits.DIP_NEAR_MM:
            yield Hit(f"strands under {length(limits.DIP_NEAR_MM)} in {HERE} bring the cup close to the scalp and "
                      "neck", step.origin, zone=kind.zone)


def _own_hair(scene: Scene) -> Iterator[Hit]:
    for step, gap, zones in clearances(scene, "dip"):
        if gap < limits.CLEAR_OF_SEAL_MM:
            where = f"ends {length(gap)} above the water" if gap > 0 else "goes into the water"
            for zone in zones:
                yield Hit(f"own hair in {HERE} {where}", step.origin, zone=zone)


RULES = (
    Rule("W01", "hot water on curls", "stop", "a dip on strands with curly or heat-set pieces",
         "Hot water lets a set curl go: the pieces hang straight and frizz.",
         "smooth flyaways with the iron below the styling ceiling, and leave these ends out of the water",
         "common practice, no source", _never),
    Rule("W02", "hot water, hair unknown", "ask", "a dip on hair whose catalogue entry doesn't say",
         "Some fibres shrink or lose their set in hot water.",
         "try one piece away from the wearer, and write the answer into the catalogue",
         "common practice, no source", _unknown),
    Rule("W03", "dipping human or plant hair", "stop", "a dip on human or plant hair",
         "Water seals no keratin or plant fibre; boiling water harms it.", "knot, band or tuck these ends",
         "a web guide, trade grade D (boiling is almost always harmful to human hair)", _living_fibre),
    Rule("W04", "scald", "warn", "a dip in water hot enough to burn skin",
         "Dipping braids is a known cause of scalds: in one burn centre's series 62 % were on the back, others "
         "on shoulder, chest and neck.",
         "carry the water away from neck and back, towel the back, dry the ends before letting go; "
         "on a burn: cool running water for 20 minutes, no ice or oil, and medical care",
         scald.SOURCE + "; first aid: ANZCOR guideline 9.1.3", _scald),
    Rule("W05", "hot water and a child", "stop", "a dip with a child in the chair",
         "85 % of the scalds from dipping braids in one series were children, median age 8.",
         "finish a child's ends without hot water: knot or band them",
         "Meizoso et al. 2016, J Burn Care Res 37:e7; Ramirez et al. 2018, J Burn Care Res 39:911", _child),
    Rule("W06", "dip near the scalp", "warn", "a dip on short strands",
         "With short strands the cup has to come up to the neck, where most dip scalds begin.",
         "finish short strands without hot water",
         "Meizoso et al. 2016, J Burn Care Res 37:e7; the 20 cm is our own estimate", _short),
    Rule("W07", "own hair in the dip", "warn", "own hair that ends less than an inch above the water",
         "Near-boiling water and the setting fibre round it are hard on own hair.",
         "lengthen the strands past the natural ends, or dip less of the end",
         "a cosmetic how-to page, \"Minimum hair length for cornrows\", trade grade D", _own_hair),
)
