"""Breaks for the wearer and rest for the braider.

Two rules meet in one clock. The wearer (a child more often) gets the house's
break after every full stretch. The braider's rest follows the work-study
allowances (:data:`..meaning.work_study.AT_THE_HEAD`); a break rests the braider
too, so only what the breaks leave over is added, as short pauses that stretch
the work. The last stretch is followed by no break: its rest comes when the
wearer has gone. Nor is there a break with minutes to go: nobody rests who could
be done (:func:`last_stretch`).
"""

from __future__ import annotations

import math

from ..meaning.model import House, Wearer
from ..meaning.values import Origin
from ..meaning.work_study import AT_THE_HEAD, allowance
from ..plan.model import Figure, Given
from . import rates as table

REST = allowance(AT_THE_HEAD)
"""The braider's rest as a share of the working time: 15 %."""

_RULE = Origin(kind="default", where="our own estimate")
_STUDY = Origin(kind="source", where="ILO, Introduction to Work Study: personal 5 %, fatigue 4 %, standing 2 %, "
                                     "bending 2 %, fine work 2 %")


def break_every(wearer: Wearer, house: House) -> Figure:
    """Longest stretch of work between breaks, s: the shortest of house, wearer and, for a child, ours."""
    inputs: dict[str, Given | str] = {
        "house": Given(value=house.break_every_s.value, unit="s", origin=house.break_every_s.origin)}
    values = [house.break_every_s.value]
    if wearer.sits_s is not None:
        inputs["wearer"] = Given(value=wearer.sits_s.value, unit="s", origin=wearer.sits_s.origin)
        values.append(wearer.sits_s.value)
    if wearer.age_years is not None and wearer.age_years.value < table.CHILD_AGE_YEARS:
        inputs["child"] = Given(value=table.CHILD_BREAK_EVERY_S, unit="s", origin=_RULE)
        values.append(table.CHILD_BREAK_EVERY_S)
    formula = f"min({', '.join(inputs)})" if len(inputs) > 1 else "house"
    return Figure(key="timing.break_every_s", label="work between breaks", value=min(values), unit="s",
                  formula=formula, inputs=inputs, source="house file; our own estimate for children")


def short_pauses(every_s: float, break_s: float, pause: Given) -> Figure:
    """The rest that the breaks leave over, as a share of the work."""
    rest = Given(value=REST, origin=_STUDY)
    source = "ILO, Introduction to Work Study; that breaks count towards it is our own rule"
    if every_s > 0 and break_s > 0:
        return Figure(key="timing.short_pauses", label="short pauses, share of the work",
                      value=max(0.0, REST - break_s / every_s), formula="max(0, rest - pause / every)",
                      inputs={"rest": rest, "pause": pause, "every": "timing.break_every_s"}, source=source)
    return Figure(key="timing.short_pauses", label="short pauses, share of the work", value=REST, formula="rest",
                  inputs={"rest": rest}, source=source)


def rest_ahead() -> Given:
    """The whole allowance, for work without breaks of its own: preparation."""
    return Given(value=REST, origin=_STUDY)


def last_stretch(every_s: float) -> float:
    """Seconds before the end of the work in which no break begins: a sixth of a stretch, 20 min at most."""
    return min(table.LAST_STRETCH_S, every_s * table.LAST_STRETCH_SHARE)


def break_last(every_s: float) -> Figure:
    """:func:`last_stretch` as a figure."""
    return Figure(key="timing.break_last_s", label="no break in the last of the work", value=last_stretch(every_s), unit="s",
                  formula="min(most, every * share)", source="our own estimate", inputs={
                      "most": Given(value=table.LAST_STRETCH_S, unit="s", origin=_RULE),
                      "share": Given(value=table.LAST_STRETCH_SHARE, origin=_RULE), "every": "timing.break_every_s"})


def breaks_within(work_s: float, every_s: float, break_s: float) -> float:
    """Seconds of break taken by the time this much of some longer work is done: one after each full stretch."""
    if every_s <= 0 or break_s <= 0:
        return 0.0
    return max(0, math.ceil(work_s / every_s) - 1) * break_s


def breaks_of(work_s: float, every_s: float, break_s: float) -> float:
    """Seconds of break in the whole of this work; none with less than :func:`last_stretch` to go."""
    return breaks_within(work_s - last_stretch(every_s), every_s, break_s)


def done_by(chair_s: float, every_s: float, break_s: float, most: int | None = None) -> float:
    """Seconds outside breaks by a moment of the chair time: the inverse of adding :func:`breaks_within`.

    ``most`` is how many breaks there are in all, where that is known.
    """
    if every_s <= 0 or break_s <= 0:
        return max(0.0, chair_s)
    rounds, rest = divmod(max(0.0, chair_s), every_s + break_s)
    if most is not None and rounds >= most:
        return max(0.0, chair_s) - most * break_s
    return rounds * every_s + min(rest, every_s)


def worked_in(chair_s: float, every_s: float, break_s: float) -> float:
    """Seconds outside breaks in a whole chair time: the inverse of adding :func:`breaks_of`."""
    if every_s <= 0 or break_s <= 0:
        return max(0.0, chair_s)
    last = last_stretch(every_s)
    breaks = max(0, math.ceil((chair_s - last) / (every_s + break_s)) - 1)
    return max(0.0, min(chair_s - breaks * break_s, (breaks + 1) * every_s + last))
