"""The house's menu: every look and what each way of taking its choices costs and takes, for clients to read."""

from __future__ import annotations

from typing import NamedTuple

from ..plan.model import Plan
from . import words as say
from .card import Block, Card, Column, Para, Part, Table


class Dish(NamedTuple):
    """One look on the menu."""

    name: str
    summary: str
    ways: "tuple[tuple[str, Plan], ...]"
    """(the choices taken, in words; the plan), the ordinary way first."""
    logged: str = ""
    """How long it really took, in words, where the house has logged it."""


def write_menu(title: str, house: str, dishes: tuple[Dish, ...], *, paper: str, demo: bool) -> Card:
    """The menu as a card, a part for each look. Prices are what the quote comes to, hair included."""
    parts = tuple(_part(number, dish) for number, dish in enumerate(dishes))
    note = Para(text="Prices and times are for ordinary hair. Yours are worked out with you before anything begins.", tone="strong")
    first = Part(key="about", title="About these prices", blocks=(note,), step=False)
    return Card(title=title, subtitle="Menu", paper=paper, badge="Demo" if demo else "", facts=(("House", say.name(house)),),
                parts=(first, *parts), foot=f"{title} · {say.name(house)}", full=True)


def _part(number: int, dish: Dish) -> Part:
    rows = tuple((say.clean(words) if words else "as it is", price(plan), say.duration(plan.timing.median_minutes), say.duration(plan.timing.p80_minutes))
                 for words, plan in dish.ways)
    columns = (Column(heading="Taken as"), Column(heading="Price", align="right"), Column(heading="About", align="right"),
               Column(heading="Keep free", align="right"))
    summary = say.sentence(say.clean(dish.summary))
    blocks: list[Block] = [Table(caption=summary or say.clean(dish.name, 120), plain=not summary, columns=columns, rows=rows)]
    if dish.logged:
        blocks.append(Para(text=dish.logged, tone="small"))
    return Part(key=f"look-{number}", title=say.clean(dish.name, 120), blocks=tuple(blocks), step=False)


def price(plan: Plan) -> str:
    """The quote's total; "from" where some hair has no price, and words where there is no price at all."""
    quote = plan.quote
    if not quote.total:
        return "ask"
    return ("from " if quote.unpriced else "") + say.money(quote.total, quote.currency)
