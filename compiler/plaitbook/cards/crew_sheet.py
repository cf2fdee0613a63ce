"""A sheet for each braider: her own sections in order, how they are worked, and where she should stand when."""

from __future__ import annotations

from ..passes.checkpoints import clock_at
from ..passes.crew_lanes import opening
from ..plan.model import Checkpoint, CrewLane, CrewStretch
from . import chair
from . import words as say
from .card import Block, Column, Para, Part, Table
from .context import Context
from .pictures import crew_figure, map_figure


def crew_sheets(c: Context) -> tuple[Part, ...]:
    """One part a braider, each on a sheet of its own; for one braider her whole list."""
    lanes = tuple(lane for lane in c.plan.timing.crew if lane.sections) or (_alone(c),)
    return tuple(_sheet(c, lane, number, len(lanes)) for number, lane in enumerate(lanes))


def _alone(c: Context) -> CrewLane:
    """The lane of a braider who does the whole head: the plan's own checkpoints, zone after zone."""
    timing = c.plan.timing
    numbers = tuple(sorted(s.number for s in c.plan.sections.items))
    zone_of = {s.number: s.zone for s in c.plan.sections.items}
    stretches: list[CrewStretch] = []
    for n in numbers:
        if stretches and stretches[-1].zone == zone_of[n]:
            last = stretches.pop()
            stretches.append(last.model_copy(update={"sections": (*last.sections, n)}))
        else:
            stretches.append(CrewStretch(zone=zone_of[n], sections=(n,), begins=0.0, ends=0.0))
    return CrewLane(braider="The braider", speed=1.0, joins=0.0, leaves=timing.median_minutes, sections=numbers,
                    stretches=tuple(stretches), checkpoints=timing.checkpoints)


def _sheet(c: Context, lane: CrewLane, number: int, of: int) -> Part:
    name = say.name(lane.braider)
    joins = f" Begins on the strands at {_when(c, lane.joins)}, done at {_when(c, lane.leaves)} on an ordinary day." if of > 1 else ""
    blocks: list[Block] = [
        Para(text=f"{say.counted(len(lane.sections), 'section')} of {c.plan.sections.count}.{joins}", tone="strong"),
        _own_list(c, lane, timed=of > 1), _checkpoints(c, lane.checkpoints, len(lane.sections)),
    ]
    if c.plan.timing.breaks:
        breaks = [f"{_when(c, at)} for {say.duration(long)}" for at, long in c.plan.timing.breaks if at < lane.leaves]
        if breaks:
            blocks.append(Para(text=f"Breaks: {say.listed(breaks)}."))
    blocks += [map_figure(c, prefix=f"crew-{number + 1}-"), *chair.zone_part(c).blocks]
    blocks += [chair.schedule_table(c, kind).model_copy(update={"plain": False}) for kind in chair.shown_kinds(c)]
    if number == 0:
        blocks += crew_figure(c)
    return Part(key=f"crew-{number + 1}", title=name[:1].upper() + name[1:], blocks=tuple(blocks), sheet=number > 0, step=False)


def _when(c: Context, minutes: float) -> str:
    """The clock where the house says when it opens, else the time from sitting down."""
    return clock_at(opening(c.house), minutes) or f"{say.duration(minutes)} from sitting down"


def _own_list(c: Context, lane: CrewLane, *, timed: bool) -> Table:
    rows = []
    for stretch in lane.stretches:
        row = (stretch.zone.capitalize(), say.ranges(stretch.sections), str(len(stretch.sections)))
        rows.append((*row, _when(c, stretch.begins), _when(c, stretch.ends)) if timed else row)
    columns = [Column(heading="Zone"), Column(heading="Sections, in this order"), Column(heading="Braids", align="right")]
    columns += [Column(heading="From", align="right"), Column(heading="To", align="right")] if timed else []
    return Table(caption="Own sections", ticks=True, rows=tuple(rows), columns=tuple(columns), wide=True)


def _checkpoints(c: Context, points: tuple[Checkpoint, ...], own: int) -> Table:
    clock = any(p.clock for p in points)
    rows = tuple((f"{p.sections} of {own}", say.duration(p.minutes), *([p.clock or "–"] if clock else []), p.zone) for p in points)
    columns = [Column(heading="Own braids done"), Column(heading="By", align="right"), *([Column(heading="Clock", align="right")] if clock else [])]
    return Table(caption="Checkpoints", ticks=True, rows=rows, columns=(*columns, Column(heading="Zone")))

