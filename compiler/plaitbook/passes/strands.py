"""Strands: every section's strand worked out, each sort of strand once.

Sections of one zone with nearly the same hair are one kind and share one schedule.
Formulas stand in :mod:`.strand_models`, :mod:`.bundles` and :mod:`.feed_in`.
"""

from __future__ import annotations

from collections import defaultdict
from math import asin, floor, log

from ..meaning.model import House, Pieces, Recipe, Wearer, ZoneLook
from ..plan.model import Figure, Section, Sections, Strand, StrandKind
from ..plan.outcome import Outcome
from .accents import AccentLine, starting_places
from .bundles import Piece, piece_of
from .constants import (
    HAIR_CLASS_RATIO,
    HAIR_DENSITY_G_CM3,
    LANDMARK_DROP_MM,
    LENGTH_CLASS_MM,
    MEAN_HEAD_MM,
    OWN_FIRST_MM,
    SHORTEST_STRAND_MM,
)
from .feed_in import FeedLine, Lot
from .strand_figures import total_figures
from .strand_kinds import Made, ZonePlan, make_kind
from .strand_models import hair_g_m
from .strand_work import Job

StrandParts = tuple[tuple[StrandKind, ...], tuple[Strand, ...]]


def work_strands(
    recipe: Recipe, wearer: Wearer, house: House, sections: Sections
) -> Outcome[StrandParts]:
    """The kinds of strand on this head, and every section's strand.

    What can't be had of a strand is said in its kind's ``unmet``; there are no problems.
    """
    workshop = _Workshop(recipe, wearer, house)
    left_out = {look.zone for look in recipe.zones if look.left_out}
    worked = [section for section in sections.items if section.zone not in left_out]
    places = starting_places(sections.items)
    groups: dict[tuple[str, int, *tuple[int, ...]], list[Section]] = defaultdict(list)
    level = {look.zone: _level_mm(look, sections) for look in recipe.zones}
    rows = {look.zone for look in recipe.zones if look.technique == "row"}
    ladder = log(HAIR_CLASS_RATIO)
    classes: dict[int, list[int]] = defaultdict(list)
    for section in worked:
        hair_class = floor(log(max(1, section.hairs)) / ladder + 0.5)
        classes[hair_class].append(section.hairs)
        key: tuple[str, int, *tuple[int, ...]] = (section.zone, hair_class)
        if level[section.zone] is not None:
            key += (floor(_hang_mm(section, sections) / LENGTH_CLASS_MM + 0.5),)
        if section.zone in rows:
            key += (floor(section.height_mm / LENGTH_CLASS_MM + 0.5),)
        groups[key].append(section)

    # One hair count for a class over the whole head, so that zones worked alike share the work.
    typical = {name: max(1, round(sum(counts) / len(counts))) for name, counts in classes.items()}
    kinds: list[StrandKind] = []
    strands: list[Strand] = []
    figures: list[Figure] = []
    for number, (key, group) in enumerate(groups.items(), start=1):
        hairs = typical[key[1]]
        kind, made, shown = _work_kind(workshop, number, hairs, group, sections, places, level)
        kinds.append(kind)
        strands.extend(made)
        figures.extend(shown)
    strands.sort(key=lambda strand: strand.section)
    figures.extend(total_figures(tuple(kinds), len(strands)))
    return Outcome((tuple(kinds), tuple(strands)), tuple(figures))


