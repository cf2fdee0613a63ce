"""Where every strand lies: from its root over the head to where it leaves it, then down to its tip.

A drawing aid, not a simulation. A strand follows the scalp from its section's centroid to the
line where the head is widest, drawn back from the face, and hangs plumb from there; shoulders
spread the fall a little. Its length from root to tip is true; how it lies is our own estimate.
Millimetres on the head: x to the wearer's right, y forward, z up from the ear notches.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, radians, sin, sqrt
from typing import NamedTuple

from ...plan.model import AccentAt, Plan, Section, Strand, StrandKind

Vector = tuple[float, float, float]

FACE_CLEAR = radians(64)
"""No strand leaves the head nearer to the nose than this azimuth: hair is worn off the face."""
SIDE = radians(100)
"""Strands rooted behind this azimuth fall straight down from their root."""
FRONT_FALL = radians(97)
"""Strands that leave the head before this azimuth lie in front of the shoulder."""
STEPS = 4
ROW_POINTS = 7
TO_THE_EDGE = 0.25
"""A row begins and ends this share of a step beyond the first and last of its points: at its section's edge."""
SIDEWAYS = 2.2
"""A row this many times as wide as it is long runs across the head."""
SETTLED_MM = 190.0
"""How far below the ear notches the fall has spread over the shoulders."""
LIFT = 1.3
"""How far the topmost strands lie off the head, in strand widths: about two layers below them."""
SWEEP = 0.3
"""How far a strand at the front hairline is drawn up and back before it falls, as a share of the head's height."""
GOLDEN = 0.6180339887498949
"""Neighbours' tips sway apart evenly, and the same plan always sways the same way."""
SWAY_MM = 5.0


class Lying(NamedTuple):
    """One strand as it lies."""

    section: int
    kind: StrandKind
    width_mm: float
    points: tuple[Vector, ...]
    front: bool
    """In front of the shoulder."""
    side: int
    """1 on the wearer's right, -1 on the left."""
    leaves: int
    """Number of the point where it leaves the head."""
    accents: tuple[AccentAt, ...]


class _Led(NamedTuple):
    """A strand as far as it lies on the head."""

    section: int
    kind: StrandKind
    width: float
    points: list[Vector]
    rest: float
    """Azimuth at which it leaves the head, 0 at the nose, radians."""
    front: bool
    side: int
    accents: tuple[AccentAt, ...]


def lying_strands(plan: Plan) -> tuple[Lying, ...]:
    """Every strand of a plan, lowest root first. Kept for the plan's last few grids and strands."""
    for sections, strands, found in _known:
        if sections is plan.sections and strands is plan.strands:
            return found
    kinds = {kind.id: kind for kind in plan.strand_kinds}
    by_number = {section.number: section for section in plan.sections.items}
    axes = plan.sections.head.semi_axes_mm
    led = [
        _lead(by_number[strand.section], kinds[strand.kind], strand, axes)
        for strand in plan.strands if strand.section in by_number and strand.kind in kinds
    ]
    lying = []
    for front in (True, False):
        for side in (1, -1):
            group = sorted((one for one in led if one.front == front and one.side == side), key=lambda one: one.rest)
            lying += [_hang(one, axes, (i + 0.5) / len(group)) for i, one in enumerate(group)]
    found = tuple(sorted(lying, key=lambda one: one.points[0][2]))
    _known.insert(0, (plan.sections, plan.strands, found))
    del _known[4:]
    return found


_known: list[tuple[object, object, tuple[Lying, ...]]] = []


def _lead(section: Section, kind: StrandKind, strand: Strand, axes: Vector) -> _Led:
    """A strand from its root over the head to the head's widest line."""
    a, b, c = axes
    width = strand.width_mm
    row = kind.technique == "row" and len(section.outline) > 3
    points = _along_row(section, axes, width) if row else [section.centroid]
    x, y, z = points[-1]
    side = -1 if section.side == "left" else 1 if section.side == "right" else 1 if x >= 0 else -1
    azimuth = abs(atan2(x / a, y / b))
    if x * side < 0 and azimuth > pi / 2:
        side = -side
    start = -azimuth if x * side < 0 else azimuth
    rest = azimuth if azimuth > SIDE else FACE_CLEAR + (SIDE - FACE_CLEAR) * max(start, 0.0) / SIDE
    height = min(1.0, z / c)
    off = width * (0.5 + LIFT * max(0.0, height))
    if height > 0.0:
        # Sine of the polar angle at the root; the way over the head ends where it is 1.
        first = sqrt(1.0 - height * height)
        sweep = SWEEP * max(0.0, cos(start)) * first
        for i in range(1, STEPS + 1):
            share = i / STEPS
            turn = start + (rest - start) * share * (2.0 - share)
            level = min(0.98, height * (1.0 - share * share) + sweep * sin(pi * share) * (1.0 - 0.6 * share))
            around = sqrt(1.0 - level * level)
            rise = off * min(1.0, share * 2.0)
            points.append((side * (a + rise) * around * sin(turn), (b + rise) * around * cos(turn), (c + rise) * level))
    else:
        points.append((x + side * 0.3 * width, y, z - 12.0))
    return _Led(section.number, kind, width, points, rest, rest < FRONT_FALL and height > -0.2, side,
                tuple(sorted(strand.accents, key=lambda accent: accent.at_mm)))


