"""Strands: every section's strand worked out, each sort of strand once.

Sections of one zone with nearly the same hair are one kind and share one schedule.
Formulas stand in :mod:`.strand_models`, :mod:`.bundles` and :mod:`.feed_in`.
"""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache
from math import asin, floor, log
from typing import NamedTuple

from ..meaning.model import House, Pieces, Recipe, Wearer, ZoneLook
from ..meaning.values import Origin
from ..plan.model import Figure, Section, Sections, Strand, StrandKind
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, whole_line
from .accents import AccentLine, starting_places
from .bundles import Piece, piece_of
from .constants import (
    HAIR_CLASS_RATIO,
    HAIR_DENSITY_G_CM3,
    LANDMARK_DROP_MM,
    LEAST_OWN_MM,
    LEVEL_CLASS_MM,
    MEAN_HEAD_MM,
    OWN_FIRST_MM,
    RUN_CLASS_MM,
    SHORTEST_STRAND_MM,
)
from .feed_in import FeedLine, Lot
from .strand_figures import added_figure, kind_figures, total_figures
from .strand_kinds import Member, Pattern, ZonePlan, make_kind, make_pattern
from .strand_models import hair_g_m
from .strand_work import Job

StrandParts = tuple[tuple[StrandKind, ...], tuple[Strand, ...]]


def work_strands(
    recipe: Recipe, wearer: Wearer, house: House, sections: Sections
) -> Outcome[StrandParts]:
    """The kinds of strand on this head, and every section's strand.

    What can't be had of a strand is said in its kind's ``unmet``. A strand that can't be
    made at all, for want of own hair or of hair near the root, is a problem.
    """
    bald = _too_short_to_hold(recipe, wearer, sections)
    if bald is not None:
        return Outcome(None, (), (bald,))
    workshop = _Workshop(recipe, wearer, house, sections)
    worked = [section for section in sections.items if not workshop.looks[section.zone].left_out]
    batches = _batches(workshop, worked, sections)
    parts, figures = _all_strands(tuple(workshop.ways), batches, workshop.places.count, wearer.strand_um.value)
    looks = ((workshop.looks[kind.zone], kind) for kind in parts[0])
    stumps = tuple(dict.fromkeys(_stump(look) for look, kind in looks if _is_stump(look, kind)))
    return Outcome(None, (), stumps) if stumps else Outcome(parts, figures)


def _too_short_to_hold(recipe: Recipe, wearer: Wearer, sections: Sections) -> Problem | None:
    """Own hair that nothing can be plaited on to, in a zone that is worked."""
    for zone in dict.fromkeys(section.zone for section in sections.items):
        own = wearer.own_hair_mm(zone)
        if own.value < LEAST_OWN_MM and not recipe.zone(zone).left_out:
            where = wearer.origin if own.origin.line == 0 else own.origin
            return Problem("E009", f"own hair of {own.text} in the {zone} can't be braided",
                           f"leave the zone out of the look, or wait: at least {LEAST_OWN_MM:g} mm is needed to take hold",
                           whole_line(where.file, where.line))
    return None


def _is_stump(look: ZoneLook, kind: StrandKind) -> bool:
    """A strand that was to begin with own hair and ends before anything is laid in."""
    asked = look.wearing.length_mm
    return (look.start.kind == "own hair first" and not kind.feed_ins
            and asked is not None and kind.length_mm < asked.value / 3)


def _stump(look: ZoneLook) -> Problem:
    origin = look.start.origin
    return Problem("E010", "own hair runs out before the added hair takes over, so the strand ends near the root",
                   "start: extension at root, or lay the first piece in sooner: own hair ½ in first",
                   whole_line(origin.file, origin.line))


class _Way(NamedTuple):
    """How a zone is worked, but for the hair and the length of each strand."""

    job: Job
    plan: ZonePlan
    origins: tuple[Origin | None, ...]


class _Batch(NamedTuple):
    """Sections of one zone that make one kind."""

    zone: str
    way: int
    """Which of the ways of working."""
    hairs: int
    length_mm: float | None
    run_mm: float
    members: tuple[Member, ...]


def _batches(workshop: _Workshop, worked: list[Section], sections: Sections) -> tuple[_Batch, ...]:
    """Sections sorted into kinds: one zone, nearly the same hair, nearly the same length."""
    ladder = log(HAIR_CLASS_RATIO)
    hairs: dict[int, list[int]] = defaultdict(list)
    hangs: dict[int, list[float]] = defaultdict(list)
    runs: dict[int, list[float]] = defaultdict(list)
    groups: dict[tuple[str, int, int, int], list[Section]] = defaultdict(list)
    level = {zone: _level_mm(look, sections) for zone, look in workshop.looks.items()}
    rows = {zone for zone, look in workshop.looks.items() if look.technique == "row"}
    levels = {zone for zone, below in level.items() if below is not None}
    for section in worked:
        hair = floor(log(max(1, section.hairs)) / ladder + 0.5)
        hang = run = 0
        if section.zone in levels:
            drop = _hang_mm(section, sections)
            hang = floor(drop / LEVEL_CLASS_MM + 0.5)
            hangs[hang].append(drop)
        if section.zone in rows:
            run = floor(section.height_mm / RUN_CLASS_MM + 0.5)
            runs[run].append(section.height_mm)
        hairs[hair].append(section.hairs)
        groups[section.zone, hair, hang, run].append(section)

    # One typical number for a class over the whole head, so that zones worked alike share the work.
    typical_hairs = {name: max(1, round(_mean(counts))) for name, counts in hairs.items()}
    typical_hang = {name: _mean(drops) for name, drops in hangs.items()}
    typical_run = {name: _mean(heights) for name, heights in runs.items()}
    places, mirrored = workshop.places.of, workshop.recipe.mirrored
    found = []
    for (zone, hair, hang, run), group in groups.items():
        look = workshop.looks[zone]
        below = level[zone]
        run_mm = typical_run[run] if zone in rows else 0.0
        if below is not None:
            length: float | None = max(SHORTEST_STRAND_MM, below + typical_hang[hang])
        else:
            length = look.wearing.length_mm.value if look.wearing.length_mm else None
        members = tuple(
            (section.number, places[section.number], not (mirrored and section.side == "right"))
            for section in group
        )
        found.append(
            _Batch(zone, workshop.way(zone), typical_hairs[hair],
                   length if length is None else max(length, run_mm), run_mm, members)
        )
    return tuple(found)


