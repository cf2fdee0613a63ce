"""The section map: four equal-area views of the head with every section numbered.

Areas on paper are true to each other within a view. Zones are told apart by hatching and by a
heavy border, never by colour, and a number is drawn only where it fits its section.
"""

from __future__ import annotations

from html import escape
from functools import lru_cache
from math import acos, atan2, cos, pi, sin, sqrt
from typing import Callable, Literal

from ...passes.hairline import cubics, hairline_at
from ...passes.surface import antiderivative, project
from ...plan.model import Section, Sections
from ..language import mark
from ..speech import Speech, speech
from .map_labels import Label, place_labels

View = Literal["top", "back", "left", "right"]
Labels = Literal["auto", "all", "sparse", "none"]

TITLES = {
    "top": mark("Section map, the top, forehead up"), "back": mark("Section map, the back"),
    "left": mark("Section map, the wearer's left side"), "right": mark("Section map, the wearer's right side"),
}
SEEN = {
    "top": mark("{count} sections seen from the top, forehead up: {zones}."), "back": mark("{count} sections seen from the back: {zones}."),
    "left": mark("{count} sections seen from the wearer's left side: {zones}."),
    "right": mark("{count} sections seen from the wearer's right side: {zones}."),
}
NAMES: dict[View, str] = {"top": mark("Top"), "back": mark("Back"), "left": mark("Left"), "right": mark("Right")}
HORIZON = 0.25
"""A section is drawn where its middle lies at least this far (cosine) in front of the view's
horizon: every section then appears in one view or more, and most in two."""
LONG_MM = 60.0
"""A section longer than this is cut at the horizon instead of being left out."""
NOSE_MM = 9.0
MARGIN = 1.0
CLOSED_MM = 48.0
"""From this width on the view from the top shows the whole outline; in a smaller one paper is too dear."""
FADE = 2.0
"""How far above the lower edge of a drawing an outline that isn't closed ends, mm of paper."""
BENT_MM = 24.0
"""A section lower than this is drawn with straight sides: they bow by less than 0.2 mm."""
THIN, HEAVY, PARTING = 0.18, 0.5, 0.9
"""Line widths on paper, mm: sections, zones, the parting."""
HATCH: dict[str, tuple[float, float, str]] = {
    "nape": (2.0, 45, "line"),
    "back": (0.0, 0, ""),
    "crown": (2.2, 0, "dot"),
    "sides": (2.0, 135, "line"),
    "temples": (0.0, 0, ""),
    "top": (1.6, 90, "line"),
    "hairline": (1.1, 0, "dot"),
}
"""(spacing in mm, angle, kind) of each zone's hatch; the plain zones don't touch each other."""


def section_map(
    sections: Sections, view: View, *, width_mm: float, labels: Labels | bool = "auto",
    prefix: str = "map-", say: Speech = speech(),
) -> str:
    """One view as a standalone SVG ``width_mm`` wide, its units millimetres of paper.

    ``labels``: ``all`` numbers every section it can, ``sparse`` row ends and every fifth,
    ``auto`` (or True) picks whichever can be read, ``none`` (or False) leaves them out.
    ``prefix`` keeps ids apart where drawings share a page.
    """
    if labels is True:
        labels = "auto"
    elif labels is False:
        labels = "none"
    asked = (view, width_mm, labels, prefix, say)
    for known_sections, known_asked, svg in _drawn:
        if known_sections is sections and known_asked == asked:
            return svg
    svg = draw_map(sections, view, width_mm, labels, prefix, say)
    _drawn.insert(0, (sections, asked, svg))
    del _drawn[32:]
    return svg


_drawn: list[tuple[Sections, tuple, str]] = []
"""The last drawings, four to a map, by the identity of their sections: an edit that leaves the grid alone
draws nothing anew, nor do eight heads in turn."""


