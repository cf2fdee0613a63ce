"""The front refresh: weeks later the edges are taken down and braided anew, a visit of its own."""

from __future__ import annotations

import math
from typing import Mapping, NamedTuple

from ..meaning.model import Rate, Recipe
from ..plan.model import Figure, Given, Stage, StrandKind
from . import rates as table
from .work import Labour, opened_stitches

OUR_OWN = "our own estimate"


class Refresh(NamedTuple):
    """Minutes of the later visit (0 where the look has no front), its line of the clock and its figures."""

    minutes: float
    stage: Stage | None
    figures: tuple[Figure, ...]


def front_of(kinds: tuple[StrandKind, ...]) -> tuple[StrandKind, ...]:
    """The strands that a front refresh takes out."""
    return tuple(kind for kind in kinds if kind.zone in table.REFRESH_ZONES)


def front_refresh(recipe: Recipe, kinds: tuple[StrandKind, ...], hands: Labour, rates: Mapping[str, Rate],
                  pace: float) -> Refresh:
    """Take the front down, braid it again, smooth it; ``pace`` adds the short pauses."""
    front = front_of(kinds)
    if not front:
        return Refresh(0.0, None, ())
    again_s = math.fsum(s for _, zone, s in hands.by_section if zone in table.REFRESH_ZONES)
    counts = opened_stitches(front)
    open_s = sum(counts[op] * rates[op].seconds for op in counts)
    finish = rates["finish refresh"]
    minutes = (open_s + again_s + finish.seconds) * pace / 60
    figures = (
        Figure(key="timing.later.take_down_s", label="take down the front", value=open_s, unit="s",
               formula="strands * each + size * each_size", source=OUR_OWN, inputs={
                   "strands": Given(value=counts["take down"], origin=recipe.origin),
                   "each": table.as_input(rates["take down"]),
                   "size": Given(value=counts["take down stitch"], unit="stitches", origin=recipe.origin),
                   "each_size": table.as_input(rates["take down stitch"])}),
        Figure(key="timing.later.strand_s", label="braid the front again", value=again_s, unit="s", how="words",
               formula="sum over the strands of temples and hairline", source=OUR_OWN),
        Figure(key="timing.later_minutes", label="front refresh, weeks later", value=minutes, unit="min",
               formula="(open + again + finish) * (1 + rest) / 60", source=OUR_OWN, inputs={
                   "open": "timing.later.take_down_s", "again": "timing.later.strand_s",
                   "finish": table.as_input(finish), "rest": "timing.short_pauses"}),
        Figure(key="timing.stage.front_refresh", label="front refresh", value=minutes, unit="min", formula="visit",
               inputs={"visit": "timing.later_minutes"}, source=OUR_OWN),
    )
    weeks, zones = table.REFRESH_WEEKS, dict.fromkeys(kind.zone for kind in front)
    stage = Stage(name="front refresh", minutes=minutes, when="later",
                  note=f"{weeks[0]} to {weeks[1]} weeks later: {' and '.join(zones)} taken down and braided anew")
    return Refresh(minutes, stage, figures)
