"""The braid order: which section is done after which, so that a second braider can follow."""

from __future__ import annotations

from ...meaning.model import ZONES
from .cell import Cell

FRONT_BACK = ("hairline", "top", "temples", "sides", "crown", "back", "nape")

WHOLE_HEAD = -1
"""Strip number of scalp rows that run over the whole head: done from one side to the other."""

DOWNWARD = {
    "nape up": ("top",),
    "front back": ("temples", "sides", "crown", "back", "nape"),
    "left to right": ("top",),
    "right to left": ("top",),
}
"""Zones whose rows are worked from the crown outward; the others start at the hairline."""


def first_side(order: str, left_handed: bool) -> str:
    """The side of the wearer that rows begin on."""
    named = {"left to right": "left", "right to left": "right"}.get(order)
    return named or ("right" if left_handed else "left")


def put_in_order(cells: list[Cell], order: str, left_handed: bool) -> list[Cell]:
    """The cells in the order they are braided, with ``row`` counted from the first worked row
    and ``column`` along it, both from 1.

    Within a row the work goes from the wearer's left to right; a left-handed house the other
    way. ``left to right`` does one whole side first, ``right to left`` the other.
    """
    first = first_side(order, left_handed)
    if cells and cells[0].strip == WHOLE_HEAD:
        done = sorted(cells, key=lambda cell: cell.phi, reverse=first == "right")
        rows: dict[str, int] = {}
        for number, cell in enumerate(done, 1):
            rows[cell.zone] = rows.get(cell.zone, 0) + 1
            cell.number, cell.row, cell.column = number, rows[cell.zone], 1
        return done
    zones = FRONT_BACK if order == "front back" else ZONES
    rank = {zone: i for i, zone in enumerate(zones)}
    across = -1.0 if first == "right" else 1.0
    sides = {first: 0, "middle": 1, ("left" if first == "right" else "right"): 2}
    whole_sides = order in ("left to right", "right to left")
    outward = DOWNWARD[order]
    last: dict[str, int] = {}
    lead: dict[int, int] = {}
    for cell in cells:
        if cell.strip < WHOLE_HEAD:
            lead[cell.strip] = min(lead.get(cell.strip, len(zones)), rank[cell.zone])
        last[cell.zone] = max(last.get(cell.zone, 0), cell.row)
    for cell in cells:
        cell.row = cell.row + 1 if cell.zone in outward else last[cell.zone] - cell.row + 1

    def place(cell: Cell) -> tuple[float, ...]:
        zone = cell.zone
        if cell.strip < WHOLE_HEAD:
            # Rows that run through several zones are done together, when the first of them is.
            return (sides[cell.side] if whole_sides else 0, lead[cell.strip], -1, -cell.strip, across * cell.phi)
        # Behind the ears azimuth falls from the wearer's left to her right.
        along = cell.phi if zone in ("top", "hairline", "temples") else -cell.phi
        side = sides[cell.side]
        apart = zone in ("sides", "temples")
        return (
            side if whole_sides else 0,
            rank[zone],
            side if apart else 0,
            cell.row,
            across * along,
        )

    done = sorted(cells, key=place)
    column = 0
    before: tuple[object, ...] = ()
    through: dict[str, int] = {}
    for number, cell in enumerate(done, 1):
        cell.number = number
        if cell.strip < WHOLE_HEAD:
            cell.row = through[cell.zone] = through.get(cell.zone, 0) + 1
        here = (cell.zone, cell.row, cell.side if cell.zone in ("sides", "temples") else "")
        column = column + 1 if here == before else 1
        cell.column, before = column, here
    return done
