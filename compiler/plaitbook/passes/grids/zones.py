"""Where the zones lie: rectangles in (azimuth, depth) that cover the scalp exactly."""

from __future__ import annotations

from math import asin, pi, radians, sin
from typing import NamedTuple

from .scalp import CROWN_DEPTH, NAPE_DEPTH, TURN, Scalp

TOP_EDGE = radians(45)
"""Between top and temples: the corner of the hairline. Like the other borders here, our own
estimate from the trade's names for the parts of a head."""
TEMPLE_EDGE = radians(75)
"""Between temples and sides: the front of the ear."""
EAR = radians(97)
"""Above the ear (our own estimate)."""
EAR_EDGE = radians(120)
"""Between sides and back: behind the ear."""
HAIRLINE_MM = 12.7
"""Depth of the hairline band where no size of its own is given: half an inch
(common practice, no source)."""
BAND_AZIMUTH = radians(52)
"""Where the hairline band has the depth asked for; it is a little less at the forehead and a
little more at the ears, which evens out over the band (our own estimate)."""
HAIRLINE_DEEPEST = 0.35
"""Largest share of the way up that the one row of the hairline may take."""
SIDE_PART_MM = 50.0
"""How far a side parting lies from the middle at the forehead (common practice, no source)."""
ENDS_TOP = radians(30)
"""A parting farther out than this ends the top: what would be left of it is under 20 mm wide at
the hairline (our own estimate)."""
ZIGZAG_WITHIN = radians(24)
"""How far out a zigzag may lie, about 27 mm from the middle at the hairline: both its sides must
be wide enough to swing (our own estimate)."""
FARTHEST = radians(50)
"""How far out a parting may lie: about 52 mm from the middle at the hairline (our own estimate)."""
OFF_CENTRE_MM = 20.0
"""The same for an off-centre parting (common practice, no source)."""

ZIGZAG = 0.06
"""How far a zigzag parting swings to either side, radians: about 5 mm at the forehead
(our own estimate)."""

FRONT_ZONES = ("top", "hairline")


class Strip(NamedTuple):
    """A rectangle of one zone: azimuths ``low`` < ``high`` in radians, depths ``upper`` < ``lower``.

    ``side`` is ``middle`` when it crosses the midline. Right of the wearer is positive;
    strips across the back run from below pi to above it.
    """

    zone: str
    side: str
    low: float
    high: float
    upper: float
    lower: float

    @property
    def half(self) -> tuple[float, float]:
        """The azimuths covered once both sides are folded on each other, in [0, pi]."""
        if self.high > pi:
            return (min(self.low, TURN - self.high), pi)
        if self.low < 0:
            return (0.0, max(-self.low, self.high)) if self.high > 0 else (-self.high, -self.low)
        return (self.low, self.high)

    @property
    def middle(self) -> float:
        """Azimuth of the meridian that row heights are measured along."""
        if self.zone in FRONT_ZONES:
            # The same on both sides of any parting, so that rows meet across it.
            return (TOP_EDGE if self.zone == "top" else TEMPLE_EDGE) / 2
        low, high = self.half
        return (low + high) / 2


def band_depth(scalp: Scalp, size_mm: float) -> float:
    """Share of the way from vertex to hairline that a band ``size_mm`` deep takes at the front."""
    arc = scalp.down(BAND_AZIMUTH, 1.0)
    return min(HAIRLINE_DEEPEST, 1.0 - scalp.depth(BAND_AZIMUTH, arc - size_mm))


def parting_azimuth(
    scalp: Scalp, kind: str, side: str | None, offset_mm: float | None, zigzag: bool = False
) -> float | None:
    """Azimuth of the parting, positive to the wearer's right; None where there is none.

    The line runs from the forehead to the vertex; ``offset_mm`` is measured straight across
    at the hairline. Held in front of the temples; one that zigzags, within the top.
    """
    if kind == "none":
        return None
    if kind == "centre" and not offset_mm:
        return 0.0
    offset = offset_mm if offset_mm is not None else (SIDE_PART_MM if kind == "side" else OFF_CENTRE_MM)
    reach = scalp.axes[0] * sin(scalp.theta[0])
    turn = min(asin(min(1.0, offset / reach)), ZIGZAG_WITHIN if zigzag else FARTHEST)
    return -turn if side == "left" else turn


def edge_of_top(part: float | None) -> float:
    """Azimuth where the top ends: at the corner of the hairline, or at a parting near there, on
    both sides alike. The wedge between the two would be too narrow for any section."""
    return abs(part) if part is not None and abs(part) > ENDS_TOP else TOP_EDGE


def divide(band: float, part: float | None) -> tuple[Strip, ...]:
    """The strips of every zone. ``band`` is the hairline's share of depth; ``part`` the parting.

    Rows of nape, back and crown run across the midline.
    """
    edge, side = 1.0 - band, edge_of_top(part)
    out = []
    for zone, inner, upper, lower in (
        ("nape", EAR_EDGE, NAPE_DEPTH, 1.0),
        ("back", EAR_EDGE, CROWN_DEPTH, NAPE_DEPTH),
        ("crown", side, 0.0, CROWN_DEPTH),
    ):
        out.append(Strip(zone, "middle", inner, TURN - inner, upper, lower))
    for zone, inner, outer, lower in (
        ("sides", TEMPLE_EDGE, EAR_EDGE, 1.0),
        ("temples", side, TEMPLE_EDGE, edge),
    ):
        out.append(Strip(zone, "left", -outer, -inner, CROWN_DEPTH, lower))
        out.append(Strip(zone, "right", inner, outer, CROWN_DEPTH, lower))
    for zone, reach, upper, lower in (
        ("top", side, 0.0, edge),
        ("hairline", TEMPLE_EDGE, edge, 1.0),
    ):
        if part is None or abs(part) >= reach:
            out.append(Strip(zone, "middle", -reach, reach, upper, lower))
        else:
            out.append(Strip(zone, "left", -reach, part, upper, lower))
            out.append(Strip(zone, "right", part, reach, upper, lower))
    return tuple(out)
