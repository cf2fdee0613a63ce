"""A sheet for each braider: her own sections in order, how they are worked, and where she should stand when."""

from __future__ import annotations

from ..passes.checkpoints import clock_at
from ..passes.crew_lanes import opening
from ..plan.model import Checkpoint, CrewLane, CrewStretch
from . import chair
from . import wording as words
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
    return CrewLane(braider=c.say("The braider"), speed=1.0, joins=0.0, leaves=timing.median_minutes, sections=numbers,
                    stretches=tuple(stretches), checkpoints=timing.checkpoints)


def _sheet(c: Context, lane: CrewLane, number: int, of: int) -> Part:
    say, name = c.say, words.name(lane.braider)
    whole = say("{sections} of {whole}.", sections=say.counted("{n} section", "{n} sections", len(lane.sections)), whole=c.plan.sections.count)
    if of > 1:
        whole += " " + say("Begins on the strands at {begins}, done at {ends} on an ordinary day.",
                           begins=_when(c, lane.joins), ends=_when(c, lane.leaves))
    blocks: list[Block] = [
        Para(text=whole, tone="strong"),
        _own_list(c, lane, timed=of > 1), _checkpoints(c, lane.checkpoints, len(lane.sections)),
    ]
    breaks = chair.breaks_line(c, lane.leaves)
    if breaks:
        blocks.append(Para(text=breaks))
    blocks += [map_figure(c, prefix=f"crew-{number + 1}-"), *chair.zone_part(c).blocks]
    blocks += [chair.schedule_table(c, kind).model_copy(update={"plain": False}) for kind in chair.shown_kinds(c)]
    if number == 0:
        blocks += crew_figure(c)
    return Part(key=f"crew-{number + 1}", title=words.capital(name), blocks=tuple(blocks), sheet=number > 0, step=False)


def _when(c: Context, minutes: float) -> str:
    """The clock where the house says when it opens, else the time from sitting down."""
    return clock_at(opening(c.house), minutes) or c.say("{time} from sitting down", time=c.say.duration(minutes))


def _own_list(c: Context, lane: CrewLane, *, timed: bool) -> Table:
    say, rows = c.say, []
    for stretch in lane.stretches:
        row = (chair.zone_name(say, stretch.zone), words.ranges(stretch.sections), str(len(stretch.sections)))
        rows.append((*row, _when(c, stretch.begins), _when(c, stretch.ends)) if timed else row)
    columns = [Column(heading=say("Zone")), Column(heading=say("Sections, in this order")), Column(heading=say("Braids"), align="right")]
    columns += [Column(heading=say("From"), align="right"), Column(heading=say("To"), align="right")] if timed else []
    return Table(caption=say("Own sections"), ticks=True, rows=tuple(rows), columns=tuple(columns), wide=True)


def _checkpoints(c: Context, points: tuple[Checkpoint, ...], own: int) -> Table:
    say, clock = c.say, any(p.clock for p in points)
    rows = tuple((say("{number} of {whole}", number=p.sections, whole=own), say.duration(p.minutes), *([p.clock or "–"] if clock else []),
                  say.term("zone", p.zone)) for p in points)
    columns = [Column(heading=say("Own braids done")), Column(heading=say("By"), align="right"),
               *([Column(heading=say("Clock"), align="right")] if clock else [])]
    return Table(caption=say("Checkpoints"), ticks=True, rows=rows, columns=(*columns, Column(heading=say("Zone"))))

