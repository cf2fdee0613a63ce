"""The feed-in schedule of one strand: simulated where it is written, solved where it is wished.

Everything is counted at stitches: ``area[k]`` is the solid cross-section in mm² when
``k`` stitches are done (0 is the root). A lot laid in at stitch ``j`` adds
``kernel[k - j]`` from there on, and a kernel never grows.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import floor
from typing import NamedTuple

from .bundles import Piece, taper
from .constants import BUILD_EVERY, MOST_TOGETHER


class Lot(NamedTuple):
    """Pieces taken together; ``count * part`` full pieces' worth of hair."""

    piece: Piece
    count: int
    part: float = 1.0


class FeedLine(NamedTuple):
    """One line of the schedule, in plain numbers (see ``meaning.model.Feed``)."""

    kind: str
    lot: Lot
    width_mm: float | None
    stitches: tuple[int, ...]
    every: int | None
    first: int
    last: int | None


class Fed(NamedTuple):
    """So many lots laid in at one stitch."""

    stitch: int
    lot: Lot
    times: int


class Wish(NamedTuple):
    """A width asked for, as cross-sections: at least ``low[k]`` at each stitch of
    ``first..until`` from where it is first reached, at most ``high`` anywhere."""

    low: tuple[float, ...]
    high: float
    first: int
    last: int
    kind: str


class Answer(NamedTuple):
    """What the solver found for one wish."""

    lots: tuple[tuple[int, int], ...]
    """(stitch, units), in order of stitch."""
    reached: int | None
    """First stitch from which the width is asked for, or None if it is never reached."""
    short_at: tuple[int, ...]
    """Stitches where the width could not be held."""
    area: tuple[float, ...]
    """Cross-section at each stitch with the lots laid in."""


@lru_cache(maxsize=1024)
def kernel_of(lot: Lot, step_mm: float, stitches: int) -> tuple[float, ...]:
    """Solid cross-section in mm² of a lot, at 0, 1, 2 … stitches from where it is laid in."""
    piece = lot.piece
    scale = lot.count * lot.part / piece.density_g_cm3
    total = [0.0] * (stitches + 1)
    for linear, length in piece.legs:
        spread = min(piece.pulled_mm, 2.0 * length)
        # Most of a leg is whole; only its pulled end is worked out stitch by stitch.
        whole = min(stitches, floor((length - spread / 2.0) / step_mm))
        for lag in range(whole + 1):
            total[lag] += scale * linear
        for lag in range(whole + 1, stitches + 1):
            left = taper(lag * step_mm, length, spread)
            if left <= 0.0:
                break
            total[lag] += scale * linear * left
    return tuple(total)


def written(line: FeedLine, stitches: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Stitches an explicit line names: those the strand has, and any past its end (for
    ``every``, the first)."""
    if line.kind == "at":
        named = line.stitches
        return tuple(k for k in named if k <= stitches), tuple(k for k in named if k > stitches)
    every = max(1, line.every or 1)
    last = stitches if line.last is None else line.last
    inside = tuple(range(line.first, min(last, stitches) + 1, every))
    following = inside[-1] + every if inside else line.first
    return inside, (following,) if following <= last else ()


def unit_lot(lot: Lot, room_mm2: float) -> Lot:
    """The largest unit that fits between the thinnest and the thickest width allowed.

    The lot as written; else one piece of it; else half a piece, as the trade splits them.
    """
    for unit in (lot, Lot(lot.piece, 1), Lot(lot.piece, 1, 0.5)):
        if unit.count * unit.part * lot.piece.linear_g_m / lot.piece.density_g_cm3 <= room_mm2:
            return unit
    return unit


def slots(
    base: Sequence[float], kernel: Sequence[float], wish: Wish, most: int
) -> tuple[list[int], int | None]:
    """Stitches at which lots may be laid in, and the stitch that building up reaches.

    While a strand is built up, a lot goes in at most every ``BUILD_EVERY`` stitches; the
    first of these at which the width is there is where holding it begins.
    """
    end = len(base) - 1
    found: list[int] = []
    for k in range(wish.first, end + 1):
        added = sum(most * kernel[k - j] for j in found)
        if base[k] + added >= wish.low[k]:
            return found + list(range(k, wish.last + 1)), k
        if (k - wish.first) % BUILD_EVERY == 0 and k <= wish.last:
            found.append(k)
            if base[k] + added + most * kernel[0] >= wish.low[k]:
                return found + list(range(k + 1, wish.last + 1)), k
    return found, None


def solve(base: Sequence[float], kernel: Sequence[float], wish: Wish, most: int) -> Answer:
    """The fewest units of a lot that bring a strand to a width and (``hold``) keep it there.

    ``most`` units may go in at one stitch while building up, and ``MOST_TOGETHER`` times
    as many afterwards. Walk down the strand; where it is too thin,
    lay a unit in at the latest stitch that still has room. That is the fewest: a kernel
    never grows, so from there on a later unit is worth at least as much as an earlier
    one, and any other answer can be turned into this one unit by unit. It also never
    makes the strand thicker than it need be while own hair only runs out.
    """
    allowed, reached = slots(base, kernel, wish, most)
    end = len(base) - 1
    area = list(base)
    if reached is None:
        # Out of reach: lay in all that the pace allows and let the caller say so.
        for j in allowed:
            area[j:] = [solid + most * more for solid, more in zip(area[j:], kernel)]
        return Answer(tuple((j, most) for j in allowed), None, tuple(range(wish.first, end + 1)), tuple(area))
    room = {j: most if j <= reached else most * MOST_TOGETHER for j in allowed}
    used: dict[int, int] = {}
    short: list[int] = []
    stop = end if wish.kind == "hold" else reached
    for k in range(reached, stop + 1):
        need = wish.low[k] * (1.0 - 1e-12)
        j = k
        while area[k] < need:
            while j >= wish.first and room.get(j, 0) == 0:
                j -= 1
            if j < wish.first or kernel[k - j] <= 0.0:
                short.append(k)
                break
            room[j] -= 1
            used[j] = used.get(j, 0) + 1
            area[j:] = [solid + more for solid, more in zip(area[j:], kernel)]
    return Answer(tuple(sorted(used.items())), reached, tuple(short), tuple(area))
