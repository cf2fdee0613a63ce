"""What a strand is bundled from: own hair that runs out, and pieces of added hair.

Both answer one question: how many grams a metre are left at a distance along the
hair. Distances here are measured along the hair; divide by the length ratio for
the distance along the finished strand.
"""

from __future__ import annotations

from math import floor, pi
from typing import NamedTuple

from ..meaning.model import Hair, HairUse, House
from .constants import PACKING_HELD


class Piece(NamedTuple):
    """One piece of added hair as it is held, folded and tapered."""

    role: str
    held_mm: float
    cut_mm: float
    fold: float
    pulled_mm: float
    linear_g_m: float
    """Grams a metre as held: both legs together where the piece is folded."""
    density_g_cm3: float

    @property
    def folded(self) -> bool:
        return 0.0 < self.fold < 1.0

    @property
    def mass_g(self) -> float:
        """A folded piece is twice as thick at the fold as its fibre is, so C × T/2."""
        return self.linear_g_m * self.cut_mm * 1e-3 * (0.5 if self.folded else 1.0)

    @property
    def legs(self) -> tuple[tuple[float, float], ...]:
        """(grams a metre, length in mm) of each leg, before the ends are pulled."""
        if not self.folded:
            return ((self.linear_g_m, self.cut_mm),)
        half = self.linear_g_m / 2.0
        return ((half, self.fold * self.cut_mm), (half, (1.0 - self.fold) * self.cut_mm))

    @property
    def reach_mm(self) -> float:
        """How far the longest fibre of the longest leg goes, along the hair."""
        leg = max(length for _, length in self.legs)
        return leg + min(self.pulled_mm, 2.0 * leg) / 2.0

    def linear_at(self, distance_mm: float) -> float:
        """Grams a metre left at a distance from the fold (or the tucked end)."""
        return sum(
            linear * taper(distance_mm, length, self.pulled_mm) for linear, length in self.legs
        )

    def mass_beyond(self, distance_mm: float) -> float:
        """Grams of the piece farther from the fold than a distance."""
        return 1e-3 * sum(
            linear * taper_beyond(distance_mm, length, self.pulled_mm)
            for linear, length in self.legs
        )


def taper(distance: float, length: float, pulled: float) -> float:
    """Share of fibres left at a distance along a leg whose ends were pulled apart.

    Pulling slides fibres of one length past each other by up to ``pulled`` in all, so
    the end that was blunt at ``length`` thins evenly from ``length - pulled/2`` to
    ``length + pulled/2``. The mass stays what it was.
    """
    spread = min(pulled, 2.0 * length)
    if spread <= 0.0:
        return 1.0 if 0.0 <= distance <= length else 0.0
    if distance <= length - spread / 2.0:
        return 1.0 if distance >= 0.0 else 0.0
    return max(0.0, (length + spread / 2.0 - distance) / spread)


def taper_beyond(distance: float, length: float, pulled: float) -> float:
    """The integral of :func:`taper` from a distance to the end of the leg, in mm."""
    at = max(0.0, distance)
    spread = min(pulled, 2.0 * length)
    if spread <= 0.0:
        return max(0.0, length - at)
    start = length - spread / 2.0
    if at <= start:
        return length - at
    left = max(0.0, length + spread / 2.0 - at)
    return left * left / (2.0 * spread)


class OwnHair(NamedTuple):
    """The wearer's own hair in one strand."""

    hairs: float
    hair_g_m: float
    """Grams a metre of one hair."""
    longest_mm: float
    layers_mm: float
    """How much shorter the shortest hair is; in between the lengths are spread evenly."""
    run_mm: float = 0.0
    """Along the hair, how far a scalp row travels while it gathers the section."""

    @property
    def mass_g(self) -> float:
        return self.hairs * self.hair_g_m * self._held(self.longest_mm) * 1e-3

    def _held(self, distance: float) -> float:
        """Integral from the root of the share of hairs that reach so far, in mm."""
        layers = min(self.layers_mm, self.longest_mm)
        shortest = self.longest_mm - layers
        if distance <= shortest:
            return max(0.0, distance)
        if layers <= 0.0 or distance >= self.longest_mm:
            return shortest + layers / 2.0
        into = distance - shortest
        return shortest + into - into * into / (2.0 * layers)

    def linear_at(self, distance: float) -> float:
        """Grams a metre of own hair at a distance from where the strand begins."""
        if self.run_mm > 0.0:
            # Hairs join evenly along the run; each has come its own way since it joined.
            joined = min(distance, self.run_mm)
            share = (self._held(distance) - self._held(distance - joined)) / self.run_mm
            return self.hairs * self.hair_g_m * share
        layers = min(self.layers_mm, self.longest_mm)
        if distance <= self.longest_mm - layers:
            share = 1.0
        elif distance >= self.longest_mm:
            share = 0.0
        else:
            share = (self.longest_mm - distance) / layers
        return self.hairs * self.hair_g_m * share

    def linear_along(self, step: float, steps: int) -> list[float]:
        """:meth:`linear_at` at 0, 1, 2 … ``steps`` steps, for a whole strand at once."""
        if self.run_mm > 0.0:
            return [self.linear_at(k * step) for k in range(steps + 1)]
        whole = self.hairs * self.hair_g_m
        layers = min(self.layers_mm, self.longest_mm)
        # All hairs are there down to the shortest layer, none past the longest.
        full = min(steps + 1, floor((self.longest_mm - layers) / step) + 1)
        last = min(steps + 1, max(full, floor(self.longest_mm / step) + 1))
        thinning = [whole * max(0.0, self.longest_mm - k * step) / layers for k in range(full, last)]
        return [whole] * full + thinning + [0.0] * (steps + 1 - last)

    @property
    def reach_mm(self) -> float:
        """Where the last own hair ends, along the hair from the strand's beginning."""
        return self.run_mm + self.longest_mm


def blend_density(use: HairUse, hairs: dict[str, Hair]) -> float:
    """Density of a blend in g/cm³: volumes add, so 1/ρ = Σ share/ρ."""
    return 1.0 / sum(part.share / hairs[part.hair].density_g_cm3.value for part in use.parts)


def held_g_m(held_mm: float, density_g_cm3: float, house: House) -> float:
    """Grams a metre of a piece held so wide: ρ φ π w²/4, or by the pencil the house weighed."""
    if house.pencil_g_m is not None:
        width = held_mm / house.pencil_mm.value
        return house.pencil_g_m.value * width * width
    return density_g_cm3 * PACKING_HELD * pi / 4.0 * held_mm * held_mm


def piece_of(use: HairUse, held_mm: float, hairs: dict[str, Hair], house: House) -> Piece:
    """A piece of a role's hair held so wide."""
    density = blend_density(use, hairs)
    return Piece(
        role=use.role,
        held_mm=held_mm,
        cut_mm=use.cut_mm.value,
        fold=use.fold,
        pulled_mm=use.pulled_mm.value,
        linear_g_m=held_g_m(held_mm, density, house),
        density_g_cm3=density,
    )
