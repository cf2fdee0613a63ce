"""What every part of the card is built from: the plan, what it was planned for, and the language it is said in."""

from __future__ import annotations

from typing import Literal, NamedTuple

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from .card import Table, Tick, Ticks
from .language import NAMES, Code
from .speech import Speech, speech

PAUSE_ITEMS = 9
"""Most items between two pauses: fewer than ten (Gawande, Checklist for Checklists)."""

Paper = Literal["letter", "a4", "half"]


class Context(NamedTuple):
    plan: Plan
    recipe: Recipe
    wearer: Wearer
    house: House
    paper: Paper = "a4"
    say: Speech = speech()
    """The card's language, in the house's units."""

    @property
    def sheet_mm(self) -> float:
        """Room over the whole sheet, mm: drawings made wider would be printed smaller than they can be read."""
        return 118.0 if self.paper == "half" else 188.0

    @property
    def pencil_mm(self) -> float:
        return self.house.pencil_mm.value


def context_of(plan: Plan, recipe: Recipe, wearer: Wearer, house: House, paper: Paper | None, language: Code | None) -> Context:
    """The context of a card; ``paper`` and ``language`` are the house's unless given."""
    return Context(plan, recipe, wearer, house, paper or house.paper, speech(language or NAMES[house.language], house.units))


def tick_lists(
    say: Speech, title: str, items: list[Tick], *, numbered: bool = False, run_in: bool = False, note: str = "",
) -> tuple[Ticks, ...]:
    """Items in lists of nine at most, evenly filled, so that each list ends at a natural pause."""
    if not items:
        return ()
    lists = -(-len(items) // PAUSE_ITEMS)
    size = -(-len(items) // lists)
    return tuple(
        Ticks(title=title if lists == 1 else numbered_title(say, title, i, lists),
              items=tuple(items[i * size:(i + 1) * size]), numbered=numbered, first=i * size + 1, run_in=run_in, note="" if i else note)
        for i in range(lists)
    )


def numbered_title(say: Speech, title: str, i: int, lists: int) -> str:
    """The title of one of several lists: ``Heat (1 of 2)``."""
    place = say("{number} of {whole}", number=i + 1, whole=lists)
    return f"{title} ({place})" if title else place


def lifted(table: Table, keep: int) -> tuple[dict[int, str], Table]:
    """What every row of a table says alike, by the column's place, and the table without those columns.

    The first ``keep`` columns stay, and so does everything in a table of one row.
    """
    if len(table.rows) < 2:
        return {}, table
    same = [i for i in range(keep, len(table.columns)) if len({row[i] for row in table.rows}) == 1]
    if not same:
        return {}, table
    kept = [i for i in range(len(table.columns)) if i not in same]
    return {i: table.rows[0][i] for i in same}, table.model_copy(update={
        "columns": tuple(table.columns[i] for i in kept), "rows": tuple(tuple(row[i] for i in kept) for row in table.rows),
    })
