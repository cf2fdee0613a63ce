"""One strand worked from root to end: stitches, schedule, width profile and what can't be had.

Plain numbers in, plain numbers out, so that strands of equal numbers are worked once.
"""

from __future__ import annotations

from functools import lru_cache
from math import floor, sqrt
from typing import NamedTuple

from .bundles import OwnHair
from .constants import (
    HAIR_DENSITY_G_CM3,
    MOST_STITCHES,
    THINNEST_SHARE,
    THINNEST_WORKED_MM,
    TRIM_TAIL_MM,
    WIDTH_TOLERANCE,
)
from .feed_in import Fed, FeedLine, Lot, kernel_of, written
from .saying import say_length, say_width
from .strand_models import StrandModel, strand_model
from .wishes import grant


class Job(NamedTuple):
    """Everything that decides how one strand is worked."""

    technique: str
    tightness: str
    length_ratio: float | None
    """The house's own measured ratio, or None for the model's."""
    length_mm: float | None
    """Finished length from the root; None: as far as own hair goes."""
    run_mm: float
    """Scalp rows: length on the scalp."""
    hairs: int
    hair_g_m: float
    own_mm: float
    layers_mm: float
    start: str
    start_own_mm: float
    start_lot: Lot | None
    feeds: tuple[FeedLine, ...]
    trim: bool
    units: str


class Worked(NamedTuple):
    """A worked strand; the lists run over stitches 0 (the root) to ``stitches``."""

    stitches: int
    pitch_mm: float
    length_ratio: float
    length_mm: float
    fed: tuple[Fed, ...]
    width_mm: tuple[float, ...]
    own_share: tuple[float, ...]
    mean_mm: float
    thinnest_mm: float
    thickest_mm: float
    largest_step_mm: float
    """Greatest change of width between one stitch and the next."""
    own_ends_stitch: int
    reach_mm: float
    piece_g: float
    """All pieces laid in, whole."""
    worn_g: float
    """What of them is left on the head after trimming."""
    own_g: float
    target_mm: float | None
    reference_mm: float
    """The width that the length of a stitch was taken from."""
    count: int
    """Stitches of the wearing length, whether or not the hair reaches that far."""
    wearing_mm: float
    unmet: tuple[str, ...]


def _target(job: Job) -> float | None:
    widths = [line.width_mm for line in job.feeds if line.kind in ("hold", "until")]
    return widths[-1] if widths else None


def _stitch_count(length_mm: float, stitch_mm: float) -> int:
    return min(MOST_STITCHES, max(1, floor(length_mm / stitch_mm + 0.5)))


@lru_cache(maxsize=1024)
def work_strand(job: Job) -> Worked:
    """Work one strand.

    The length of a stitch follows from the strand's width, and the width from where the
    stitches are: start from the width asked for (or from all pieces together) and repeat
    until the stitch count stands still.
    """
    model = strand_model(job.technique, job.tightness)
    ratio = job.length_ratio or model.length_ratio
    target = _target(job)
    own = OwnHair(job.hairs, job.hair_g_m, job.own_mm, job.layers_mm, job.run_mm * ratio)
    length = own.reach_mm / ratio if job.length_mm is None else job.length_mm
    width = max(THINNEST_WORKED_MM, target or model.width_mm(_first_guess(job)))
    seen: list[int] = []
    while True:
        count = _stitch_count(length, model.stitch_mm(width))
        found = _work(job, model, ratio, own, length, count, width)
        seen.append(count)
        on_target = target is not None and abs(found.mean_mm / target - 1.0) <= WIDTH_TOLERANCE
        width = max(THINNEST_WORKED_MM, target if on_target and target else found.mean_mm)
        again = _stitch_count(length, model.stitch_mm(width))
        if again in seen or len(seen) >= 6:
            return found


def _first_guess(job: Job) -> float:
    """Solid cross-section of own hair, the start and one lot of each feed line, in mm²."""
    solid = job.hairs * job.hair_g_m / HAIR_DENSITY_G_CM3
    lots = [line.lot for line in job.feeds] + ([job.start_lot] if job.start_lot else [])
    for lot in lots:
        solid += lot.count * lot.piece.linear_g_m / lot.piece.density_g_cm3
    return solid


