"""The house's menu: every look and what each way of taking its choices costs and takes, for clients to read."""

from __future__ import annotations

from typing import NamedTuple

from ..plan.model import Plan
from . import wording as words
from .card import Block, Card, Column, Para, Part, Table
from .speech import Speech, speech


class Dish(NamedTuple):
    """One look on the menu."""

    name: str
    summary: str
    ways: "tuple[tuple[str, Plan], ...]"
    """(the choices taken, in words; the plan), the ordinary way first."""
    logged: str = ""
    """How long it really took, in words, where the house has logged it."""


def write_menu(title: str, house: str, dishes: tuple[Dish, ...], *, paper: str, demo: bool, say: Speech = speech()) -> Card:
    """The menu as a card, a part for each look. Prices are what the quote comes to, hair included."""
    parts = tuple(_part(number, dish, say) for number, dish in enumerate(dishes))
    note = Para(text=say("Prices and times are for ordinary hair. Yours are worked out with you before anything begins."), tone="strong")
    first = Part(key="about", title=say("About these prices"), blocks=(note,), step=False)
    return Card(title=title, subtitle=say("Menu"), lang=say.code, paper=paper, badge=say("Demo") if demo else "",
                facts=((say("House"), words.name(house)),), parts=(first, *parts), foot=f"{title} · {words.name(house)}", full=True)


def _part(number: int, dish: Dish, say: Speech) -> Part:
    rows = tuple((words.clean(taken) if taken else say("as it is"), price(plan, say), say.duration(plan.timing.median_minutes),
                  say.duration(plan.timing.p80_minutes)) for taken, plan in dish.ways)
    columns = (Column(heading=say("Taken as")), Column(heading=say("Price"), align="right"), Column(heading=say("About"), align="right"),
               Column(heading=say("Keep free"), align="right"))
    summary = words.sentence(words.clean(dish.summary))
    blocks: list[Block] = [Table(caption=summary or words.clean(dish.name, 120), plain=not summary, columns=columns, rows=rows)]
    if dish.logged:
        blocks.append(Para(text=dish.logged, tone="small"))
    return Part(key=f"look-{number}", title=words.clean(dish.name, 120), blocks=tuple(blocks), step=False)


def price(plan: Plan, say: Speech) -> str:
    """The quote's total; "from" where some hair has no price, and words where there is no price at all."""
    quote = plan.quote
    if not quote.total:
        return say("ask")
    total = say.money(quote.total, quote.currency)
    return say("from {amount}", amount=total) if quote.unpriced else total