def _along_row(section: Section, axes: Vector, width: float) -> list[Vector]:
    """The middle of a scalp row, from the end nearest the face backwards, or from the parting down."""
    a, b, c = axes
    edge = [(a * sin(t) * sin(p), b * sin(t) * cos(p), c * cos(t)) for p, t in section.outline]
    # Round the head from the forehead over the vertex to the nape, as an angle; and across it.
    back = [atan2(z / c, y / b) for _, y, z in edge]
    back = [v + 2.0 * pi if v < -pi / 2 else v for v in back]
    across = [abs(x) / a for x, _, _ in edge]
    key = across if max(across) - min(across) > SIDEWAYS * (max(back) - min(back)) else back
    first, last = key.index(min(key)), key.index(max(key))
    chain = edge[first:] + edge[:first]
    turn = (last - first) % len(edge)
    one, other = _spaced(chain[: turn + 1]), _spaced([chain[0], *chain[:turn - 1:-1]])
    middle = [tuple((u + v) / 2.0 for u, v in zip(p, q)) for p, q in zip(one, other)]
    points = []
    for x, y, z in (_beyond(middle[1], middle[0]), *middle, _beyond(middle[-2], middle[-1])):
        lift = (1.0 + 0.4 * width / b) / sqrt((x / a) ** 2 + (y / b) ** 2 + (z / c) ** 2)
        points.append((x * lift, y * lift, z * lift))
    return points


def _beyond(before: Vector, last: Vector) -> Vector:
    """A little further in the direction of the last leg."""
    x, y, z = (q + TO_THE_EDGE * (q - p) for p, q in zip(before, last))
    return x, y, z


def _spaced(chain: list[Vector]) -> list[Vector]:
    """Places evenly along a line, the ends left out: there the two edges of a row run into one corner."""
    steps = [hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2]) for p, q in zip(chain, chain[1:])]
    whole = sum(steps)
    return [place for place, _ in places(chain, [whole * (i + 0.5) / ROW_POINTS for i in range(ROW_POINTS)])]


def _hang(led: _Led, axes: Vector, share: float) -> Lying:
    """The fall past the shoulder. ``share`` is the strand's place from the face backwards on its side:
    strands lie side by side, the foremost on the chest and the hindmost down the spine."""
    a, b, c = axes
    x, y, z = led.points[-1]
    sway = ((led.section * GOLDEN) % 1.0 - 0.5) * SWAY_MM
    if led.front:
        goal, ahead = led.side * a * (0.62 + 0.95 * share) + sway, b * (0.6 - 0.5 * share)
    else:
        goal, ahead = led.side * a * 1.32 * (1.0 - share) + sway, -b * (0.45 + 0.6 * share)
    settled = min(-SETTLED_MM * c / 129.0, z - 60.0)
    points = led.points
    leaves = len(points) - 1
    for done, moved in ((0.45, 0.3), (1.0, 1.0)):
        points.append((x + (goal - x) * moved, y + (ahead - y) * moved, z + (settled - z) * done))
    points.append((goal + sway, ahead, settled - 900.0))
    return Lying(led.section, led.kind, led.width, tuple(cut_line(points, led.kind.length_mm)), led.front, led.side,
                 leaves, led.accents)


def cut_line(points: Sequence[Vector], length: float) -> list[Vector]:
    """The first ``length`` mm of a line."""
    out = [points[0]]
    left = length
    for p, q in zip(points, points[1:]):
        step = hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2])
        if step >= left:
            share = left / step if step else 0.0
            out.append((p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share, p[2] + (q[2] - p[2]) * share))
            return out
        out.append(q)
        left -= step
    return out


def places(points: Sequence[Vector], at: Sequence[float]) -> list[tuple[Vector, int]]:
    """Points ``at`` mm (rising) along a line, each with the number of the leg it lies on."""
    out: list[tuple[Vector, int]] = []
    last = len(points) - 2
    leg, done, end = -1, 0.0, 0.0
    px = py = pz = dx = dy = dz = 0.0
    for mm in at:
        while leg < 0 or mm > end and leg < last:
            leg += 1
            done = end
            (px, py, pz), (qx, qy, qz) = points[leg], points[leg + 1]
            dx, dy, dz = qx - px, qy - py, qz - pz
            step = hypot(dx, dy, dz)
            end = done + step
            if step:
                dx, dy, dz = dx / step, dy / step, dz / step
        left = min(mm, end) - done
        out.append(((px + dx * left, py + dy * left, pz + dz * left), leg))
    return out
