"""Where the numbers of a section map go, and how large they can be."""

from __future__ import annotations

from typing import Callable, NamedTuple

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


def place_labels(
    shown: list[Section], drawn: list[Points], anchor: Callable[[Section], tuple[float, float]], labels: str
) -> list[Label]:
    """``anchor`` gives a section's own middle, for shapes whose centre of gravity lies outside.

    A label for every section whose number fits inside it (``all``); in ``sparse`` (or ``auto``
    where too few fit, beside all that do) for row ends and every fifth, largest first: a number that doesn't fit its
    section may reach over its line, but only where it touches no other number and most of
    it stays in its own section."""
    fits: dict[int, Label | None] = {}
    if labels != "sparse":
        good: list[Label] = []
        missing, most = 0, len(shown) if labels == "all" else (1 - FITS) * len(shown)
        for section, shape in zip(shown, drawn):
            label = fits[section.number] = fit(section, shape, anchor)
            if label is not None:
                good.append(label)
            else:
                missing += 1
        if missing <= most:
            return good
    ends = row_ends(shown)
    wanted = [
        (section.number not in ends, section, fits[section.number] if fits else fit(section, shape, anchor), shape)
        for section, shape in zip(shown, drawn)
        if section.number in ends or section.number % 5 == 0 or fits.get(section.number) is not None
    ]
    placed: list[Label] = []
    near: dict[tuple[int, int], list[Label]] = {}
    for _, section, label, shape in sorted(wanted, key=lambda item: (item[2] is None, item[0], item[1].number)):
        if label is None:
            if section.height_mm > 60:
                continue
            x, y = anchor(section)
            label = Label(section.number, str(section.number), x, y, SMALLEST)
            room = chord(shape, x, y)
            wide = DIGIT * SMALLEST * len(label.text) / 2
            if room is None or min(x - room[0], room[1] - x) < OWN * wide:
                continue
        column, row = int(label.x // REACH), int(label.y // REACH)
        around = [
            other for i in (-1, 0, 1) for j in (-1, 0, 1) for other in near.get((column + i, row + j), ())
        ]
        if not any(touch(label, other) for other in around):
            placed.append(label)
            near.setdefault((column, row), []).append(label)
    return placed


CLEAR = 0.6
"""Room left beside a number, both sides together, mm: two that lie side by side stay apart and
the line between them shows (our own estimate)."""
OWN = 0.7
"""Share of half a number that must lie in its section where the whole doesn't fit."""
PLAIN = 8
"""A section with more corners than this may be bent like a hook."""
REACH = 8.0
"""Numbers farther apart than this, mm, can't touch: four digits of the largest size."""


def fit(
    section: Section, shape: Points, anchor: Callable[[Section], tuple[float, float]]
) -> Label | None:
    """The largest label that lies wholly within a section, or None."""
    text = str(section.number)
    ups = [p[1] for p in shape]
    reach = max(ups) - min(ups)
    if reach < TALL * SMALLEST:
        return None
    x, y = middle(shape)
    wide = DIGIT * len(text)
    if len(shape) <= PLAIN and reach > TALL * LARGEST:
        # Most sections of a card hold the largest size: then there is nothing to search for.
        room = inside(shape, x, y, TALL * LARGEST / 2)
        if room is not None and room[1] - room[0] >= wide * LARGEST + CLEAR:
            return Label(section.number, text, (room[0] + room[1]) / 2, y, LARGEST)
    room = inside(shape, x, y, TALL * SMALLEST / 2)
    if room is None and chord(shape, x, y) is None:
        x, y = anchor(section)
        room = inside(shape, x, y, TALL * SMALLEST / 2)
    for shift in SHIFTS:
        at = y + shift * reach
        if shift:
            room = inside(shape, x, at, TALL * SMALLEST / 2)
        if room is None or room[1] - room[0] < wide * SMALLEST + CLEAR:
            continue
        for size in STEPS[:-1]:
            # A larger number has less room than the smallest: no need to look.
            if wide * size + CLEAR <= room[1] - room[0]:
                more = inside(shape, x, at, TALL * size / 2)
                if more is not None and more[1] - more[0] >= wide * size + CLEAR:
                    return Label(section.number, text, (more[0] + more[1]) / 2, at, size)
        return Label(section.number, text, (room[0] + room[1]) / 2, at, SMALLEST)
    return None


def inside(shape: Points, x: float, y: float, half: float) -> tuple[float, float] | None:
    """The stretch round ``x`` that lies in the shape at a number's foot and head."""
    # Two chords in one walk round the shape; see chord().
    head, foot = y - half, y + half
    left, right = -1e9, 1e9
    left_foot, right_foot = -1e9, 1e9
    odd = odd_foot = False
    x0, y0 = shape[-1]
    for x1, y1 in shape:
        if (y0 > head) is not (y1 > head):
            at = x0 + (head - y0) * (x1 - x0) / (y1 - y0)
            if at <= x:
                odd = not odd
                if at > left:
                    left = at
            elif at < right:
                right = at
        if (y0 > foot) is not (y1 > foot):
            at = x0 + (foot - y0) * (x1 - x0) / (y1 - y0)
            if at <= x:
                odd_foot = not odd_foot
                if at > left_foot:
                    left_foot = at
            elif at < right_foot:
                right_foot = at
        x0, y0 = x1, y1
    if not odd or not odd_foot or right == 1e9 or right_foot == 1e9:
        return None
    return (left if left > left_foot else left_foot), (right if right < right_foot else right_foot)


def chord(shape: Points, x: float, y: float) -> tuple[float, float] | None:
    """The part of a level line inside the shape that holds ``x``, or None."""
    left, right, odd = -1e9, 1e9, False
    x0, y0 = shape[-1]
    above = y0 > y
    for x1, y1 in shape:
        if (y1 > y) is not above:
            above = not above
            at = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            if at <= x:
                odd = not odd
                if at > left:
                    left = at
            elif at < right:
                right = at
        x0, y0 = x1, y1
    return (left, right) if odd and right < 1e9 else None


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
