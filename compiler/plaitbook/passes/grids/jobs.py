"""The strips to lay, and how many rows and sections each takes."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from ...meaning.model import Grid
from .bands import diamond_rows
from .rows import Row, cut_rows, fit, join_tip, plan_counts, set_rows, tip_rows
from .scalp import Scalp
from .slants import triangle_count
from .zones import FRONT_ZONES, Strip


class Job(NamedTuple):
    """One strip with its rows decided. ``twin`` is the strip its sections are reflected onto."""

    index: int
    strip: Strip
    twin: int | None
    size: tuple[float, float]
    shape: str
    mirrored: bool
    area: float
    """mm2."""
    narrow: Strip | None = None
    """The narrower of the two strips beside a zigzag, which says how the point is parted on
    both: a zigzag needs the same rows on both of its sides."""


def jobs(
    strips: tuple[Strip, ...], worked: dict[str, Grid], sizes: dict[str, tuple[float, float]],
    zigzag: bool, part: float | None, mirrored: bool, each: list[float],
) -> list[Job]:
    """The strips to lay: of a mirrored pair only the right one, with the left as its twin.

    The zones that a parting divides are mirrored only if it is straight and in the middle.
    """
    pairs: dict[str, dict[str, int]] = {}
    for i, strip in enumerate(strips):
        pairs.setdefault(strip.zone, {})[strip.side] = i
    out = []
    for i, strip in enumerate(strips):
        if strip.zone not in worked:
            continue
        twin = None
        same = strip.zone not in FRONT_ZONES or (part == 0.0 and not zigzag)
        if mirrored and same and strip.side != "middle":
            if strip.side == "left":
                continue
            twin = pairs[strip.zone]["left"]
        parted = strip.zone in FRONT_ZONES and strip.side != "middle"
        narrow = None
        if zigzag and parted:
            narrow = min([strips[j] for j in pairs[strip.zone].values()], key=lambda s: s.high - s.low)
        shape = worked[strip.zone].shape
        out.append(Job(i, strip, twin, sizes[strip.zone], shape, mirrored, each[i], narrow))
    return out


def plan(scalp: Scalp, job: Job) -> tuple[list[Row], list[int]]:
    """The rows of a strip, and how many sections each is cut into."""
    strip, (height, width) = job.strip, job.size
    if job.shape == "rows":
        rows = cut_rows(scalp, strip, 1)
        return rows, [fit(rows[0].length, width)]
    if job.shape == "diamond":
        return diamond_rows(scalp, strip, height, width, mirror_odd(job))
    rows = set_rows(scalp, strip, height, strip.zone == "hairline")
    # Rows that dip round the ears are lower across than they are along a meridian: what counts
    # is the strip's area over the length of its rows.
    true = job.area / sum([row.length for row in rows])
    count = max(1, round(len(rows) * true / height))
    if count != len(rows) and strip.zone not in FRONT_ZONES:
        rows = cut_rows(scalp, strip, count)
        true = job.area / sum([row.length for row in rows])
    slanted = job.shape == "triangle"
    if not strip.upper:
        # A triangle has half the area of its rectangle: so has the point of a zone.
        base = width / 2 if slanted else width
        beside = rows if job.narrow in (None, strip) else set_rows(scalp, job.narrow, height, False)
        rows = join_tip(scalp, strip, rows, tip_rows(beside, height, base), slanted)
    if slanted:
        return rows, [
            fit(row.length, width / 2) if row.sliced else triangle_count(row.length, width, mirror_odd(job))
            for row in rows
        ]
    # Whole rows are seldom exactly as high as asked. Half of what that does to a section's area
    # is made good in its width: the count stays near the size's, the shape near a square
    # (our own estimate).
    width *= sqrt(height / true)
    return rows, plan_counts(rows, width, by_parity(job, rows))


def mirror_odd(job: Job) -> bool:
    """Whether a row must look the same from both ends."""
    return job.mirrored and job.strip.side == "middle"


def by_parity(job: Job, rows: list[Row]) -> bool:
    """Whether bricks are set off by rows of odd and even counts: those that cross the midline."""
    return job.shape == "brick" and job.strip.side == "middle" and len(rows) > 1


def sections_in(job: Job, rows: list[Row], counts: list[int]) -> int:
    """Sections that a strip's rows make, its twin's included."""
    total = sum(counts)
    if job.shape == "diamond":
        # Triangles that stand base to base across a row's edge are one section.
        total -= sum(count // 2 + (i % 2 == 0) for i, count in merged(rows, counts))
    return total * (1 if job.twin is None else 2)


def merged(rows: list[Row], counts: list[int]) -> list[tuple[int, int]]:
    """(place in its band, count) of every row of diamonds that has another of its band below it."""
    out, place = [], 0
    for i in range(1, len(rows)):
        same = rows[i].band == rows[i - 1].band and not rows[i].sliced
        if same:
            out.append((place, counts[i - 1]))
        place = place + 1 if same else 0
    return out


def share_of(shape: str) -> float:
    """Sections to one height × width: triangles are halves of their rectangles, diamonds too."""
    return 2.0 if shape in ("triangle", "diamond") else 1.0


def area_of(scalp: Scalp, strip: Strip) -> float:
    """Area of a strip, mm2."""
    low, high = strip.half
    upper, lower = scalp.level(strip.upper, low, high), scalp.level(strip.lower, low, high)
    return lower.upto(strip.high) - lower.upto(strip.low) - upper.upto(strip.high) + upper.upto(strip.low)
