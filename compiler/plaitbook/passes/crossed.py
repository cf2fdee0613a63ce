"""Which zones a section lies in: its own, and for a scalp row every zone that it runs through.

A row counts to one zone in the tables, but its first stitches pull on the hair where it starts:
a row that starts at the front hairline braids the hairline, wherever most of it lies.
"""

from __future__ import annotations

from functools import lru_cache
from math import pi, radians

from ..meaning.model import Recipe
from ..plan.model import Section, Sections
from .grids.scalp import CROWN_DEPTH, NAPE_DEPTH, TURN
from .grids.zones import BAND_AZIMUTH, EAR_EDGE, HAIRLINE_DEEPEST, HAIRLINE_MM, TEMPLE_EDGE, TOP_EDGE
from .surface import meridian_arc

STEP = 0.05
"""Longest stretch of a row's edge, radians, that is looked at as one point: about 5 mm (our own estimate)."""
ON_BORDER = radians(0.5)
"""A point nearer than this to a border between zones tells neither: about 1 mm (our own estimate)."""

Ring = tuple[tuple[float, float], ...]


def rows_through(recipe: Recipe) -> dict[str, tuple[str, ...]]:
    """Zone -> every zone that its scalp rows may run through, itself too; other zones stand alone."""
    groups: dict[tuple[object, ...], list[str]] = {}
    for look in recipe.zones:
        if look.left_out:
            continue
        rows = look.grid.shape == "rows"
        key = ("rows", look.grid.group, look.grid.direction) if rows else ("own", look.zone)
        groups.setdefault(key, []).append(look.zone)
    return {zone: tuple(zones) for zones in groups.values() for zone in zones}


def zones_crossed(recipe: Recipe, sections: Sections) -> dict[int, tuple[str, ...]]:
    """Section number -> the zones it lies in, its own first."""
    through = rows_through(recipe)
    if all(len(zones) == 1 for zones in through.values()):
        return {section.number: (section.zone,) for section in sections.items}
    head = sections.head
    return {section.number: _crossed(section, through.get(section.zone, ()), head.hairline, head.semi_axes_mm)
            for section in sections.items}


def _crossed(section: Section, group: tuple[str, ...], ring: Ring, axes: tuple[float, float, float]) -> tuple[str, ...]:
    if len(group) < 2:
        return (section.zone,)
    # A row whose edge nobody drew may run anywhere in its group: better one caution too many.
    drawn = len(section.outline) > 2 and len(ring) > 2
    met = _met(section.outline, ring, axes) if drawn else frozenset(group)
    return (section.zone, *(zone for zone in group if zone in met and zone != section.zone))


@lru_cache(maxsize=1024)
def _met(outline: Ring, ring: Ring, axes: tuple[float, float, float]) -> frozenset[str]:
    """The zones that an outline's edge passes through."""
    lattice, step = _even(ring)
    edge = 1.0 - min(HAIRLINE_DEEPEST, HAIRLINE_MM / meridian_arc(
        axes, BAND_AZIMUTH, 0.0, _hairline(lattice, step, BAND_AZIMUTH)))
    found: set[str] = set()
    for (p, t), (q, s) in zip(outline, outline[1:] + outline[:1]):
        # At the vertex every azimuth is the same point: the edge leaves it along the other's.
        p, q = (q if t < 1e-9 else p), (p if s < 1e-9 else q)
        turn = folded(q - p)
        n = 1 + int(max(abs(turn), abs(s - t)) / STEP)
        for k in range(n):
            x = k / n
            side = abs(folded(p + turn * x))
            found.add(_zone_at(side, (t + (s - t) * x) / _hairline(lattice, step, side), edge))
    return frozenset(found - {""})


def _zone_at(side: float, u: float, edge: float) -> str:
    """The zone of a place: how far round from the forehead, and which share of the way from the
    vertex to the hairline. Empty on a border. A far side parting ends the top elsewhere: not looked at."""
    if abs(side - TOP_EDGE) < ON_BORDER or abs(side - TEMPLE_EDGE) < ON_BORDER or abs(side - EAR_EDGE) < ON_BORDER:
        return ""
    if side < TEMPLE_EDGE and u > edge:
        return "hairline"
    if side < TOP_EDGE:
        return "top"
    if u < CROWN_DEPTH:
        return "crown"
    if side < TEMPLE_EDGE:
        return "temples"
    if side < EAR_EDGE:
        return "sides"
    return "back" if u < NAPE_DEPTH else "nape"


def folded(phi: float) -> float:
    """An azimuth brought into [-pi, pi)."""
    return (phi + pi) % TURN - pi


def _hairline(lattice: tuple[float, ...], step: float, side: float) -> float:
    """Polar angle of the hairline so far round from the forehead, on a straight line between known points."""
    i = min(int(side / step), len(lattice) - 2)
    return lattice[i] + (side / step - i) * (lattice[i + 1] - lattice[i])


@lru_cache(maxsize=16)
def _even(ring: Ring) -> tuple[tuple[float, ...], float]:
    """The ring's polar angles from front to nape, and the step of azimuth between them."""
    half = sorted({(round(abs(folded(phi)), 9), theta) for phi, theta in ring})
    angles: dict[float, float] = {}
    for phi, theta in half:
        angles.setdefault(phi, theta)
    values = tuple(angles.values())
    return values, pi / (len(values) - 1)
