"""Load: the weight that each section's own hair carries, ranked.

No published limit of weight or tension exists for braids, so nothing here says
what is too much; it compares sections with each other and with the wearer's own hair.
"""

from __future__ import annotations

from statistics import median

from ..meaning.model import House, Recipe, Wearer
from ..meaning.values import Origin
from ..plan.computed import computed
from ..plan.model import Figure, Given, Load, LoadAt, Section, Sections, StrandKind
from ..plan.outcome import Outcome
from .constants import GRAVITY_M_S2, HELD_WATER, WET_REGAIN, WET_SOURCE
from .crossed import zones_crossed

KEPT = 10
"""How many of the heaviest-laden sections a plan lists."""

_GRAVITY = Origin(kind="source", where="standard gravity, 3rd CGPM 1901")
_WATER = Origin(kind="source", where=WET_SOURCE)
_COUNTED = Origin(kind="default", where="section area times hair density")


def weigh_load(
    recipe: Recipe, wearer: Wearer, house: House, sections: Sections, kinds: tuple[StrandKind, ...]
) -> Outcome[Load]:
    """What hangs on each own hair at rest, in millinewtons, dry and wet.

    Grams times m/s² are millinewtons. Wet, own hair takes up water into the fibre and
    every strand holds water between its fibres.
    """
    by_number = {section.number: section for section in sections.items}
    ranked: list[tuple[float, Section, StrandKind, float]] = []
    added = own = 0.0
    for kind in kinds:
        for number in kind.sections:
            section = by_number[number]
            # A section of a kind has nearly its hairs; its own hair weighs in proportion.
            own_g = kind.own_g * section.hairs / kind.hairs
            added += kind.added_g
            own += own_g
            ranked.append((_mn(kind.added_g + own_g, section), section, kind, own_g))
    if not ranked:
        return Outcome(Load(worst=(), median_mn=0.0, added_to_own=0.0))
    ranked.sort(key=lambda item: (-item[0], item[1].number))
    worst = tuple(
        computed(
            LoadAt, section=section.number,
            zone=section.zone,
            dry_mn=dry,
            wet_mn=_mn(_wet_g(kind.added_g, own_g), section),
            own_mn=_mn(own_g, section),
        )
        for dry, section, kind, own_g in ranked[:KEPT]
    )
    # A scalp row that starts at the hairline pulls on it, whatever zone it counts to.
    crossed = zones_crossed(recipe, sections)
    hairline = [dry for dry, section, _, _ in ranked if "hairline" in crossed[section.number]]
    load = Load(
        worst=worst,
        median_mn=median(item[0] for item in ranked),
        hairline_median_mn=median(hairline) if hairline else None,
        added_to_own=added / own if own > 0.0 else 0.0,
    )
    return Outcome(load, _figures(load, ranked[0], added, own))


def _mn(grams: float, section: Section) -> float:
    return grams * GRAVITY_M_S2 / max(1, section.hairs)


def _wet_g(added_g: float, own_g: float) -> float:
    return own_g * (1.0 + WET_REGAIN) + added_g + HELD_WATER * (own_g + added_g)


def _figures(
    load: Load, top: tuple[float, Section, StrandKind, float], added: float, own: float
) -> tuple[Figure, ...]:
    dry, section, kind, _ = top
    weight: dict[str, Given | str] = {
        "added": f"strands.{kind.id}.added_g",
        "kind_own": f"strands.{kind.like or kind.id}.own_g",
        "kind_hairs": Given(value=kind.hairs, unit="hairs", origin=_COUNTED),
        "hairs": Given(value=max(1, section.hairs), unit="hairs", origin=_COUNTED),
        "gravity": Given(value=GRAVITY_M_S2, unit="m/s2", origin=_GRAVITY),
    }
    water: dict[str, Given | str] = {
        "regain": Given(value=WET_REGAIN, unit="share", origin=_WATER),
        "held_water": Given(value=HELD_WATER, unit="g/g", origin=_WATER),
    }
    mean = "kind_own * hairs / kind_hairs"
    found = [
        computed(
            Figure, key="load.worst_mn", label=f"load on one own hair of section {section.number}, dry", value=dry,
            unit="mN", formula=f"(added + {mean}) * gravity / hairs", inputs=weight, source="g x m/s2 = mN",
        ),
        computed(
            Figure, key="load.worst_wet_mn", label=f"load on one own hair of section {section.number}, wet",
            value=load.worst[0].wet_mn, unit="mN",
            formula=f"({mean} * (1 + regain) + added + held_water * ({mean} + added)) * gravity / hairs",
            inputs={**weight, **water}, source=WET_SOURCE,
        ),
        computed(
            Figure, key="load.median_mn", label="load on one own hair, median section, dry", value=load.median_mn,
            unit="mN", how="words", formula="median over the sections of (added + own) x g / hairs",
            inputs={"worst": "load.worst_mn"}, source="g x m/s2 = mN",
        ),
        computed(
            Figure, key="load.added_to_own", label="added hair over own hair, by mass", value=load.added_to_own,
            formula="added / own",
            inputs={
                "added": Given(value=added, unit="g", origin=Origin(kind="default", where="sum over strands")),
                "own": Given(value=own, unit="g", origin=Origin(kind="default", where="sum over strands")),
            },
            source="sums over strands",
        ),
    ]
    if load.hairline_median_mn is not None:
        found.append(
            computed(
                Figure, key="load.hairline_median_mn", label="load on one own hair, median hairline section, dry",
                value=load.hairline_median_mn, unit="mN", how="words",
                formula="median over the hairline's sections, and the scalp rows that run through it, of (added + own) x g / hairs",
                inputs={"worst": "load.worst_mn"}, source="g x m/s2 = mN",
            )
        )
    return tuple(found)
