"""A width wished for: what it asks at each stitch, the pieces that grant it, or why they can't."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from .constants import END_TAPER_MM, END_WIDTH, WIDTH_TOLERANCE
from .feed_in import Fed, FeedLine, Wish, kernel_of, solve, unit_lot
from .saying import say_width
from .strand_models import StrandModel

if TYPE_CHECKING:
    from .strand_work import Job


def grant(
    job: Job,
    model: StrandModel,
    line: FeedLine,
    area: list[float],
    step: float,
    pitch: float,
    first: int,
    unmet: list[str],
) -> list[Fed]:
    """Lots that bring the strand to the width of a ``hold`` or ``until`` line."""
    count = len(area) - 1
    target = line.width_mm or 0.0
    wish = wish_for(model, line, count, pitch, first)
    lot = unit_lot(line.lot, wish.high - wish.low[0])
    kernel = kernel_of(lot, step, count)
    most = max(1, round(line.lot.count / (lot.count * lot.part)))
    answer = solve(area, kernel, wish, most)
    found = [Fed(stitch, lot, times) for stitch, times in answer.lots]

    full = answer.area
    thickest, before = max(full), max(area)
    if before > wish.high:
        own_thick = area.index(before)
        width = model.width_mm(area[own_thick])
        where = "at the root" if own_thick <= ROOT_STITCHES else f"at stitch {own_thick}"
        what = "own hair and the first piece are" if job.start_lot else "own hair alone is"
        cure = "more width, a smaller first piece," if job.start_lot else "more width"
        unmet.append(
            f"{where} they come out {say_width(width)}, not {say_width(target).removesuffix(' mm')}; {what} "
            f"already that thick there, so ask for {cure} or smaller sections"
        )
    elif thickest > wish.high:
        thick = full.index(thickest)
        width = model.width_mm(thickest)
        unmet.append(
            f"asked for {say_width(target)}, but pieces of {say_width(line.lot.piece.held_mm)} make it "
            f"{say_width(width)} wide at stitch {thick}, {say_width(width - target)} too thick: "
            "hold smaller pieces"
        )
    if answer.reached is None or answer.short_at:
        k = min(answer.short_at, key=lambda at: full[at] / wish.low[at])
        width = model.width_mm(max(0.0, full[k]))
        what = "can't be reached" if answer.reached is None else "can't be held"
        unmet.append(
            f"{say_width(target)} {what}: the strand is {say_width(width)} wide at stitch {k}, "
            f"{say_width(target - width)} too thin: hold larger pieces, take more together "
            "or feed in for longer"
        )
    return found


def wish_for(model: StrandModel, line: FeedLine, count: int, pitch: float, first: int) -> Wish:
    """What a ``hold`` or ``until`` line asks, as cross-sections at each stitch."""
    return Wish(
        low=_lowest(model, line.width_mm or 0.0, count, pitch),
        high=model.solid_mm2((line.width_mm or 0.0) * (1.0 + WIDTH_TOLERANCE)),
        first=min(count, max(first, line.first)),
        last=count if line.last is None else min(count, line.last),
        kind=line.kind,
    )


ROOT_STITCHES = 3
"""As far down as these a strand is at its root, in words: our own estimate."""


@lru_cache(maxsize=256)
def _lowest(model: StrandModel, target: float, count: int, pitch: float) -> tuple[float, ...]:
    """The least cross-section at each stitch that still is the width asked for.

    Thinner by the tolerance will do; over the last stretch it may fall to half, because
    strands end in a taper. Strands of one width and length share this, whatever their hair.
    """
    least = model.solid_mm2(target * (1.0 - WIDTH_TOLERANCE))
    tapered = END_TAPER_MM / pitch
    shares = (END_WIDTH + (1.0 - END_WIDTH) * min(1.0, (count - k) / tapered) for k in range(count + 1))
    return tuple(least * share * share for share in shares)
