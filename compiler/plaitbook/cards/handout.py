"""The trainee's handout: the card's own steps, each with its reason, and how every number came about."""

from __future__ import annotations

from ..plan.model import Figure
from . import chair, closing, prepare
from . import words as say
from .card import Block, Column, Para, Part, Table, Tick, Ticks
from .context import Context
from .formula_words import amount, said_formula
from .pictures import look_part
from .reasons import why

FORMULA_LIMIT = 420
"""Letters of one formula in words; our own estimate of what is still read."""


def handout(c: Context) -> tuple[Part, ...]:
    """The parts of the card with their reasons; no quote."""
    map_, strip, clock = chair.section_part(c), chair.strip_part(c), chair.clock_part(c)
    kinds = [f"strands.{k.like or k.id}" for k in chair.shown_kinds(c)]
    strands = [f"{k}.{n}" for k in kinds for n in ("pieces", "pitch_mm", "stitches", "length_ratio", "width_mm", "reach_mm")]
    parts = [
        prepare.never(c),
        _with(c, prepare.buy(c), (), [k for k in c.plan.figures if k.startswith("material.")
                                      and k.endswith((".packs_used", ".packs_to_buy"))]),
        _with(c, prepare.cut(c), (), [k for k in c.plan.figures if k.startswith("material.") and k.count(".") == 2 and k.endswith(".grams")]),
        _with(c, map_, _map_reasons(c), ["head.circumference_mm", "sections.count", "sections.count_low", "sections.count_high"]),
        look_part(c, views=("front", "back")),
        _with(c, strip, _strip_reasons(c), strands),
        _with(c, chair.zone_part(c), (why("alike"), why("section size")), ()),
        chair.finish_part(c),
        _with(c, clock, (why("checkpoints"), why("spread"), why("breaks")),
              ["timing.stage.part_the_sections", "timing.stage.work_the_strands", "timing.stage.feed_in", "timing.stage.accents",
               "timing.break_minutes", "timing.median_minutes"]),
        *(_with(c, part, (), ["load.worst_mn", "load.median_mn", "load.added_to_own"]) for part in closing.know_part(c)),
        closing.aftercare_part(c).model_copy(update={"slip": False}),
    ]
    return tuple(_told(part) for part in parts)


def _map_reasons(c: Context) -> tuple[str, ...]:
    bricks = any(row.offset == "half" for row in c.plan.sections.rows)
    return (*([why("order")] if c.recipe.order == "nape up" else []), *([why("parting")] if c.recipe.parting.kind != "none" else []),
            *([why("brick")] if bricks else []))


def _strip_reasons(c: Context) -> tuple[str, ...]:
    kinds = chair.shown_kinds(c)
    return (*([why("feed")] if any(f.stitch for k in kinds for f in k.feed_ins) else []),
            *([why("own hair ends")] if any(0 < k.own_ends_stitch < k.stitches for k in kinds) else []))


def _with(c: Context, part: Part, reasons: tuple[str, ...], keys: list[str] | tuple[str, ...]) -> Part:
    """The part with its reasons and its figures after it."""
    blocks: list[Block] = [*part.blocks]
    if reasons:
        blocks.append(Para(text="Why: " + " ".join(reasons)))
    found = [c.plan.figures[key] for key in keys if key in c.plan.figures]
    if found:
        rows = tuple((say.sentence(say.clean(f.label, 80)).rstrip("."), amount(f.value, say.clean(f.unit, 24)), _how(c, f)) for f in found)
        blocks.append(Table(caption="Where the numbers come from", rows=rows, wide=True,
                            columns=(Column(heading="Number"), Column(heading="Here", align="right"), Column(heading="How it is worked out"))))
    return part.model_copy(update={"blocks": tuple(blocks)})


def _how(c: Context, figure: Figure) -> str:
    source = f" Source: {say.clean(figure.source, 160)}." if figure.source else ""
    return say.sentence(say.clean(said_formula(figure, c.plan.figures), FORMULA_LIMIT)) + source


def _told(part: Part) -> Part:
    """Each tick's reason after it, in words."""
    return part.model_copy(update={"blocks": tuple(
        b.model_copy(update={"items": tuple(map(_reasoned, b.items)), "run_in": False}) if isinstance(b, Ticks) else b for b in part.blocks)})


def _reasoned(tick: Tick) -> Tick:
    if not tick.why:
        return tick
    return Tick(text=say.sentence(tick.text), note=f"{say.sentence(tick.note)} Why: {tick.why}".strip())
