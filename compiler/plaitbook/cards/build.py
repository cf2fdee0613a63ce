"""From a plan to a card: the parts in the order of the work."""

from __future__ import annotations

from collections.abc import Callable, Collection

from ..meaning.model import House, Recipe, Wearer
from ..plan.model import Plan
from . import chair, closing, prepare
from . import wording as words
from .card import Card, Part, Picture
from .context import Context, Paper, context_of
from .diagrams.seal_mark import SIDE_MM, seal_mark, seal_words
from .language import Code
from .pictures import drawn, look_part


def write_card(
    plan: Plan, recipe: Recipe, wearer: Wearer, house: House, *, with_quote: bool = True, with_look: bool = False,
    paper: Paper | None = None, language: Code | None = None, only: Collection[str] | None = None,
) -> Card:
    """The prep card of one plan. ``with_quote=False`` leaves the money out; ``paper`` and ``language`` are the house's
    unless given.

    ``with_look`` draws the finished look after the section map. That alone takes longer than all the rest of
    the card, so a preview that follows the typing goes without; a plan's drawing is kept and is made once.
    ``only`` names the parts (see :class:`Part`) that are wanted, for a preview of what is in view.

    Everything a person wrote is cleaned here, once (see
    :func:`plaitbook.cards.wording.clean`); the renderers only escape and place.
    """
    c = context_of(plan, recipe, wearer, house, paper, language)
    steps: list[tuple[str, Callable[[Context], Part | tuple[Part, ...]]]] = [
        ("never", prepare.never), ("buy", prepare.buy), ("cut", prepare.cut), ("map", chair.section_part),
        ("look", lambda c: look_part(c, until=1)), ("strip", chair.strip_part), ("zones", chair.zone_part), ("finish", chair.finish_part),
        ("clock", chair.clock_part), ("quote", closing.quote_part), ("know", closing.know_part), ("aftercare", closing.aftercare_part),
    ]
    left_out = {key for key, wanted in (("look", with_look), ("quote", with_quote)) if not wanted}
    parts: list[Part] = []
    for key, made in steps:
        if key not in left_out and (only is None or key in only):
            part = made(c)
            parts += part if isinstance(part, tuple) else (part,)
    card = card_of(c, c.say("Prep card, version {version}", version=plan.head.version), prepare.who(c), tuple(parts),
                   sections=plan.sections.count)
    if with_look and plan.head.seal is not None:
        alt = c.say("The seal of this card as a square of dots: {seal}", seal=seal_words(plan.head.seal, c.say))
        card = card.model_copy(update={"seal": Picture(svg=seal_mark(plan.head.seal, c.say), alt=alt, width_mm=SIDE_MM, height_mm=SIDE_MM)})
    return card.over(plan.sections)


def card_of(c: Context, subtitle: str, facts: tuple[tuple[str, str], ...], parts: tuple[Part, ...], *, sections: int = 0, full: bool = False) -> Card:
    """A card with its head and foot; ``sections`` where it shows the map."""
    head = c.plan.head
    compiler = drawn(head.compiler if head.compiler.startswith("plaitbook") else f"plaitbook {head.compiler}")
    foot = c.say("{look} version {version} · {wearer} · {compiler}", look=drawn(head.recipe), version=head.version,
                 wearer=c.say.term("wearer", drawn(head.wearer)), compiler=compiler)
    if head.seal is not None:
        foot = f"{foot} · {seal_words(head.seal, c.say)}"
    return Card(
        title=words.clean(head.recipe, 120) or c.say("A look without a name"), subtitle=subtitle, lang=c.say.code, paper=c.paper,
        badge=c.say("Demo") if head.demo else "", summary=words.clean(head.summary), facts=facts, parts=parts,
        foot=foot, sections=sections, full=full,
    )
