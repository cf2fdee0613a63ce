"""Material: pieces to grams to packs, the cut plan, the racks and the ornaments.

Mass is kept to the last bit: packs opened = worn + trimmed off + off-cuts + shed +
returned, for every hair.
"""

from __future__ import annotations

from collections import defaultdict
from math import ceil
from typing import NamedTuple

from ..meaning.model import Hair, HairUse, House, Recipe, Wearer
from ..plan.model import (
    CutLine, Figure, HairLine, Material, OrnamentLine, Sections, StrandKind,
)
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, whole_line
from .bundles import Piece, piece_of
from .constants import SHED_SHARE
from .cutting import SLACK_MM, cut_stock, cut_text, cuts_per_length
from .material_figures import hair_figures, role_figures, total_figures
from .racks import ROUNDING, load_racks, with_spare
from .saying import say_length
from .shelf import credited


class Portion(NamedTuple):
    """All pieces of one role held one width."""

    use: HairUse
    colour: str | None
    """Where the role is shaded: the colour of these pieces."""
    piece: Piece
    pieces: float
    """Full pieces over the head."""
    by_kind: tuple[tuple[int, int, float], ...]
    """(kind, its strands, full pieces in one)."""


class Lane(NamedTuple):
    """Flat lengths of one hair, as thick as its share of the pieces cut from them."""

    lane_g_m: float
    """Grams a metre of one flat length's worth, of this hair alone."""
    flats: int
    cuts: tuple[tuple[Portion, float, int], ...]
    """(portion, this hair's share of it, cuts in a flat length) cut from these."""


class Stock(NamedTuple):
    """One hair in one colour, worked out. Grams."""

    hair: Hair
    colour: str | None
    lanes: tuple[Lane, ...]
    fed_g: float
    """In the pieces used, whole."""
    trim_g: float
    flats_g: float
    """In the flat lengths cut up: pieces and off-cuts."""
    gross_g: float
    """The same before brushing."""
    line: HairLine


def portion_material(
    recipe: Recipe, wearer: Wearer, house: House, sections: Sections, kinds: tuple[StrandKind, ...]
) -> Outcome[Material]:
    """What to buy, cut and load for these strands.

    A role cut longer than its hair is long is a problem, and nothing is portioned.
    """
    hairs = {hair.name: hair for hair in recipe.catalogue}
    problems = _too_long(recipe, hairs, kinds, house.units)
    if problems:
        return Outcome(None, problems=problems)
    portions = _portions(recipe, house, hairs, kinds)
    trimmed = _trimmed(kinds)
    stocks = _stocks(house, wearer, hairs, portions, trimmed)
    strung = _ornaments(recipe, kinds)
    figures: list[Figure] = []
    figures.extend(role_figures(portions, hairs, house))
    for stock in stocks:
        figures.extend(hair_figures(stock, house, wearer, {use.role for use in recipe.hairs}))
    material = Material(
        hair=tuple(stock.line for stock in stocks),
        cuts=tuple(_cut_lines(portions, hairs, house)),
        racks=load_racks(portions, house),
        ornaments=strung,
        added_worn_g=sum(kind.added_g * len(kind.sections) for kind in kinds),
        own_g=sum(kind.own_g * len(kind.sections) for kind in kinds),
    )
    figures.extend(total_figures(material, kinds))
    return Outcome(material, tuple(figures))


class Demand(NamedTuple):
    """Pieces of one length to be cut from one hair in one colour."""

    hair: str
    colour: str | None
    flat_mm: float
    lane_g_m: float
    """Grams a metre of what they are cut from: pieces of one thickness share flat lengths."""
    cut_mm: float
    held_mm: float
    """Width of a whole piece as it is held, all hairs of a blend together."""
    pieces: int
    spared: int = 0
    """Pieces with the house's spare, as the card has them cut."""
    share: float = 1.0
    """This hair's part of a blended piece, by mass."""


def piece_demands(recipe: Recipe, wearer: Wearer, house: House, kinds: tuple[StrandKind, ...]) -> tuple[Demand, ...]:
    """What a set wants cut, without spare, as the flat lengths of its packs are counted: for sharing packs between sets."""
    hairs = {hair.name: hair for hair in recipe.catalogue}
    stocks = _stocks(house, wearer, hairs, _portions(recipe, house, hairs, kinds), _trimmed(kinds))
    return tuple(
        Demand(stock.hair.name, stock.colour, stock.hair.flat_mm.value, lane.lane_g_m, portion.piece.cut_mm,
               portion.piece.held_mm, ceil(portion.pieces - ROUNDING), with_spare(portion.pieces, house), share)
        for stock in stocks for lane in stock.lanes for portion, share, _ in lane.cuts
    )