def draw_map(
    sections: Sections, view: View, width_mm: float, labels: Labels, prefix: str, say: Speech = speech(),
) -> str:
    """:func:`section_map`, drawn."""
    axes = sections.head.semi_axes_mm
    spots = Spots(rays(axes, view))
    rim = list(horizon(axes, view))
    shown: list[Section] = []
    shapes: list[list[tuple[float, float, float]]] = []
    for section in sections.items:
        if section.height_mm > LONG_MM or section.width_mm > LONG_MM:
            shape = clipped([spots[c] for c in bent(section.outline)], rim)
        elif faces(axes, view, section) >= HORIZON:
            corners = section.outline if section.height_mm < BENT_MM else bent(section.outline)
            shape = [spots[c] for c in corners]
        else:
            continue
        if shape:
            shown.append(section)
            shapes.append(shape)
    every = set().union(*shapes)
    xs = [p[0] for p in every] + [p[0] for p in rim]
    ys = [p[1] for p in every] + [12.0]
    # The face below the lowest section is left off: paper is dear on a card.
    left, top = min(xs), min(min([p[1] for p in rim]), min(ys)) - (NOSE_MM if view == "top" else 0.0)
    scale = (width_mm - 2 * MARGIN) / (max(xs) - left)
    lowest = max(p[1] for p in rim)
    if scale * (lowest - max(ys)) > (FADE if view != "top" or width_mm < CLOSED_MM else 0.1 * width_mm):
        lowest = max(ys)
    height = scale * (lowest - top) + 2 * MARGIN
    right, down = MARGIN - scale * left, MARGIN - scale * top

    def paper(p: tuple[float, ...]) -> tuple[float, float]:
        return (right + scale * p[0], down + scale * p[1])

    # Neighbours share corners: each is put on paper, and into words, once.
    placed = {p: (right + scale * p[0], down + scale * p[1]) for p in every}
    inked = {p: "%.1f %.1f" % at for p, at in placed.items()}
    zones: dict[str, list[str]] = {}
    for section, shape in zip(shown, shapes):
        zones.setdefault(section.zone, []).append("M%sZ" % "L".join([inked[p] for p in shape]))
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_mm:g} {height:.1f}" '
        f'width="{width_mm:g}mm" height="{height:.1f}mm" role="img" '
        f'aria-labelledby="{prefix}t {prefix}d">',
        f'<title id="{prefix}t">{escape(say(TITLES[view]))}</title>',
        f'<desc id="{prefix}d">{escape(describe(shown, view, say))}</desc>',
        "<defs>" + "".join(hatch(prefix, zone) for zone in zones) + "</defs>",
        f'<path d="{outline_of([paper(p) for p in rim], height - MARGIN - FADE)}" fill="#fff" stroke="#000" stroke-width="0.15" '
        'stroke-dasharray="0.8 0.8"/>',
        f'<g stroke="#000" stroke-width="{THIN}" stroke-linejoin="round">',
    ]
    for zone, paths in zones.items():
        fill = f"url(#{prefix}{zone})" if HATCH.get(zone, (0, 0, ""))[2] else "#fff"
        out.append(f'<path d="{"".join(paths)}" fill="{fill}"/>')
    out.append("</g>")
    for lines, wide in ((zone_borders(sections), HEAVY), ([sections.parting], PARTING)):
        drawn_lines = []
        for line in lines:
            if line and min(facing(view, line[0]), facing(view, line[-1])) > -0.02:
                lain = [spots[c] for c in line]
                if min([p[2] for p in lain]) >= -0.02:
                    drawn_lines += [trace([paper(p) for p in run]) for run in above(lain, lowest)]
        if drawn_lines:
            out.append(
                f'<path d="{"".join(drawn_lines)}" fill="none" stroke="#000" stroke-width="{wide}" '
                'stroke-linecap="round" stroke-linejoin="round"/>'
            )
    out.append(landmarks(view, [paper(p) for p in rim], paper((0.0, 0.0)), scale))
    if labels != "none":
        drawn = [[placed[p] for p in shape] for shape in shapes]

        def anchor(section: Section) -> tuple[float, float]:
            return paper(flat(axes, view, section.centroid))

        out.append(numbers(place_labels(shown, drawn, anchor, labels)))
    out.append("</svg>")
    return "".join(out)


def above(line: list[tuple[float, float, float]], lowest: float) -> list[list[tuple[float, float, float]]]:
    """The stretches of a line that lie on the drawing, so that none is cut off at its lower edge."""
    if max(p[1] for p in line) <= lowest + 1e-6:
        return [line]
    runs: list[list[tuple[float, float, float]]] = [[]]
    for p in line:
        if p[1] <= lowest + 1e-6:
            runs[-1].append(p)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if len(run) > 1]


