"""Where the material's numbers come from: the figures of each role, each hair, and in all."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from ..meaning.model import Hair, House, Wearer
from ..meaning.values import Origin
from ..plan.computed import computed
from ..plan.model import Figure, Given, Material, StrandKind
from .constants import PACKING_HELD, PACKING_SOURCE, SHED_SHARE

if TYPE_CHECKING:
    from .material import Portion, Stock

_HELD = Origin(kind="source", where=PACKING_SOURCE)
_SHED = Origin(kind="default", where="lost in brushing: our own estimate")
_STRANDS = Origin(kind="default", where="strands of this kind")
_SOLVED = Origin(kind="default", where="schedule of this kind of strand")
_FLATS = Origin(kind="default", where="flat lengths in the cut plan")

COUNTED = "counted"
MASS = "mass of a held piece: fibre density x packing x area; packing 0.3 is our own estimate"


@lru_cache(maxsize=256)
def _so_many(strands: int) -> Given:
    return Given(value=strands, unit="strands", origin=_STRANDS)


def slug(name: str) -> str:
    """A name as it stands in a figure's key: lower case, hyphens for what isn't a letter or digit."""
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def size_key(portion: Portion) -> str:
    """The key of one size of one role, and shade if it is shaded: ``material.base.3.5mm.honey``."""
    shade = f".{slug(portion.colour)}" if portion.colour else ""
    return f"material.{slug(portion.use.role)}.{portion.piece.held_mm:g}mm{shade}"


def hair_key(stock: Stock, roles: set[str]) -> str:
    """The key of one hair, kept apart from a role of the same name."""
    name = slug(stock.hair.name)
    if name in {slug(role) for role in roles}:
        name += "-hair"
    return f"material.{name}" + (f".{slug(stock.colour)}" if stock.colour else "")


def role_figures(portions: tuple[Portion, ...], hairs: dict[str, Hair], house: House) -> list[Figure]:
    """Mass of a piece and number of pieces by size; pieces and grams by role."""
    found: list[Figure] = []
    by_role: dict[str, list[Portion]] = {}
    for portion in portions:
        found.append(_piece_figure(portion, hairs, house))
        found.append(_pieces_figure(portion))
        by_role.setdefault(portion.use.role, []).append(portion)
    for role, sizes in by_role.items():
        key = f"material.{slug(role)}"
        pieces = {f"pieces_{i}": size_key(size) + ".pieces" for i, size in enumerate(sizes, 1)}
        masses = {f"mass_{i}": size_key(size) + ".piece_g" for i, size in enumerate(sizes, 1)}
        found.append(
            computed(
                Figure, key=key + ".pieces", label=f"pieces of {role} used", unit="pieces",
                value=sum(size.pieces for size in sizes), formula=" + ".join(pieces), inputs=dict(pieces),
                source=COUNTED,
            )
        )
        found.append(
            computed(
                Figure, key=key + ".grams", label=f"{role} in the pieces used", unit="g",
                value=sum(size.pieces * size.piece.mass_g for size in sizes),
                formula=" + ".join(f"{p} * {m}" for p, m in zip(pieces, masses)),
                inputs={**pieces, **masses}, source=MASS,
            )
        )
    return found


def _piece_figure(portion: Portion, hairs: dict[str, Hair], house: House) -> Figure:
    use, piece = portion.use, portion.piece
    inputs: dict[str, Given | str] = {
        "held": Given(value=piece.held_mm, unit="mm", origin=use.origin),
        "cut": Given(value=piece.cut_mm, unit="mm", origin=use.cut_mm.origin),
        "legs": Given(value=2 if piece.folded else 1, unit="legs", origin=use.origin),
    }
    if house.pencil_g_m is not None:
        linear = "pencil_mass * (held / pencil) ** 2"
        inputs["pencil_mass"] = Given(value=house.pencil_g_m.value, unit="g/m", origin=house.pencil_g_m.origin)
        inputs["pencil"] = Given(value=house.pencil_mm.value, unit="mm", origin=house.pencil_mm.origin)
        source = "the house's own weighing"
    else:
        terms = []
        for i, part in enumerate(use.parts, 1):
            density = hairs[part.hair].density_g_cm3
            inputs[f"share_{i}"] = Given(value=part.share, unit="share", origin=use.origin)
            inputs[f"density_{i}"] = Given(value=density.value, unit="g/cm3", origin=density.origin)
            terms.append(f"share_{i} / density_{i}")
        inputs["packing"] = Given(value=PACKING_HELD, origin=_HELD)
        linear = f"packing * pi / 4 * held ** 2 / ({' + '.join(terms)})"
        source = MASS
    return computed(
        Figure, key=size_key(portion) + ".piece_g", label=f"one piece of {use.role}", value=piece.mass_g, unit="g",
        formula=f"{linear} * cut / 1000 / legs", inputs=inputs, source=source,
    )


def _pieces_figure(portion: Portion) -> Figure:
    inputs: dict[str, Given | str] = {}
    terms = []
    for kind, strands, count in portion.by_kind:
        inputs[f"strands_{kind}"] = _so_many(strands)
        inputs[f"pieces_{kind}"] = Given(value=count, unit="pieces", origin=_SOLVED)
        terms.append(f"strands_{kind} * pieces_{kind}")
    return computed(
        Figure, key=size_key(portion) + ".pieces", label=f"pieces of {portion.use.role} used", unit="pieces",
        value=portion.pieces, formula=" + ".join(terms), inputs=inputs, source=COUNTED,
    )


def hair_figures(stock: Stock, house: House, wearer: Wearer, roles: set[str]) -> list[Figure]:
    """Grams and packs of one hair, and where every gram of them goes."""
    key, hair, line = hair_key(stock, roles), stock.hair, stock.line
    name = hair.name
    flats: dict[str, Given | str] = {}
    terms = []
    for i, lane in enumerate(stock.lanes, 1):
        flats[f"flats_{i}"] = Given(value=lane.flats, unit="flat lengths", origin=_FLATS)
        flats[f"lane_{i}"] = Given(value=lane.lane_g_m, unit="g/m", origin=_HELD)
        terms.append(f"flats_{i} * lane_{i}")
    flats["flat"] = Given(value=hair.flat_mm.value, unit="mm", origin=hair.flat_mm.origin)
    shed = Given(value=SHED_SHARE, unit="share", origin=_SHED)
    pack = Given(value=line.pack_g, unit="g", origin=hair.pack_g.origin)
    stocked = Given(value=line.in_stock, unit="packs", origin=house.origin)
    brought = Given(value=line.brought, unit="packs", origin=wearer.origin)
    spare = Given(value=house.spare, unit="share", origin=house.origin)
    opened = line.packs_to_buy + line.in_stock + line.brought

    def figure(
        part: str, label: str, value: float, unit: str, formula: str, source: str, **inputs: Given | str
    ) -> Figure:
        return computed(Figure, key=f"{key}.{part}", label=label, value=value, unit=unit, formula=formula,
                        inputs=inputs, source=source)

    used = Given(value=stock.fed_g, unit="g", origin=_SOLVED)
    trim = Given(value=stock.trim_g, unit="g", origin=_SOLVED)
    return [
        figure("flats_g", f"{name} in the flat lengths cut up", stock.flats_g, "g",
               f"({' + '.join(terms)}) * flat / 1000", MASS, **flats),
        figure("grams", f"{name} taken from the packs", stock.gross_g, "g", "flats / (1 - shed)",
               "shed in brushing: our own estimate", flats=f"{key}.flats_g", shed=shed),
        figure("shed_g", f"{name} lost in brushing", stock.gross_g - stock.flats_g, "g", "grams - flats",
               "shed in brushing: our own estimate", grams=f"{key}.grams", flats=f"{key}.flats_g"),
        figure("offcut_g", f"{name} left as off-cuts", stock.flats_g - stock.fed_g, "g", "flats - used",
               COUNTED, flats=f"{key}.flats_g", used=used),
        figure("worn_g", f"{name} on the head", line.worn_grams, "g", "used - trimmed", COUNTED,
               used=used, trimmed=trim),
        figure("packs_used", f"packs of {name} used", line.packs_used, "packs", "grams / pack",
               "pack as the catalogue has it", grams=f"{key}.grams", pack=pack),
        figure("packs_to_buy", f"packs of {name} to buy", line.packs_to_buy, "packs",
               "max(0, ceil(packs * (1 + spare) - stock - brought - 1e-9))", "the house's spare",
               packs=f"{key}.packs_used", spare=spare, stock=stocked, brought=brought),
        figure("returned_g", f"{name} that goes back to the shelf or to the wearer, spare included",
               opened * line.pack_g - stock.gross_g, "g", "(bought + stock + brought) * pack - grams", COUNTED,
               bought=f"{key}.packs_to_buy", stock=stocked, brought=brought, pack=pack, grams=f"{key}.grams"),
    ]


def total_figures(material: Material, kinds: tuple[StrandKind, ...]) -> list[Figure]:
    """Added and own hair on the head."""
    strands = {f"strands_{kind.id}": _so_many(len(kind.sections)) for kind in kinds}

    def total(key: str, label: str, value: float, part: str) -> Figure:
        inputs = {
            f"{part}_{kind.id}": f"strands.{kind.id if part == 'added_g' else kind.like or kind.id}.{part}"
            for kind in kinds
        }
        formula = " + ".join(f"strands_{kind.id} * {part}_{kind.id}" for kind in kinds) or "0"
        return computed(Figure, key=key, label=label, value=value, unit="g", formula=formula,
                        inputs={**strands, **inputs}, source="sum over strands")

    found = [
        total("material.added_worn_g", "added hair and ornaments on the head, dry", material.added_worn_g, "added_g"),
        total("material.own_g", "own hair over the worked sections, dry", material.own_g, "own_g"),
    ]
    for line in material.ornaments:
        found.append(
            computed(Figure, key=f"material.ornament.{slug(line.name)}.count", label=f"{line.kind}s \"{line.name}\"",
                     value=line.count, how="words", formula="counted over accents and ends of all strands",
                     source=COUNTED)
        )
    return found
