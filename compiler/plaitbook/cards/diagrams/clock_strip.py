"""The chair time as one line: stages, breaks, and how many braids should be done by when.

Black on white, in millimetres. Breaks are hatched, so that nothing rests on colour.
"""

from __future__ import annotations

from html import escape
from string import ascii_lowercase

from ...plan.model import Timing
from ..speech import Speech, speech

BRAIDING = ("part the sections", "start the strands", "work the strands", "feed in", "accents", "finish the ends")
"""Stages that alternate strand by strand, drawn as one block."""

NOT_WORK = ("breaks", "short pauses")

TEXT_MM = 3.2
SMALL_MM = 2.8
LETTER_MM = 0.56
"""Mean width of a letter over the size of the type (from memory, sans serif)."""

_BAR_TOP, _BAR = 17.0, 8.0
_HOURS = (1, 2, 3, 4, 6)


def _blocks(timing: Timing) -> list[tuple[str, float]]:
    """(name, minutes between breaks) of what follows what in the chair; short pauses lie within the work."""
    chair = [stage for stage in timing.stages if stage.when == "chair" and stage.name not in NOT_WORK]
    work = sum(stage.minutes for stage in chair)
    pauses = sum(stage.minutes for stage in timing.stages if stage.name == "short pauses")
    pace = 1 + pauses / work if work else 1.0
    blocks: list[tuple[str, float]] = []
    for stage in chair:
        minutes = stage.minutes * pace
        name = "braiding" if stage.name in BRAIDING else stage.name
        if blocks and blocks[-1][0] == name:
            blocks[-1] = (name, blocks[-1][1] + minutes)
        else:
            blocks.append((name, minutes))
    return blocks


def _with_breaks(blocks: list[tuple[str, float]], breaks: tuple[tuple[float, float], ...]) -> list[tuple[str, float, float]]:
    """(name, begins, ends) in minutes of chair time: a break stretches the block it falls in."""
    placed, now, rest = [], 0.0, list(breaks)
    for name, minutes in blocks:
        begins = now
        now += minutes
        while rest and rest[0][0] < now - 1e-9:
            now += rest.pop(0)[1]
        placed.append((name, begins, now))
    return placed


