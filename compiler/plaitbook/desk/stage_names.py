"""What a logged stage is called, which stages of the clock it stands for, and which operations these are made of."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..plan.model import Plan, Timing

CHAIR, PREPARATION, BRAIDING, FINISHING = "chair", "preparation", "braiding", "finishing"
"""Names for several stages together: all in the chair, all ahead, all on the strands, ends and head."""

EVERYDAY = {
    "prep": PREPARATION, "preparing": PREPARATION, "prepping": PREPARATION,
    "braid": BRAIDING, "braids": BRAIDING, "plaiting": BRAIDING, "plaits": BRAIDING, "twisting": BRAIDING,
    "chair time": CHAIR, "in the chair": CHAIR, "all": CHAIR, "total": CHAIR, "whole": CHAIR,
    "finish": FINISHING,
    "consultation": "consult", "consulting": "consult", "talk": "consult",
    "taking down": "take down the old set", "take down": "take down the old set", "takedown": "take down the old set",
    "detangling": "detangle", "washing": "wash", "shampoo": "wash", "washing up": "wash",
    "blow dry": "blow-dry", "drying": "blow-dry", "blow drying": "blow-dry", "blowing out": "blow-dry", "blow out": "blow-dry",
    "parting": "part the sections", "parts": "part the sections", "sectioning": "part the sections",
    "starting": "start the strands", "starts": "start the strands", "roots": "start the strands",
    "stitching": "work the strands", "feeding": "feed in", "feeding in": "feed in",
    "curls": "accents", "beads": "accents", "beading": "accents", "accent": "accents",
    "ends": "finish the ends", "finishing the ends": "finish the ends", "sealing": "finish the ends",
    "dipping": "finish the ends", "finishing the head": "finish the head", "styling": "finish the head",
    "cutting": "cut the hair", "cut": "cut the hair", "stretching": "stretch the ends", "brushing": "brush",
    "dividing": "divide into pieces", "portioning": "divide into pieces", "loading": "load the racks",
    "racks": "load the racks", "racking": "load the racks",
}
"""The same in words that people use. Common practice, no source."""

TOLD = ("parting", "braiding", "washing", "finishing", "prep", "chair")
"""Everyday words named where a stage is not known."""


def settled_name(name: str) -> str:
    """The clock's own name for a stage as somebody wrote it; unchanged where it is not known."""
    plain = " ".join(name.lower().split())
    return EVERYDAY.get(plain) or EVERYDAY.get(plain.replace("-", " ")) or plain


@lru_cache(maxsize=1)
def stage_operations() -> dict[str, tuple[str, ...]]:
    """Stage of the clock -> the operations whose rates make it up."""
    from ..passes.timing import ARRIVAL_STAGES, PREPARATION_STAGES, STRAND_STAGES

    found: dict[str, tuple[str, ...]] = {name: (op,) for name, op in (*PREPARATION_STAGES, ("consult", "consult"), *ARRIVAL_STAGES)}
    found["take down the old set"] = ("take down", "take down stitch")
    found |= {name: tuple(op for motion in motions for op in motion) for name, motions in STRAND_STAGES}
    found["finish the head"] = ("finish head",)
    return found


def groups() -> dict[str, set[str]]:
    """Name for several stages -> these stages, the smallest group first."""
    from ..passes.timing import PREPARATION_STAGES, STRAND_STAGES

    ahead = {stage for stage, _ in PREPARATION_STAGES}
    return {FINISHING: {"finish the ends", "finish the head"}, PREPARATION: ahead,
            BRAIDING: {stage for stage, _ in STRAND_STAGES}, CHAIR: set(stage_operations()) - ahead}


def members(name: str, timing: "Timing") -> tuple[str, ...]:
    """The stages that a logged name stands for; none for a name this service doesn't have."""
    own = [stage for stage in timing.stages if stage.name in stage_operations() and stage.when != "later"]
    if name in (CHAIR, PREPARATION):
        # Preparation is not always done ahead: the house says.
        when = "chair" if name == CHAIR else "ahead"
        return tuple(stage.name for stage in own if stage.when == when)
    mine = groups().get(name, {name})
    return tuple(stage.name for stage in own if stage.name in mine)


def expected_minutes(name: str, timing: "Timing") -> float:
    """Minutes that the clock gives a logged name, short pauses included, breaks not."""
    mine = set(members(name, timing))
    pauses = sum(s.minutes for s in timing.stages if s.name == "short pauses")
    work = sum(s.minutes for s in timing.stages if s.when == "chair" and s.name not in ("breaks", "short pauses"))
    pace = 1 + pauses / work if work else 1.0
    return math.fsum(s.minutes * (pace if s.when == "chair" else 1.0) for s in timing.stages if s.name in mine)


def operations_of(plan: "Plan") -> tuple[tuple[str, float], ...]:
    """(operation, how many) of all that this plan has done to this head, in the chair or ahead."""
    from ..passes.timing import slug

    found = []
    for operation in dict.fromkeys(op for ops in stage_operations().values() for op in ops):
        figure = plan.figures.get(f"timing.count.{slug(operation)}")
        if figure is not None and float(figure.value) > 0:
            found.append((operation, float(figure.value)))
    return tuple(found)
