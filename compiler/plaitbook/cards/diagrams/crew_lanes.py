"""Several braiders at one head as lanes on one time line: who works where, and when she leaves.

Black on white, in millimetres; waits and breaks are hatched, so that nothing rests on colour.
"""

from __future__ import annotations

from html import escape

from ...plan.model import Timing
from ..speech import Speech, speech
from .clock_strip import LETTER_MM, SMALL_MM, TEXT_MM, widest_free

_LANE, _GAP, _TOP = 8.0, 5.0, 2.0
_HOURS = (0.25, 0.5, 1, 2, 3, 4, 6)
_NAME_MM = 26.0


def crew_lanes(timing: Timing, width_mm: float = 188.0, prefix: str = "crew-", say: Speech = speech()) -> str:
    """The lanes as SVG; empty for one braider."""
    if not timing.crew:
        return ""
    span = max(lane.leaves for lane in timing.crew)
    begins = min(lane.joins for lane in timing.crew)
    left, right = _NAME_MM, width_mm - 6.0

    def x(minutes: float) -> float:
        return left + (right - left) * (minutes - begins) / max(span - begins, 1.0)

    out: list[str] = []

    def text(at: float, y: float, words: str, size: float = TEXT_MM, anchor: str = "middle", bold: bool = False) -> None:
        weight = ' font-weight="bold"' if bold else ""
        out.append(f'<text x="{at:.2f}" y="{y:.2f}" font-size="{size}" text-anchor="{anchor}"{weight}>{escape(words)}</text>')

    def box(x1: float, x2: float, y: float, fill: str) -> None:
        out.append(f'<rect x="{x1:.2f}" y="{y:.2f}" width="{max(0.0, x2 - x1):.2f}" height="{_LANE}" fill="{fill}" '
                   'stroke="#000" stroke-width="0.3"/>')

    bottom = _TOP + len(timing.crew) * (_LANE + _GAP)
    for number, lane in enumerate(timing.crew):
        y = _TOP + number * (_LANE + _GAP)
        name = lane.braider if len(lane.braider) * TEXT_MM * LETTER_MM < _NAME_MM - 2 else lane.braider[:11] + "…"
        text(0, y + 3.4, name, TEXT_MM, "start", bold=True)
        text(0, y + 7.0, say.many("{n} braid", "{n} braids", len(lane.sections)), SMALL_MM, "start")
        if not lane.sections:
            continue
        box(x(lane.joins), x(lane.leaves), y, f"url(#{prefix}hatch)")
        for place, stretch in enumerate(lane.stretches):
            box(x(stretch.begins), x(stretch.ends), y, "#fff" if place % 2 else "#e4e4e4")
            free_from, free_to = widest_free(stretch.begins, stretch.ends, timing.breaks)
            numbers = number_ranges(stretch.sections)
            zone = say.term("zone", stretch.zone)
            said = _fitting((f"{zone} {numbers}", zone, numbers), x(free_to) - x(free_from) - 1.0)
            if said:
                text((x(free_from) + x(free_to)) / 2, y + 5.1, said)
        for at, minutes in timing.breaks:
            if lane.joins < at < lane.leaves:
                box(x(at), x(min(at + minutes, lane.leaves)), y, "#fff")
                box(x(at), x(min(at + minutes, lane.leaves)), y, f"url(#{prefix}hatch)")
        leaves = lane.checkpoints[-1].clock if lane.checkpoints and lane.checkpoints[-1].clock else say.duration(lane.leaves)
        said = say("done {time}", time=leaves)
        half = len(said) * SMALL_MM * LETTER_MM / 2
        text(min(x(lane.leaves), width_mm - half), y + _LANE + 3.2, said, SMALL_MM)
    # --- the hours below
    every = next((hours for hours in _HOURS if (span - begins) / 60 / hours <= 8), 12) * 60
    minutes = every * -(-begins // every)
    while minutes <= span:
        out.append(f'<line x1="{x(minutes):.2f}" y1="{bottom:.2f}" x2="{x(minutes):.2f}" y2="{bottom + 1.4:.2f}" '
                   'stroke="#000" stroke-width="0.3"/>')
        text(x(minutes), bottom + 4.6, say.duration(minutes) if minutes else "0", SMALL_MM)
        minutes += every
    out.append(f'<line x1="{left:.2f}" y1="{bottom:.2f}" x2="{right:.2f}" y2="{bottom:.2f}" stroke="#000" stroke-width="0.3"/>')
    text(0, bottom + 4.6, say("from sitting down"), SMALL_MM, "start")
    height = bottom + 6.2
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_mm:g} {height:.2f}" role="img" '
        f'aria-label="{escape(". ".join(crew_text(timing, say)), quote=True)}" font-family="Noto Sans, sans-serif">'
        f'<defs><pattern id="{prefix}hatch" width="1.2" height="1.2" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="0.4" height="1.2" fill="#000"/></pattern></defs>'
        + "".join(out) + "</svg>"
    )


def _fitting(words: tuple[str, ...], room: float) -> str:
    return next((said for said in words if len(said) * TEXT_MM * LETTER_MM < room), "")


def number_ranges(numbers: tuple[int, ...]) -> str:
    """``1–9, 14`` from the numbers of sections."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def crew_text(timing: Timing, say: Speech = speech()) -> tuple[str, ...]:
    """Each braider's own list, one line each, for a terminal or a card's words."""
    lines = []
    for lane in timing.crew:
        parts = [f"{say.term('zone', stretch.zone)} {number_ranges(stretch.sections)}" for stretch in lane.stretches]
        points = [say("{number} by {time}", number=p.sections, time=p.clock or say.duration(p.minutes)) for p in lane.checkpoints]
        lines.append(say("{braider}: {work}", braider=lane.braider, work=say.series(parts) or say("nothing")) + (f" ({', '.join(points)})" if points else ""))
    return tuple(lines)
