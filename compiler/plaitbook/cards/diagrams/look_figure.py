"""The person under the look: head, face, neck and shoulders in a few ink lines, nobody in particular.

Drawn for a head of 561 mm round, in millimetres with the ear notches at 0 0, and scaled to the
wearer's. Heights follow the landmarks strands are cut to (``passes.constants``); the rest of the
outline is our own drawing. Skin is the paper.
"""

from __future__ import annotations

from math import cos, pi, sin

from ...passes.hairline import cubics, hairline_at
from ...plan.model import Sections

INK = "#2d2722"
PAPER = "#fff"
SOFT = "#8a8178"
"""Lines of the body, lighter so that the hair stands out."""
OWN = "#c9c1b5"
"""Own hair on the scalp, between the partings."""
HAIRS = "#9d9387"
"""Single lines of it."""
COMBED, SHORTER = 132, 0.24
"""Lines of own hair round the head, and how much sooner the second and third of three end towards the crown,
where they would run into each other."""

BODIES = {
    "front": (
        "M-46 62C-47 112-47 138-66 154C-98 171-146 172-176 188C-203 204-210 250-214 300L-220 1200L220 1200L214 300"
        "C210 250 203 204 176 188C146 172 98 171 66 154C47 138 47 112 46 62",
        "M-112 169C-92 232-46 262 0 262C46 262 92 232 112 169M-166 330C-170 300-171 290-168 268M166 330C170 300 171 290 168 268"
        "M-30 186C-18 190-10 196-5 204M30 186C18 190 10 196 5 204",
    ),
    "back": (
        "M-50 40C-50 100-50 134-68 152C-98 171-146 172-176 188C-203 204-210 250-214 300L-220 1200L220 1200L214 300"
        "C210 250 203 204 176 188C146 172 98 171 68 152C50 134 50 100 50 40",
        "M-112 169C-80 196-40 204 0 204C40 204 80 196 112 169M-166 330C-170 300-171 290-168 268M166 330C170 300 171 290 168 268",
    ),
    "side": (
        "M-42 84C-38 112-38 134-52 150C-84 180-118 226-120 292C-120 380-86 450-84 530C-84 600-104 640-106 700L-106 1200L118 1200L118 690"
        "C112 620 76 580 78 520C80 450 122 390 120 310C118 258 108 206 84 168C66 146 62 110 68 60",
        "M-66 184C-30 210 40 200 84 168M-30 640C-30 520-40 420-38 330C-36 270 0 238 26 250C54 264 56 310 50 380C46 470 44 560 42 640",
    ),
}
"""(outline, lines on it): the side view looks to the left."""
FRONT_FACE = (
    "M-74-40C-77 6-74 34-66 52C-56 76-26 96 0 96C26 96 56 76 66 52C74 34 77 6 74-40",
    "M-46-29C-38-36-24-36-16-31M46-29C38-36 24-36 16-31"
    "M-43-11C-37-4-24-4-18-11M43-11C37-4 24-4 18-11M-43-11L-47-13M43-11L47-13M-30-6V-2M30-6V-2M-38-7L-40-3M38-7L40-3"
    "M5-10C5 4 11 16 9 24C6 29-4 30-8 26M-21 51C-12 47-5 46 0 48C5 46 12 47 21 51C12 60 4 62 0 62C-4 62-12 60-21 51ZM-21 51C-8 53 8 53 21 51",
)
SIDE_FACE = (
    "M-62-62C-86-56-97-40-99-22C-99-12-97-6-100 2C-106 14-115 22-114 28C-112 32-104 33-103 36C-103 40-108 44-108 48"
    "C-108 51-104 52-104 54C-108 57-107 63-103 66C-101 70-106 76-105 84C-103 95-92 100-80 98C-60 94-34 80-16 58C-4 46 0 36 2 22",
    "M-97-27C-92-34-82-35-74-31M-92-10C-86-3-78-4-74-11M-90-8L-93-4M-84-5L-85-1M-102 30C-98 33-95 30-96 25M-104 54C-98 56-92 55-88 52"
    "M-16 58C-10 48-8 36-8 24",
)
EARS = {
    "front": "M-76-14C-90-24-92 6-77 22ZM76-14C90-24 92 6 77 22Z",
    "back": "M-77-12C-91-22-92 8-76 22ZM77-12C91-22 92 8 76 22Z",
    "side": "M-8-14C-4-32 24-30 22-8C21 6 10 8 8 20C4 30-8 26-6 12M2-12C8-18 14-14 12-6",
}


def body(view: str) -> str:
    """Neck, shoulders and the line of a plain top."""
    outline, lines = BODIES[view]
    return (f'<path d="{outline}" fill="{PAPER}" stroke="{SOFT}" stroke-width="2"/>'
            f'<path d="{lines}" fill="none" stroke="{SOFT}" stroke-width="1.6" stroke-linecap="round"/>')


