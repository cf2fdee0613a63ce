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
    CutLine, Figure, HairLine, Material, OrnamentLine, RackLine, Sections, StrandKind,
)
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, Span
from .bundles import Piece, piece_of
from .constants import SHED_SHARE
from .cutting import SLACK_MM, cut_stock, cut_text, cuts_per_length
from .material_figures import hair_figures, role_figures, total_figures
from .saying import say_length

ROUNDING = 1e-9
"""Sums of halves and thirds of pieces are counted whole within this."""


class Portion(NamedTuple):
    """All pieces of one role held one width."""

    use: HairUse
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
    stocks = _stocks(house, hairs, portions, trimmed)
    strung = _ornaments(recipe, kinds)
    figures: list[Figure] = []
    figures.extend(role_figures(portions, hairs, house))
    for stock in stocks:
        figures.extend(hair_figures(stock, house, {use.role for use in recipe.hairs}))
    material = Material(
        hair=tuple(stock.line for stock in stocks),
        cuts=tuple(_cut_lines(portions, hairs, house)),
        racks=_racks(portions, house),
        ornaments=strung,
        added_worn_g=sum(kind.added_g * len(kind.sections) for kind in kinds),
        own_g=sum(kind.own_g * len(kind.sections) for kind in kinds),
    )
    figures.extend(total_figures(material, kinds))
    return Outcome(material, tuple(figures))


def _used(kind: StrandKind) -> tuple[tuple[str, float, float], ...]:
    """(role, width held, full pieces in one strand); counted from the schedule if need be."""
    if kind.portions:
        return kind.portions
    found: dict[tuple[str, float], float] = defaultdict(float)
    for fed in kind.feed_ins:
        found[fed.role, fed.held_mm] += fed.pieces * fed.part
    for accent in kind.accents:
        if accent.role is not None:
            found[accent.role, accent.held_mm] += accent.count
    return tuple((role, held, count) for (role, held), count in found.items())


def _too_long(
    recipe: Recipe, hairs: dict[str, Hair], kinds: tuple[StrandKind, ...], units: str
) -> tuple[Problem, ...]:
    worn = {role for kind in kinds for role, _, _ in _used(kind)}
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
                        span=Span(origin.file, origin.line, 1, 2),
                    )
                )
    return tuple(found)


def _portions(
    recipe: Recipe, house: House, hairs: dict[str, Hair], kinds: tuple[StrandKind, ...]
) -> tuple[Portion, ...]:
    taken: dict[tuple[str, float], list[tuple[int, int, float]]] = defaultdict(list)
    for kind in kinds:
        for role, held, count in _used(kind):
            taken[role, held].append((kind.id, len(kind.sections), count))
    order = {use.role: i for i, use in enumerate(recipe.hairs)}
    uses = {use.role: use for use in recipe.hairs}
    found = []
    for (role, held), rows in sorted(taken.items(), key=lambda item: (order[item[0][0]], -item[0][1])):
        total = sum(strands * count for _, strands, count in rows)
        found.append(Portion(uses[role], piece_of(uses[role], held, hairs, house), total, tuple(rows)))
    return tuple(found)


def _trimmed(kinds: tuple[StrandKind, ...]) -> dict[str, float]:
    """Grams trimmed off below the strands' ends, by role, shared by the mass fed in."""
    found: dict[str, float] = defaultdict(float)
    for kind in kinds:
        if kind.trimmed_g <= 0.0:
            continue
        # Which role's ends are cut is known strand by strand only in sum: share by width squared.
        weights: dict[str, float] = defaultdict(float)
        for fed in kind.feed_ins:
            weights[fed.role] += fed.pieces * fed.part * fed.held_mm**2
        whole = sum(weights.values())
        for role, weight in weights.items():
            found[role] += kind.trimmed_g * len(kind.sections) * weight / whole
    return found


def _stocks(
    house: House, hairs: dict[str, Hair], portions: tuple[Portion, ...], trimmed: dict[str, float]
) -> tuple[Stock, ...]:
    by_hair: dict[tuple[str, str | None], list[tuple[Portion, float]]] = defaultdict(list)
    for portion in portions:
        for part in portion.use.parts:
            by_hair[part.hair, part.colour].append((portion, part.share))
    stock = dict(house.stock)
    fed_by_role: dict[str, float] = defaultdict(float)
    for portion in portions:
        fed_by_role[portion.use.role] += portion.pieces * portion.piece.mass_g
    found = []
    for (name, colour), parts in by_hair.items():
        hair = hairs[name]
        lanes = _lanes(hair, parts)
        fed = sum(portion.pieces * portion.piece.mass_g * share for portion, share in parts)
        trim = sum(
            trimmed.get(portion.use.role, 0.0) * share
            * (portion.pieces * portion.piece.mass_g) / (fed_by_role[portion.use.role] or 1.0)
            for portion, share in parts
        )
        flats = sum(lane.flats * lane.lane_g_m * hair.flat_mm.value * 1e-3 for lane in lanes)
        gross = flats / (1.0 - SHED_SHARE)
        pack = hair.pack_g.value
        packs = gross / pack
        # Stock is counted for the hair's first colour; another colour is another pack.
        shelf = stock.pop(name, 0.0)
        used = sum(portion.pieces for portion, _ in parts)
        line = HairLine(
            name=name,
            roles=tuple(dict.fromkeys(portion.use.role for portion, _ in parts)),
            colour=colour,
            pieces=sum(_with_spare(portion.pieces, house) for portion, _ in parts),
            pieces_used=used,
            grams=gross,
            worn_grams=fed - trim,
            packs_used=packs,
            packs_to_buy=max(0, ceil(packs * (1.0 + house.spare) - shelf - ROUNDING)),
            pack_g=pack,
            in_stock=shelf,
        )
        found.append(Stock(hair, colour, lanes, fed, trim, flats, gross, line))
    return tuple(found)


def _with_spare(pieces: float, house: House) -> int:
    return ceil(pieces * (1.0 + house.spare) - ROUNDING)


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
                    pieces=_with_spare(portion.pieces, house),
                    text=cut_text(flat, piece.cut_mm, piece.fold, piece.pulled_mm, house.units),
                )
            )
    return found


def _racks(portions: tuple[Portion, ...], house: House) -> tuple[RackLine, ...]:
    """Pegs for each size. Where there are too few, every size gets its share and is reloaded."""
    if not portions or house.rack_pegs < 1 or house.pieces_per_peg < 1:
        return ()
    counts = [_with_spare(portion.pieces, house) for portion in portions]
    needed = [ceil(count / house.pieces_per_peg) for count in counts]
    pegs = needed
    if sum(needed) > house.rack_pegs:
        pegs = [max(1, house.rack_pegs * want // sum(needed)) for want in needed]
    lines = []
    for portion, count, have in zip(portions, counts, pegs):
        if count == 0:
            continue
        lines.append(
            RackLine(
                role=portion.piece.role, held_mm=portion.piece.held_mm, pieces=count, pegs=have,
                per_peg=house.pieces_per_peg,
                reloads=max(0, ceil(count / (have * house.pieces_per_peg)) - 1),
            )
        )
    return tuple(lines)


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
