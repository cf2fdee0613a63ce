"""How much work a look holds: how often each operation is done, head by head and strand by strand."""

from __future__ import annotations

from math import ceil, sqrt
from operator import attrgetter
from typing import Mapping, NamedTuple

from ..meaning.model import Rate, Recipe, Wearer
from ..plan.model import Material, Section, Sections, StrandKind

MOTIONS: dict[str, tuple[str, ...]] = {
    "part": ("part", "part line"),
    "start extension": ("start extension", "start extension width"),
    "start own hair first": ("start own hair first",),
    "start own hair only": ("start own hair only",),
    "start knotted": ("start knotted", "start knotted width"),
    "stitch": ("stitch", "stitch hair"),
    "twist": ("twist", "twist hair"),
    "pick up": ("pick up",),
    "feed in": ("feed in",),
    "accent": ("accent",),
    "ornament": ("ornament",),
    "knot": ("knot", "knot turn"),
    "heat seal": ("heat seal",),
    "dip": ("dip",),
    "curl rods": ("curl rods",),
    "band": ("band",),
    "tuck": ("tuck",),
    "trim": ("trim",),
}
"""Operations on a strand that are one movement of the hand, and so vary together."""

ARRIVAL: dict[str, tuple[str, ...]] = {
    "washed and dried": (),
    "washed": ("detangle", "blow-dry"),
    "unwashed": ("detangle", "wash", "blow-dry"),
    "in an old set": ("take down", "detangle", "wash", "blow-dry"),
}
"""What is left to do when the wearer comes (common practice, no source)."""

Counts = dict[str, float]


class Labour(NamedTuple):
    """The work on the strands, in seconds of one braider."""

    totals: Counts
    """How often each operation is done on the whole head."""
    variance: float
    """Of the sum, in s²: strands vary independently, so their variances add."""
    by_section: tuple[tuple[int, str, float], ...]
    """(section number, zone, seconds) in braid order."""
    variances: tuple[float, ...] = ()
    """Of each of ``by_section``, in s²."""


def opened_stitches(kinds: tuple[StrandKind, ...]) -> Counts:
    """What taking down a set like this one means: its strands, and the stitches that hold own hair.

    The added tail below the own ends is cut off, not unbraided.
    """
    return {
        "take down": float(sum(len(kind.sections) for kind in kinds)),
        "take down stitch": float(sum(
            len(kind.sections) * min(kind.own_ends_stitch, kind.stitches) for kind in kinds)),
    }


def old_set(wearer: Wearer, kinds: tuple[StrandKind, ...]) -> Counts:
    """What taking down the wearer's old set means; of a set she hasn't told of, as large as the new one.

    Of another number of strands each holds its share of the same own hair, so its width goes with the root of
    that share, unless it is told; its stitches over the same own length go with one over the width.
    """
    like_this, told = opened_stitches(kinds), wearer.old_set
    strands = like_this["take down"]
    if told is None or not strands:
        return like_this
    if told.width_mm is None:
        finer = sqrt(told.strands / strands)
    else:
        finer = sum(len(kind.sections) * kind.width_mm for kind in kinds) / strands / told.width_mm.value
    each = like_this["take down stitch"] / strands
    return {"take down": float(told.strands), "take down stitch": told.strands * each * finer}


def arrival_steps(wearer: Wearer) -> tuple[str, ...]:
    """What is done to the hair before the first part; nothing is assumed of an unknown arrival.

    Who tells of an old set and not of her arrival comes in that set.
    """
    return ARRIVAL[wearer.arrives or ("washed and dried" if wearer.old_set is None else "in an old set")]


def preparation_counts(recipe: Recipe, material: Material) -> Counts:
    """Packs to cut, stretch and brush, pieces to divide, pegs to load (again, where the rack is filled twice)."""
    curly = {hair.name for hair in recipe.catalogue if hair.kind == "curly"}
    stretched = {cut.hair for cut in material.cuts if cut.pulled_mm > 0}
    return {
        "cut": sum(line.packs_used for line in material.hair),
        "stretch": sum(line.packs_used for line in material.hair if line.name in stretched),
        "brush": sum(line.packs_used for line in material.hair if line.name not in curly),
        "divide": float(sum(cut.pieces for cut in material.cuts)),
        "load racks": float(sum(ceil(rack.pieces / max(1, rack.per_peg)) for rack in material.racks)),
    }


