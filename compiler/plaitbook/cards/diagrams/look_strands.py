"""The marks of one strand: its stitches, its curls, its ornaments and its end.

Strands are drawn in tenths of a millimetre, whole numbers, because a hundred of them make up
most of the drawing's size.
"""

from __future__ import annotations

from math import hypot, sqrt

from ...plan.model import StrandKind
from .look_figure import INK
from .look_paths import Lying, Vector, places

Place = tuple[float, float]

LOBE, ASIDE = 0.54, 0.22
"""A plait shows as two rows of lobes: each this share of its width across, this share off its middle."""
TWIST_LOBE, TWIST_ASIDE = 0.7, 0.13
"""A twist's two halves lap over each other more."""
STREAK = 0.4
"""Breadth of a blend's second colour in a lobe, as a share of the lobe."""
INK_MM = 0.8
"""Line round a strand, mm on the head."""
CURL_MM = 3.0
"""Breadth of a loose curl as drawn: a piece of ¼ pencil, opened up by its waves."""
WAVE_MM, SWING_MM = 34.0, 12.0
"""Length and reach of one wave of a loose curl; our own estimate."""
SHAPES = {
    "bead": '<circle r="4.6"/>', "cuff": '<rect x="-5.4" y="-4" width="10.8" height="8" rx="1.2"/><path d="M-5.4 0H5.4"/>',
    "ring": '<circle r="5.6" fill="none"/>', "shell": '<path d="M0-7C7-5 7 5 0 7C-7 5-7-5 0-7ZM0-5V5"/>',
    "cord": '<path d="M-5-4L5-1M-5 0L5 3M-5 4L5 7" fill="none"/>',
}
BEAD_STEP_MM = 9.4
CLOSE = 10.0
"""Tenths of a millimetre on the page: points nearer than this add nothing."""


def smooth(points: list[tuple[int, int]]) -> str:
    """A line through the middles of the legs."""
    x, y = points[0]
    out = [f"M{x} {y}"]
    px, py = points[1]
    for qx, qy in points[2:]:
        mx, my = (px + qx) // 2, (py + qy) // 2
        out.append(f"q{px - x} {py - y} {mx - x} {my - y}")
        x, y, px, py = mx, my, qx, qy
    out.append(f"L{px} {py}")
    return "".join(out)


def apart(points: list[Place]) -> list[Place]:
    """The points at least a millimetre from the one before, the last always among them; two or more."""
    kept = [points[0]]
    x, y = points[0]
    for p in points[1:]:
        if abs(p[0] - x) + abs(p[1] - y) > CLOSE:
            kept.append(p)
            x, y = p
    if len(kept) < 2:
        kept.append((x, y + CLOSE))
    return kept


def lobes(points: list[Place], aside: float, later: float) -> str:
    """Two lines beside a line, the second begun ``later``, so that their dashes alternate."""
    points = apart(points)
    left, right = [], []
    (bx, by), n = points[0], len(points)
    for i, (x, y) in enumerate(points):
        ax, ay = points[i + 1] if i + 1 < n else (x, y)
        dx, dy = ax - bx, ay - by
        by, bx = y, x
        size = aside / (sqrt(dx * dx + dy * dy) or 1.0)
        nx, ny = dy * size, dx * size
        left.append((int(x - nx), int(y + ny)))
        right.append((int(x + nx), int(y - ny)))
    (x, y), (ax, ay) = right[0], right[1]
    size = hypot(ax - x, ay - y)
    if size > later:
        right[0] = (int(x + (ax - x) / size * later), int(y + (ay - y) / size * later))
    return smooth(left) + smooth(right)


def stitched_strand(points: list[Place], lying: Lying, tone: str, second: str | None, name: str) -> str:
    """A strand with its stitches; ``second`` runs as a streak through each lobe of a blend."""
    kind, wide = lying.kind, lying.width_mm * 10.0
    stitch = kind.pitch_mm * 10.0
    share, aside = (TWIST_LOBE, TWIST_ASIDE) if kind.technique == "twist" else (LOBE, ASIDE)
    path, lobe = lobes(points, wide * aside, stitch / 2.0), wide * share
    on = max(1.0, stitch - lobe - 8.0 * INK_MM)
    out = (f'<path id="{name}" d="{path}"/><use href="#{name}" stroke-width="{lobe + 20.0 * INK_MM:.0f}"/>'
           f'<use href="#{name}" stroke="{tone}" stroke-width="{lobe:.0f}" stroke-dasharray="{on:.0f} {stitch - on:.0f}"/>')
    if second:
        out += (f'<use href="#{name}" stroke="{second}" stroke-width="{lobe * STREAK:.0f}" '
                f'stroke-dasharray="{on:.0f} {stitch - on:.0f}"/>')
    return out


def curl(name: str, tone: str, length_mm: float, side: int, variant: int) -> str:
    """A loose curl that hangs down from 0 0 and opens towards its end, its waves to one side first."""
    wave = WAVE_MM * (0.86 + 0.14 * variant)
    halves = max(2, round(2.0 * length_mm / wave))
    step = 10.0 * length_mm / halves
    path = ["M0 0"]
    for i in range(halves):
        reach = side * 10.0 * SWING_MM * (0.45 + 0.55 * i / halves) * (1 if i % 2 == 0 else -1)
        drift = side * (14.0 if i == 0 else 0.0)
        path.append(f"q{reach * 1.25:.0f} {step * 0.5:.0f} {drift:.0f} {step:.0f}")
    line = "".join(path)
    return (f'<g id="{name}"><path d="{line}" stroke="{INK}" stroke-width="{10 * CURL_MM:.0f}"/>'
            f'<path d="{line}" stroke="{tone}" stroke-width="{10 * CURL_MM - 14:.0f}"/></g>'
            f'<marker id="{name}m" markerUnits="userSpaceOnUse" markerWidth="1" markerHeight="1" overflow="visible">'
            f'<use href="#{name}"/></marker>')


def ornament(name: str, shape: str) -> str:
    """A bead, cuff, ring, shell or cord round 0 0."""
    return f'<g id="{name}" transform="scale(10)" fill="#fff" stroke="{INK}" stroke-width="1.3">{SHAPES.get(shape, SHAPES["bead"])}</g>'


def from_place(points: tuple[Vector, ...], mm: float) -> tuple[Vector, ...]:
    """What is left of a line below ``mm``."""
    (start, leg), = places(points, [mm])
    return (start, *points[leg + 1:])


def end_ornaments(kind: StrandKind) -> list[tuple[str, int]]:
    """(ornament, how many) at the strand's end: what the whole strand holds less what hangs along it."""
    along: dict[str, int] = {}
    for accent in kind.accents:
        if accent.ornament:
            along[accent.ornament] = along.get(accent.ornament, 0) + accent.count
    left = [(name, round(count) - along.get(name, 0)) for name, count in kind.ornaments]
    return [(name, n) for name, n in left if n > 0]