def outline_of(rim: list[tuple[float, float]], lowest: float) -> str:
    """The head's outline, left open where it would run past ``lowest``: it ends, and is not cut off."""
    above = [p[1] <= lowest for p in rim]
    if max(p[1] for p in rim) < lowest + FADE + 0.1:
        return trace(rim) + "Z"
    turn = next(i for i in range(len(rim)) if above[i] and not above[i - 1])
    kept = [rim[(turn + i) % len(rim)] for i in range(len(rim)) if above[(turn + i) % len(rim)]]
    return trace(kept)


def faces(axes: tuple[float, float, float], view: View, section: Section) -> float:
    """Cosine of the parameter angle between a section's middle and the view's pole."""
    a, b, c = axes
    x, y, z = section.centroid
    if view == "top":
        return z / c
    if view == "back":
        return -y / b
    return -x / a if view == "left" else x / a


def facing(view: View, corner: tuple[float, float]) -> float:
    """Cosine of the parameter angle between a place and the view's pole."""
    phi, theta = corner
    if view == "top":
        return cos(theta)
    if view == "back":
        return -sin(theta) * cos(phi)
    return sin(theta) * (-sin(phi) if view == "left" else sin(phi))


def flat(axes: tuple[float, float, float], view: View, place: tuple[float, float, float]) -> tuple[float, float]:
    """Where a point in mm lies on the paper of a view, mm."""
    a, b, c = axes
    x, y, _ = project(axes, view, atan2(place[0] / a, place[1] / b), acos(max(-1.0, min(1.0, place[2] / c))))
    return (x, y)


def clipped(
    shape: list[tuple[float, float, float]], rim: list[tuple[float, float]]
) -> list[tuple[float, ...]]:
    """The part of a long section on this side of the horizon, closed along the rim; nothing if
    that is a sliver."""
    out: list[tuple[float, ...]] = []
    p = shape[-1]
    left_at: tuple[float, ...] | None = None
    first_in: tuple[float, ...] | None = None
    for q in shape:
        if (p[2] < 0) != (q[2] < 0):
            t = p[2] / (p[2] - q[2])
            cut = tuple(a + t * (b - a) for a, b in zip(p, q))
            if q[2] < 0:
                left_at = cut
            elif left_at is not None:
                out += rim_between(left_at, cut, rim)
                left_at = None
            elif first_in is None:
                first_in = cut
            out.append(cut)
        if q[2] >= 0:
            out.append(q)
        p = q
    if left_at is not None and first_in is not None:
        out += rim_between(left_at, first_in, rim)
    return out if len(out) > 4 else []


def rim_between(
    start: tuple[float, ...], end: tuple[float, ...], rim: list[tuple[float, float]]
) -> list[tuple[float, ...]]:
    """Points of the rim between two of its places, the short way."""
    a, b = atan2(start[1], start[0]), atan2(end[1], end[0])
    gap = (b - a + pi) % (2 * pi) - pi
    found = []
    for x, y in rim:
        turn = (atan2(y, x) - a) if gap > 0 else (a - atan2(y, x))
        turn %= 2 * pi
        if 1e-6 < turn < abs(gap) - 1e-6:
            found.append((turn, (x, y, 0.0)))
    return [p for _, p in sorted(found)]


