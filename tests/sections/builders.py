"""Recipes, wearers and houses built by hand, for tests of the section pass."""

from __future__ import annotations

from decimal import Decimal

from plaitbook.meaning.model import (
    ZONES, Grid, House, HairUse, Hair, Parting, Recipe, Start, Wearer, Wearing, ZoneLook, BlendPart,
)
from plaitbook.meaning.values import Measure, Origin

ORIGIN = Origin(kind="recipe", where="recipe line 3", file="look.plait", line=3)
WORN = Origin(kind="wearer", where='wearer "Ines" line 4', file="ines.plait", line=4)


def mm(value: float, origin: Origin = ORIGIN) -> Measure:
    """A measure in its fixed unit."""
    return Measure(value=value, text=f"{value:g} mm", origin=origin)


def grid(shape: str = "brick", size: float | None = 19.05, width: float | None = None, count: int | None = None, **more) -> Grid:
    """A grid by size or by count."""
    return Grid(
        shape=shape, height_mm=None if count is not None or size is None else mm(size),
        width_mm=None if width is None else mm(width), count=count, origin=ORIGIN, **more,
    )


def recipe(
    base: Grid | None = None, zones: dict[str, Grid] | None = None, left_out: tuple[str, ...] = (),
    parting: str = "centre", side: str | None = None, zigzag: bool = False, mirrored: bool = True,
    order: str = "nape up",
) -> Recipe:
    """A look with one grid for all zones, and others for some."""
    base = base or grid()
    looks = tuple(
        ZoneLook(
            zone=zone, left_out=zone in left_out, technique="plait", tightness="ordinary",
            grid=(zones or {}).get(zone, base), wearing=Wearing(length_mm=mm(450), origin=ORIGIN),
            start=Start(kind="extension", origin=ORIGIN),
        )
        for zone in ZONES
    )
    return Recipe(
        name="Test", zones=looks, parting=Parting(kind=parting, side=side, zigzag=zigzag, origin=ORIGIN),
        mirrored=mirrored, order=order,
        hairs=(HairUse(role="base", parts=(BlendPart(hair="Dune", share=1.0),), kind="plain", cut_mm=mm(900), fold=0.5, pulled_mm=mm(0), origin=ORIGIN),),
        catalogue=(Hair(name="Dune", kind="plain", fibre="modacrylic", pack_g=mm(165), flat_mm=mm(1200), density_g_cm3=mm(1.2), origin=ORIGIN),),
        origin=ORIGIN,
    )


def wearer(**known) -> Wearer:
    """A wearer; plain numbers become measures."""
    known = {k: mm(v, WORN) if isinstance(v, (int, float)) and not isinstance(v, bool) else v for k, v in known.items()}
    base = dict(name="Ines", strand_um=mm(60, WORN), density_cm2=mm(190, WORN), own_mm=mm(300, WORN), layers_mm=mm(0, WORN), origin=WORN)
    return Wearer(**{**base, **known})


def house(**more) -> House:
    """A house."""
    base = dict(name="House", labour_per_hour=Decimal("30"), pencil_mm=mm(7), break_s=mm(600), break_every_s=mm(7200), origin=ORIGIN)
    return House(**{**base, **more})