def face(view: str) -> str:
    """The face, or from behind the ears only; the scalp is laid over it."""
    wide = 92 if view == "side" else 72
    skull = f'<ellipse cy="-30" rx="{wide}" ry="86" fill="{PAPER}"/>'
    ears = f'<path d="{EARS[view]}" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>'
    if view == "back":
        return skull + ears
    outline, lines = FRONT_FACE if view == "front" else SIDE_FACE
    features = f'<path d="{lines}" fill="none" stroke="{INK}" stroke-width="2" stroke-linecap="round" stroke-linejoin="round"/>'
    return skull + (ears if view == "front" else "") + _drawn(outline) + features + ("" if view == "front" else ears)


def _drawn(path: str) -> str:
    return f'<path d="{path}" fill="{PAPER}" stroke="{INK}" stroke-width="2.4" stroke-linejoin="round"/>'


def scalp(sections: Sections, view: str) -> tuple[str, str]:
    """The hair-bearing scalp as seen in a view and the partings on it, as path data in mm, y down."""
    a, b, c = sections.head.semi_axes_mm
    curve = cubics(tuple(t for p, t in sorted((p, t) for p, t in sections.head.hairline) if p >= -1e-9))
    step = pi / 18
    edge = [_seen(view, a, b, c, i * step, hairline_at(curve, i * step)) for i in range(36)]
    if view == "side":
        low = [e for i, e in enumerate(edge) if i >= 18] + [edge[0]]
        rim = [_seen(view, a, b, c, 0.0, t * step) for t in range(int(hairline_at(curve, 0.0) / step), -1, -1)]
        rim += [_seen(view, a, b, c, pi, t * step) for t in range(1, int(hairline_at(curve, pi) / step) + 1)]
    else:
        keep = (27, 36, 0, 10) if view == "front" else (9, 28, 0, 0)
        low = edge[keep[0]:keep[1]] + edge[keep[2]:keep[3]]
        ear = hairline_at(curve, pi / 2)
        right = 1 if view == "front" else 3
        rim = [_seen(view, a, b, c, right * pi / 2, ear * (1 - i / 6)) for i in range(1, 7)]
        rim += [_seen(view, a, b, c, (4 - right) * pi / 2, ear * i / 6) for i in range(1, 6)]
    whole = _closed([(x, y) for x, y, _ in [*low, *rim]])
    lines = []
    for section in sections.items:
        x, y, z = section.centroid
        if (y if view == "front" else -y if view == "back" else -x) < -30.0:
            continue
        seen = [_seen(view, a, b, c, p, t) for p, t in section.outline]
        if all(depth > 0.0 for _, _, depth in seen):
            lines.append(_closed([(x, y) for x, y, _ in seen]))
        else:
            lines += _open(seen)
    return whole, "".join(lines)


def combed(sections: Sections, view: str) -> str:
    """Own hair as fine lines from the hairline up and back, as path data in mm, y down.

    Without them the scalp between partings, and all that is left out of the set, would read as bare skin.
    """
    a, b, c = sections.head.semi_axes_mm
    curve = cubics(tuple(t for p, t in sorted((p, t) for p, t in sections.head.hairline) if p >= -1e-9))
    step = 2.0 * pi / COMBED
    lines = []
    for i in range(COMBED):
        edge = hairline_at(curve, i * step)
        rise = edge * (1.0 - SHORTER * (i % 3))
        seen = [_seen(view, a, b, c, i * step, edge - rise * k / 8) for k in range(8)]
        lines += _open(seen, whole=False)
    return "".join(lines)


def _seen(view: str, a: float, b: float, c: float, phi: float, theta: float) -> tuple[float, float, float]:
    """(across, down, towards the viewer) in mm of a point of the head."""
    s = sin(theta)
    x, y, z = a * s * sin(phi), b * s * cos(phi), c * cos(theta)
    return (-x, -z, y) if view == "front" else (x, -z, -y) if view == "back" else (-y, -z, -x)


def _closed(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.0f} {y:.0f}" for x, y in points) + "Z"


def _open(points: list[tuple[float, float, float]], whole: bool = True) -> list[str]:
    """The stretches in front of the horizon: of an outline, or of a line that isn't ``whole``."""
    lines, now = [], []
    for x, y, depth in [*points, points[0]] if whole else points:
        if depth > 0.0:
            now.append(f"{x:.0f} {y:.0f}")
        else:
            if len(now) > 1:
                lines.append("M" + "L".join(now))
            now = []
    if len(now) > 1:
        lines.append("M" + "L".join(now))
    return lines
