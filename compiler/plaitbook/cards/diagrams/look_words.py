"""The finished look in words: what a client who can't see the drawing chooses by."""

from __future__ import annotations

from collections import Counter

from ...meaning.model import Recipe
from ...passes.constants import LANDMARK_DROP_MM, MEAN_HEAD_MM
from ...plan.model import Plan, StrandKind
from .. import wording as words
from ..language import mark
from ..speech import Speech, speech
from .look_colours import Colours, colours_of
from .look_paths import lying_strands

SIZES = ((4.0, "very slim"), (6.0, "slim"), (9.0, "medium"), (13.0, "large"), (1e9, "very large"))
"""Widths up to which a strand goes by a word; our own estimate of the trade's use."""
REACH = {
    "chin": (mark("the longest hang to the chin"), mark("the longest hang below the chin")),
    "shoulder": (mark("the longest hang to the shoulder"), mark("the longest hang below the shoulder")),
    "armpit": (mark("the longest hang to the armpit"), mark("the longest hang below the armpit")),
    "mid back": (mark("the longest hang to mid back"), mark("the longest hang below mid back")),
    "waist": (mark("the longest hang to the waist"), mark("the longest hang below the waist")),
    "hip": (mark("the longest hang to the hip"), mark("the longest hang below the hip")),
}
SHORT_OF = 30.0
"""A tip this near a landmark, mm, reaches it; our own estimate."""
SECTIONS_SHAPE = {"square": mark("squares"), "brick": mark("bricks"), "rectangle": mark("rectangles"), "triangle": mark("triangles"),
                  "diamond": mark("diamonds"), "rows": mark("rows")}
END_WORDS = {
    "knot": mark("knotted"), "heat seal": mark("sealed"), "dip": mark("dipped smooth"), "curl rods": mark("curled on rods"), "ornaments": "",
    "band": mark("banded"), "tuck": mark("tucked in"), "leave loose": mark("left loose"), "leave curls loose": "", "trim": mark("trimmed even"),
}


def finished_look_text(plan: Plan, recipe: Recipe | None = None, say: Speech = speech()) -> str:
    """One paragraph: strands, length, width, partings, curls, ornaments, ends, colours.

    Without the ``recipe`` the shape of the sections, the parting's place and the ends go unsaid:
    a plan doesn't hold them.
    """
    said = [_strands(plan, say), _partings(plan, recipe, say), *_curls(plan, say), *_ornaments(plan, say), *_ends(recipe, say),
            _colours(plan, say)]
    return " ".join(words.sentence(s) for s in said if s)


def _strands(plan: Plan, say: Speech) -> str:
    by_technique: dict[str, list[StrandKind]] = {}
    for kind in plan.strand_kinds:
        by_technique.setdefault(kind.technique, []).append(kind)
    parts = []
    for technique, kinds in by_technique.items():
        count = sum(len(k.sections) for k in kinds)
        wide = sum(k.width_mm * len(k.sections) for k in kinds) / max(count, 1)
        low, high = min(k.length_mm for k in kinds), max(k.length_mm for k in kinds)
        parts.append(say("{strands}, each about {width} wide and {length} long from its root", strands=_counted(say, technique, count, _size(wide)),
                         width=say.width(wide), length=say.between(low, high)))
    return say.series([*parts, *_reach(plan, say)])


def _counted(say: Speech, technique: str, n: int, size: str) -> str:
    """``60 medium plaits``."""
    size = say.term("strand size", size)
    if technique == "twist":
        return say.many("{n} {size} two-strand twist", "{n} {size} two-strand twists", n, size=size)
    if technique == "row":
        return say.many("{n} {size} scalp row", "{n} {size} scalp rows", n, size=size)
    return say.many("{n} {size} plait", "{n} {size} plaits", n, size=size)


def _size(width: float) -> str:
    return next(word for most, word in SIZES if width <= most)


def _reach(plan: Plan, say: Speech) -> list[str]:
    """The landmark that the longest tips come down to."""
    strands = lying_strands(plan)
    if not strands:
        return []
    low = -min(lying.points[-1][2] for lying in strands)
    scale = plan.sections.head.circumference_mm / MEAN_HEAD_MM
    passed = [name for name, drop in LANDMARK_DROP_MM.items() if low + SHORT_OF >= drop * scale]
    if not passed:
        return [say("the longest hang above the chin")]
    to, below = REACH[passed[-1]]
    return [say(to if low <= LANDMARK_DROP_MM[passed[-1]] * scale + 2.0 * SHORT_OF else below)]


