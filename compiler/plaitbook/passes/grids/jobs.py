"""The strips to lay, and how many rows and sections each takes."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from ...meaning.model import Grid
from .rows import Row, cut_rows, fit, plan_counts, set_rows, without_sliver
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
    zigzag: bool = False
    """Whether one end lies on a zigzag parting."""


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
        swings = zigzag and strip.zone in FRONT_ZONES
        shape = worked[strip.zone].shape
        out.append(Job(i, strip, twin, sizes[strip.zone], shape, mirrored, each[i], swings))
    return out


def plan(scalp: Scalp, job: Job) -> tuple[list[Row], list[int]]:
    """The rows of a strip, and how many sections each is cut into."""
    strip, (height, width) = job.strip, job.size
    if job.shape == "rows":
        rows = cut_rows(scalp, strip, 1)
        return rows, [fit(rows[0].length, width)]
    if job.shape == "diamond":
        arc = scalp.down(strip.middle, strip.lower) - scalp.down(strip.middle, strip.upper)
        rows = cut_rows(scalp, strip, 2 * max(1, round(arc / height)) if strip.zone != "hairline" else 2)
        mean = sum(row.length for row in rows) / len(rows)
        return rows, [triangle_count(mean, width, mirror_odd(job))] * len(rows)
    rows = set_rows(scalp, strip, height, strip.zone == "hairline")
    # Rows that dip round the ears are lower across than they are along a meridian: what counts
    # is the strip's area over the length of its rows.
    true = job.area / sum([row.length for row in rows])
    count = max(1, round(len(rows) * true / height))
    if count != len(rows) and strip.zone not in FRONT_ZONES:
        rows = cut_rows(scalp, strip, count)
        true = job.area / sum([row.length for row in rows])
    if not job.zigzag:
        # A zigzag needs the same rows on both of its sides.
        rows = without_sliver(scalp, strip, rows, width)
    if job.shape == "triangle":
        return rows, [triangle_count(row.length, width, mirror_odd(job)) for row in rows]
    # Whole rows are seldom exactly as high as asked. Half of what that does to a section's area
    # is made good in its width: the count stays near the size's, the shape near a square
    # (our own estimate).
    width *= sqrt(height / true)
    return rows, plan_counts(strip, rows, width, job.shape == "brick", job.mirrored)


def mirror_odd(job: Job) -> bool:
    """Whether a row must look the same from both ends."""
    return job.mirrored and job.strip.side == "middle"


def sections_in(job: Job, counts: list[int]) -> int:
    """Sections that a strip's rows make, its twin's included."""
    total = sum(counts)
    if job.shape == "diamond":
        # Triangles that stand base to base across a row's edge are one section.
        total -= sum((count + (i % 2 == 0)) // 2 for i, count in enumerate(counts[:-1]))
    return total * (1 if job.twin is None else 2)


def share_of(shape: str) -> float:
    """Sections to one height × width: triangles are halves of their rectangles, diamonds too."""
    return 2.0 if shape in ("triangle", "diamond") else 1.0


def area_of(scalp: Scalp, strip: Strip) -> float:
    """Area of a strip, mm2."""
    low, high = strip.half
    upper, lower = scalp.level(strip.upper, low, high), scalp.level(strip.lower, low, high)
    return lower.upto(strip.high) - lower.upto(strip.low) - upper.upto(strip.high) + upper.upto(strip.low)
