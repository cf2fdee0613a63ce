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
from . import words as say
from .build import card_of
from .card import Block, Card, Column, Para, Part, Table, Tick
from .closing import aftercare_items, total_words
from .context import Context, Paper, tick_lists
from .crew_sheet import crew_sheets
from .handout import handout
from .intake import intake
from .pictures import look_part
from .prepare import hair_table, lay_out

HOUSE_LINES = ("labour", "preparation", "consumables", "overhead")
"""Lines of the quote that the client sees as one: the work."""
ADJUSTMENTS = ("discount", "tax", "rounding")
GROWTH_MM = 33.0
"""Longest own hair grows while a set is worn: 8 weeks of up to 0.59 mm a day (411 ± 53 micrometres a day,
mean and three and a half standard deviations; Loussouarn and others, 2005)."""


def write_document(
    kind: str, plan: Plan, recipe: Recipe, wearer: Wearer, house: House, *, paper: Paper | None = None,
) -> Card:
    """One of :data:`DOCUMENTS` for a plan. Raises KeyError for another name."""
    subtitle, parts = DOCUMENTS[kind]
    c = Context(plan, recipe, wearer, house, paper or house.paper)
    facts = [("For", say.name(plan.head.wearer)), ("House", say.name(plan.head.house))]
    if plan.head.choices:
        facts.append(("Chosen", ", ".join(f"{say.name(a)}: {say.name(b)}" for a, b in plan.head.choices)))
    return card_of(c, f"{subtitle}, version {plan.head.version}", tuple(facts), parts(c), full=kind in WHOLE,
                   sections=plan.sections.count if kind in MAPPED else 0)


def _shopping(c: Context) -> tuple[Part, ...]:
    swapped = tuple(Para(text=f"{say.name(new)} stands in for {say.name(old)}.", tone="strong") for old, new in c.recipe.swapped)
    things = tick_lists("Also", lay_out(c))
    return (Part(key="buy", title="To buy", blocks=(*swapped, hair_table(c), *things)),)


def _quote(c: Context) -> tuple[Part, ...]:
    quote = c.plan.quote
    rows = tuple((label[:1].upper() + label[1:], say.money(amount, quote.currency) if amount or not note else "no price yet", note)
                 for label, amount, note in client_lines(quote.lines))
    if not any(line.label == "tax" for line in quote.lines) and quote.tax:
        rows += (("Tax", say.money(quote.tax, quote.currency), "included" if c.house.tax_included else ""),)
    columns = (Column(heading="For"), Column(heading="Amount", align="right"), Column(heading="How"))
    blocks: list[Block] = [Table(caption="What it is for", plain=True, columns=columns, rows=rows)]
    blocks.append(Para(text=f"{total_words(quote)}.", tone="sum"))
    if quote.deposit is not None:
        blocks.append(Para(text=f"Deposit {say.money(quote.deposit, quote.currency)}, on booking."))
    timing = c.plan.timing
    blocks.append(Para(text=f"Time in the chair: about {say.duration(timing.median_minutes)}; keep {say.duration(timing.p80_minutes)} free."))
    return (look_part(c, views=("front", "side")), Part(key="quote", title="Quote", blocks=tuple(blocks), step=False))


def client_lines(lines: tuple[QuoteLine, ...]) -> list[tuple[str, Decimal, str]]:
    """(label, amount, note): hair, the work as one line, then discount, tax and rounding; no wage and no margin."""
    work = sum((line.amount for line in lines if line.label.lower() in HOUSE_LINES), Decimal(0))
    rest = [(say.name(line.label), line.amount, say.clean(line.note)) for line in lines if line.label.lower() not in HOUSE_LINES]
    hair = [line for line in rest if line[0].lower() not in ADJUSTMENTS]
    after = [(label, amount, "" if label == "discount" else note) for label, amount, note in rest if label.lower() in ADJUSTMENTS]
    return [*hair, ("braiding and all that belongs to it", work, ""), *after]


def _aftercare(c: Context) -> tuple[Part, ...]:
    wear: list[Block] = [Para(text="Put in on ____________   Take down by ____________"), *tick_lists("", aftercare_items(c))]
    return (
        Part(key="aftercare", title="While you wear it", blocks=tuple(wear)),
        Part(key="finish", title="Take-down", blocks=tick_lists("", take_down(c), numbered=True)),
    )


def take_down(c: Context) -> list[Tick]:
    """The steps of taking the set out, with where the scissors may go."""
    kinds = c.plan.strand_kinds
    own = max((k.own_ends_stitch * k.pitch_mm for k in kinds), default=0.0)
    shortest = min((k.length_mm for k in kinds), default=0.0)
    below = own + GROWTH_MM
    if c.plan.material.added_worn_g > 0 and 0 < below < shortest:
        # Up to the next mark of the tape: a cut may be too low, never too high.
        step = 25.4 if c.units == "inch" else 10.0
        mark = say.length(ceil(below / step) * step, c.units)
        first = Tick(text=f"Cut each braid no higher than {mark} from the root, measured on the braid.",
                     note=f"Own hair ended at {say.length(own, c.units)} and has grown since. When in doubt, undo it from the end instead.")
    else:
        first = Tick(text="Don't cut: own hair runs down the whole braid. Undo each one from its end.")
    return [
        *([Tick(text="Take ornaments and bands off first.")] if c.plan.material.ornaments else []), first,
        Tick(text="Undo each one with the tail of a comb, from the end upwards; never pull it through."),
        Tick(text="Loosen the build-up at the root with the fingers and a little conditioner or oil before any comb goes in."),
        Tick(text="Detangle in small parts, from the ends up, before washing. Some shed hair is to be expected: it had nowhere to fall."),
        Tick(text="Wash, condition, and let the hair rest before the next set.",
             note="Bald or sore patches, or breakage at the hairline: see a doctor before anything is put in again."),
    ]


DOCUMENTS: dict[str, tuple[str, Callable[[Context], tuple[Part, ...]]]] = {
    "shopping": ("Shopping list", _shopping),
    "quote": ("Quote", _quote),
    "aftercare": ("Aftercare and take-down", _aftercare),
    "intake": ("Intake and consent", intake),
    "handout": ("Trainee handout", handout),
    "crew": ("Crew sheets", crew_sheets),
}
"""Name on the command line -> (title, what makes its parts). The steps of the take-down are common practice, no source."""
WHOLE = frozenset(("handout", "crew"))
"""Printed whole, however many sides that takes."""
MAPPED = frozenset(("handout", "crew"))
"""Hold the section map."""
