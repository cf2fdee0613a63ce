"""The finished look in words: what a client who can't see the drawing chooses by."""

from __future__ import annotations

from collections import Counter

from ...meaning.model import Recipe
from ...passes.constants import LANDMARK_DROP_MM, MEAN_HEAD_MM
from ...plan.model import Plan, StrandKind
from .. import words as say
from .look_colours import Colours, colours_of
from .look_paths import lying_strands

STRAND_WORDS = {"plait": ("plait", "plaits"), "twist": ("two-strand twist", "two-strand twists"), "row": ("scalp row", "scalp rows")}
SIZES = ((4.0, "very slim"), (6.0, "slim"), (9.0, "medium"), (13.0, "large"))
"""Widths up to which a strand goes by a word; our own estimate of the trade's use."""
REACH = {"chin": "the chin", "shoulder": "the shoulder", "armpit": "the armpit", "mid back": "mid back", "waist": "the waist", "hip": "the hip"}
SHORT_OF = 30.0
"""A tip this near a landmark, mm, reaches it; our own estimate."""
SECTIONS_SHAPE = {"square": "squares", "brick": "bricks", "rectangle": "rectangles", "triangle": "triangles", "diamond": "diamonds",
                  "rows": "rows"}
END_WORDS = {
    "knot": "knotted", "heat seal": "sealed", "dip": "dipped smooth", "curl rods": "curled on rods", "ornaments": "",
    "band": "banded", "tuck": "tucked in", "leave loose": "left loose", "leave curls loose": "", "trim": "trimmed even",
}


def finished_look_text(plan: Plan, recipe: Recipe | None = None, units: say.Units = "metric") -> str:
    """One paragraph: strands, length, width, partings, curls, ornaments, ends, colours.

    Without the ``recipe`` the shape of the sections, the parting's place and the ends go unsaid:
    a plan doesn't hold them.
    """
    said = [_strands(plan, units), _partings(plan, recipe), *_curls(plan), *_ornaments(plan), *_ends(recipe), _colours(plan)]
    return " ".join(say.sentence(s) for s in said if s)


def _strands(plan: Plan, units: say.Units) -> str:
    by_technique: dict[str, list[StrandKind]] = {}
    for kind in plan.strand_kinds:
        by_technique.setdefault(kind.technique, []).append(kind)
    parts = []
    for technique, kinds in by_technique.items():
        count = sum(len(k.sections) for k in kinds)
        one, many = STRAND_WORDS[technique]
        wide = sum(k.width_mm * len(k.sections) for k in kinds) / max(count, 1)
        low, high = min(k.length_mm for k in kinds), max(k.length_mm for k in kinds)
        parts.append(f"{count} {_size(wide)} {one if count == 1 else many}, each about {say.width(wide)} wide and "
                     f"{say.between(low, high, units)} long from its root")
    reach = _reach(plan)
    return "; ".join(parts) + (f"; the longest hang {reach}" if reach else "")


def _size(width: float) -> str:
    return next((word for most, word in SIZES if width <= most), "very large")


def _reach(plan: Plan) -> str:
    """The landmark that the longest tips come down to."""
    strands = lying_strands(plan)
    if not strands:
        return ""
    low = -min(lying.points[-1][2] for lying in strands)
    scale = plan.sections.head.circumference_mm / MEAN_HEAD_MM
    passed = [name for name, drop in LANDMARK_DROP_MM.items() if low + SHORT_OF >= drop * scale]
    if not passed:
        return "above the chin"
    drop = LANDMARK_DROP_MM[passed[-1]] * scale
    return f"to {REACH[passed[-1]]}" if low <= drop + 2.0 * SHORT_OF else f"below {REACH[passed[-1]]}"


def _partings(plan: Plan, recipe: Recipe | None) -> str:
    out = [z.zone for z in plan.sections.zones if z.left_out]
    left = f"; {say.listed(out)} left out" if out else ""
    if recipe is None:
        return f"Parted into {plan.sections.count} sections{left}"
    shapes = Counter(look.grid.shape for look in recipe.zones if not look.left_out)
    grid = say.listed(SECTIONS_SHAPE[s] for s, _ in shapes.most_common())
    parting = recipe.parting
    where = f" on the wearer's {parting.side}" if parting.side else ""
    line = "no main parting" if parting.kind == "none" else f"{'an' if parting.kind[0] == 'o' else 'a'} {parting.kind} parting{where}"
    if parting.zigzag and parting.kind != "none":
        line = "a zigzag " + line.partition(" ")[2]
    return f"Parted in {grid} with {line}{left}"


def _curls(plan: Plan) -> list[str]:
    counts: Counter[str] = Counter()
    for kind in plan.strand_kinds:
        for accent in kind.accents:
            if accent.role:
                counts[accent.role] += accent.count * len(kind.sections)
    total = sum(len(k.sections) for k in plan.strand_kinds) or 1
    return [f"About {say.plain(n / total)} loose {say.name(role)} hang from each strand, {n} in all" if n >= total else
            f"{n} loose {say.name(role)} in all" for role, n in counts.items()]


def _ornaments(plan: Plan) -> list[str]:
    return [f"{say.counted(line.count, line.kind)} ({say.name(line.name)})" for line in plan.material.ornaments]


def _ends(recipe: Recipe | None) -> list[str]:
    if recipe is None:
        return []
    steps = dict.fromkeys(END_WORDS[s.kind] for look in recipe.zones if not look.left_out for s in look.end)
    words = [w for w in steps if w]
    return [f"Ends {say.listed(words)}"] if words else []


def _colours(plan: Plan) -> str:
    lines = [words for tone, words in legend_lines(plan, colours_of(plan)) if tone]
    return f"Colour{'s' if len(lines) > 1 else ''}: " + "; ".join(lines) if lines else ""


def legend_lines(plan: Plan, colours: Colours) -> list[tuple[str, str]]:
    """(tone, colour and what it is used for); the last line, without a tone, says what tones are."""
    uses: dict[str, list[str]] = {}
    for role, names in colours.of_role.items():
        for name in names:
            uses.setdefault(name, []).append(say.name(role))
    out = [(tone, f"{say.name(name)}" + (f" ({say.listed(uses[name])})" if uses.get(name) else ""))
           for name, tone in colours.tones.items()]
    return [*out, ("", "Tones tell colours apart; they are not the hair's own shade.")] if out else []