def bent(outline: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """An outline with a point in the middle of every long edge down the head."""
    out = []
    p0, t0 = outline[-1]
    for p, t in outline:
        n = int(abs(t - t0) / 0.30)
        for i in range(1, n + 1):
            out.append((p0 + (p - p0) * i / (n + 1), t0 + (t - t0) * i / (n + 1)))
        out.append((p, t))
        p0, t0 = p, t
    return out


class Spots(dict[tuple[float, float], tuple[float, float, float]]):
    """Places on the paper by place on the head, each worked out when it is first asked for:
    neighbours share their corners."""

    def __init__(self, ray: Ray) -> None:
        super().__init__()
        self.ray = ray

    def __missing__(self, corner: tuple[float, float]) -> tuple[float, float, float]:
        """The place of a corner not met yet, remembered."""
        at = self[corner] = self.ray(corner[0], corner[1])
        return at


Ray = Callable[[float, float], tuple[float, float, float]]


@lru_cache(maxsize=64)
def rays(axes: tuple[float, float, float], view: View) -> Ray:
    """:func:`project` for one head and view, read off a table.

    How far a place lies from the middle of the paper, over its distance from the view's pole on
    the unit sphere, changes smoothly with the direction and the depth: straight lines between
    24 by 48 of them are true to 0.02 mm. Places well behind the horizon are computed.
    """
    a, b, c = axes
    p, q, r = {"top": (a, b, c), "back": (a, c, b)}.get(view, (b, c, a))
    table = []
    for i in range(WAYS + 1):
        share = i / WAYS
        g = share / (p * p) + (1 - share) / (q * q)
        k = 1 / (r * r) - g
        row = []
        for j in range(DEPTHS + 2):
            w = min(1 - 1e-6, BEHIND + (1 - BEHIND) * j / DEPTHS)
            rise = 2 * (antiderivative(g, k, 1.0) - antiderivative(g, k, w))
            row.append(sqrt(p * q * r * rise / (1 - w * w)))
        table.append(row)
    table.append(table[-1])
    fine = DEPTHS / (1 - BEHIND)
    top, back, sign = view == "top", view == "back", -1.0 if view == "left" else 1.0

    def ray(phi: float, theta: float) -> tuple[float, float, float]:
        s = sin(theta)
        if top:
            u, v, w = s * sin(phi), s * cos(phi), cos(theta)
        elif back:
            u, v, w = s * sin(phi), cos(theta), -s * cos(phi)
        else:
            u, v, w = sign * s * cos(phi), cos(theta), sign * s * sin(phi)
        if w < BEHIND:
            return project(axes, view, phi, theta)
        flat2 = u * u + v * v
        x = WAYS * u * u / flat2 if flat2 > 1e-18 else 0.0
        y = (w - BEHIND) * fine
        i, j = int(x), int(y)
        x -= i
        y -= j
        one, two = table[i], table[i + 1]
        stretch = (1 - x) * (one[j] + y * (one[j + 1] - one[j])) + x * (two[j] + y * (two[j + 1] - two[j]))
        return (stretch * u, -stretch * v, w)

    return ray


WAYS, DEPTHS = 24, 48
"""How finely :func:`rays` divides direction and depth."""
BEHIND = -0.35
"""How far behind the horizon its table reaches, as a cosine."""


@lru_cache(maxsize=32)
def horizon(axes: tuple[float, float, float], view: View) -> tuple[tuple[float, float], ...]:
    """The head's own outline in a view, mm."""
    out = []
    for i in range(72):
        angle = i * pi / 36
        if view == "top":
            x, y, _ = project(axes, view, angle, pi / 2)
        elif view == "back":
            x, y, _ = project(axes, view, pi / 2 if angle < pi else -pi / 2, angle if angle < pi else 2 * pi - angle)
        else:
            x, y, _ = project(axes, view, 0.0 if angle < pi else pi, angle if angle < pi else 2 * pi - angle)
        out.append((x, y))
    return tuple(out)


def landmarks(
    view: View, rim: list[tuple[float, float]], centre: tuple[float, float], scale: float
) -> str:
    """Nose or ear, so that nobody holds the map the wrong way round. The ear is half the size of a
    real one (ANSUR II: about 60 mm high, 34 mm wide), so as not to hide sections."""
    style = 'fill="#fff" stroke="#000" stroke-width="0.25"'
    if view == "top":
        x, y = rim[0]
        half, tall = NOSE_MM * scale, 0.9 * NOSE_MM * scale
        return f'<path d="M{x - half:.1f} {y:.1f}L{x:.1f} {y - tall:.1f}L{x + half:.1f} {y:.1f}" {style}/>'
    if view in ("left", "right"):
        x, y = centre
        return (
            f'<ellipse cx="{x:.1f}" cy="{y + 4 * scale:.1f}" rx="{11 * scale:.1f}" ry="{17 * scale:.1f}" {style}/>'
        )
    return ""


def trace(points: list[tuple[float, float]]) -> str:
    """Path data through points, to a tenth of a millimetre."""
    return "M" + "L".join(["%.1f %.1f" % point for point in points])


def hatch(prefix: str, zone: str) -> str:
    """The pattern of a zone, or nothing for a plain one."""
    spacing, angle, kind = HATCH.get(zone, (0.0, 0, ""))
    if not kind:
        return ""
    body = f'<rect width="{spacing}" height="{spacing}" fill="#fff"/>'
    if kind == "line":
        body += f'<rect width="{spacing}" height="0.12" fill="#666"/>'
    else:
        body += f'<circle cx="{spacing / 2}" cy="{spacing / 2}" r="0.13" fill="#444"/>'
    turn = f' patternTransform="rotate({angle})"' if angle else ""
    return (
        f'<pattern id="{prefix}{zone}" width="{spacing}" height="{spacing}" '
        f'patternUnits="userSpaceOnUse"{turn}>{body}</pattern>'
    )


def numbers(labels: list[Label]) -> str:
    """The section numbers, each with a white halo so that hatching never crosses a digit."""
    if not labels:
        return ""
    out = [
        '<g font-family="sans-serif" text-anchor="middle" fill="#000" stroke="#fff" '
        'stroke-width="0.5" stroke-linejoin="round" paint-order="stroke">'
    ]
    sizes: dict[float, list[str]] = {}
    for label in labels:
        sizes.setdefault(label.size, []).append(
            f'<text x="{label.x:.1f}" y="{label.y + 0.36 * label.size:.1f}">{label.text}</text>'
        )
    for size, texts in sizes.items():
        out.append(f'<g font-size="{size:g}">{"".join(texts)}</g>')
    out.append("</g>")
    return "".join(out)


_borders: list[tuple[Sections, list[list[tuple[float, float]]]]] = []


def zone_borders(sections: Sections) -> list[list[tuple[float, float]]]:
    """Where zones end, as lines of (azimuth, polar angle). The last two heads are remembered, by
    identity: four views share the answer, which costs as much as one of them."""
    for known, lines in _borders:
        if known is sections:
            return lines
    lines = find_borders(sections)
    _borders.insert(0, (sections, lines))
    del _borders[2:]
    return lines


def find_borders(sections: Sections) -> list[list[tuple[float, float]]]:
    """Edges that no other section of the same zone, or of the same scalp rows, lies against."""
    curve = cubics(tuple(t for _, t in sorted((p, t) for p, t in sections.head.hairline if p >= -1e-9)))

    def hairline(phi: float) -> float:
        return hairline_at(curve, phi)

    edges: dict[float, float] = {}
    lines: dict[tuple[str, str, float], list[tuple[float, float]]] = {}
    slanted: dict[tuple, list] = {}
    # Scalp rows that run through several zones are one patch, whichever zone each counts to.
    through = {n for row in sections.rows if row.note for n in row.sections}
    for section in sections.items:
        outline = section.outline
        patch = "rows" if section.number in through else section.zone
        for (p0, t0), (p1, t1) in zip(outline[-1:] + outline[:-1], outline):
            if t0 == t1 == 0.0:
                continue
            if p0 == p1:
                low, high = (t0, t1) if t0 < t1 else (t1, t0)
                key = (patch, "down", round(p0 % (2 * pi), 6))
                found = lines.get(key)
                if found is None:
                    found = lines[key] = []
                found.append((low, high))
                continue
            h0 = edges.get(p0) or edges.setdefault(p0, hairline(p0))
            h1 = edges.get(p1) or edges.setdefault(p1, hairline(p1))
            u0, u1 = t0 / h0, t1 / h1
            if abs(u0 - u1) < 1e-6 * (u0 + u1):
                low, high = (p0, p1) if p0 < p1 else (p1, p0)
                key = (patch, "round", round(u0, 5))
                found = lines.get(key)
                if found is None:
                    found = lines[key] = []
                found.append((low, high))
            else:
                a, b = (round(p0, 6), round(t0, 6)), (round(p1, 6), round(t1, 6))
                slanted.setdefault((patch, min(a, b), max(a, b)), []).append([(p0, t0), (p1, t1)])
    out = [pair[0] for pair in slanted.values() if len(pair) == 1]
    for (_, kind, line), spans in lines.items():
        if len(spans) == 2 and spans[0] == spans[1]:
            continue
        for low, high in bare(spans):
            if kind == "down":
                n = max(1, int((high - low) / 0.3))
                out.append([(line, low + (high - low) * i / n) for i in range(n + 1)])
            else:
                n = max(1, int((high - low) / 0.2))
                places = [low + (high - low) * i / n for i in range(n + 1)]
                out.append([(p, line * hairline(p)) for p in places])
    return out


def bare(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The stretches of a line that lie against one section only."""
    ends: list[tuple[float, int]] = []
    for low, high in spans:
        ends += [(low, 1), (high, -1)]
    ends.sort()
    out: list[tuple[float, float]] = []
    depth, start = 0, 0.0
    for at, step in ends:
        if depth == 1 and at - start > 1e-5:
            if out and abs(out[-1][1] - start) < 1e-5:
                out[-1] = (out[-1][0], at)
            else:
                out.append((start, at))
        depth += step
        start = at
    return out


def describe(shown: list[Section], view: View, say: Speech) -> str:
    """What a view shows, in a sentence."""
    zones: dict[str, list[int]] = {}
    for section in shown:
        zones.setdefault(section.zone, []).append(section.number)
    parts = [f"{say.term('zone', zone)} {runs(found)}" for zone, found in zones.items()]
    return say(SEEN[view], count=len(shown), zones=say.series(parts))


def runs(found: list[int]) -> str:
    """Numbers as runs: 1–10, 12."""
    out: list[list[int]] = []
    for n in sorted(found):
        if out and n == out[-1][1] + 1:
            out[-1][1] = n
        else:
            out.append([n, n])
    return ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in out)


def views_in_order(sections: Sections) -> tuple[View, ...]:
    """The four views with the side that is worked first before the other: for a left-handed braider
    mostly the wearer's right."""
    first = {section.side: section.number for section in reversed(sections.items)}
    most = sections.count + 1
    if first.get("right", most) < first.get("left", most):
        return ("top", "back", "right", "left")
    return ("top", "back", "left", "right")


def section_sheet(
    sections: Sections, *, width_mm: float = 186.0, labels: Labels | bool = "auto",
    prefix: str = "sheet-", say: Speech = speech(),
) -> str:
    """All four views on one sheet as a standalone SVG."""
    gap, name = 6.0, 4.5
    half = (width_mm - gap) / 2
    views = views_in_order(sections)
    out: list[str] = []
    y = 0.0
    for pair in (views[:2], views[2:]):
        tallest = 0.0
        for column, view in enumerate(pair):
            svg = section_map(sections, view, width_mm=half, labels=labels, prefix=f"{prefix}{view}-", say=say)
            height = float(svg.split('height="', 1)[1].split("mm", 1)[0])
            tallest = max(tallest, height)
            x = column * (half + gap)
            out.append(
                f'<text x="{x + half / 2:.1f}" y="{y + 3.4:.1f}" font-family="sans-serif" font-size="3.4" '
                f'text-anchor="middle">{escape(say(NAMES[view]))}</text>'
            )
            out.append(svg.replace("<svg ", f'<svg x="{x:.1f}" y="{y + name:.1f}" ', 1).replace(
                f'width="{half:g}mm" height="{height:.1f}mm"', f'width="{half:g}" height="{height:.1f}"', 1))
        y += tallest + name + gap / 2
    title = say("Section map, four views")
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_mm:g} {y:.1f}" width="{width_mm:g}mm" '
        f'height="{y:.1f}mm" role="img" aria-label="{escape(title, quote=True)}">'
    )
    return head + "".join(out) + "</svg>"


def map_text(sections: Sections, say: Speech = speech()) -> str:
    """The map in words, a line a row: what a reader who can't see the drawing works from."""
    out = [say("{count} sections, numbered in braid order. Left and right are the wearer's own.", count=sections.count)]
    by_number = {section.number: section for section in sections.items}
    for row in sections.rows:
        found = [by_number[n] for n in row.sections]
        sides = []
        for side in ("left", "middle", "right"):
            mine = [s.number for s in found if s.side == side]
            if mine:
                sides.append(f"{say.term('side', side)} {runs(mine)}")
        template = mark("{zone} row {row}: {sides}; {height} mm high, {off} mm from the hairline, off by half") if row.offset == "half" else mark(
            "{zone} row {row}: {sides}; {height} mm high, {off} mm from the hairline")
        out.append(say(template, zone=say.term("zone", row.zone), row=row.row, sides=say.series(sides),
                       height=f"{row.height_mm:.0f}", off=f"{row.from_hairline_mm:.0f}"))
    return "\n".join(out)
