"""The trainee's handout: the card's own steps, each with its reason in plain words.

How the numbers are worked out is left to ``plait explain``."""

from __future__ import annotations

from . import chair, closing, prepare
from . import words as say
from .card import Para, Part, Tick, Ticks
from .context import Context
from .pictures import look_part
from .reasons import why

WORKING = "plait explain shows how every number was worked out."


def handout(c: Context) -> tuple[Part, ...]:
    """The parts of the card with their reasons; no quote."""
    map_, strip, clock = chair.section_part(c), chair.strip_part(c), chair.clock_part(c)
    parts = [
        prepare.never(c),
        prepare.buy(c),
        prepare.cut(c),
        _with(map_, _map_reasons(c)),
        look_part(c, views=("front", "back")),
        _with(strip, _strip_reasons(c)),
        _with(chair.zone_part(c), (why("alike"), why("section size"))),
        chair.finish_part(c),
        _with(clock, (why("checkpoints"), why("spread"), why("breaks"))),
        *closing.know_part(c),
        closing.aftercare_part(c).model_copy(update={"slip": False}),
    ]
    parts[0] = parts[0].model_copy(update={"blocks": (*parts[0].blocks, Para(text=WORKING, tone="small"))})
    return tuple(_told(part) for part in parts)


def _map_reasons(c: Context) -> tuple[str, ...]:
    bricks = any(row.offset == "half" for row in c.plan.sections.rows)
    return (*([why("order")] if c.recipe.order == "nape up" else []), *([why("parting")] if c.recipe.parting.kind != "none" else []),
            *([why("brick")] if bricks else []))


def _strip_reasons(c: Context) -> tuple[str, ...]:
    kinds = chair.shown_kinds(c)
    return (*([why("feed")] if any(f.stitch for k in kinds for f in k.feed_ins) else []),
            *([why("own hair ends")] if any(0 < k.own_ends_stitch < k.stitches for k in kinds) else []))


def _with(part: Part, reasons: tuple[str, ...]) -> Part:
    """The part with its reasons after it."""
    if not reasons:
        return part
    return part.model_copy(update={"blocks": (*part.blocks, Para(text="Why: " + " ".join(reasons)))})


def _told(part: Part) -> Part:
    """Each tick's reason after it, in words."""
    return part.model_copy(update={"blocks": tuple(
        b.model_copy(update={"items": tuple(map(_reasoned, b.items)), "run_in": False}) if isinstance(b, Ticks) else b for b in part.blocks)})


def _reasoned(tick: Tick) -> Tick:
    if not tick.why:
        return tick
    return Tick(text=say.sentence(tick.text), note=f"{say.sentence(tick.note)} Why: {tick.why}".strip())
