"""From a plan to a card: the parts in the order of the work."""

from __future__ import annotations

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from . import chair, closing, prepare
from . import words as say
from .card import Card
from .context import Context
from .pictures import drawn


def write_card(plan: Plan, recipe: Recipe, wearer: Wearer, house: House, *, with_quote: bool = True) -> Card:
    """The prep card of one plan. ``with_quote=False`` leaves the money out.

    Everything a person wrote is cleaned here, once (see
    :func:`plaitbook.cards.words.clean`); the renderers only escape and place.
    """
    c = Context(plan, recipe, wearer, house)
    head = plan.head
    parts = [
        prepare.never(c), prepare.buy(c), prepare.cut(c), chair.section_part(c), chair.strip_part(c), chair.zone_part(c),
        chair.finish_part(c), chair.clock_part(c),
    ]
    if with_quote:
        parts.append(closing.quote_part(c))
    parts.append(closing.aftercare_part(c))
    name = say.clean(head.recipe, 120) or "A look without a name"
    compiler = drawn(head.compiler if head.compiler.startswith("plaitbook") else f"plaitbook {head.compiler}")
    return Card(
        title=name, subtitle=f"Prep card, version {head.version}", paper=house.paper,
        badge="Demo" if head.demo else "", summary=say.clean(head.summary), facts=prepare.who(c), parts=tuple(parts),
        foot=f"{drawn(head.recipe)} version {head.version} · {drawn(head.wearer)} · {compiler}",
        sections=plan.sections.count,
    )
