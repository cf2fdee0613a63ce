"""What hangs from the strands of the finished look: loose curls, curls of rods, ornaments."""

from __future__ import annotations

from typing import Literal

from ...meaning.model import Recipe
from ...plan.model import Plan
from .look_colours import Colours, strand_tones
from .look_figure import PAPER
from .look_paths import Lying, Vector, places
from .look_strands import BEAD_STEP_MM, curl, end_ornaments, ornament

View = Literal["front", "side", "back"]
Curl = tuple[str, int, int]
"""(id, across, down) of one curl."""

CURL_SHARE = 0.78
"""Worn over flat length of a curl where no catalogue says: 14 of 18 in, common practice, no source."""
SIDES = {"left": (-1,), "right": (1,), "both": (-1, 1), "front": (1,)}
"""Sides on which an accent is drawn: -1 the wearer's left, 1 the right."""
ON_HEAD = 0.65
"""How much of a curl that is set on the head hangs below where its strand leaves the head; our own estimate."""
MOST_BEADS = 6
"""Ornaments drawn at one end; more would climb over the strand."""
STEP_UP_MM = 12.0
"""Curls set higher on the head begin this much higher each; our own estimate."""
VARIANTS = 3
"""Ways a loose curl is drawn, so that many of them don't lie in step."""
ROD_TURN = 0.6
"""Hanging over flat length of an end wound on a rod; our own estimate."""


def behind_head(view: View, lying: Lying, p: Vector) -> bool:
    """Whether a point of a scalp row lies on the far side of the head."""
    if lying.kind.technique != "row":
        return False
    return view == "front" and not lying.front and p[1] < 0.0 or view == "back" and p[1] > 0.0 and p[2] > 0.0


def on_page(view: View, points: tuple[Vector, ...]) -> list[tuple[float, float]]:
    """Tenths of a millimetre across and down the page."""
    if view == "side":
        return [(-10.0 * y, -10.0 * z) for _, y, z in points]
    across = -10.0 if view == "front" else 10.0
    return [(across * x, -10.0 * z) for x, _, z in points]


def rod_lengths(recipe: Recipe | None) -> dict[str, float]:
    """Zone -> how much of each end is wound on a rod, mm."""
    if recipe is None:
        return {}
    return {look.zone: step.length_mm.value for look in recipe.zones for step in look.end
            if step.kind == "curl rods" and step.length_mm is not None}


def hanging_shapes(plan: Plan, prefix: str, colours: Colours, curls: dict[str, float], rods: dict[str, float]) -> tuple[str, dict[str, str]]:
    """The curls and ornaments that strands refer to, each drawn once; role or ornament -> id."""
    out: list[str] = []
    names: dict[str, str] = {}
    for i, (role, length) in enumerate(curls.items()):
        names[role] = f"{prefix}c{i}"
        for word, side in (("l", -1), ("r", 1)):
            out += [curl(f"{prefix}c{i}{word}{n}", colours.tone(role), length, side, n) for n in range(VARIANTS)]
            out.append(curl(f"{prefix}c{i}{word}s", colours.tone(role), ON_HEAD * length, side, 1))
    for i, (zone, length) in enumerate(rods.items()):
        names["rod:" + zone] = f"{prefix}r{i}"
        tones = [strand_tones(k, colours)[-1][1] for k in plan.strand_kinds if k.zone == zone]
        out.append(curl(f"{prefix}r{i}", tones[0] if tones else PAPER, ROD_TURN * length, 1, 0))
    for i, line in enumerate(plan.material.ornaments):
        names[line.name] = f"{prefix}o{i}"
        out.append(ornament(f"{prefix}o{i}", line.kind))
    return "".join(out), names


def hung_on(view: View, lying: Lying, names: dict[str, str], rods: dict[str, float]) -> tuple[list[str], list[Curl]]:
    """The ornaments on one strand and the curls that hang beside it, root first."""
    kind = lying.kind
    out: list[str] = []
    curls: list[Curl] = []
    at = places(lying.points, [a.at_mm for a in lying.accents]) if lying.accents else []
    mirror = -1 if view == "front" else 1
    beside = mirror * int(4.0 * lying.width_mm)
    # A curl set on the head lies along its strand and hangs from where the strand does.
    spots = on_page(view, tuple(spot for spot, _ in at))
    (head_x, head_y), = on_page(view, (lying.points[min(lying.leaves, len(lying.points) - 1)],))
    row, leaves, section = kind.technique == "row", lying.leaves, lying.section
    for i, (accent, (x, y), (spot, leg)) in enumerate(zip(lying.accents, spots, at)):
        name = names.get(accent.ornament or accent.role or "")
        if name is None or row and behind_head(view, lying, spot):
            continue
        if accent.ornament:
            out.append(f'<use href="#{name}" x="{int(x)}" y="{int(y)}"/>')
            continue
        variant: int | str = (section + i) % VARIANTS
        if leg < leaves:
            x, y, variant = head_x + 30 * (i * 2 % 5 - 2), head_y - 10.0 * (leaves - leg) * STEP_UP_MM, "s"
        for side in SIDES[accent.side]:
            aside = side * beside
            curls.append((f"{name}{'l' if aside < 0 else 'r'}{variant}", int(x) + aside, int(y)))
    if behind_head(view, lying, lying.points[-1]):
        return out, curls
    (x, y), = on_page(view, lying.points[-1:])
    for word, count in end_ornaments(kind):
        if word in names:
            for i in range(min(count, MOST_BEADS)):
                out.append(f'<use href="#{names[word]}" x="{x:.0f}" y="{y - 10.0 * BEAD_STEP_MM * (i + 0.3):.0f}"/>')
    if "rod:" + kind.zone in names:
        (at, _), = places(lying.points, [max(0.0, kind.length_mm - rods[kind.zone])])
        (x, y), = on_page(view, (at,))
        out.append(f'<use href="#{names["rod:" + kind.zone]}" x="{x:.0f}" y="{y:.0f}"/>')
    return out, curls


def curl_lengths(plan: Plan, recipe: Recipe | None) -> dict[str, float]:
    """Role -> how far one of its curls hangs, mm: the worn length where a catalogue gives one."""
    roles = dict.fromkeys(a.role for k in plan.strand_kinds for a in k.accents if a.role)
    out = {}
    for role in roles:
        leg = max((line.cut_mm * max(line.fold, 1.0 - line.fold) for line in plan.material.cuts if line.role == role), default=300.0)
        share = CURL_SHARE
        if recipe is not None:
            for use in recipe.hairs:
                if use.role == role:
                    hair = recipe.hair(use.parts[0].hair)
                    if hair.worn_mm is not None:
                        share = hair.worn_mm.value / (hair.label_mm.value if hair.label_mm else hair.flat_mm.value / 2.0)
        out[role] = leg * min(share, 1.0)
    return out
