"""Everything a rule may look at, and the few questions many rules ask of it."""

from __future__ import annotations

from functools import cached_property
from typing import Iterator, NamedTuple

from ..meaning.model import EndStep, Hair, House, Ornament, Recipe, Wearer, ZoneLook
from ..meaning.values import Origin
from ..passes.constants import GRAVITY_M_S2
from ..passes.crossed import zones_crossed
from ..plan.model import Load, Material, Quote, Section, Sections, Strand, StrandKind, Timing


class Parts(NamedTuple):
    """The plan's parts before it is put together."""

    sections: Sections
    kinds: tuple[StrandKind, ...]
    strands: tuple[Strand, ...]
    material: Material
    load: Load
    timing: Timing
    quote: Quote


class _Judged(NamedTuple):
    recipe: Recipe
    wearer: Wearer
    house: House
    parts: Parts


class Scene(_Judged):
    """The look, the wearer, the house and the plan: what is judged."""

    @cached_property
    def worked(self) -> tuple[tuple[ZoneLook, StrandKind], ...]:
        looks = {look.zone: look for look in self.recipe.zones}
        return tuple(
            (look, kind) for kind in self.parts.kinds
            if (look := looks.get(kind.zone)) is not None  # type: ignore[call-overload]
            and not look.left_out and kind.sections)

    @cached_property
    def crossed(self) -> dict[int, tuple[str, ...]]:
        """Section number -> the zones it lies in: its own, and those that a scalp row runs through."""
        return zones_crossed(self.recipe, self.parts.sections)

    @cached_property
    def braided(self) -> dict[str, Origin]:
        """Every zone whose hair is braided, with the line that parts it."""
        found: dict[str, Origin] = {}
        for look, kind in self.worked:
            if look.technique != "row":  # only scalp rows run through zones that aren't their own
                found.setdefault(kind.zone, look.grid.origin)
                continue
            for number in kind.sections:
                for zone in self.crossed.get(number, (kind.zone,)):
                    found.setdefault(zone, look.grid.origin)
        return found

    @cached_property
    def zone_hairs(self) -> dict[str, tuple[Hair, ...]]:
        """The hairs laid into each worked zone's strands."""
        roles: dict[str, set[str]] = {}
        for kind in self.parts.kinds:
            if kind.sections:
                roles.setdefault(kind.zone, set()).update([role for role, _ in kind.pieces])
        known = {hair.name: hair for hair in self.recipe.catalogue}
        of_role = {use.role: [part.hair for part in use.parts] for use in self.recipe.hairs}
        return {
            zone: tuple(known[name] for name in dict.fromkeys(
                name for role, names in of_role.items() if role in here for name in names) if name in known)
            for zone, here in roles.items()}

    @cached_property
    def ornaments(self) -> tuple[tuple[Ornament, ZoneLook, StrandKind, Origin], ...]:
        known = {ornament.name: ornament for ornament in self.recipe.ornaments}
        if not known:
            return ()
        found: list[tuple[Ornament, ZoneLook, StrandKind, Origin]] = []
        for look, kind in self.worked:
            hung: dict[str, Origin] = {}
            for line in (*look.accents, *look.end):
                if line.ornament in known:
                    hung.setdefault(line.ornament, line.origin)
            found += [(known[name], look, kind, origin) for name, origin in hung.items()]
        return tuple(found)


def worked(scene: Scene) -> tuple[tuple[ZoneLook, StrandKind], ...]:
    """Each kind of strand with the look of its zone; zones left out have none."""
    return scene.worked


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
    for look in scene.recipe.zones:
        steps = [step for step in look.end if step.kind in kinds]
        if steps and not look.left_out and look.zone in scene.zone_hairs:
            for step in steps:
                yield step, look.zone, scene.zone_hairs[look.zone]


def ornaments_worn(scene: Scene) -> Iterator[tuple[Ornament, ZoneLook, StrandKind, Origin]]:
    """Each ornament with the strands that carry it, and the line that hangs it."""
    return iter(scene.ornaments)


def own_ends_mm(kind: StrandKind) -> float:
    """How far down the strand the wearer's longest own hair reaches."""
    return min(kind.own_ends_stitch * kind.pitch_mm, kind.length_mm)


def adds_hair(scene: Scene) -> bool:
    """Whether any hair is added at all."""
    return any(kind.added_g > 0 for _, kind in worked(scene))


def braided_zones(scene: Scene, kind: StrandKind) -> frozenset[str]:
    """The zones whose hair these strands take up: a scalp row takes up hair of every zone it runs through."""
    return frozenset((kind.zone,)).union(*(scene.crossed.get(number, ()) for number in kind.sections))


def end_width_mm(kind: StrandKind) -> float:
    """Width at the end of a strand."""
    return kind.profile[-1].width_mm if kind.profile else kind.width_min_mm


def section_load_mn(section: Section, kind: StrandKind) -> float:
    """Dry load on one own hair of a section at rest: the load pass's own sum, for sections its ranking leaves out."""
    own_g = kind.own_g * section.hairs / max(1, kind.hairs)
    return (kind.added_g + own_g) * GRAVITY_M_S2 / max(1, section.hairs)