def _mean(values: list[int] | list[float]) -> float:
    return sum(values) / len(values)


@lru_cache(maxsize=32)
def _all_strands(
    ways: tuple[_Way, ...], batches: tuple[_Batch, ...], places: int, strand_um: float
) -> tuple[StrandParts, tuple[Figure, ...]]:
    patterns: dict[tuple[int, int, float | None, float], Pattern] = {}
    kinds: list[StrandKind] = []
    strands: list[Strand] = []
    figures: list[Figure] = []
    for number, batch in enumerate(batches, start=1):
        key = batch.way, batch.hairs, batch.length_mm, batch.run_mm
        if key not in patterns:
            way = ways[batch.way]
            job = way.job._replace(hairs=batch.hairs, length_mm=batch.length_mm, run_mm=batch.run_mm)
            patterns[key] = make_pattern(number, job, way.plan, places)
            figures.extend(kind_figures(number, job, patterns[key].worked, way.origins, strand_um))
        kind, made = make_kind(number, batch.zone, patterns[key], batch.members)
        kinds.append(kind)
        strands.extend(made)
        figures.append(added_figure(number, kind.like, kind.added_g))
    strands.sort(key=lambda strand: strand.section)
    figures.extend(total_figures(tuple(kinds), len(strands)))
    return (tuple(kinds), tuple(strands)), tuple(figures)


class _Workshop:
    """What every kind needs of the recipe, read once."""

    def __init__(self, recipe: Recipe, wearer: Wearer, house: House, sections: Sections) -> None:
        self.recipe, self.wearer, self.house = recipe, wearer, house
        self.places = starting_places(sections.items)
        self.looks = {look.zone: look for look in recipe.zones}
        self.uses = {use.role: use for use in recipe.hairs}
        self.hairs = {hair.name: hair for hair in recipe.catalogue}
        self.hair_g_m = hair_g_m(wearer.strand_um.value, HAIR_DENSITY_G_CM3)
        self.pieces: dict[tuple[str, float], Piece] = {}
        self.shades = {
            use.role: ((0, use.parts[0].colour), *((shade.from_stitch, shade.colour) for shade in use.shades))
            for use in recipe.hairs if use.shades
        }
        self.ways: dict[_Way, int] = {}
        self._way_of: dict[str, int] = {}

    def piece(self, role: str, held_mm: float) -> Piece:
        key = (role, held_mm)
        if key not in self.pieces:
            self.pieces[key] = piece_of(self.uses[role], held_mm, self.hairs, self.house)
        return self.pieces[key]

    def lot(self, pieces: Pieces) -> Lot:
        return Lot(self.piece(pieces.role, pieces.held_mm.value), pieces.count)

    def way(self, zone: str) -> int:
        """The number of a zone's way of working, the same for zones worked alike."""
        if zone not in self._way_of:
            look = self.looks[zone]
            plan = self._plan(look)
            wearer, measured = self.wearer, self.house.length_ratio
            own = wearer.own_hair_mm(zone)
            job = Job(
                technique=look.technique, tightness=look.tightness,
                length_ratio=measured.value if measured else None,
                length_mm=None, run_mm=0.0, hairs=0, hair_g_m=self.hair_g_m,
                own_mm=own.value, layers_mm=wearer.layers_mm.value,
                start=plan.start[0], start_own_mm=plan.start[1], start_lot=plan.start[2],
                feeds=plan.feeds, trim=plan.trim, units=self.house.units,
            )
            origins = (
                look.wearing.origin, wearer.strand_um.origin, own.origin, wearer.layers_mm.origin,
                measured.origin if measured else None, look.start.origin,
                look.feeds[-1].origin if look.feeds else None,
            )
            self._way_of[zone] = self.ways.setdefault(_Way(job, plan, origins), len(self.ways))
        return self._way_of[zone]

    def _plan(self, look: ZoneLook) -> ZonePlan:
        """A zone's look in plain numbers."""
        start = look.start
        own_first = start.own_mm.value if start.own_mm else OWN_FIRST_MM
        return ZonePlan(
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
                    self.shades.get(accent.pieces.role, ()) if accent.pieces else (),
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
            shades=tuple(self.shades.items()),
        )


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