def _used(kind: StrandKind) -> tuple[tuple[str, float, str | None, float], ...]:
    """(role, width held, colour, full pieces in one strand); counted from the schedule if need be."""
    if kind.shaded:
        return kind.shaded
    if kind.portions:
        return tuple((role, held, None, count) for role, held, count in kind.portions)
    found: dict[tuple[str, float, str | None], float] = defaultdict(float)
    for fed in kind.feed_ins:
        found[fed.role, fed.held_mm, fed.colour] += fed.pieces * fed.part
    for accent in kind.accents:
        if accent.role is not None:
            found[accent.role, accent.held_mm, accent.colour] += accent.count
    return tuple((*size, count) for size, count in found.items())


def _too_long(
    recipe: Recipe, hairs: dict[str, Hair], kinds: tuple[StrandKind, ...], units: str
) -> tuple[Problem, ...]:
    worn = {role for kind in kinds for role, *_ in _used(kind)}
    found = []
    for use in recipe.hairs:
        for part in use.parts:
            flat = hairs[part.hair].flat_mm
            if use.role in worn and use.cut_mm.value > flat.value + SLACK_MM:
                origin = use.cut_mm.origin
                found.append(
                    Problem(
                        code="cut-too-long",
                        message=f"{use.role} is cut {use.cut_mm.text}, but \"{part.hair}\" is "
                        f"{flat.text} long laid flat",
                        help=f"cut {say_length(flat.value, units)} or less, or take a longer hair",
                        span=whole_line(origin.file, origin.line),
                    )
                )
    return tuple(found)


def _portions(
    recipe: Recipe, house: House, hairs: dict[str, Hair], kinds: tuple[StrandKind, ...]
) -> tuple[Portion, ...]:
    taken: dict[tuple[str, float, str | None], list[tuple[int, int, float]]] = defaultdict(list)
    for kind in kinds:
        for role, held, colour, count in _used(kind):
            taken[role, held, colour].append((kind.id, len(kind.sections), count))
    order = {use.role: i for i, use in enumerate(recipe.hairs)}
    uses = {use.role: use for use in recipe.hairs}
    shades = {
        (use.role, shade.colour): i for use in recipe.hairs for i, shade in enumerate(use.shades, 1)
    }
    found = []
    for (role, held, colour), rows in taken.items():
        total = sum(strands * count for _, strands, count in rows)
        piece = piece_of(uses[role], held, hairs, house)
        found.append(Portion(uses[role], colour, piece, total, tuple(rows)))
    # By role as the recipe has them, the thickest first, from root to end.
    found.sort(
        key=lambda one: (
            order[one.use.role], -one.piece.held_mm, shades.get((one.use.role, one.colour or ""), 0)
        )
    )
    return tuple(found)


def _trimmed(kinds: tuple[StrandKind, ...]) -> dict[tuple[str, str | None], float]:
    """Grams trimmed off below the strands' ends, by role and colour, shared by the mass fed in."""
    found: dict[tuple[str, str | None], float] = defaultdict(float)
    for kind in kinds:
        if kind.trimmed_g <= 0.0:
            continue
        # Whose ends are cut is known strand by strand only in sum: share by width squared.
        weights: dict[tuple[str, str | None], float] = defaultdict(float)
        for fed in kind.feed_ins:
            weights[fed.role, fed.colour] += fed.pieces * fed.part * fed.held_mm**2
        whole = sum(weights.values())
        for key, weight in weights.items():
            found[key] += kind.trimmed_g * len(kind.sections) * weight / whole
    return found


