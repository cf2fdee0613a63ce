"""One kind of strand, made once: its schedule in the plan's models, its strands, its figures."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from math import pi
from typing import NamedTuple

from ..meaning.values import Origin
from ..plan.model import AccentAt, FeedIn, Figure, Strand, StrandKind, WidthAt
from .accents import AccentLine, accent_stitches, set_accents
from .constants import PACKING_SQUEEZED
from .feed_in import FeedLine, Lot
from .saying import say_width
from .strand_figures import kind_figures
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


class _Drawn(NamedTuple):
    """A worked strand in the plan's own models, shared by every strand that is the same."""

    worked: Worked
    profile: tuple[WidthAt, ...]
    feed_ins: tuple[FeedIn, ...]


@lru_cache(maxsize=1024)
def _draw(job: Job) -> _Drawn:
    worked = work_strand(job)
    pitch = worked.pitch_mm
    profile = tuple(
        WidthAt(stitch=k, at_mm=k * pitch, width_mm=worked.width_mm[k], own_share=worked.own_share[k])
        for k in range(1, worked.stitches + 1)
    )
    feed_ins = tuple(_feed_in(fed.stitch, pitch, fed.lot, fed.times) for fed in worked.fed)
    return _Drawn(worked, profile, feed_ins)


def _feed_in(stitch: int, pitch: float, lot: Lot, times: int) -> FeedIn:
    pieces, part = lot.count * times, lot.part
    if part < 1.0 and (pieces * part).is_integer():
        pieces, part = int(pieces * part), 1.0
    return FeedIn(
        stitch=stitch, at_mm=stitch * pitch, role=lot.piece.role,
        pieces=pieces, held_mm=lot.piece.held_mm, part=part,
    )


class _Set(NamedTuple):
    """The accents of one strand, and how many of each: pieces by role and width, ornaments."""

    accents: tuple[AccentAt, ...]
    pieces: Counter[tuple[str, float]]
    ornaments: Counter[str]


@lru_cache(maxsize=2048)
def _accents(
    lines: tuple[AccentLine, ...], stitches: int, pitch: float, place: int, left_first: bool
) -> _Set:
    found = _Set(set_accents(lines, stitches, pitch, place, left_first), Counter(), Counter())
    for accent in found.accents:
        if accent.role is not None:
            found.pieces[accent.role, accent.held_mm] += accent.count
        elif accent.ornament is not None:
            found.ornaments[accent.ornament] += accent.count
    return found


Made = tuple[StrandKind, tuple[Strand, ...], tuple[Figure, ...]]


@lru_cache(maxsize=1024)
def make_kind(
    number: int,
    zone: str,
    job: Job,
    plan: ZonePlan,
    members: tuple[tuple[int, int, bool], ...],
    origins: tuple[Origin | None, ...],
    strand_um: float,
) -> Made:
    """One kind and its strands. ``members``: (section, accents' starting place, left first)."""
    drawn = _draw(job)
    masses = dict(plan.masses)
    weights = {name: mass for name, mass, _ in plan.strung}
    worked = drawn.worked
    feed_ins = drawn.feed_ins

    sets: dict[tuple[int, bool], _Set] = {}
    tally: Counter[tuple[int, bool]] = Counter()
    strands: list[Strand] = []
    worn_by: Counter[tuple[str, float]] = Counter()
    ornaments: Counter[str] = Counter()
    size = len(members)
    for section, place, left_first in members:
        chosen = place, left_first
        if chosen not in sets:
            sets[chosen] = _accents(plan.accents, worked.stitches, worked.pitch_mm, *chosen)
        tally[chosen] += 1
        strands.append(
            Strand(
                section=section, kind=number, stitches=worked.stitches,
                width_mm=worked.mean_mm, feed_ins=feed_ins, accents=sets[chosen].accents,
            )
        )
    for chosen, times in tally.items():
        for size_of, count in sets[chosen].pieces.items():
            worn_by[size_of] += count * times
        for name, count in sets[chosen].ornaments.items():
            ornaments[name] += count * times
    for name, count in plan.ends:
        ornaments[name] += count * size
    portions: Counter[tuple[str, float]] = Counter()
    for (role, held), count in worn_by.items():
        portions[role, held] += count / size
    accent_g = sum(count * masses[key] for key, count in portions.items())
    for fed in feed_ins:
        portions[fed.role, fed.held_mm] += fed.pieces * fed.part
    by_role: Counter[str] = Counter()
    for (role, _), count in portions.items():
        by_role[role] += count
    strung = tuple((name, count / size) for name, count in ornaments.items())
    ornament_g = sum(count * weights[name] for name, count in strung)
    kind = StrandKind(
        id=number,
        zone=zone,
        technique=job.technique,
        tightness=job.tightness,
        sections=tuple(section for section, _, _ in members),
        hairs=job.hairs,
        length_mm=worked.length_mm,
        stitches=worked.stitches,
        pitch_mm=worked.pitch_mm,
        length_ratio=worked.length_ratio,
        width_mm=worked.mean_mm,
        width_min_mm=min(worked.width_mm[1:]),
        width_max_mm=max(worked.width_mm[1:]),
        profile=drawn.profile,
        feed_ins=feed_ins,
        accents=_accents(plan.accents, worked.stitches, worked.pitch_mm, 0, True).accents,
        own_ends_stitch=worked.own_ends_stitch,
        reach_mm=worked.reach_mm,
        added_g=worked.worn_g + accent_g + ornament_g,
        own_g=worked.own_g,
        pieces=tuple(by_role.items()),
        target_mm=worked.target_mm,
        unmet=worked.unmet + _accents_unmet(plan, worked),
        portions=tuple((role, held, count) for (role, held), count in portions.items()),
        ornaments=strung,
        trimmed_g=worked.piece_g - worked.worn_g,
    )
    shown = kind_figures(number, job, worked, origins, strand_um, kind.added_g)
    return kind, tuple(strands), shown


def _accents_unmet(plan: ZonePlan, worked: Worked) -> tuple[str, ...]:
    """Accents past the strand's end, and beads too narrow for the strand."""
    said: list[str] = []
    bores = {name: bore for name, _, bore in plan.strung}
    threaded = [(name, max(worked.width_mm[1:])) for name, _ in plan.ends]
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