def strand_counts(recipe: Recipe, kind: StrandKind) -> Counts:
    """What is done on one strand of this kind, parting and scalp pick-ups left out."""
    look = recipe.zone(kind.zone)
    start = look.start.kind
    laid_at_start = start in ("extension", "knotted")
    pieces = 0.0
    for feed in kind.feed_ins:
        # The first piece of an extension start is already in the start's own time.
        first = 1 if laid_at_start and feed.stitch == 0 else 0
        pieces += max(0, feed.pieces - first)
    counts: Counts = {f"start {start}": 1.0, "feed in": pieces}
    if laid_at_start:
        counts[f"start {start} width"] = kind.width_mm
    hair = kind.stitches * kind.width_mm**2
    if kind.technique == "twist":
        counts["twist"], counts["twist hair"] = float(kind.stitches), hair
    else:
        counts["stitch"], counts["stitch hair"] = float(kind.stitches), hair
    laid = threaded = 0.0
    for accent in kind.accents:
        if accent.role:
            laid += accent.count
        if accent.ornament:
            threaded += accent.count
    counts["accent"], counts["ornament"] = laid, threaded
    for step in look.end:
        if step.kind == "knot":
            counts["knot"] = counts.get("knot", 0.0) + 1
            counts["knot turn"] = counts.get("knot turn", 0.0) + (step.turns or 1)
        elif step.kind == "ornaments":
            counts["ornament"] += step.ornament_count
        elif step.kind in MOTIONS:
            counts[step.kind] = counts.get(step.kind, 0.0) + 1
    return counts


def scalp_stitches(kind: StrandKind, section: Section) -> float:
    """Stitches of a scalp row that travel on the scalp: the row's length over the pitch."""
    if kind.technique != "row" or kind.pitch_mm <= 0:
        return 0.0
    return min(float(kind.stitches), max(section.width_mm, section.height_mm) / kind.pitch_mm)


_MOTION_OF = {part: name for name, parts in MOTIONS.items() for part in parts}


def _motion(counts: Counts, rates: Mapping[str, Rate]) -> tuple[float, float]:
    """(seconds, variance) of one strand's work."""
    times: Counts = {}
    whole = variance = 0.0
    for part, count in counts.items():
        if count:
            name = _MOTION_OF[part]
            time = count * rates[part].seconds
            times[name] = times.get(name, 0.0) + time
            whole += time
    for name, time in times.items():
        variance += (rates[name].spread * time) ** 2
    return whole, variance


_number = attrgetter("number")


def labour(
    recipe: Recipe, sections: Sections, kinds: tuple[StrandKind, ...], rates: Mapping[str, Rate]
) -> Labour:
    """All work on the strands, section by section in braid order."""
    per_section: dict[int, tuple[StrandKind, float, float]] = {}
    totals: Counts = {}
    for kind in kinds:
        counts = strand_counts(recipe, kind)
        seconds, own_variance = _motion(counts, rates)
        strands = len(kind.sections)
        for name, count in counts.items():
            totals[name] = totals.get(name, 0.0) + count * strands
        row = (kind, seconds, own_variance)
        for number in kind.sections:
            per_section[number] = row
    part_s, line_s, pick = rates["part"].seconds, rates["part line"].seconds, rates["pick up"]
    spread2 = rates["part"].spread ** 2
    by_section: list[tuple[int, str, float]] = []
    variances: list[float] = []
    edges = picks = 0.0
    for section in sorted(sections.items, key=_number):
        found = per_section.get(section.number)
        if found is None:
            continue
        kind, seconds, here = found
        # Two sides of each section are new; the others are its neighbours'.
        edge = section.width_mm + section.height_mm
        parting = part_s + edge * line_s
        here += spread2 * parting * parting
        edges += edge
        seconds += parting
        if kind.technique == "row":
            picked = scalp_stitches(kind, section)
            picking = picked * pick.seconds
            here += (pick.spread * picking) ** 2
            picks += picked
            seconds += picking
        variances.append(here)
        by_section.append((section.number, section.zone, seconds))
    variance = sum(variances)
    totals["part"] = float(len(by_section))
    totals["part line"] = edges
    if picks:
        totals["pick up"] = picks
    return Labour({name: count for name, count in totals.items() if count}, variance, tuple(by_section),
                  tuple(variances))