def _stocks(
    house: House, wearer: Wearer, hairs: dict[str, Hair], portions: tuple[Portion, ...],
    trimmed: dict[tuple[str, str | None], float],
) -> tuple[Stock, ...]:
    by_hair: dict[tuple[str, str | None], list[tuple[Portion, float]]] = defaultdict(list)
    fed_by: dict[tuple[str, str | None], float] = defaultdict(float)
    for portion in portions:
        fed_by[portion.use.role, portion.colour] += portion.pieces * portion.piece.mass_g
        for part in portion.use.parts:
            by_hair[part.hair, portion.colour or part.colour].append((portion, part.share))
    found = []
    for (name, colour), parts in by_hair.items():
        hair = hairs[name]
        lanes = _lanes(hair, parts)
        fed = sum(portion.pieces * portion.piece.mass_g * share for portion, share in parts)
        trim = sum(
            trimmed.get((portion.use.role, portion.colour), 0.0) * share
            * (portion.pieces * portion.piece.mass_g) / (fed_by[portion.use.role, portion.colour] or 1.0)
            for portion, share in parts
        )
        flats = sum(lane.flats * lane.lane_g_m * hair.flat_mm.value * 1e-3 for lane in lanes)
        gross = flats / (1.0 - SHED_SHARE)
        line = HairLine(
            name=name,
            roles=tuple(dict.fromkeys(portion.use.role for portion, _ in parts)),
            colour=colour,
            pieces=sum(with_spare(portion.pieces, house) for portion, _ in parts),
            pieces_used=sum(portion.pieces for portion, _ in parts),
            grams=gross,
            worn_grams=fed - trim,
            packs_used=gross / hair.pack_g.value,
            packs_to_buy=0,
            pack_g=hair.pack_g.value,
        )
        found.append(Stock(hair, colour, lanes, fed, trim, flats, gross, line))
    return _with_shelf(tuple(found), house, wearer)


def _with_shelf(stocks: tuple[Stock, ...], house: House, wearer: Wearer) -> tuple[Stock, ...]:
    """The same with packs to buy, after what stands on the shelf and what the wearer brings."""
    wanted = {
        (stock.hair.name, stock.colour): stock.line.packs_used * (1.0 + house.spare) for stock in stocks
    }
    shelf = credited(wanted, dict(house.stock))
    lacking = {key: max(0.0, packs - shelf[key]) for key, packs in wanted.items()}
    brought = credited(lacking, dict(wearer.brings))
    found = []
    for stock in stocks:
        key = stock.hair.name, stock.colour
        line = stock.line.model_copy(
            update={
                "packs_to_buy": max(0, ceil(wanted[key] - shelf[key] - brought[key] - ROUNDING)),
                "in_stock": shelf[key],
                "brought": brought[key],
            }
        )
        found.append(stock._replace(line=line))
    return tuple(found)


def _lanes(hair: Hair, parts: list[tuple[Portion, float]]) -> tuple[Lane, ...]:
    """Flat lengths by thickness; pieces of one thickness and several lengths share them."""
    flat = hair.flat_mm.value
    groups: dict[float, list[tuple[Portion, float]]] = defaultdict(list)
    for portion, share in parts:
        legs = 0.5 if portion.piece.folded else 1.0
        groups[portion.piece.linear_g_m * legs * share].append((portion, share))
    lanes = []
    for lane_g_m, members in groups.items():
        cuts = tuple((portion, share, cuts_per_length(flat, portion.piece.cut_mm)) for portion, share in members)
        wanted = tuple((portion.piece.cut_mm, ceil(portion.pieces - ROUNDING)) for portion, _ in members)
        if len(wanted) == 1:
            flats = ceil(wanted[0][1] / cuts[0][2])
        else:
            flats = cut_stock(wanted, flat).flats
        lanes.append(Lane(lane_g_m, flats, cuts))
    return tuple(lanes)


def _cut_lines(portions: tuple[Portion, ...], hairs: dict[str, Hair], house: House) -> list[CutLine]:
    found = []
    for portion in portions:
        for part in portion.use.parts:
            flat = hairs[part.hair].flat_mm.value
            piece = portion.piece
            count = cuts_per_length(flat, piece.cut_mm)
            found.append(
                CutLine(
                    hair=part.hair, role=piece.role, cut_mm=piece.cut_mm, cuts_per_length=count,
                    offcut_mm=max(0.0, flat - count * piece.cut_mm), fold=piece.fold,
                    pulled_mm=piece.pulled_mm, held_mm=piece.held_mm,
                    pieces=with_spare(portion.pieces, house),
                    text=cut_text(flat, piece.cut_mm, piece.fold, piece.pulled_mm, house.units),
                    colour=portion.colour,
                )
            )
    return found


def _ornaments(recipe: Recipe, kinds: tuple[StrandKind, ...]) -> tuple[OrnamentLine, ...]:
    counts: dict[str, float] = defaultdict(float)
    for kind in kinds:
        for name, count in kind.ornaments:
            counts[name] += count * len(kind.sections)
    return tuple(
        OrnamentLine(
            name=ornament.name, kind=ornament.kind, count=round(counts[ornament.name]),
            grams=round(counts[ornament.name]) * ornament.mass_g.value,
        )
        for ornament in recipe.ornaments
        if counts.get(ornament.name)
    )
