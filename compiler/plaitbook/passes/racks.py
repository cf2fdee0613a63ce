"""Racks: how many pieces of each size, spare included, and on how many pegs they lie."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from ..meaning.model import House
from ..plan.model import RackLine

if TYPE_CHECKING:
    from .material import Portion

ROUNDING = 1e-9
"""Sums of halves and thirds of pieces are counted whole within this."""


def with_spare(pieces: float, house: House) -> int:
    """Pieces to cut for so many used: the house's spare on top, to a whole piece."""
    return ceil(pieces * (1.0 + house.spare) - ROUNDING)


def load_racks(portions: tuple[Portion, ...], house: House) -> tuple[RackLine, ...]:
    """Pegs for each size. Where there are too few, every size gets its share and is reloaded."""
    if not portions or house.rack_pegs < 1 or house.pieces_per_peg < 1:
        return ()
    counts = [with_spare(portion.pieces, house) for portion in portions]
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
                colour=portion.colour,
            )
        )
    return tuple(lines)
