"""Where the numbers of a section map go, and how large they can be."""

from __future__ import annotations

from typing import NamedTuple

from ...plan.model import Section

LARGEST, SMALLEST = 2.8, 1.6
"""Type sizes on paper, mm (body of the type). The largest is read at arm's length: 20 minutes of
arc at 500 mm is 2.9 mm; the smallest is about 4.5 points, the least that salon printers hold
(our own estimate)."""
STEPS = (2.8, 2.4, 2.0, 1.8, 1.6)
SHIFTS = (0.0, 0.1, -0.1, 0.2, -0.2)
"""How far up or down, as shares of a section's height, a number may move to fit a triangle."""
DIGIT = 0.556
"""Width of a digit over the type size in the common sans-serif faces."""
TALL = 0.72
"""Height of a digit over the type size."""
FITS = 0.9
"""Share of numbers that must fit for all of them to be drawn."""

Points = list[tuple[float, float]]


class Label(NamedTuple):
    """A number: middle of its digits, and type size, mm of paper."""

    number: int
    text: str
    x: float
    y: float
    size: float


def place_labels(shown: list[Section], drawn: list[Points], anchors: Points, labels: str) -> list[Label]:
    """``anchors`` are the sections' own middles, for shapes whose centre of gravity lies outside.

    A label for every section whose number fits inside it (``all``); in ``sparse`` (or ``auto``
    where too few fit) for row ends and every fifth, which may reach over a neighbour's line
    but never touch another number."""
    fitted = [fit(section, shape, anchor) for section, shape, anchor in zip(shown, drawn, anchors)]
    good = [label for label in fitted if label is not None]
    if labels == "all" or (labels == "auto" and len(good) >= FITS * len(shown)):
        return good
    ends = row_ends(shown)
    wanted = [
        (0 if section.number in ends else 1, section, label, anchor)
        for section, label, anchor in zip(shown, fitted, anchors) if section.number in ends or section.number % 5 == 0
    ]
    placed: list[Label] = []
    for _, section, label, (x, y) in sorted(wanted, key=lambda item: (item[0], item[1].number)):
        if label is None and section.height_mm > 60:
            continue
        label = label or Label(section.number, str(section.number), x, y, SMALLEST)
        if not any(touch(label, other) for other in placed):
            placed.append(label)
    return placed


def fit(section: Section, shape: Points, anchor: tuple[float, float]) -> Label | None:
    """The largest label that lies wholly within a section, or None."""
    text = str(section.number)
    x, y = middle(shape)
    if chord(shape, x, y) is None:
        x, y = anchor
    ys = [p[1] for p in shape]
    reach = max(ys) - min(ys)
    for size in STEPS:
        half = TALL * size / 2
        for shift in SHIFTS:
            at = y + shift * reach
            left, right = -1e9, 1e9
            for level in (at - half, at, at + half):
                span = chord(shape, x, level)
                if span is None:
                    break
                left, right = max(left, span[0]), min(right, span[1])
            else:
                if right - left >= DIGIT * size * len(text) + 0.2:
                    return Label(section.number, text, (left + right) / 2, at, size)
    return None


def chord(shape: Points, x: float, y: float) -> tuple[float, float] | None:
    """The part of a level line inside the shape that holds ``x``, or None."""
    left, right, count = -1e9, 1e9, 0
    x0, y0 = shape[-1]
    for x1, y1 in shape:
        if (y0 > y) != (y1 > y):
            at = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            if at <= x:
                count += 1
                if at > left:
                    left = at
            elif at < right:
                right = at
        x0, y0 = x1, y1
    return (left, right) if count % 2 and right < 1e9 else None


def middle(shape: Points) -> tuple[float, float]:
    """Centre of gravity of a drawn section."""
    area = mx = my = 0.0
    x0, y0 = shape[-1]
    for x1, y1 in shape:
        cross = x0 * y1 - x1 * y0
        area += cross
        mx += (x0 + x1) * cross
        my += (y0 + y1) * cross
        x0, y0 = x1, y1
    if abs(area) < 1e-9:
        return shape[0]
    return mx / (3 * area), my / (3 * area)


def row_ends(shown: list[Section]) -> set[int]:
    """Numbers of the first and last section of every row, on each side."""
    ends: dict[tuple[str, int, str], list[int]] = {}
    for section in shown:
        key = (section.zone, section.row, section.side if section.zone in ("sides", "temples") else "")
        found = ends.setdefault(key, [section.number, section.number])
        found[0], found[1] = min(found[0], section.number), max(found[1], section.number)
    return {n for pair in ends.values() for n in pair}


def touch(one: Label, other: Label) -> bool:
    """Whether two numbers come closer than half a millimetre."""
    across = DIGIT * (len(one.text) * one.size + len(other.text) * other.size) / 2 + 0.5
    upright = TALL * (one.size + other.size) / 2 + 0.3
    return abs(one.x - other.x) < across and abs(one.y - other.y) < upright
