"""The trainee's handout: the card's own steps, each with its reason in plain words.

How the numbers are worked out is left to ``plait explain``."""

from __future__ import annotations

from . import chair, closing, prepare
from . import wording as words
from .card import Para, Part, Tick, Ticks
from .context import Context
from .pictures import look_part
from .reasons import why
from .speech import Speech


def handout(c: Context) -> tuple[Part, ...]:
    """The parts of the card with their reasons; no quote."""
    say = c.say
    map_, strip, clock = chair.section_part(c), chair.strip_part(c), chair.clock_part(c)
    parts = [
        prepare.never(c),
        prepare.buy(c),
        prepare.cut(c),
        _with(say, map_, _map_reasons(c)),
        look_part(c, views=("front", "back")),
        _with(say, strip, _strip_reasons(c)),
        _with(say, chair.zone_part(c), (why(say, "alike"), why(say, "section size"))),
        chair.finish_part(c),
        _with(say, clock, (why(say, "checkpoints"), why(say, "spread"), why(say, "breaks"))),
        *closing.know_part(c),
        closing.aftercare_part(c).model_copy(update={"slip": False}),
    ]
    parts[0] = parts[0].model_copy(update={"blocks": (*parts[0].blocks, Para(text=say("{command} shows how every number was worked out.", command="plait explain"), tone="small"))})
    return tuple(_told(say, part) for part in parts)


def _map_reasons(c: Context) -> tuple[str, ...]:
    bricks = any(row.offset == "half" for row in c.plan.sections.rows)
    return (*([why(c.say, "order")] if c.recipe.order == "nape up" else []), *([why(c.say, "parting")] if c.recipe.parting.kind != "none" else []),
            *([why(c.say, "brick")] if bricks else []))


def _strip_reasons(c: Context) -> tuple[str, ...]:
    kinds = chair.shown_kinds(c)
    return (*([why(c.say, "feed")] if any(f.stitch for k in kinds for f in k.feed_ins) else []),
            *([why(c.say, "own hair ends")] if any(0 < k.own_ends_stitch < k.stitches for k in kinds) else []))


def _with(say: Speech, part: Part, reasons: tuple[str, ...]) -> Part:
    """The part with its reasons after it."""
    if not reasons:
        return part
    return part.model_copy(update={"blocks": (*part.blocks, Para(text=say("Why: {reason}", reason=" ".join(reasons))))})


def _told(say: Speech, part: Part) -> Part:
    """Each tick's reason after it, in words."""
    return part.model_copy(update={"blocks": tuple(
        b.model_copy(update={"items": tuple(_reasoned(say, item) for item in b.items), "run_in": False}) if isinstance(b, Ticks) else b for b in part.blocks)})


def _reasoned(say: Speech, tick: Tick) -> Tick:
    if not tick.why:
        return tick
    return Tick(text=words.sentence(tick.text), note=f"{words.sentence(tick.note)} {say('Why: {reason}', reason=tick.why)}".strip())
