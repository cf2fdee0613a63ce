"""One kind of strand: what all kinds worked alike share, then each with its own sections."""

from __future__ import annotations

from functools import lru_cache
from math import pi
from typing import NamedTuple

from ..plan.computed import changed, computed, computed_all
from ..plan.model import AccentAt, FeedIn, Strand, StrandKind, WidthAt
from .accents import AccentLine, Shades, accent_stitches, set_accents, shade_at
from .constants import PACKING_SQUEEZED
from .feed_in import FeedLine, Lot
from .saying import say_width
from .strand_models import strand_model
from .strand_work import Job, Worked, work_strand


class ZonePlan(NamedTuple):
    """A zone's look in plain numbers, which is what strands are shared by."""

    start: tuple[str, float, Lot | None]
    feeds: tuple[FeedLine, ...]
    accents: tuple[AccentLine, ...]
    ends: tuple[tuple[str, int], ...]
    trim: bool
    masses: tuple[tuple[tuple[str, float], float], ...]
    """((role, width held), grams) of each piece set as an accent."""
    strung: tuple[tuple[str, float, float | None], ...]
    """(ornament, grams, bore in mm) of each ornament."""
    shades: tuple[tuple[str, Shades], ...] = ()
    """(role, its colours along the strand) of every shaded role."""


Size = tuple[str, float, str | None]
"""(role, width held in mm, colour): what lies on a rack of its own."""

Member = tuple[int, int, bool]
"""(section, accents' starting place, left first)."""


class _Set(NamedTuple):
    """The accents of one strand, and how many of each: pieces by size, ornaments."""

    accents: tuple[AccentAt, ...]
    pieces: dict[Size, int]
    ornaments: dict[str, int]


class Pattern(NamedTuple):
    """One way of working in the plan's own models, shared by every kind worked alike."""

    kind: StrandKind
    """Without number, zone, sections, and what its accents add."""
    plan: ZonePlan
    worked: Worked
    fed: dict[Size, float]
    """Full pieces laid into one strand."""
    sets: dict[tuple[int, bool], _Set]
    """The accents by (starting place, left first)."""


def make_pattern(number: int, job: Job, plan: ZonePlan, places: int) -> Pattern:
    """Work one strand and put it into the plan's models. ``number`` is the first kind worked
    so, ``places`` how many starting places accents have."""
    worked = work_strand(job)
    pitch = worked.pitch_mm
    shades = dict(plan.shades)
    feed_ins = tuple(
        _feed_in(fed.stitch, pitch, fed.lot, fed.times, shades.get(fed.lot.piece.role, ()))
        for fed in worked.fed
    )
    fed: dict[Size, float] = {}
    for item in feed_ins:
        size = item.role, item.held_mm, item.colour
        fed[size] = fed.get(size, 0.0) + item.pieces * item.part
    sets = _accent_sets(plan.accents, worked.stitches, pitch, places)
    kind = computed(
        StrandKind,
        id=0,
        zone="",
        technique=job.technique,
        tightness=job.tightness,
        sections=(),
        hairs=job.hairs,
        length_mm=worked.length_mm,
        stitches=worked.stitches,
        pitch_mm=pitch,
        length_ratio=worked.length_ratio,
        width_mm=worked.mean_mm,
        width_min_mm=worked.thinnest_mm,
        width_max_mm=worked.thickest_mm,
        largest_step_mm=worked.largest_step_mm,
        profile=computed_all(WidthAt, [
            {"stitch": k, "at_mm": k * pitch, "width_mm": width, "own_share": own}
            for k, (width, own) in enumerate(zip(worked.width_mm, worked.own_share)) if k
        ]),
        feed_ins=feed_ins,
        accents=sets[0, True].accents,
        own_ends_stitch=worked.own_ends_stitch,
        reach_mm=worked.reach_mm,
        added_g=worked.worn_g,
        own_g=worked.own_g,
        pieces=(),
        target_mm=worked.target_mm,
        unmet=worked.unmet + _accents_unmet(plan, worked),
        trimmed_g=worked.piece_g - worked.worn_g,
        like=number,
    )
    return Pattern(kind, plan, worked, fed, sets)


def _feed_in(stitch: int, pitch: float, lot: Lot, times: int, shades: Shades) -> FeedIn:
    pieces, part = lot.count * times, lot.part
    if part < 1.0 and (pieces * part).is_integer():
        pieces, part = int(pieces * part), 1.0
    return computed(
        FeedIn, stitch=stitch, at_mm=stitch * pitch, role=lot.piece.role, pieces=pieces,
        held_mm=lot.piece.held_mm, part=part, colour=shade_at(shades, stitch),
    )


