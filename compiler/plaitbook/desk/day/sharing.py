"""What the bookings want of each hair, cut and bought for them all together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from math import ceil
from typing import NamedTuple

from ...meaning.model import House
from ...passes.constants import SHED_SHARE
from ...passes.cutting import CutPlan, cut_stock
from ...passes.material import Demand
from ...passes.racks import ROUNDING


class Wanted(NamedTuple):
    """One booking's demand for one hair, with who it is for."""

    whom: str
    demand: Demand
    pack_g: float


class Share(NamedTuple):
    """What one booking gets of a cut."""

    whom: str
    cut_mm: float
    pieces: int
    held_mm: float
    """Width of a whole piece as it is held: a folded one is held with both its legs."""
    part: float
    """This hair's part of a blended piece, by mass; 1 where nothing is blended."""


class Cut(NamedTuple):
    """How pieces of one thickness are cut from one hair, for all bookings together."""

    hair: str
    colour: str | None
    flat_mm: float
    lane_g_m: float
    plan: CutPlan
    shares: tuple[Share, ...]


class Buy(NamedTuple):
    """One hair of the shared shopping list. Packs."""

    hair: str
    colour: str | None
    used: float
    alone: float
    """What the bookings would use if each cut its own."""
    brought: float
    """By wearers, for their own heads."""
    on_hand: float
    to_buy: int

    from_loose: float = 0.0
    """The part of ``on_hand`` that is kept without a colour, and promised to this one."""

    @property
    def left(self) -> float:
        """On the shelf afterwards: what was there, came and was bought, less what was used. Never below zero."""
        return max(0.0, self.on_hand + self.brought + self.to_buy - self.used)


def with_spare(wanted: Iterable[Wanted]) -> tuple[Wanted, ...]:
    """The same with the pieces that each card has cut: what is used and the house's spare."""
    return tuple(each._replace(demand=each.demand._replace(pieces=max(each.demand.pieces, each.demand.spared))) for each in wanted)


def share_cuts(wanted: Iterable[Wanted]) -> tuple[Cut, ...]:
    """Pieces of one thickness from one hair and colour, cut together whoever they are for."""
    groups: dict[tuple[str, str | None, float, float], list[Wanted]] = defaultdict(list)
    for each in wanted:
        demand = each.demand
        if demand.pieces > 0:
            groups[demand.hair, demand.colour, demand.flat_mm, round(demand.lane_g_m, 9)].append(each)
    found = []
    for (hair, colour, flat_mm, lane), members in groups.items():
        plan = cut_stock(tuple((each.demand.cut_mm, each.demand.pieces) for each in members), flat_mm)
        shares = tuple(Share(each.whom, each.demand.cut_mm, each.demand.pieces, each.demand.held_mm, each.demand.share) for each in members)
        found.append(Cut(hair, colour, flat_mm, lane, plan, shares))
    return tuple(sorted(found, key=lambda cut: (cut.hair, cut.colour or "", -cut.lane_g_m)))


def shopping(
    wanted: tuple[Wanted, ...], cuts: tuple[Cut, ...], brought: dict[tuple[str, str | None], float],
    shelf: dict[tuple[str, str | None], float], house: House,
) -> tuple[Buy, ...]:
    """What to buy of each hair and colour: what all bookings use and the house's spare, less what is brought and on the shelf.

    ``shelf`` may hold a hair without its colour (None), which then counts for the colours that lack most.
    """
    pack_g = {(each.demand.hair, each.demand.colour): each.pack_g for each in wanted}
    used: dict[tuple[str, str | None], float] = defaultdict(float)
    for cut in cuts:
        used[cut.hair, cut.colour] += _grams(cut.plan.flats, cut.lane_g_m, cut.flat_mm) / pack_g[cut.hair, cut.colour]
    alone: dict[tuple[str, str | None], float] = defaultdict(float)
    for whom in dict.fromkeys(each.whom for each in wanted):
        for cut in share_cuts(each for each in wanted if each.whom == whom):
            alone[cut.hair, cut.colour] += _grams(cut.plan.flats, cut.lane_g_m, cut.flat_mm) / pack_g[cut.hair, cut.colour]
    loose = {hair: packs for (hair, colour), packs in shelf.items() if colour is None}
    found = []
    for (hair, colour), packs in sorted(used.items(), key=lambda item: (item[0][0], -item[1], item[0][1] or "")):
        own = brought.get((hair, colour), 0.0)
        need = max(0.0, packs * (1.0 + house.spare) - own)
        there = shelf.get((hair, colour), 0.0) if colour is not None else 0.0
        from_loose = min(loose.get(hair, 0.0), max(0.0, need - there))
        if hair in loose:
            loose[hair] -= from_loose
        there += from_loose
        found.append(Buy(hair, colour, packs, alone[hair, colour], own, there, max(0, ceil(need - there - ROUNDING)), from_loose))
    return tuple(found)


def _grams(flats: int, lane_g_m: float, flat_mm: float) -> float:
    """Grams of so many flat lengths, what is shed in brushing included (as in :mod:`plaitbook.passes.material`)."""
    return flats * lane_g_m * flat_mm * 1e-3 / (1.0 - SHED_SHARE)
