"""Looks, wearers, houses and section grids made by hand, for tests that need no language."""

from __future__ import annotations

from decimal import Decimal

from plaitbook.meaning.model import (
    ZONES, Accent, BlendPart, EndStep, Feed, Grid, Hair, HairUse, House, Ornament, Parting, Pieces,
    Recipe, Shade, Start, Wearer, Wearing, ZoneLook,
)
from plaitbook.meaning.values import Measure, Origin
from plaitbook.plan.model import HeadPlan, Section, Sections

HERE = Origin(kind="recipe", where="recipe line 1", file="a.plait", line=1)
INCH = 25.4


def mm(value: float) -> Measure:
    return Measure(value=value, text=f"{value:g} mm", origin=HERE)


def inch(value: float) -> Measure:
    return Measure(value=value * INCH, text=f"{value:g} in", origin=HERE)


def plain(value: float) -> Measure:
    return Measure(value=value, text=f"{value:g}", origin=HERE)


def hair(name: str = "Dune", kind: str = "plain", pack_g: float = 165, flat_in: float = 56,
         density: float = 1.31) -> Hair:
    return Hair(name=name, kind=kind, fibre="modacrylic", pack_g=plain(pack_g), flat_mm=inch(flat_in),
                density_g_cm3=plain(density), origin=HERE)


def use(role: str = "base", name: str = "Dune", kind: str = "plain", cut_in: float = 28,
        fold: float = 0.5, pulled_in: float = 4, parts: tuple[BlendPart, ...] | None = None,
        shades: tuple[tuple[int, str], ...] = (), colour: str | None = None) -> HairUse:
    return HairUse(role=role, parts=parts or (BlendPart(hair=name, colour=colour, share=1.0),), kind=kind,
                   cut_mm=inch(cut_in), fold=fold, pulled_mm=inch(pulled_in), origin=HERE,
                   shades=tuple(Shade(from_stitch=k, colour=name, origin=HERE) for k, name in shades))


def pieces(role: str = "base", held: float = 3.5, count: int = 1) -> Pieces:
    return Pieces(count=count, role=role, held_mm=mm(held), origin=HERE)


def feed(kind: str = "hold", width: float | None = 7.0, held: float = 3.5, count: int = 1, **more) -> Feed:
    return Feed(kind=kind, pieces=pieces("base", held, count), width_mm=mm(width) if width else None,
                origin=HERE, **more)


def accent(every: int | None = 9, first: int = 3, held: float | None = 1.75, **more) -> Accent:
    return Accent(every=every, first=first, pieces=pieces("curls", held) if held else None,
                  origin=HERE, **more)


def look(zone: str = "back", technique: str = "plait", length_in: float | None = 17, level=None,
         start: str = "extension", start_held: float | None = 3.5, own_mm: float | None = None,
         feeds=None, accents=(), end=(), tightness: str = "ordinary", left_out: bool = False) -> ZoneLook:
    return ZoneLook(
        zone=zone, technique=technique, tightness=tightness, left_out=left_out,
        grid=Grid(shape="brick", height_mm=inch(1), origin=HERE),
        wearing=Wearing(length_mm=inch(length_in) if length_in else None, level=level, origin=HERE),
        start=Start(kind=start, own_mm=mm(own_mm) if own_mm else None,
                    pieces=pieces("base", start_held) if start_held else None, origin=HERE),
        feeds=(feed(),) if feeds is None else tuple(feeds), accents=tuple(accents),
        end=tuple(EndStep(kind=k, origin=HERE) if isinstance(k, str) else k for k in end),
    )


def bead(name: str = "Pip", bore: float = 4.0, mass: float = 0.6) -> Ornament:
    return Ornament(name=name, kind="bead", bore_mm=mm(bore), mass_g=plain(mass), origin=HERE)


def recipe(hairs=None, catalogue=None, ornaments=(), **zone) -> Recipe:
    return Recipe(
        name="Saltmarsh", zones=tuple(look(name, **zone) for name in ZONES),
        parting=Parting(origin=HERE),
        hairs=hairs or (use(), use("curls", "Dune Curl", "curly", 18, 0.5, 0)),
        catalogue=catalogue or (hair(), hair("Dune Curl", "curly", 80, 18)),
        ornaments=tuple(ornaments), origin=HERE,
    )


def wearer(um: float = 60, density: float = 160, own_in: float = 14, layers_in: float = 3, **more) -> Wearer:
    return Wearer(name="Ines", strand_um=plain(um), density_cm2=plain(density), own_mm=inch(own_in),
                  layers_mm=inch(layers_in), origin=HERE, **more)


def house(units: str = "inch", **more) -> House:
    return House(name="Kettle Lane", units=units, labour_per_hour=Decimal(40), pencil_mm=mm(7),
                 break_s=plain(600), break_every_s=plain(7200), origin=HERE, **more)


def sections(count: int = 60, hairs: int = 1300, spread: float = 0.15, per_row: int = 10,
             height: float = 25.4) -> Sections:
    """A brick grid, zone after zone, with hair counts that vary by ``spread``."""
    items = []
    for i in range(count):
        zone = ZONES[i * len(ZONES) // count]
        row, column = divmod(i, per_row)
        near = [(row, column - 1), (row, column + 1)]
        shift = 0 if row % 2 else -1
        near += [(row + d, column + shift + e) for d in (-1, 1) for e in (0, 1)]
        numbers = [r * per_row + c + 1 for r, c in near if 0 <= c < per_row and 0 <= r * per_row + c < count]
        vary = 1 + spread * ((i * 7 % 11) / 5 - 1)
        items.append(Section(
            number=i + 1, zone=zone, row=row + 1, column=column + 1,
            side="left" if column < per_row / 2 else "right", area_cm2=hairs * vary / 160,
            width_mm=height, height_mm=height, hairs=round(hairs * vary),
            centroid=(0.0, 0.0, -20.0 + 140.0 * i / count), neighbours=tuple(n for n in numbers if n > 0),
        ))
    head = HeadPlan(semi_axes_mm=(73, 94, 130), circumference_mm=561, ear_to_ear_mm=339,
                    hairline_to_nape_mm=330, scalp_cm2=500, hairline=())
    return Sections(count=count, count_low=count, count_high=count, head=head, items=tuple(items),
                    zones=(), rows=())
