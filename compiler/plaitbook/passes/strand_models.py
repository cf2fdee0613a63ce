"""Three ways of working a strand behind one interface: plait, twist, scalp row.

A strand is bundled hair of a solid cross-section (fibre alone, mm²) held at a
packing. Each model says how wide that is, how long one stitch is, and how much
hair a length of it takes up. Everything scales with the diameter of one of the
strand's parts, so the length ratio depends on the pitch over that diameter only.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, pi, sqrt
from typing import NamedTuple

from .constants import PACKING_PLAITED, PLAIT_PITCH, TWIST_PITCH


class StrandModel(NamedTuple):
    """The geometry of one technique at one tightness. Lengths are in part diameters."""

    technique: str
    parts: int
    """How many parts are worked together."""
    width: float
    """Width of the finished strand over the diameter of one part."""
    pitch: float
    """One period of one part over its diameter."""
    stitches: int
    """Stitches in one period."""
    length_ratio: float
    """Hair over finished strand, more than 1."""

    def part_mm(self, solid_mm2: float) -> float:
        """Diameter of one part of a strand with so much solid fibre, in mm."""
        return sqrt(4.0 * solid_mm2 / (self.parts * PACKING_PLAITED * pi))

    def width_mm(self, solid_mm2: float) -> float:
        """Width of a strand with so much solid fibre in its cross-section, in mm."""
        return self.width * self.part_mm(solid_mm2)

    def solid_mm2(self, width_mm: float) -> float:
        """The inverse of :meth:`width_mm`."""
        part = width_mm / self.width
        return self.parts * PACKING_PLAITED * pi * part * part / 4.0

    def stitch_mm(self, width_mm: float) -> float:
        """Finished length of one stitch of a strand so wide, in mm."""
        return self.pitch / self.stitches * width_mm / self.width


def curve_ratio(across: float, through: float, period: float, points: int = 64) -> float:
    """Arc length over advance of (A sin t, B sin 2t, C t), ``period`` = 2πC.

    The trapezium rule over a whole period of a smooth periodic function converges
    faster than any power of ``points``; 64 give 12 digits for any pitch of hair.
    """
    rise = period / (2.0 * pi)
    total = 0.0
    for i in range(points):
        t = 2.0 * pi * i / points
        dx = across * cos(t)
        dy = 2.0 * through * cos(2.0 * t)
        total += sqrt(dx * dx + dy * dy + rise * rise)
    return total / points / rise


def helix_ratio(radius: float, pitch: float) -> float:
    """Arc length over advance of a helix: √(1 + (2πr/p)²)."""
    turn = 2.0 * pi * radius / pitch
    return sqrt(1.0 + turn * turn)


def bundle_mm(linear_g_m: float, density_g_cm3: float, packing: float) -> float:
    """Diameter in mm of a round bundle of so many grams a metre.

    d = √(4T / πρφ); in these units the powers of ten cancel.
    """
    return sqrt(4.0 * linear_g_m / (pi * density_g_cm3 * packing))


def hair_g_m(diameter_um: float, density_g_cm3: float) -> float:
    """Linear density of one round hair in g/m: (π/4) d² ρ."""
    return pi / 4.0 * diameter_um * diameter_um * density_g_cm3 * 1e-6


@lru_cache(maxsize=64)
def strand_model(technique: str, tightness: str) -> StrandModel:
    """The model of a technique at a tightness.

    A plait's parts run along (d sin t, ½d sin 2t, Ct) and stand 3 d wide over all; a
    stitch, each outside part to the centre once, is a third of the period. A twist's
    parts run along a helix of radius ½d; a stitch is a full turn. A scalp row is a
    plait lying on the scalp; what it gathers as it travels is the caller's business.
    """
    if technique == "twist":
        pitch = TWIST_PITCH[tightness]
        return StrandModel("twist", 2, 2.0, pitch, 1, helix_ratio(0.5, pitch))
    pitch = PLAIT_PITCH[tightness]
    return StrandModel(technique, 3, 3.0, pitch, 3, curve_ratio(1.0, 0.5, pitch))
