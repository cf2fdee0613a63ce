"""The front refresh: weeks later the edges are taken down and braided anew, a visit of its own."""

from __future__ import annotations

import math
from typing import Iterable, Mapping, NamedTuple

from ..meaning.model import Rate, Recipe
from ..plan.model import Figure, Given, Material, Stage, StrandKind
from . import rates as table
from .work import Labour, opened_stitches

OUR_OWN = "our own estimate"


class Refresh(NamedTuple):
    """Minutes of the later visit (0 where the look has no front), its line of the clock and its figures."""

    minutes: float
    stage: Stage | None
    figures: tuple[Figure, ...]
    hair: tuple[float, ...] = ()
    """Of each line of the material's hair, the share that the front takes."""


def front_of(kinds: tuple[StrandKind, ...]) -> tuple[StrandKind, ...]:
    """The strands that a front refresh takes out; of scalp rows, also those that begin over the top."""
    return tuple(kind for kind in kinds if kind.zone in (
        table.REFRESH_ROW_ZONES if kind.technique == "row" else table.REFRESH_ZONES))


def front_refresh(recipe: Recipe, kinds: tuple[StrandKind, ...], material: Material, hands: Labour,
                  rates: Mapping[str, Rate], pace: float) -> Refresh:
    """Look, take the front down, part and braid it again, smooth it; ``pace`` adds the short pauses."""
    front = front_of(kinds)
    if not front:
        return Refresh(0.0, None, ())
    numbers = {number for kind in front for number in kind.sections}
    again_s = math.fsum(s for number, _, s in hands.by_section if number in numbers)
    counts = opened_stitches(front)
    open_s = sum(counts[op] * rates[op].seconds for op in counts)
    look, finish = rates["consult refresh"], rates["finish refresh"]
    minutes = (look.seconds + open_s + again_s + finish.seconds) * pace / 60
    figures = (
        Figure(key="timing.later.take_down_s", label="take down the front", value=open_s, unit="s",
               formula="strands * each + size * each_size", source=OUR_OWN, inputs={
                   "strands": Given(value=counts["take down"], origin=recipe.origin),
                   "each": table.as_input(rates["take down"]),
                   "size": Given(value=counts["take down stitch"], unit="stitches", origin=recipe.origin),
                   "each_size": table.as_input(rates["take down stitch"])}),
        Figure(key="timing.later.strand_s", label="part and braid the front again", value=again_s, unit="s", how="words",
               formula="sum over the strands of temples and hairline, and over scalp rows of the top", source=OUR_OWN),
        Figure(key="timing.later_minutes", label="time of another visit for the front, weeks later", value=minutes, unit="min",
               formula="(look + open + again + finish) * (1 + rest) / 60", source=OUR_OWN, inputs={
                   "look": table.as_input(look), "open": "timing.later.take_down_s", "again": "timing.later.strand_s",
                   "finish": table.as_input(finish), "rest": "timing.short_pauses"}),
        Figure(key="timing.stage.front_refresh", label="the same, as a stage of the clock", value=minutes, unit="min", formula="visit",
               inputs={"visit": "timing.later_minutes"}, source=OUR_OWN),
    )
    weeks, zones = table.REFRESH_WEEKS, dict.fromkeys(kind.zone for kind in front)
    stage = Stage(name="front refresh", minutes=minutes, when="later",
                  note=f"{weeks[0]} to {weeks[1]} weeks later: {' and '.join(zones)} taken down and braided anew")
    return Refresh(minutes, stage, figures, _hair_shares(front, kinds, material))


def _hair_shares(front: tuple[StrandKind, ...], kinds: tuple[StrandKind, ...], material: Material) -> tuple[float, ...]:
    """Of each line of hair, what the front takes of it: by mass, which goes with the width held squared."""
    here, whole = _masses(front), _masses(kinds)
    shares = []
    for line in material.hair:
        all_of_it = math.fsum(whole.get(role, 0.0) for role in line.roles)
        shares.append(math.fsum(here.get(role, 0.0) for role in line.roles) / all_of_it if all_of_it else 0.0)
    return tuple(shares)


def _masses(kinds: Iterable[StrandKind]) -> dict[str, float]:
    """role -> pieces times their held width squared, over all strands of these kinds."""
    found: dict[str, float] = {}
    for kind in kinds:
        sizes = kind.portions or tuple((role, 1.0, count) for role, count in kind.pieces)
        for role, held, count in sizes:
            found[role] = found.get(role, 0.0) + held * held * count * len(kind.sections)
    return found
