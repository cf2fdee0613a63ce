"""The wearer's scalp, edges, allergies and history."""

from __future__ import annotations

from typing import Iterator

from . import limits
from .measures import listed
from .rule import COMMON_PRACTICE, Hit, Rule
from .scene import Scene, adds_hair, worked

_TRACTION = "Haskin & Aguh 2016, J Am Acad Dermatol; Billero & Miteva 2018, PMC5896661"
_ADVICE = "Traction alopecia: a neglected entity, PMC8072502, table 4"


def _scalp(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.scalp in ("sore", "broken", "infected"):
        yield Hit(f"{scene.wearer.name}'s scalp is {scene.wearer.scalp}", scene.wearer.origin)


def _flaking(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.scalp in ("dry", "flaking"):
        yield Hit(f"{scene.wearer.name}'s scalp is {scene.wearer.scalp}", scene.wearer.origin)


def _chemical(scene: Scene) -> Iterator[Hit]:
    wearer = scene.wearer
    if wearer.chemical not in (None, "none") and wearer.chemical_weeks is not None:
        if wearer.chemical_weeks.value < limits.CHEMICAL_WAIT_WEEKS:
            yield Hit(f"{wearer.chemical} {wearer.chemical_weeks.text} ago", wearer.chemical_weeks.origin)


def _chemical_when(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.chemical not in (None, "none") and scene.wearer.chemical_weeks is None:
        yield Hit(f"{scene.wearer.name} had a {scene.wearer.chemical} service: how many weeks ago?",
                  scene.wearer.origin)


def _relaxed(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.chemical in ("relaxer", "bleach") and adds_hair(scene):
        yield Hit(f"hair is added to {'relaxed' if scene.wearer.chemical == 'relaxer' else 'bleached'} hair",
                  scene.wearer.origin)


def _shedding(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.shedding == "heavy":
        yield Hit(f"{scene.wearer.name} is shedding heavily", scene.wearer.origin)


def _hairline(scene: Scene) -> bool:
    return any(kind.zone == "hairline" for _, kind in worked(scene))


def _fragile(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.edges == "fragile" and _hairline(scene):
        yield Hit(f"{scene.wearer.name}'s edges are fragile, and the look braids the hairline",
                  scene.recipe.zone("hairline").grid.origin)


def _thin(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.edges == "thin" and _hairline(scene):
        yield Hit(f"{scene.wearer.name}'s edges are thin, and the look braids the hairline",
                  scene.recipe.zone("hairline").grid.origin)


def _tender(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.tender:
        yield Hit(f"{scene.wearer.name} is tender-headed", scene.wearer.origin)


def _firm(scene: Scene) -> Iterator[Hit]:
    firm = list(dict.fromkeys(look.zone for look, kind in worked(scene) if kind.tightness == "firm"))
    if firm:
        yield Hit(f"firm tightness in {listed([f'the {zone}' for zone in firm])}",
                  scene.recipe.zone(firm[0]).start.origin)


def _breakage(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.past_breakage and adds_hair(scene):
        yield Hit(f"{scene.wearer.name} has had breakage from a set before", scene.wearer.origin)


def _rest(scene: Scene) -> Iterator[Hit]:
    rest = scene.wearer.rest_weeks
    if rest is not None and rest.value < limits.REST_WEEKS:
        yield Hit(f"the last set came down {rest.text} ago", rest.origin)


def _reacted(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.patch_test == "reacted" and adds_hair(scene):
        yield Hit(f"{scene.wearer.name} reacted to the patch test", scene.wearer.origin)


def _allergies(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.allergies:
        yield Hit(f"{scene.wearer.name} is allergic to {listed(scene.wearer.allergies)}", scene.wearer.origin)


def _reacts(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.reacts_to_added_hair and adds_hair(scene):
        yield Hit(f"{scene.wearer.name} has reacted to added hair before", scene.wearer.origin)


def _coated(scene: Scene) -> Iterator[Hit]:
    if adds_hair(scene):
        for hair in scene.recipe.catalogue:
            if hair.coated == "yes":
                yield Hit(f'"{hair.name}" has a coating', hair.origin)


RULES = (
    Rule("S01", "not today", "stop", "a sore, broken or infected scalp",
         "Braiding pulls on the skin and keeps air and treatment from it.",
         "not today: advise seeing a clinician, and book again when it has healed", COMMON_PRACTICE, _scalp),
    Rule("S02", "dry or flaking scalp", "note", "a dry or flaking scalp",
         "A set hides the scalp for weeks; flaking can be a skin condition.",
         "look again in good light; if it is red, itches or doesn't pass, a clinician first", COMMON_PRACTICE,
         _flaking),
    Rule("S03", "chemical service too recent", "stop", "a relaxer, bleach, colour or perm under two weeks ago",
         "Freshly treated hair and scalp are weaker; extensions on relaxed hair carry the highest risk.",
         "wait until two weeks have passed",
         "a salon's published aftercare policy, trade grade B (two weeks); " + _TRACTION, _chemical),
    Rule("S04", "chemical service, when", "ask", "a chemical service without its date",
         "Under two weeks is too recent.", "ask how many weeks ago it was",
         "a salon's published aftercare policy, trade grade B", _chemical_when),
    Rule("S05", "added hair on treated hair", "warn", "added hair on relaxed or bleached hair",
         "Chemical treatment adds to the risk of traction hair loss; extensions on relaxed hair are the worst case.",
         "less length and volume, larger sections, a shorter wear", _TRACTION, _relaxed),
    Rule("S06", "heavy shedding", "warn", "heavy shedding",
         "Heavy shedding has a cause that braids would hide, and leaves fewer hairs to carry them.",
         "advise seeing a clinician first; if the set goes ahead, lighter and looser", COMMON_PRACTICE, _shedding),
    Rule("S07", "fragile edges", "stop", "hairline sections on fragile edges",
         "The front hairline is where traction hair loss begins.", "leave the edges out", _ADVICE, _fragile),
    Rule("S08", "thin edges", "warn", "hairline sections on thin edges",
         "The front hairline is where traction hair loss begins.",
         "leave the edges out, or loosen and lighten them there",
         _ADVICE + "; American Academy of Dermatology, press release of 10 March 2020", _thin),
    Rule("S09", "tender head", "warn", "a tender head",
         "Pain while braiding, or a headache after it, means that it is too tight.",
         "relaxed tightness, lighter pieces, ask as you go and redo what hurts",
         "American Academy of Dermatology, press release of 10 March 2020", _tender),
    Rule("S10", "firm tightness", "warn", "firm tightness anywhere",
         "Tightness is the first of the risk factors for traction hair loss.",
         "braid relaxed or ordinary, most of all at the hairline", _TRACTION, _firm),
    Rule("S11", "breakage before", "warn", "added hair after breakage from an earlier set",
         "Hair that broke under a set will not have become stronger.",
         "less length and volume, and the broken places left out", _ADVICE, _breakage),
    Rule("S12", "little rest", "note", "a new set within a week of the last",
         "The roots need a rest between sets.", "leave at least a week, longer after a long wear",
         "a trade web guide, grade D", _rest),
    Rule("A01", "patch test reacted", "stop", "added hair after a patch test that reacted",
         "A reaction on a small patch will be a reaction on the whole scalp.",
         "don't use this hair; advise seeing a clinician",
         "Collins & Yu 2025, Dermatitis (synthetic hair allergens)", _reacted),
    Rule("A02", "allergies", "warn", "a known allergy",
         "Synthetic hair can carry acrylates and disperse dyes; products carry fragrance; glues carry latex.",
         "read every label against it: hair, mousse, oil, gloves",
         "Collins & Yu 2025, Dermatitis", _allergies),
    Rule("A03", "reacts to added hair", "stop", "added hair on a wearer who reacts to it",
         "A known reaction comes back, often worse.", "another fibre after a clear patch test, or own hair only",
         "Collins & Yu 2025, Dermatitis", _reacts),
    Rule("A04", "coated hair", "note", "added hair with a coating",
         "Some wearers itch from the coating. Soaking in vinegar and water is common; no study was found that "
         "shows the coating to be the cause or the rinse to help.",
         "rinse, wash and dry it before use if the house does so, and patch test", COMMON_PRACTICE, _coated),
)