@lru_cache(maxsize=256)
def _accent_sets(
    lines: tuple[AccentLine, ...], stitches: int, pitch: float, places: int
) -> dict[tuple[int, bool], _Set]:
    staggered = any(line.stagger for line in lines)
    found: dict[tuple[int, bool], _Set] = {}
    for place in range(places):
        for left_first in (True, False):
            if place and not staggered:
                found[place, left_first] = found[0, left_first]
                continue
            accents = set_accents(lines, stitches, pitch, place, left_first, places)
            pieces: dict[Size, int] = {}
            ornaments: dict[str, int] = {}
            for accent in accents:
                if accent.role is not None:
                    size = accent.role, accent.held_mm, accent.colour
                    pieces[size] = pieces.get(size, 0) + accent.count
                elif accent.ornament is not None:
                    ornaments[accent.ornament] = ornaments.get(accent.ornament, 0) + accent.count
            found[place, left_first] = _Set(accents, pieces, ornaments)
    return found


def make_kind(
    number: int, zone: str, pattern: Pattern, members: tuple[Member, ...]
) -> tuple[StrandKind, tuple[Strand, ...]]:
    """One kind and its strands."""
    worked, plan, feed_ins = pattern.worked, pattern.plan, pattern.kind.feed_ins
    tally: dict[tuple[int, bool], int] = {}
    for _, place, left_first in members:
        tally[place, left_first] = tally.get((place, left_first), 0) + 1
    strands = computed_all(Strand, [
        {
            "section": section, "kind": number, "stitches": worked.stitches,
            "width_mm": worked.mean_mm, "feed_ins": feed_ins,
            "accents": pattern.sets[place, left_first].accents,
        }
        for section, place, left_first in members
    ])
    worn: dict[Size, float] = {}
    ornaments: dict[str, float] = {}
    for chosen, times in tally.items():
        for size, count in pattern.sets[chosen].pieces.items():
            worn[size] = worn.get(size, 0) + count * times
        for name, count in pattern.sets[chosen].ornaments.items():
            ornaments[name] = ornaments.get(name, 0) + count * times
    for name, count in plan.ends:
        ornaments[name] = ornaments.get(name, 0) + count * len(members)
    masses = dict(plan.masses)
    weights = {name: mass for name, mass, _ in plan.strung}
    shaded = {size: count / len(members) for size, count in worn.items()}
    accent_g = sum(count * masses[role, held] for (role, held, _), count in shaded.items())
    for size, full in pattern.fed.items():
        shaded[size] = shaded.get(size, 0.0) + full
    portions: dict[tuple[str, float], float] = {}
    by_role: dict[str, float] = {}
    for (role, held, _), count in shaded.items():
        portions[role, held] = portions.get((role, held), 0.0) + count
        by_role[role] = by_role.get(role, 0.0) + count
    strung = tuple((name, count / len(members)) for name, count in ornaments.items())
    ornament_g = sum(count * weights[name] for name, count in strung)
    added_g = worked.worn_g + accent_g + ornament_g
    kind = changed(
        pattern.kind,
        id=number,
        zone=zone,
        sections=tuple([section for section, _, _ in members]),
        added_g=added_g,
        pieces=tuple(by_role.items()),
        portions=tuple([(role, held, count) for (role, held), count in portions.items()]),
        shaded=tuple([(*size, count) for size, count in shaded.items()]) if plan.shades else (),
        ornaments=strung,
    )
    return kind, strands


def _accents_unmet(plan: ZonePlan, worked: Worked) -> tuple[str, ...]:
    """Accents past the strand's end, and beads too narrow for the strand."""
    said: list[str] = []
    bores = {name: bore for name, _, bore in plan.strung}
    threaded = [(name, worked.thickest_mm) for name, _ in plan.ends]
    for line in plan.accents:
        inside, past = accent_stitches(line, worked.stitches, 0)
        if past is not None:
            what = "accents" if line.role else line.ornament or "accents"
            said.append(f"{what} from stitch {past}, but this strand ends at stitch {worked.stitches}")
        if line.ornament and inside:
            threaded.append((line.ornament, max(worked.width_mm[k] for k in inside)))
    for name, width in threaded:
        bore = bores[name]
        through = _squeezed_mm(width)
        if bore is not None and bore < through:
            said.append(
                f'"{name}" has a bore of {say_width(bore)}, but this strand squeezes to '
                f"{say_width(through)} at best: take a wider bore or a thinner strand"
            )
    return tuple(dict.fromkeys(said))


def _squeezed_mm(width_mm: float) -> float:
    """Diameter of a flat plait squeezed round, as it goes through a bead (our own estimate)."""
    solid = strand_model("plait", "ordinary").solid_mm2(width_mm)
    return (4.0 * solid / (pi * PACKING_SQUEEZED)) ** 0.5
