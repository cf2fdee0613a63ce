"""Hot irons: sealing, styling heat, fumes, skin."""

from __future__ import annotations

from typing import Iterator

from . import limits
from .measures import heat, length
from .rule import COMMON_PRACTICE, HERE, Hit, Rule
from .scene import Scene, clearances, ends, ends_with_hair, is_synthetic


def _burns(scene: Scene) -> Iterator[Hit]:
    for step, kind in ends(scene, "heat seal"):
        if step.temperature_c is not None and step.temperature_c.value > limits.BURNS_ABOVE_C:
            yield Hit(f"sealing at {heat(step.temperature_c.value)} in {HERE}", step.origin, zone=kind.zone)


def _above_window(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "heat seal"):
        for hair in hairs:
            if step.temperature_c and hair.sealing and step.temperature_c.value > hair.sealing.high_c:
                yield Hit(f'sealing at {heat(step.temperature_c.value)}, but "{hair.name}" is sealed at '
                          f"{heat(hair.sealing.low_c)} to {heat(hair.sealing.high_c)}", step.origin,
                          f"seal at {heat(hair.sealing.high_c)} or less")


def _below_window(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "heat seal"):
        for hair in hairs:
            if step.temperature_c and hair.sealing and step.temperature_c.value < hair.sealing.low_c:
                yield Hit(f'sealing at {heat(step.temperature_c.value)} won\'t fuse "{hair.name}", which is '
                          f"sealed at {heat(hair.sealing.low_c)} to {heat(hair.sealing.high_c)}", step.origin,
                          f"seal at {heat(hair.sealing.low_c)} or more, or knot and leave it")


def _no_window(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "heat seal"):
        for hair in hairs:
            if is_synthetic(hair) and hair.sealing is None:
                yield Hit(f'the catalogue gives no sealing window for "{hair.name}"', step.origin)


def _living_fibre(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "heat seal"):
        for hair in hairs:
            if not is_synthetic(hair):
                yield Hit(f'"{hair.name}" is {hair.fibre} hair: it burns, it doesn\'t fuse', step.origin)


def _over_ceiling(scene: Scene) -> Iterator[Hit]:
    # A seal without a length is a touch at the tip; with one, the iron works along the hair.
    for step, _, hairs in ends_with_hair(scene, "heat seal", "curl rods"):
        if step.temperature_c is None or (step.kind == "heat seal" and step.length_mm is None):
            continue
        for hair in hairs:
            ceiling = hair.styling_ceiling_c
            if ceiling is not None and step.temperature_c.value > ceiling.value:
                yield Hit(f'{heat(step.temperature_c.value)} along the length of "{hair.name}", whose styling '
                          f"ceiling is {heat(ceiling.value)}", step.origin,
                          f"stay at {heat(ceiling.value)} or less, or touch only the tip")


def _own_hair(scene: Scene) -> Iterator[Hit]:
    for step, gap, zones in clearances(scene, "heat seal"):
        if gap < limits.CLEAR_OF_SEAL_MM:
            where = f"ends {length(gap)} above the seal" if gap > 0 else "reaches into the seal"
            for zone in zones:
                yield Hit(f"own hair in {HERE} {where}", step.origin, zone=zone)


def _fumes(scene: Scene) -> Iterator[Hit]:
    for step, _, hairs in ends_with_hair(scene, "heat seal", "curl rods", "dip"):
        if (step.kind == "heat seal" or step.temperature_c) and any(map(is_synthetic, hairs)):
            yield Hit("synthetic hair is heated", step.origin)
            return


def _near_skin(scene: Scene) -> Iterator[Hit]:
    for step, kind in ends(scene, "heat seal"):
        if kind.length_mm < limits.SKIN_NEAR_MM:
            yield Hit(f"strands under {length(limits.SKIN_NEAR_MM)} in {HERE} are sealed close to skin", step.origin,
                      zone=kind.zone)


RULES = (
    Rule("H01", "seal burns the hair", "stop", "a sealing temperature above 400 °F",
         "Synthetic ends tapped with an iron scorch and burn above 204 °C (400 °F).",
         "seal at 177 to 199 °C (350 to 390 °F) or less, inside the hair's own window", COMMON_PRACTICE, _burns),
    Rule("H02", "seal above the window", "stop", "a sealing temperature above the hair's sealing window",
         "Above its window the fibre scorches and drips instead of fusing; molten fibre sticks to skin.",
         "lower the iron", "the catalogue's sealing window; common practice, no source", _above_window),
    Rule("H03", "seal below the window", "warn", "a sealing temperature below the hair's sealing window",
         "A tip that doesn't fuse comes undone.", "raise the iron into the window",
         "the catalogue's sealing window; common practice, no source", _below_window),
    Rule("H04", "no sealing window", "ask", "a hair to be sealed whose catalogue entry states no window",
         "Fibres soften at very different temperatures: only the hair's own maker knows this one's.",
         "try one piece away from the wearer, and write the window into the catalogue", COMMON_PRACTICE, _no_window),
    Rule("H05", "sealing human or plant hair", "stop", "heat sealing or singeing of human or plant hair",
         "Only synthetic fibre fuses; human and plant hair chars and can catch fire.",
         "knot, band or tuck these ends", "a cosmetic how-to page, trade grade D (never cut and burn human hair)",
         _living_fibre),
    Rule("H06", "above the styling ceiling", "stop", "heat along the length above the hair's styling ceiling",
         "A sealing temperature is for a moment at the tip; along the length it melts or frizzes the fibre.",
         "stay below the styling ceiling", "the catalogue's styling ceiling; common practice, no source",
         _over_ceiling),
    Rule("H07", "own hair in the seal", "stop", "own hair that ends less than an inch above a heat seal",
         "Molten fibre binds to own hair and breaks it off.",
         "lengthen the strands an inch past the natural ends, or knot or band the ends instead",
         "a cosmetic how-to page, \"Minimum hair length for cornrows\", trade grade D", _own_hair),
    Rule("H08", "air", "note", "heat on synthetic hair",
         "Heated synthetic hair gives off volatile chemicals, some of them harmful.",
         "open a window or run extraction, and keep faces out of the smoke",
         "Auguste & Miller 2020, Environ Health Insights, PMC6990612 (measured at 250 °C and above)", _fumes),
    Rule("H09", "iron near skin", "warn", "sealing on strands that end near the face, ears or neck",
         "An iron's plates pass 220 °C and burn skin within a second, still for a quarter of an hour after "
         "they are switched off.",
         "hold each end away from the skin with a comb or a pad between",
         "Sarginson et al., study of hair straightener burns (2009); the 15 cm is our own estimate", _near_skin),
)
