"""What every part of the card is built from: the plan and what it was planned for."""

from __future__ import annotations

from typing import NamedTuple

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from .card import Tick, Ticks
from .words import Units

PAUSE_ITEMS = 9
"""Most items between two pauses: fewer than ten (Gawande, Checklist for Checklists)."""


class Context(NamedTuple):
    plan: Plan
    recipe: Recipe
    wearer: Wearer
    house: House

    @property
    def units(self) -> Units:
        return self.house.units


def tick_lists(title: str, items: list[Tick], *, numbered: bool = False) -> tuple[Ticks, ...]:
    """Items in lists of nine at most, evenly filled, so that each list ends at a natural pause."""
    if not items:
        return ()
    lists = -(-len(items) // PAUSE_ITEMS)
    size = -(-len(items) // lists)
    return tuple(
        Ticks(title=title if lists == 1 else f"{title} ({i + 1} of {lists})" if title else f"{i + 1} of {lists}",
              items=tuple(items[i * size:(i + 1) * size]), numbered=numbered, first=i * size + 1)
        for i in range(lists)
    )
