"""From a plan to a card: the parts in the order of the work."""

from __future__ import annotations

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from . import chair, closing, prepare
from . import words as say
from .card import Card, Part
from .context import Context, Paper
from .pictures import drawn, look_part


def write_card(
    plan: Plan, recipe: Recipe, wearer: Wearer, house: House, *, with_quote: bool = True, with_look: bool = False, paper: Paper | None = None,
) -> Card:
    """The prep card of one plan. ``with_quote=False`` leaves the money out; ``paper`` is the house's unless given.

    ``with_look`` draws the finished look after the section map. That alone takes longer than all the rest of
    the card, so a preview that follows the typing goes without; a plan's drawing is kept and is made once.

    Everything a person wrote is cleaned here, once (see
    :func:`plaitbook.cards.words.clean`); the renderers only escape and place.
    """
    paper = paper or house.paper
    c = Context(plan, recipe, wearer, house, paper)
    look = [look_part(c, until=1)] if with_look else []
    parts = [
        prepare.never(c), prepare.buy(c), prepare.cut(c), chair.section_part(c), *look, chair.strip_part(c), chair.zone_part(c),
        chair.finish_part(c), chair.clock_part(c),
    ]
    if with_quote:
        parts.append(closing.quote_part(c))
    parts += [*closing.know_part(c), closing.aftercare_part(c)]
    card = card_of(c, f"Prep card, version {plan.head.version}", prepare.who(c), tuple(parts), sections=plan.sections.count)
    return card.over(plan.sections)


def card_of(c: Context, subtitle: str, facts: tuple[tuple[str, str], ...], parts: tuple[Part, ...], *, sections: int = 0, full: bool = False) -> Card:
    """A card with its head and foot; ``sections`` where it shows the map."""
    head = c.plan.head
    compiler = drawn(head.compiler if head.compiler.startswith("plaitbook") else f"plaitbook {head.compiler}")
    return Card(
        title=say.clean(head.recipe, 120) or "A look without a name", subtitle=subtitle, paper=c.paper,
        badge="Demo" if head.demo else "", summary=say.clean(head.summary), facts=facts, parts=parts,
        foot=f"{drawn(head.recipe)} version {head.version} · {drawn(head.wearer)} · {compiler}", sections=sections, full=full,
    )
