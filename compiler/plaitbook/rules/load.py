"""Weight and tension: ranked and compared, with the house's own limits. None is called safe."""

from __future__ import annotations

from typing import Iterator

from . import limits
from .measures import numbers
from .rule import Hit, Rule
from .scene import Scene, adds_hair, section_load_mn, worked

_NO_LIMIT = "no published limit for tension or weight was found"
_ADVICE = "Traction alopecia: a neglected entity, PMC8072502, table 4"


def _ranked(scene: Scene) -> Iterator[Hit]:
    worst = scene.parts.load.worst
    if worst and adds_hair(scene):
        first = worst[0]
        beside = f", {first.dry_mn / first.own_mn:.1f} times what it would carry unbraided" if first.own_mn > 0 else ""
        yield Hit(f"each own hair carries most in section {first.section}, the {first.zone}: {first.dry_mn:.2f} mN dry, "
                  f"{first.wet_mn:.2f} mN wet{beside}", scene.recipe.origin)


def _house_load(scene: Scene) -> Iterator[Hit]:
    limit = scene.house.load_limit_mn
    if limit is None:
        return
    items = {item.number: item for item in scene.parts.sections.items}
    loads = ((n, section_load_mn(items[n], kind)) for _, kind in worked(scene) for n in kind.sections if n in items)
    over = sorted(((mn, n) for n, mn in loads if mn > limit.value), key=lambda one: (-one[0], one[1]))
    if over:
        yield Hit(f"{numbers(tuple(n for _, n in over))} carry up to {over[0][0]:.2f} mN a hair; "
                  f"the house's own limit is {limit.text}", limit.origin)


def _house_added(scene: Scene) -> Iterator[Hit]:
    limit, worn = scene.house.added_limit_g, scene.parts.material.added_worn_g
    if limit is not None and worn > limit.value:
        yield Hit(f"{worn:.0f} g of added hair; the house's own limit is {limit.text}", limit.origin)


def _heavier(scene: Scene) -> Iterator[Hit]:
    ratio = scene.parts.load.added_to_own
    if ratio >= limits.MUCH_ADDED:
        yield Hit(f"the added hair weighs {ratio:.1f} times the wearer's own", scene.recipe.origin)


def _hairline(scene: Scene) -> Iterator[Hit]:
    load = scene.parts.load
    edge = load.hairline_median_mn
    if edge is not None and load.median_mn > 0 and edge > limits.HAIRLINE_SHARE * load.median_mn:
        yield Hit(f"hairs at the hairline carry {edge / load.median_mn:.1f} times as much as on the whole head",
                  scene.recipe.zone("hairline").grid.origin)


def _pain(scene: Scene) -> Iterator[Hit]:
    if scene.parts.sections.count:
        yield Hit("pain, stinging, bumps or a headache mean too tight: take that strand down and redo it",
                  scene.recipe.origin)


def _wear(scene: Scene) -> Iterator[Hit]:
    if scene.parts.sections.count:
        low, high, most = limits.WEAR_WEEKS
        yield Hit(f"wear {low} to {high} weeks, {most} at the very most", scene.recipe.origin)


RULES = (
    Rule("L01", "where the load is", "note", "the section whose hairs carry most",
         f"{_NO_LIMIT.capitalize()}: this ranks the sections, it doesn't clear them.",
         "less length or volume, or larger sections, where it is highest",
         "computed (see the figure); " + _ADVICE, _ranked),
    Rule("L02", "over the house's load limit", "warn", "a section over the house's own load limit",
         f"The house's own judgement; {_NO_LIMIT}.", "fewer or thinner pieces there, shorter, or larger sections",
         "the house file", _house_load),
    Rule("L03", "over the house's weight limit", "warn", "added hair over the house's own weight limit",
         f"The house's own judgement; {_NO_LIMIT}.", "shorter, thinner or fewer strands", "the house file",
         _house_added),
    Rule("L04", "much added hair", "note", "added hair of at least twice the own hair's weight",
         "Dermatology advice is to cut the volume and length of added hair.",
         "shorter or thinner strands", _ADVICE + "; twice is our own estimate", _heavier),
    Rule("L05", "hairline loaded", "warn", "hairline sections that carry more a hair than the head",
         "The hairline is where traction hair loss begins; advice is to loosen and lighten it.",
         "fewer or smaller pieces at the hairline, or leave it out",
         "American Academy of Dermatology, press release of 10 March 2020; the comparison is our own", _hairline),
    Rule("L06", "pain means too tight", "note", "any set",
         "If it hurts, or the head aches, the style is too tight.", "ask while braiding, and again at the end",
         "American Academy of Dermatology, press release of 10 March 2020", _pain),
    Rule("R01", "longest wear", "note", "any set",
         "Risk grows with the weeks a set is worn.", "write the take-down date on the slip",
         "Baylor College of Medicine, dermatology questions and answers, September 2024", _wear),
)
