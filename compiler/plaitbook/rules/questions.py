"""Safety facts nobody has asked yet: each unknown one prints as a question."""

from __future__ import annotations

from typing import Callable, Iterator

from .rule import COMMON_PRACTICE, Hit, Rule
from .scene import Scene, adds_hair, ornaments_worn


def _always(scene: Scene) -> bool:
    return scene.parts.sections.count > 0


def _with_ornaments(scene: Scene) -> bool:
    return next(ornaments_worn(scene), None) is not None or adds_hair(scene)


def _question(code: str, name: str, field: str, question: str, why: str,
              matters: Callable[[Scene], bool], source: str = COMMON_PRACTICE) -> Rule:
    def check(scene: Scene) -> Iterator[Hit]:
        if getattr(scene.wearer, field) is None and matters(scene):
            yield Hit(question, scene.wearer.origin)

    return Rule(code, name, "ask", f"an unknown {name}", why, "ask, and write the answer into the wearer's file",
                source, check)


def _not_tested(scene: Scene) -> Iterator[Hit]:
    if scene.wearer.patch_test in (None, "not done") and adds_hair(scene):
        asked = "Has a patch test with this hair been done, and was it clear?"
        yield Hit(asked, scene.wearer.origin)


RULES = (
    _question("Q01", "scalp", "scalp", "Is the scalp healthy: nothing sore, broken or infected?",
              "A sore, broken or infected scalp means not today.", _always),
    _question("Q02", "allergies", "allergies", "Any allergies: hair dyes, acrylics, latex, fragrance, nickel?",
              "Hair, glue, products and cuffs carry common allergens.", _always,
              "Collins & Yu 2025, Dermatitis"),
    Rule("Q03", "patch test", "ask", "a patch test that is unknown or not done",
         "A reaction on a small patch is better than one on the whole scalp.",
         "a few strands against the inner arm or behind the ear, 48 hours before", COMMON_PRACTICE, _not_tested),
    _question("Q04", "chemical services", "chemical", "Any relaxer, bleach, colour or perm, and when?",
              "Under two weeks is too recent.", _always, "a salon's published aftercare policy, trade grade B"),
    _question("Q05", "shedding", "shedding", "Is more hair coming out than usual?",
              "Heavy shedding has a cause that braids would hide.", _always),
    _question("Q06", "tenderness", "tender", "Is the head tender?", "Pain means too tight.", _always,
              "American Academy of Dermatology, press release of 10 March 2020"),
    _question("Q07", "edges", "edges", "Are the edges healthy, thin or fragile?",
              "The hairline is where traction hair loss begins.", _always,
              "Traction alopecia: a neglected entity, PMC8072502, table 4"),
    _question("Q08", "earlier reactions", "reacts_to_added_hair", "Has added hair ever itched, burned or swelled?",
              "A known reaction comes back.", adds_hair, "Collins & Yu 2025, Dermatitis"),
    _question("Q09", "age", "age_years", "Is the wearer a child, and how old?",
              "Small parts, hot water and long sits are judged by age.", _with_ornaments,
              "US 16 CFR 1501 (small parts, children under three)"),
    _question("Q10", "earlier breakage", "past_breakage", "Has a set ever broken or thinned the hair?",
              "Hair that broke under a set will not have become stronger.", adds_hair),
    _question("Q11", "arrival", "arrives", "Will the hair come washed and dried?",
              "The clock takes it so; washing and drying add up to an hour.", _always,
              "a web guide, trade grade D (arriving washed and blown out saves 45 to 60 min)"),
)