def _work(
    job: Job, model: StrandModel, ratio: float, own: OwnHair, length: float, count: int,
    reference: float,
) -> Worked:
    pitch = length / count
    step = pitch * ratio
    own_linear = own.linear_along(step, count)
    area = [linear / HAIR_DENSITY_G_CM3 for linear in own_linear]
    unmet: list[str] = []
    if count == MOST_STITCHES:
        unmet.append(
            f"{say_length(length, job.units)} at {say_width(reference)} wide takes {MOST_STITCHES} stitches or "
            "more, and no more are planned: ask for a shorter or a wider strand"
        )
    fed = _start(job, pitch, count, own.reach_mm / ratio, unmet)
    first = fed[0].stitch if fed and job.start == "own hair first" else 1
    for item in fed:
        _lay(area, kernel_of(item.lot, step, count), item)
    for line in job.feeds:
        if line.kind in ("at", "every"):
            found = _simulate(line, count, unmet)
        else:
            found = grant(job, model, line, area, step, pitch, first, unmet)
        kernel = kernel_of(found[0].lot, step, count) if found else ()
        for item in found:
            _lay(area, kernel, item)
        fed.extend(found)
    fed.sort(key=lambda item: item.stitch)

    end = _end(area)
    fed = [item for item in fed if item.stitch <= end]  # nothing is laid in where there is no strand
    if end < count and job.length_mm is not None:
        unmet.append(_too_short(job, fed, end * pitch, length, ratio, step))
    spare_own = own.reach_mm / ratio - length
    if job.length_mm is not None and job.start == "own hair only" and spare_own > pitch:
        unmet.append(
            f"own hair is {say_length(spare_own, job.units)} longer than the wearing length, "
            "so its ends stay loose below the strand: lengthen 'wearing'"
        )
    width = _widths(model, area[: end + 1])
    worked = width[1:]
    finished = end * pitch
    reach = max(
        [own.reach_mm] + [item.stitch * step + item.lot.piece.reach_mm for item in fed]
    )
    whole = sum(item.times * item.lot.count * item.lot.part * item.lot.piece.mass_g for item in fed)
    worn = whole
    if job.trim:
        tail = finished * ratio + TRIM_TAIL_MM
        worn -= sum(
            item.times * item.lot.count * item.lot.part
            * item.lot.piece.mass_beyond(tail - item.stitch * step)
            for item in fed
        )
    return Worked(
        stitches=end,
        pitch_mm=pitch,
        length_ratio=ratio,
        length_mm=finished,
        fed=tuple(fed),
        width_mm=width,
        own_share=_own_shares(own_linear, area, fed, step, end),
        mean_mm=sum(worked) / end,
        thinnest_mm=min(worked),
        thickest_mm=max(worked),
        largest_step_mm=max([abs(b - a) for a, b in zip(worked, worked[1:])], default=0.0),
        own_ends_stitch=min(end, floor(own.reach_mm / step)),
        reach_mm=reach / ratio,
        piece_g=whole,
        worn_g=worn,
        own_g=own.mass_g,
        target_mm=_target(job),
        reference_mm=reference,
        count=count,
        wearing_mm=length,
        unmet=tuple(dict.fromkeys(unmet)),
    )


def _widths(model: StrandModel, area: list[float]) -> tuple[float, ...]:
    """The model's width at each stitch; width goes with the root of the cross-section."""
    scale = model.width_mm(1.0)
    return tuple([scale * sqrt(solid) if solid > 0.0 else 0.0 for solid in area])


def _lay(area: list[float], kernel: tuple[float, ...], item: Fed, scale: float = 1.0) -> None:
    """Add to each stitch what the lots laid in at one stitch bring there."""
    scale *= item.times
    at = item.stitch
    area[at:] = [solid + scale * more for solid, more in zip(area[at:], kernel)]


def _start(
    job: Job, pitch: float, count: int, own_ends: float, unmet: list[str]
) -> list[Fed]:
    """The pieces a strand begins with: at the root, or after some own hair."""
    if job.start_lot is None or job.start == "own hair only":
        return []
    if job.start != "own hair first":
        return [Fed(0, job.start_lot, 1)]
    stitch = max(1, floor(job.start_own_mm / pitch + 0.5))
    if stitch > count:
        unmet.append(
            f"own hair first for {say_length(job.start_own_mm, job.units)}, "
            f"but this strand is {say_length(count * pitch, job.units)} long"
        )
        return []
    if own_ends < stitch * pitch:
        unmet.append(
            f"own hair ends at {say_length(own_ends, job.units)}, before the first piece at "
            f"{say_length(stitch * pitch, job.units)}: start with an extension at the root"
        )
    return [Fed(stitch, job.start_lot, 1)]


def _simulate(line: FeedLine, count: int, unmet: list[str]) -> list[Fed]:
    inside, past = written(line, count)
    if past:
        unmet.append(f"pieces at stitch {past[0]}, but this strand ends at stitch {count}")
    return [Fed(k, line.lot, 1) for k in inside]


def _end(area: list[float]) -> int:
    """The last stitch before the hair first runs out; a scalp row begins with none."""
    enough = THINNEST_SHARE * max(area)
    if min(area) >= enough:
        return len(area) - 1
    end = next((k for k in range(1, len(area)) if area[k] >= enough), 1)
    while end + 1 < len(area) and area[end + 1] >= enough:
        end += 1
    return end


def _too_short(
    job: Job, fed: list[Fed], reached: float, length: float, ratio: float, step: float
) -> str:
    short = length - reached
    said = (
        f"the hair ends at {say_length(reached, job.units)}, {say_length(short, job.units)} short "
        "of the wearing length: "
    )
    if not fed:
        return said + "add hair or shorten 'wearing'"
    last = max(fed, key=lambda item: item.stitch * step + item.lot.piece.reach_mm)
    piece = last.lot.piece
    leg = max(piece.fold, 1.0 - piece.fold) * piece.cut_mm
    lacking = length * ratio - last.stitch * step - leg
    if lacking <= 0.0:
        return said + "feed in again farther down, pull the ends less, or shorten 'wearing'"
    needed = piece.cut_mm + lacking / max(piece.fold, 1.0 - piece.fold)
    return said + f"cut longer than {say_length(needed, job.units)} or shorten 'wearing'"


def _own_shares(
    own: list[float], area: list[float], fed: list[Fed], step: float, end: int
) -> tuple[float, ...]:
    """Own hair's share of the mass at each stitch."""
    densities = {item.lot.piece.density_g_cm3 for item in fed}
    if len(densities) <= 1:
        # All added fibre is of one density: its mass follows from its cross-section.
        density = densities.pop() if densities else HAIR_DENSITY_G_CM3
        over = density / HAIR_DENSITY_G_CM3
        return tuple([
            (share if (share := hair / (hair * (1.0 - over) + density * solid)) < 1.0 else 1.0) if hair > 0.0 else 0.0
            for hair, solid in zip(own[: end + 1], area)
        ])
    total = own[: end + 1]
    for item in fed:
        kernel = kernel_of(item.lot, step, len(own) - 1)
        _lay(total, kernel, item, item.lot.piece.density_g_cm3)
    return tuple(hair / whole if whole > 0.0 else 0.0 for hair, whole in zip(own, total))
