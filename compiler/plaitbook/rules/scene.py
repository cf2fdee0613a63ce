"""Everything a rule may look at, and the few questions many rules ask of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterator, NamedTuple

from ..meaning.model import EndStep, Hair, House, Ornament, Recipe, Wearer, ZoneLook
from ..passes.constants import GRAVITY_M_S2
from ..plan.model import Load, Material, Quote, Section, Sections, Strand, StrandKind, Timing
from .limits import CLEAR_OF_SEAL_MM


@dataclass(frozen=True, slots=True)
class Parts:
    """The plan's parts before it is put together."""

    sections: Sections
    kinds: tuple[StrandKind, ...]
    strands: tuple[Strand, ...]
    material: Material
    load: Load
    timing: Timing
    quote: Quote


class Scene(NamedTuple):
    """The look, the wearer, the house and the plan: what is judged."""

    recipe: Recipe
    wearer: Wearer
    house: House
    parts: Parts


def worked(scene: Scene) -> Iterator[tuple[ZoneLook, StrandKind]]:
    """Each kind of strand with the look of its zone; zones left out have none."""
    looks = {look.zone: look for look in scene.recipe.zones}
    for kind in scene.parts.kinds:
        look = looks.get(kind.zone)  # type: ignore[call-overload]
        if look is not None and not look.left_out and kind.sections:
            yield look, kind


def ends(scene: Scene, *kinds: str) -> Iterator[tuple[EndStep, StrandKind]]:
    """Each end step of these kinds, with the strands it is done on."""
    if not any(step.kind in kinds for look in scene.recipe.zones for step in look.end):
        return
    for look, strand_kind in worked(scene):
        for step in look.end:
            if step.kind in kinds:
                yield step, strand_kind


def ends_with_hair(scene: Scene, *kinds: str) -> Iterator[tuple[EndStep, str, tuple[Hair, ...]]]:
    """Each end step of these kinds with its zone and the hairs laid into that zone's strands."""
    found = [(look, [step for step in look.end if step.kind in kinds]) for look in scene.recipe.zones]
    if not any(steps for _, steps in found):
        return
    roles: dict[str, set[str]] = {}
    for kind in scene.parts.kinds:
        if kind.sections:
            roles.setdefault(kind.zone, set()).update([role for role, _ in kind.pieces])
    known = {hair.name: hair for hair in scene.recipe.catalogue}
    for look, steps in found:
        if steps and not look.left_out and look.zone in roles:
            names = [part.hair for use in scene.recipe.hairs if use.role in roles[look.zone] for part in use.parts]
            hairs = tuple(known[name] for name in dict.fromkeys(names) if name in known)
            for step in steps:
                yield step, look.zone, hairs


def ornaments_worn(scene: Scene) -> Iterator[tuple[Ornament, ZoneLook, StrandKind]]:
    """Each ornament with the strands that carry it."""
    known = {ornament.name: ornament for ornament in scene.recipe.ornaments}
    for look, kind in worked(scene):
        names = [accent.ornament for accent in look.accents] + [step.ornament for step in look.end]
        for name in dict.fromkeys(names):
            if name in known:
                yield known[name], look, kind


def own_ends_mm(kind: StrandKind) -> float:
    """How far down the strand the wearer's longest own hair reaches."""
    return min(kind.own_ends_stitch * kind.pitch_mm, kind.length_mm)


def adds_hair(scene: Scene) -> bool:
    """Whether any hair is added at all."""
    return any(kind.added_g > 0 for _, kind in worked(scene))


def is_synthetic(hair: Hair) -> bool:
    """Neither human nor plant hair."""
    return hair.fibre not in ("human", "plant")


def clearances(scene: Scene, end: str) -> list[tuple[EndStep, float, tuple[str, ...]]]:
    """Each such end step with the least distance from own hair's ends to its upper edge, mm, and its zones
    where that distance is under an inch (all of them where it is under an inch nowhere)."""
    found: dict[EndStep, list[tuple[float, str]]] = {}
    for step, kind in ends(scene, end):
        if kind.hairs:
            gap = kind.length_mm - own_ends_mm(kind) - (step.length_mm.value if step.length_mm else 0.0)
            found.setdefault(step, []).append((gap, kind.zone))
    return [
        (step, min(gaps)[0],
         tuple(dict.fromkeys(zone for gap, zone in gaps if gap < CLEAR_OF_SEAL_MM or min(gaps)[0] >= CLEAR_OF_SEAL_MM)))
        for step, gaps in found.items()
    ]


def section_load_mn(section: Section, kind: StrandKind) -> float:
    """Dry load on one own hair of a section at rest: the load pass's own sum, for sections its ranking leaves out."""
    own_g = kind.own_g * section.hairs / max(1, kind.hairs)
    return (kind.added_g + own_g) * GRAVITY_M_S2 / max(1, section.hairs)
