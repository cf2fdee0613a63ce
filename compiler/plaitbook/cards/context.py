"""What every part of the card is built from: the plan and what it was planned for."""

from __future__ import annotations

from typing import Literal, NamedTuple

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from .card import Table, Tick, Ticks
from .words import Units

PAUSE_ITEMS = 9
"""Most items between two pauses: fewer than ten (Gawande, Checklist for Checklists)."""

Paper = Literal["letter", "a4", "half"]


class Context(NamedTuple):
    plan: Plan
    recipe: Recipe
    wearer: Wearer
    house: House
    paper: Paper = "a4"

    @property
    def sheet_mm(self) -> float:
        """Room over the whole sheet, mm: drawings made wider would be printed smaller than they can be read."""
        return 118.0 if self.paper == "half" else 188.0

    @property
    def units(self) -> Units:
        return self.house.units


def tick_lists(title: str, items: list[Tick], *, numbered: bool = False, run_in: bool = False, note: str = "") -> tuple[Ticks, ...]:
    """Items in lists of nine at most, evenly filled, so that each list ends at a natural pause."""
    if not items:
        return ()
    lists = -(-len(items) // PAUSE_ITEMS)
    size = -(-len(items) // lists)
    return tuple(
        Ticks(title=title if lists == 1 else f"{title} ({i + 1} of {lists})" if title else f"{i + 1} of {lists}",
              items=tuple(items[i * size:(i + 1) * size]), numbered=numbered, first=i * size + 1, run_in=run_in, note="" if i else note)
        for i in range(lists)
    )


def lifted(table: Table, keep: int) -> tuple[dict[str, str], Table]:
    """What every row of a table says alike, by column heading, and the table without those columns.

    The first ``keep`` columns stay, and so does everything in a table of one row.
    """
    if len(table.rows) < 2:
        return {}, table
    same = [i for i in range(keep, len(table.columns)) if len({row[i] for row in table.rows}) == 1]
    if not same:
        return {}, table
    kept = [i for i in range(len(table.columns)) if i not in same]
    return {table.columns[i].heading: table.rows[0][i] for i in same}, table.model_copy(update={
        "columns": tuple(table.columns[i] for i in kept), "rows": tuple(tuple(row[i] for i in kept) for row in table.rows),
    })
