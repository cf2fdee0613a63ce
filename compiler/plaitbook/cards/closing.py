"""The last parts of the card: the quote, small, what is good to know, and the slip the wearer takes home."""

from __future__ import annotations

from ..plan.model import Quote
from . import words as say
from .card import Block, Para, Part, Tick
from .context import Context, tick_lists
from .prepare import alert
from .reasons import why

WEAR_WEEKS = "4 to 6 weeks, 8 at the very most"
"""Baylor College of Medicine, dermatology questions and answers, September 2024."""

WASH = "Wash the scalp about every two weeks and dry the braids right through"
"""Common practice, no source: salons' own aftercare sheets say two to three weeks."""


def quote_part(c: Context) -> Part:
    """The sum and its lines."""
    quote = c.plan.quote
    lines = [f"{say.name(line.label)} {say.money(line.amount, quote.currency)}" + (f" ({say.clean(line.note)})" if line.note else "")
             for line in quote.lines]
    if quote.tax and not any(line.label.lower().startswith("tax") for line in quote.lines):
        lines.append(f"tax {say.money(quote.tax, quote.currency)}" + (" (included)" if c.house.tax_included else ""))
    total = total_words(quote)
    if quote.deposit is not None:
        total += f", deposit {say.money(quote.deposit, quote.currency)}"
    return Part(key="quote", title="Quote", blocks=(Para(text=f"{total}.", tone="sum"), Para(text=f"{'; '.join(lines)}.", tone="small", until=2)))


def total_words(quote: Quote) -> str:
    """The total, and what it leaves out for want of a price: never a bare sum that isn't the whole."""
    without = f" without {say.listed(map(say.name, quote.unpriced))}:" if quote.unpriced else ""
    return f"Total{without} {say.money(quote.total, quote.currency)}"


def know_part(c: Context) -> tuple[Part, ...]:
    """What is worth knowing but needn't be done: the look's own notes, the house's, and what the rules only remark."""
    blocks: list[Block] = [Para(text=say.sentence(say.clean(note))) for note in c.recipe.notes]
    if c.house.note:
        blocks.append(Para(text=say.sentence(say.clean(c.house.note))))
    blocks += [alert(f) for f in c.plan.findings if f.severity == "note"]
    return (Part(key="know", title="Good to know", blocks=tuple(blocks)),) if blocks else ()


def aftercare_items(c: Context) -> list[Tick]:
    """What the wearer should know at home."""
    curls = [h for h in c.recipe.catalogue if h.kind == "curly"]
    items = [
        Tick(text="Pain, a headache or bumps at the hairline mean it is too tight: have it loosened; "
                  "if it lasts, see a doctor", why=why("pain")),
        Tick(text=f"Take it down after {WEAR_WEEKS}, then let the hair rest", why=why("weeks")),
        Tick(text=WASH, why=why("wash")),
        Tick(text="Cover the braids at night; no tight ponytail or bun on top", why=why("night")),
    ]
    if any(h.hot_water != "allowed" for h in curls):
        items.append(Tick(text="Keep the curls out of hot water and away from hot tools: the curl relaxes", why=why("hot water")))
    items.append(Tick(text="Tell us how it wore, so that the next card is better", why=why("tell")))
    return items


def aftercare_part(c: Context) -> Part:
    """What the wearer should know, cut off and handed over."""
    items = aftercare_items(c)
    name = say.name(c.plan.head.recipe)
    return Part(key="aftercare", title=f"Aftercare: {name}", blocks=(*tick_lists("", items[:3]), *tick_lists("", items[3:])), slip=True)
