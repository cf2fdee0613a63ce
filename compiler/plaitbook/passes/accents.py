"""Curls, beads and cuffs along a strand: at which stitches, on which side, staggered how."""

from __future__ import annotations

from functools import lru_cache
from heapq import heappop, heappush
from typing import NamedTuple

from ..plan.computed import computed
from ..plan.model import AccentAt, Section
from .constants import FEWEST_PLACES, MOST_PLACES

Shades = tuple[tuple[int, str | None], ...]
"""(from stitch, colour) by rising stitch; empty where a role is of one colour."""


def shade_at(shades: Shades, stitch: int) -> str | None:
    """The colour of a piece laid in or set at a stitch; None where the role isn't shaded."""
    colour = None
    for start, name in shades:
        if start > stitch:
            break
        colour = name
    return colour


class AccentLine(NamedTuple):
    """One accent line of the recipe in plain numbers (see ``meaning.model.Accent``)."""

    every: int | None
    stitches: tuple[int, ...]
    first: int
    last: int | None
    role: str | None
    held_mm: float
    count: int
    ornament: str | None
    ornament_count: int
    side: str
    stagger: bool
    shades: Shades = ()
    """Colours of the role along the strand."""


def accent_stitches(
    line: AccentLine, stitches: int, place: int, places: int = FEWEST_PLACES
) -> tuple[tuple[int, ...], int | None]:
    """Stitches of one accent line on a strand, and the first that lies past its end, if any.

    ``place`` is the strand's starting place among its neighbours, 0 to ``places`` - 1: a
    repeated accent starts later by that share of its repeat, a single one by that many
    stitches. A place that would push every accent off the strand is not taken.
    """
    if line.stitches:
        shift = place if line.stagger else 0
        named = tuple(k + shift for k in line.stitches)
        inside = tuple(k for k in named if k <= stitches)
        past = [k for k in line.stitches if k > stitches]
        return inside, past[0] if past else None
    every = max(1, line.every or 1)
    last = stitches if line.last is None else min(line.last, stitches)
    shift = 0
    if line.stagger:
        # A repeat shorter than there are places has fewer starts to give than are wanted.
        shift = place * every // places if every >= places else place % every
    if line.first + shift > last:
        shift = 0
    inside = tuple(range(line.first + shift, last + 1, every))
    return inside, None if line.first <= stitches else line.first


def set_accents(
    lines: tuple[AccentLine, ...], stitches: int, pitch_mm: float, place: int, left_first: bool,
    places: int = FEWEST_PLACES,
) -> tuple[AccentAt, ...]:
    """All accents of one strand, in order of stitch.

    ``both`` sides means so many on each side, so its count is doubled here. Alternate
    sides begin on the left where ``left_first``, and neighbours of another place begin
    on the other side.
    """
    found: list[AccentAt] = []
    for line in lines:
        inside, _ = accent_stitches(line, stitches, place, places)
        left = left_first != (line.stagger and place % 2 == 1)
        for index, k in enumerate(inside):
            if line.side == "alternate":
                side = "left" if (index % 2 == 0) == left else "right"
            else:
                side = line.side
            sides = 2 if line.side == "both" else 1
            if line.role is not None:
                found.append(
                    computed(
                        AccentAt, stitch=k, at_mm=k * pitch_mm, role=line.role,
                        count=line.count * sides, held_mm=line.held_mm, side=side,
                        colour=shade_at(line.shades, k),
                    )
                )
            if line.ornament is not None:
                found.append(
                    computed(
                        AccentAt, stitch=k, at_mm=k * pitch_mm, ornament=line.ornament,
                        count=line.ornament_count * sides, side=side,
                    )
                )
    found.sort(key=lambda accent: accent.stitch)
    return tuple(found)


class Places(NamedTuple):
    """Starting places shared out among sections."""

    of: dict[int, int]
    """Section -> its place, from 0."""
    count: int
    """How many places there are."""


def starting_places(sections: tuple[Section, ...]) -> Places:
    """A place for each section, such that neighbours differ: of as few places as do it.

    Three do for a plain brick grid; where zones meet, four or five are needed.
    """
    return _places(tuple((section.number, section.neighbours) for section in sections))


@lru_cache(maxsize=64)
def _places(graph: tuple[tuple[int, tuple[int, ...]], ...]) -> Places:
    near = dict(graph)
    tried: list[tuple[int, Places]] = []
    for count in range(FEWEST_PLACES, MOST_PLACES + 1):
        of = _share_out(near, count)
        alike = sum(of[one] == of.get(other) for one, others in graph for other in others)
        tried.append((alike, Places(of, count)))
        if alike == 0:
            break
    return min(tried, key=lambda found: found[0])[1]


def _share_out(near: dict[int, tuple[int, ...]], count: int) -> dict[int, int]:
    """Places for a graph of neighbours, most hemmed-in section first (Brélaz, New Methods
    to Color the Vertices of a Graph, Communications of the ACM 22, 1979)."""
    taken = {number: [0] * count for number in near}
    order_of = {number: order for order, number in enumerate(near)}
    waiting = [(0, order, number) for order, number in enumerate(near)]
    places: dict[int, int] = {}
    while waiting:
        _, _, number = heappop(waiting)
        if number in places:
            continue
        used = taken[number]
        place = used.index(min(used))
        places[number] = place
        for other in near[number]:
            if other in near and other not in places:
                taken[other][place] += 1
                unlike = sum(1 for times in taken[other] if times)
                heappush(waiting, (-unlike, order_of[other], other))
    return places