def _partings(plan: Plan, recipe: Recipe | None, say: Speech) -> str:
    out = [z.zone for z in plan.sections.zones if z.left_out]
    if recipe is None:
        whole = say("Parted into {count} sections", count=plan.sections.count)
    else:
        shapes = Counter(look.grid.shape for look in recipe.zones if not look.left_out)
        whole = say("Parted in {shapes} with {parting}", shapes=say.listed(say(SECTIONS_SHAPE[s]) for s, _ in shapes.most_common()),
                    parting=_parting(recipe, say))
    if out:
        return say("{what}; {zones} left out", what=whole, zones=say.listed(say.term("zone", zone) for zone in out))
    return whole


def _parting(recipe: Recipe, say: Speech) -> str:
    parting = recipe.parting
    if parting.kind == "none":
        return say("no main parting")
    if parting.zigzag:
        kind = {"centre": mark("a zigzag centre parting"), "side": mark("a zigzag side parting"),
                "off-centre": mark("a zigzag off-centre parting")}[parting.kind]
    else:
        kind = {"centre": mark("a centre parting"), "side": mark("a side parting"), "off-centre": mark("an off-centre parting")}[parting.kind]
    if parting.side == "left":
        return say("{parting} on the wearer's left", parting=say(kind))
    return say("{parting} on the wearer's right", parting=say(kind)) if parting.side == "right" else say(kind)


def _curls(plan: Plan, say: Speech) -> list[str]:
    counts: Counter[str] = Counter()
    for kind in plan.strand_kinds:
        for accent in kind.accents:
            if accent.role:
                counts[accent.role] += accent.count * len(kind.sections)
    total = sum(len(k.sections) for k in plan.strand_kinds) or 1
    return [say("About {each} loose {role} hang from each strand, {n} in all", each=say.plain(n / total), role=words.name(role), n=n)
            if n >= total else say("{n} loose {role} in all", n=n, role=words.name(role)) for role, n in counts.items()]


def _ornaments(plan: Plan, say: Speech) -> list[str]:
    return [f"{counted_ornaments(say, line.count, line.kind)} ({words.name(line.name)})" for line in plan.material.ornaments]


def _ends(recipe: Recipe | None, say: Speech) -> list[str]:
    if recipe is None:
        return []
    steps = dict.fromkeys(END_WORDS[s.kind] for look in recipe.zones if not look.left_out for s in look.end)
    ends = [say(w) for w in steps if w]
    return [say("Ends {how}", how=say.listed(ends))] if ends else []


def _colours(plan: Plan, say: Speech) -> str:
    lines = [line for tone, line in legend_lines(plan, colours_of(plan), say) if tone]
    return say.many("Colour: {colours}", "Colours: {colours}", len(lines), colours=say.series(lines)) if lines else ""


def counted_ornaments(say: Speech, n: int, kind: str) -> str:
    """``12 beads``; a kind that isn't one of ours as it is."""
    counted = {"bead": lambda: say.counted("{n} bead", "{n} beads", n), "cuff": lambda: say.counted("{n} cuff", "{n} cuffs", n),
               "ring": lambda: say.counted("{n} ring", "{n} rings", n), "shell": lambda: say.counted("{n} shell", "{n} shells", n),
               "cord": lambda: say.counted("{n} cord", "{n} cords", n)}
    return counted[kind]() if kind in counted else f"{n} {kind}"


def legend_lines(plan: Plan, colours: Colours, say: Speech) -> list[tuple[str, str]]:
    """(tone, colour and what it is used for); the last line, without a tone, says what tones are."""
    uses: dict[str, list[str]] = {}
    for role, names in colours.of_role.items():
        for name in names:
            uses.setdefault(name, []).append(words.name(role))
    out = [(tone, f"{words.name(name)}" + (f" ({say.listed(uses[name])})" if uses.get(name) else ""))
           for name, tone in colours.tones.items()]
    return [*out, ("", say("Tones tell colours apart; they are not the hair's own shade."))] if out else []
