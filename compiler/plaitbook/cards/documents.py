"""The other papers of the same plan: what to buy, what it costs, what to ask and sign, who works where, the reasons,
and what to do at home and at the take-down.

Each is a small :class:`~plaitbook.cards.card.Card` and prints through the same renderers.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from math import ceil

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan, QuoteLine
from . import wording as words
from .build import card_of
from .card import Block, Card, Column, Para, Part, Table, Tick
from .closing import aftercare_items, line_label, line_note, total_words
from .context import Context, Paper, context_of, tick_lists
from .crew_sheet import crew_sheets
from .handout import handout
from .intake import intake
from .language import Code, mark
from .pictures import look_part
from .prepare import chosen, hair_table, lay_out
from .speech import Speech

HOUSE_LINES = ("labour", "preparation", "consumables", "overhead")
"""Lines of the quote that the client sees as one: the work."""
ADJUSTMENTS = ("discount", "tax", "rounding")
GROWTH_MM = 33.0
"""Longest own hair grows while a set is worn: 8 weeks of up to 0.59 mm a day (411 ± 53 micrometres a day,
mean and three and a half standard deviations; Loussouarn and others, 2005)."""


def write_document(
    kind: str, plan: Plan, recipe: Recipe, wearer: Wearer, house: House, *, paper: Paper | None = None, language: Code | None = None,
) -> Card:
    """One of :data:`DOCUMENTS` for a plan. Raises KeyError for another name."""
    subtitle, parts = DOCUMENTS[kind]
    c = context_of(plan, recipe, wearer, house, paper, language)
    facts = [(c.say("For"), c.say.term("wearer", words.name(plan.head.wearer))), (c.say("House"), words.name(plan.head.house))]
    if plan.head.choices:
        facts.append((c.say("Chosen"), chosen(c)))
    titled = c.say("{title}, version {version}", title=c.say(subtitle), version=plan.head.version)
    return card_of(c, titled, tuple(facts), parts(c), full=kind in WHOLE,
                   sections=plan.sections.count if kind in MAPPED else 0)


def _shopping(c: Context) -> tuple[Part, ...]:
    say = c.say
    swapped = tuple(Para(text=say("{new} stands in for {old}.", new=words.name(new), old=words.name(old)), tone="strong")
                    for old, new in c.recipe.swapped)
    things = tick_lists(say, say("Also"), lay_out(c))
    return (Part(key="buy", title=say("To buy"), blocks=(*swapped, hair_table(c), *things)),)


def _quote(c: Context) -> tuple[Part, ...]:
    quote, say = c.plan.quote, c.say
    rows = tuple((words.capital(label), say.money(amount, quote.currency) if amount or not note else say("no price yet"), note)
                 for label, amount, note in client_lines(say, quote.lines))
    if not any(line.label == "tax" for line in quote.lines) and quote.tax:
        rows += ((say("Tax"), say.money(quote.tax, quote.currency), say("included") if c.house.tax_included else ""),)
    columns = (Column(heading=say("For")), Column(heading=say("Amount"), align="right"), Column(heading=say("How")))
    blocks: list[Block] = [Table(caption=say("What it is for"), plain=True, columns=columns, rows=rows)]
    blocks.append(Para(text=f"{total_words(say, quote)}.", tone="sum"))
    if quote.deposit is not None:
        blocks.append(Para(text=say("Deposit {amount}, on booking.", amount=say.money(quote.deposit, quote.currency))))
    timing = c.plan.timing
    blocks.append(Para(text=say("Time in the chair: about {time}; keep {longer} free.", time=say.duration(timing.median_minutes),
                                longer=say.duration(timing.p80_minutes))))
    return (look_part(c, views=("front", "side")), Part(key="quote", title=say("Quote"), blocks=tuple(blocks), step=False))


def client_lines(say: Speech, lines: tuple[QuoteLine, ...]) -> list[tuple[str, Decimal, str]]:
    """(label, amount, note): hair, the work as one line, then discount, tax and rounding; no wage and no margin."""
    work = sum((line.amount for line in lines if line.label.lower() in HOUSE_LINES), Decimal(0))

    def shown(line: QuoteLine) -> tuple[str, Decimal, str]:
        return line_label(say, line), line.amount, "" if line.label == "discount" else line_note(say, line)

    rest = [line for line in lines if line.label.lower() not in HOUSE_LINES]
    hair = [shown(line) for line in rest if line.label.lower() not in ADJUSTMENTS]
    after = [shown(line) for line in rest if line.label.lower() in ADJUSTMENTS]
    return [*hair, (say("braiding and all that belongs to it"), work, ""), *after]


def _aftercare(c: Context) -> tuple[Part, ...]:
    say = c.say
    dates = say("Put in on {line}   Take down by {line}", line="_" * 12)
    wear: list[Block] = [Para(text=dates), *tick_lists(say, "", aftercare_items(c))]
    return (
        Part(key="aftercare", title=say("While you wear it"), blocks=tuple(wear)),
        Part(key="finish", title=say("Take-down"), blocks=tick_lists(say, "", take_down(c), numbered=True)),
    )


def take_down(c: Context) -> list[Tick]:
    """The steps of taking the set out, with where the scissors may go."""
    say, kinds = c.say, c.plan.strand_kinds
    own = max((k.own_ends_stitch * k.pitch_mm for k in kinds), default=0.0)
    shortest = min((k.length_mm for k in kinds), default=0.0)
    below = own + GROWTH_MM
    if c.plan.material.added_worn_g > 0 and 0 < below < shortest:
        # Up to the next mark of the tape: a cut may be too low, never too high.
        step = 25.4 if say.units == "inch" else 10.0
        first = Tick(text=say("Cut each braid {length} or more below the root, measured on the braid; never nearer the root.",
                              length=say.length(ceil(below / step) * step)),
                     note=say("Own hair ended at {length} and has grown since. When in doubt, undo it from the end instead.",
                              length=say.length(own)))
    else:
        first = Tick(text=say("Don't cut: own hair runs down the whole braid. Undo each one from its end."))
    return [
        *([Tick(text=say("Take ornaments and bands off first."))] if c.plan.material.ornaments else []), first,
        Tick(text=say("Undo each one with the tail of a comb, from the end upwards; never pull it through.")),
        Tick(text=say("Loosen the build-up at the root with the fingers and a little conditioner or oil before any comb goes in.")),
        Tick(text=say("Detangle in small parts, from the ends up, before washing. Some shed hair is to be expected: it had nowhere to fall.")),
        Tick(text=say("Wash, condition, and let the hair rest before the next set."),
             note=say("Bald or sore patches, or breakage at the hairline: see a doctor before anything is put in again.")),
    ]


DOCUMENTS: dict[str, tuple[str, Callable[[Context], tuple[Part, ...]]]] = {
    "shopping": (mark("Shopping list"), _shopping),
    "quote": (mark("Quote"), _quote),
    "aftercare": (mark("Aftercare and take-down"), _aftercare),
    "intake": (mark("Intake and consent"), intake),
    "handout": (mark("Trainee handout"), handout),
    "crew": (mark("Crew sheets"), crew_sheets),
}
"""Name on the command line -> (title, what makes its parts). The steps of the take-down are common practice, no source."""
WHOLE = frozenset(("handout", "crew"))
"""Printed whole, however many sides that takes."""
MAPPED = frozenset(("handout", "crew"))
"""Hold the section map."""
