"""The last parts of the card: the quote, small, what is good to know, and the slip the wearer takes home."""

from __future__ import annotations

from ..plan.model import Quote, QuoteLine
from . import wording as words
from .card import Block, Para, Part, Tick
from .context import Context, tick_lists
from .findings import alert
from .reasons import why
from .speech import Speech
from .told import told

OUR_LINES = ("labour", "preparation", "consumables", "overhead", "discount", "tax", "rounding")
"""Lines of a quote that aren't hairs or ornaments by their own names."""


def quote_part(c: Context) -> Part:
    """The sum and its lines."""
    quote, say = c.plan.quote, c.say
    lines = [f"{line_label(say, line)} {say.money(line.amount, quote.currency)}" + (f" ({line_note(say, line)})" if line.note else "")
             for line in quote.lines]
    if quote.tax and not any(line.label.lower().startswith("tax") for line in quote.lines):
        amount = say.money(quote.tax, quote.currency)
        lines.append(say("tax {amount} (included)", amount=amount) if c.house.tax_included else say("tax {amount}", amount=amount))
    if quote.deposit is None:
        total = f"{total_words(say, quote)}."
    else:
        total = say("{total}, deposit {deposit}.", total=total_words(say, quote), deposit=say.money(quote.deposit, quote.currency))
    return Part(key="quote", title=say("Quote"), blocks=(
        Para(text=total, tone="sum"), Para(text=f"{say.series(lines)}.", tone="small", until=2)))


def line_label(say: Speech, line: QuoteLine) -> str:
    """What a line of the quote is for: somebody's own name for a hair, or one of our words."""
    return say.term("quote", line.label) if line.label in OUR_LINES else words.name(line.label)


def line_note(say: Speech, line: QuoteLine) -> str:
    """What its amount is reckoned from."""
    return told(say, words.clean(line.note))


def total_words(say: Speech, quote: Quote) -> str:
    """The total, and what it leaves out for want of a price: never a bare sum that isn't the whole."""
    total = say.money(quote.total, quote.currency)
    if quote.unpriced:
        return say("Total without {hairs}: {amount}", hairs=say.listed(map(words.name, quote.unpriced)), amount=total)
    return say("Total {amount}", amount=total)


def know_part(c: Context) -> tuple[Part, ...]:
    """What is worth knowing but needn't be done: the look's own notes, the house's, and what the rules only remark."""
    blocks: list[Block] = [Para(text=words.sentence(words.clean(note))) for note in c.recipe.notes]
    if c.house.note:
        blocks.append(Para(text=words.sentence(words.clean(c.house.note))))
    blocks += [alert(c.say, c.house.currency, f) for f in c.plan.findings if f.severity == "note"]
    invented = [words.name(each.name) for each in (c.wearer, c.house) if each.demo]
    if invented and not c.recipe.demo:  # her own look bears the badge, and she wonders why
        blocks.append(Para(text=c.say("Marked as a demo because invented: {names}.", names=c.say.listed(invented)), tone="small"))
    return (Part(key="know", title=c.say("Good to know"), blocks=tuple(blocks)),) if blocks else ()


def aftercare_items(c: Context) -> list[Tick]:
    """What the wearer should know at home.

    The weeks of wear: Baylor College of Medicine, dermatology questions and answers, September 2024. Washing every two
    weeks: common practice, no source; salons' own aftercare sheets say two to three."""
    say = c.say
    curls = [h for h in c.recipe.catalogue if h.kind == "curly"]
    items = [
        Tick(text=say("Pain, a headache or bumps at the hairline mean it is too tight: have it loosened; if it lasts, see a doctor"),
             why=why(say, "pain")),
        Tick(text=say("Take it down after 4 to 6 weeks, 8 at the very most, then let the hair rest"), why=why(say, "weeks")),
        Tick(text=say("Wash the scalp about every two weeks and dry the braids right through"), why=why(say, "wash")),
        Tick(text=say("Cover the braids at night; no tight ponytail or bun on top"), why=why(say, "night")),
    ]
    if any(h.hot_water != "allowed" for h in curls):
        items.append(Tick(text=say("Keep the curls out of hot water and away from hot tools: the curl relaxes"), why=why(say, "hot water")))
    items.append(Tick(text=say("Tell us how it wore, so that the next card is better"), why=why(say, "tell")))
    return items


def aftercare_part(c: Context) -> Part:
    """What the wearer should know, cut off and handed over."""
    items = aftercare_items(c)
    title = c.say("Aftercare: {look}", look=words.name(c.plan.head.recipe))
    return Part(key="aftercare", title=title, blocks=(*tick_lists(c.say, "", items[:3]), *tick_lists(c.say, "", items[3:])), slip=True)