def clock_strip(timing: Timing, sections: int, width_mm: float = 188.0, prefix: str = "clock-", say: Speech = speech()) -> str:
    """The strip as SVG; ``sections`` is the whole count that checkpoints are part of."""
    left, right = 3.0, width_mm - 9.0
    span = max(timing.p80_minutes, timing.median_minutes, 1.0)

    def x(minutes: float) -> float:
        return left + (right - left) * minutes / span

    out: list[str] = []

    def text(at: float, y: float, words: str, size: float = TEXT_MM, anchor: str = "middle", bold: bool = False) -> None:
        # No label may stick out of the drawing.
        half = len(words) * size * LETTER_MM
        if anchor == "middle":
            at = min(max(at, half / 2), width_mm - half / 2)
        elif anchor == "end":
            at = max(at, half)
        weight = ' font-weight="bold"' if bold else ""
        out.append(f'<text x="{at:.2f}" y="{y:.2f}" font-size="{size}" text-anchor="{anchor}"{weight}>{escape(words)}</text>')

    def line(x1: float, y1: float, x2: float, y2: float, wide: float = 0.3, dash: str = "") -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        out.append(f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="#000" stroke-width="{wide}"{dashed}/>')

    # --- the bar: named inside where the name fits, numbered and listed below where it doesn't
    listed: list[str] = []
    for name, begins, ends in _with_breaks(_blocks(timing), timing.breaks):
        fill = "#e4e4e4" if name == "braiding" else "#fff"
        out.append(f'<rect x="{x(begins):.2f}" y="{_BAR_TOP}" width="{x(ends) - x(begins):.2f}" height="{_BAR}" '
                   f'fill="{fill}" stroke="#000" stroke-width="0.3"/>')
        called = say.term("stage", name)
        said = f"{called} {say.duration(ends - begins)}" if name == "braiding" else called
        free_from, free_to = widest_free(begins, ends, timing.breaks)
        room = x(free_to) - x(free_from)
        if len(said) * TEXT_MM * LETTER_MM >= room - 1:
            said = called
        if len(said) * TEXT_MM * LETTER_MM < room - 1:
            text((x(free_from) + x(free_to)) / 2, _BAR_TOP + 5.1, said, bold=name == "braiding")
        elif room > 3:
            listed.append(called)
            text((x(free_from) + x(free_to)) / 2, _BAR_TOP + 5.1, ascii_lowercase[len(listed) - 1])
        else:
            listed.append(called)
            text((x(begins) + x(ends)) / 2, _BAR_TOP - 0.8, ascii_lowercase[len(listed) - 1], SMALL_MM)
    for begins, minutes in timing.breaks:
        out.append(f'<rect x="{x(begins):.2f}" y="{_BAR_TOP}" width="{x(begins + minutes) - x(begins):.2f}" '
                   f'height="{_BAR}" fill="#fff" stroke="#000" stroke-width="0.3"/>')
        out.append(f'<rect x="{x(begins):.2f}" y="{_BAR_TOP}" width="{x(begins + minutes) - x(begins):.2f}" '
                   f'height="{_BAR}" fill="url(#{prefix}hatch)" stroke="#000" stroke-width="0.3"/>')

    # --- checkpoints above: how many done, and by when. Two heights where they crowd.
    taken = [-1e9, -1e9]
    for point in timing.checkpoints:
        at = x(point.minutes)
        done, when = f"{point.sections}", point.clock or say.duration(point.minutes)
        half = max(len(done) * TEXT_MM, len(when) * SMALL_MM) * LETTER_MM / 2 + 0.8
        row = 0 if at - half >= taken[0] else 1
        if at - half < taken[row]:
            continue  # the table below the strip still holds it
        taken[row] = at + half
        top = 8.6 if row == 0 else 1.4
        line(at, top + 5.4 if row == 0 else top + 6.0, at, _BAR_TOP, 0.5)
        text(at, top + 1.6, done, TEXT_MM, bold=True)
        text(at, top + 4.6, when, SMALL_MM)

    # --- the hours below, and the slow day's end
    low = _BAR_TOP + _BAR
    every = next((hours for hours in _HOURS if span / 60 / hours <= 9), 12) * 60
    slow_words = say("slow day {time}", time=say.duration(timing.p80_minutes))
    slow_from = width_mm - len(slow_words) * SMALL_MM * LETTER_MM - 2
    minutes = 0.0
    while minutes <= span:
        line(x(minutes), low, x(minutes), low + 1.4)
        if x(minutes) + 3 < slow_from:
            text(x(minutes), low + 4.6, f"{minutes / 60:.0f} h" if minutes else "0", SMALL_MM)
        minutes += every
    line(x(timing.median_minutes), low + 0.7, x(timing.p80_minutes), low + 0.7, 0.5, "1 0.8")
    line(x(timing.p80_minutes), _BAR_TOP + 2, x(timing.p80_minutes), low + 1.4, 0.5)
    text(width_mm, low + 4.6, slow_words, SMALL_MM, "end")
    height = low + 6.2

    # --- the legend
    words = [f"{letter}: {name}" for letter, name in zip(ascii_lowercase, listed)]
    if timing.breaks:
        words.append(say("hatched: break of {time}", time=say.duration(timing.breaks[0][1])))
    if timing.checkpoints:
        words.append(say("bold: braids done, of {whole}", whole=sections))
    if words:
        for row in _rows(words, width_mm):
            text(0, height + 2.4, row, SMALL_MM, "start")
            height += 4.0
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_mm:g} {height:.2f}" role="img" '
        f'aria-label="{escape(clock_words(timing, sections, say), quote=True)}" font-family="Noto Sans, sans-serif">'
        f'<defs><pattern id="{prefix}hatch" width="1.2" height="1.2" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="0.4" height="1.2" fill="#000"/></pattern></defs>'
        + "".join(out) + "</svg>"
    )


def widest_free(begins: float, ends: float, breaks: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """The longest stretch of a block that no break covers, in minutes."""
    stretches, start = [], begins
    for at, minutes in breaks:
        if begins <= at < ends:
            stretches.append((start, at))
            start = at + minutes
    stretches.append((start, ends))
    return max(stretches, key=lambda stretch: stretch[1] - stretch[0])


def _rows(words: list[str], width_mm: float) -> list[str]:
    """The legend's words in lines that fit."""
    rows: list[str] = []
    for word in words:
        if rows and (len(rows[-1]) + len(word) + 3) * SMALL_MM * LETTER_MM < width_mm:
            rows[-1] += " · " + word
        else:
            rows.append(word)
    return rows


def clock_words(timing: Timing, sections: int, say: Speech = speech()) -> str:
    """What the strip shows, in a sentence."""
    points = say.series(say("{number} of {whole} by {time}", number=p.sections, whole=sections, time=p.clock or say.duration(p.minutes))
                       for p in timing.checkpoints)
    whole = say("Chair time {time}", time=say.duration(timing.median_minutes))
    if timing.breaks:
        whole += ", " + say.many("{n} break", "{n} breaks", len(timing.breaks))
    return say("{what}: {points}", what=whole, points=points) if points else whole


def clock_text(timing: Timing, sections: int, say: Speech = speech(), only: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The strip as lines for a terminal; ``only`` the blocks of these names, where any are given."""
    lines = []
    for name, begins, ends in _with_breaks(_blocks(timing), timing.breaks):
        if only and name not in only:
            continue
        called, long = say.term("stage", name), say.duration(ends - begins)
        lines.append(say("{stage}: from {time}, {long}", stage=called, time=say.duration(begins), long=long) if begins else
                     say("{stage}: from the start, {long}", stage=called, long=long))
    lines += [say("break: at {time}, {long}", time=say.duration(begins), long=say.duration(minutes)) for begins, minutes in timing.breaks]
    return tuple(lines)
