"""The rates a house has learned, put in force where a look is compiled."""

from __future__ import annotations

import math
from pathlib import Path

from ..meaning.model import House, Rate
from ..meaning.values import Origin
from ..passes.rates import rates_for
from .log_store import Learned, standing_lessons


def learned_house(house: House, when: str, services: int, moved: tuple[Learned, ...]) -> House:
    """The house with its learned rates. A rate the house has rewritten since is left as it is written."""
    base = rates_for(house)
    learned = []
    for each in moved:
        now = base.get(each.operation)
        if now is None or not math.isclose(now.seconds, each.base, rel_tol=1e-9):
            continue
        where = f"learned from {services} services on {when[:10]}: {each.base:.3g} s became {each.after:.3g} s"
        learned.append(now.model_copy(update={"seconds": each.after, "origin": Origin(kind="house", where=where)}))
    kept: tuple[Rate, ...] = tuple(rate for rate in house.rates if rate.operation not in {r.operation for r in learned})
    return house.model_copy(update={"rates": (*kept, *learned)})


def put_in_force(houses: dict[str, House], store: Path) -> None:
    """Replace each house by itself with what it has learned. Raises sqlite3.Error, OSError."""
    for name, (_, when, services, moved) in standing_lessons(store).items():
        if name in houses:
            houses[name] = learned_house(houses[name], when, services, moved)