class _Workshop:
    """What every kind needs of the recipe, read once."""

    def __init__(self, recipe: Recipe, wearer: Wearer, house: House) -> None:
        self.recipe, self.wearer, self.house = recipe, wearer, house
        self.looks = {look.zone: look for look in recipe.zones}
        self.uses = {use.role: use for use in recipe.hairs}
        self.hairs = {hair.name: hair for hair in recipe.catalogue}
        self.hair_g_m = hair_g_m(wearer.strand_um.value, HAIR_DENSITY_G_CM3)
        self.pieces: dict[tuple[str, float], Piece] = {}
        self.plans: dict[str, ZonePlan] = {}

    def piece(self, role: str, held_mm: float) -> Piece:
        key = (role, held_mm)
        if key not in self.pieces:
            self.pieces[key] = piece_of(self.uses[role], held_mm, self.hairs, self.house)
        return self.pieces[key]

    def lot(self, pieces: Pieces) -> Lot:
        return Lot(self.piece(pieces.role, pieces.held_mm.value), pieces.count)

    def zone(self, zone: str) -> ZonePlan:
        """A zone's look in plain numbers, which is what strands are shared by."""
        if zone not in self.plans:
            look = self.looks[zone]
            start = look.start
            own_first = start.own_mm.value if start.own_mm else OWN_FIRST_MM
            self.plans[zone] = ZonePlan(
                start=(start.kind, own_first, self.lot(start.pieces) if start.pieces else None),
                feeds=tuple(
                    FeedLine(
                        feed.kind, self.lot(feed.pieces),
                        feed.width_mm.value if feed.width_mm else None,
                        feed.stitches, feed.every, feed.first, feed.last,
                    )
                    for feed in look.feeds
                ),
                accents=tuple(
                    AccentLine(
                        accent.every, accent.stitches, accent.first, accent.last,
                        accent.pieces.role if accent.pieces else None,
                        accent.pieces.held_mm.value if accent.pieces else 0.0,
                        accent.pieces.count if accent.pieces else 0,
                        accent.ornament, accent.ornament_count, accent.side, accent.stagger,
                    )
                    for accent in look.accents
                ),
                ends=tuple(
                    (step.ornament, step.ornament_count or 1) for step in look.end if step.ornament
                ),
                trim=any(step.kind == "trim" for step in look.end),
                masses=tuple(
                    ((accent.pieces.role, accent.pieces.held_mm.value), self.lot(accent.pieces).piece.mass_g)
                    for accent in look.accents if accent.pieces
                ),
                strung=tuple(
                    (one.name, one.mass_g.value, one.bore_mm.value if one.bore_mm else None)
                    for one in self.recipe.ornaments
                ),
            )
        return self.plans[zone]


def _level_mm(look: ZoneLook, sections: Sections) -> float | None:
    """How far the landmark where strands end lies below the ear notch, for this head."""
    if look.wearing.level is None:
        return None
    scale = sections.head.circumference_mm / MEAN_HEAD_MM
    return LANDMARK_DROP_MM[look.wearing.level] * scale


def _hang_mm(section: Section, sections: Sections) -> float:
    """How far a root lies above the ear notch, along a sphere of the head's height.

    A strand from above lies over the head before it hangs (our own estimate).
    """
    height = sections.head.semi_axes_mm[2]
    return height * asin(max(-1.0, min(1.0, section.centroid[2] / height)))


def _length_mm(look: ZoneLook, group: list[Section], sections: Sections, level: float | None) -> float | None:
    if level is not None:
        mean = sum(_hang_mm(section, sections) for section in group) / len(group)
        return max(SHORTEST_STRAND_MM, level + mean)
    return look.wearing.length_mm.value if look.wearing.length_mm else None


def _work_kind(
    workshop: _Workshop,
    number: int,
    hairs: int,
    group: list[Section],
    sections: Sections,
    places: dict[int, int],
    level: dict[str, float | None],
) -> Made:
    wearer, house = workshop.wearer, workshop.house
    mirrored = workshop.recipe.mirrored
    look = workshop.looks[group[0].zone]
    plan = workshop.zone(look.zone)
    size = len(group)
    run = sum(section.height_mm for section in group) / size if look.technique == "row" else 0.0
    length = _length_mm(look, group, sections, level[look.zone])
    job = Job(
        technique=look.technique,
        tightness=look.tightness,
        length_ratio=house.length_ratio.value if house.length_ratio else None,
        length_mm=length if length is None else max(length, run),
        run_mm=run,
        hairs=hairs,
        hair_g_m=workshop.hair_g_m,
        own_mm=wearer.own_hair_mm(look.zone).value,
        layers_mm=wearer.layers_mm.value,
        start=plan.start[0],
        start_own_mm=plan.start[1],
        start_lot=plan.start[2],
        feeds=plan.feeds,
        trim=plan.trim,
        units=house.units,
    )
    members = tuple(
        (section.number, places[section.number], not (mirrored and section.side == "right"))
        for section in group
    )
    origins = (
        look.wearing.origin, wearer.strand_um.origin, wearer.own_hair_mm(look.zone).origin,
        wearer.layers_mm.origin, house.length_ratio.origin if house.length_ratio else None,
        look.start.origin, look.feeds[-1].origin if look.feeds else None,
    )
    return make_kind(number, look.zone, job, plan, members, origins, wearer.strand_um.value)
