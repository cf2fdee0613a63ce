"""One strand along its length: stitches, where pieces go in, accents, where own hair ends.

Lengths and widths are drawn to one scale. What a mark is shows by its shape and
where it stands, never by colour: pieces above the strand, accents below it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import sqrt

from ...plan.model import AccentAt, FeedIn, StrandKind
from .. import wording as words
from ..language import mark
from ..speech import Speech, speech
from ..wording import clean
from .ink import TEXT_MM, breadth, circle, held, levels, line, picture, shaded, shape, text, wrap

LEFT, RIGHT = 6.0, 9.0
"""Room before the root and after the end for half a label, mm."""
UNIT = 8.0
"""How far past the end of the strand the word for the axis ends, mm."""
LARGEST_SCALE = 1.0
"""A short strand is drawn true to size, never larger."""
LABEL_LEVELS = 3
MOST_PLACES = 16
"""Pieces laid in whose stitches the legend still lists; our own estimate."""
MARK = 1.1
"""Half the size of a mark, mm."""
ROW = TEXT_MM + 0.6
SHADE_ROW = ROW + 3.4

Place = Callable[[float], float]
"""Finished length from the root in mm -> mm across the drawing."""

TITLES = {"plait": mark("One plait from root to end: {stitches}"), "twist": mark("One two-strand twist from root to end: {stitches}"),
          "row": mark("One scalp row from root to end: {stitches}")}


def strand_strip(
    kind: StrandKind, say: Speech = speech(), width_mm: float = 188.0, prefix: str = ""
) -> str:
    """The strip as a standalone SVG ``width_mm`` wide.

    ``prefix`` is taken for the sake of drawings that need ids; this one has none.
    """
    del prefix
    scale = min(LARGEST_SCALE, (width_mm - LEFT - RIGHT) / max(kind.length_mm, 1.0))

    def x(mm: float) -> float:
        return LEFT + mm * scale

    feeds = [(x(fed.at_mm), str(fed.stitch) if fed.stitch else say("root")) for fed in kind.feed_ins]
    feed_levels = levels(feeds, LABEL_LEVELS)
    accents = [(x(accent.at_mm), str(accent.stitch)) for accent in kind.accents]
    accent_levels = levels(accents, LABEL_LEVELS)
    above = 1 + max((level for level in feed_levels if level is not None), default=-1)
    below = 1 + max((level for level in accent_levels if level is not None), default=-1)
    half = max(kind.width_max_mm * scale / 2.0, 0.6)

    feed_y = above * ROW + 2.0 * MARK + 1.2
    middle = feed_y + 0.5 + half
    accent_y = middle + half + 0.8 + MARK
    after_accents = accent_y + MARK + below * ROW if kind.accents else middle + half + 0.5
    marks = _body(kind, x, scale, middle)
    for (at, label), fed, level in zip(feeds, kind.feed_ins, feed_levels):
        marks += _feed(at, feed_y, fed)
        if level is not None:
            marks.append(text(at, feed_y - 2.0 * MARK - 0.8 - level * ROW, label, "middle"))
    for (at, label), accent, level in zip(accents, kind.accents, accent_levels):
        marks += _accent(at, accent_y, accent)
        if level is not None:
            marks.append(text(at, accent_y + MARK + 0.4 + (level + 0.85) * ROW - 0.6, label, "middle"))
    stitch_y = after_accents + (1.2 if kind.accents else 3.2)
    word = x(kind.length_mm) + UNIT - breadth(say("stitches"), 3.0)
    if any(at + breadth(label) / 2.0 + 0.5 > word for at, label in accents):
        stitch_y += 1.4  # the last accent's number stands above the word for the axis
    marks += _own_end(kind, x, middle - half - 0.6, stitch_y, accent_y)
    marks += _stitch_scale(kind, x, stitch_y, say)
    length_y = stitch_y + 2.0 + ROW
    marks += _length_scale(kind, x, length_y, say)
    legend_y = length_y + 1.6 + ROW + 1.0
    for role, spans in _shades(kind).items():
        marks += _shade_bar(role, spans, x, kind, legend_y)
        legend_y += SHADE_ROW
    legend, height = _legend(kind, legend_y, width_mm, say)
    marks += legend
    title = say(TITLES[kind.technique], stitches=say.many("{n} stitch", "{n} stitches", kind.stitches))
    return picture(width_mm, height, title, strip_text(kind, say), marks)


def _body(kind: StrandKind, x: Place, scale: float, middle: float) -> list[str]:
    """The strand's outline, the way its parts cross at each stitch, and own hair inside it."""
    if not kind.profile:
        return []
    first = kind.profile[0]
    at = [(x(0.0), first.width_mm * scale / 2.0, first.own_share)]
    at += [(x(p.at_mm), p.width_mm * scale / 2.0, p.own_share) for p in kind.profile]

    def outline(halves: list[tuple[float, float]]) -> str:
        upper = "L".join([f"{px:.2f} {middle - half:.2f}" for px, half in halves])
        lower = "L".join([f"{px:.2f} {middle + half:.2f}" for px, half in reversed(halves)])
        return f"M{upper}L{lower}Z"

    marks = [f'<path d="{outline([(px, half) for px, half, _ in at])}" fill="#fff" stroke="#000" stroke-width="0.3"/>']
    if x(kind.pitch_mm) - x(0.0) > 0.9:
        marks.append(_strokes("".join(
            [_crossing(kind.technique, px, end, middle, half) for (px, half, _), (end, _, _) in zip(at, at[1:])]), 0.15))
    if kind.feed_ins:
        inner = [(px, half * sqrt(share)) for px, half, share in at if share > 0.0]
        if len(inner) > 1:
            marks.append(f'<path d="{outline(inner)}" fill="none" stroke="#000" stroke-width="0.2" stroke-dasharray="0.8 0.5"/>')
    return marks


def _strokes(path: str, wide: float) -> str:
    """Many strokes as one element: a strip of 150 stitches stays small and quick."""
    return f'<path d="{path}" fill="none" stroke="#000" stroke-width="{wide:g}"/>'


def _tick(at: float, y: float, long: float) -> str:
    return f"M{at:.2f} {y:.2f}L{at:.2f} {y + long:.2f}"


def _crossing(technique: str, start: float, end: float, middle: float, half: float) -> str:
    if technique == "twist":
        return f"M{start:.2f} {middle + half:.2f}L{end:.2f} {middle - half:.2f}"
    return f"M{start:.2f} {middle - half:.2f}L{start + (end - start) * 0.7:.2f} {middle:.2f}L{start:.2f} {middle + half:.2f}"


def _feed(at: float, y: float, fed: FeedIn) -> list[str]:
    """A triangle pointing at the strand: black for whole pieces, white for part of one."""
    top = y - 2.0 * MARK
    fill = "#000" if fed.part >= 1.0 else "#fff"
    return [shape([(at - MARK, top), (at + MARK, top), (at, y)], fill=fill)]


def _accent(at: float, y: float, accent: AccentAt) -> list[str]:
    """A ring for a curl, a square for an ornament; a stroke on the side it hangs to."""
    if accent.ornament is not None:
        return [shape([(at - MARK, y - MARK), (at + MARK, y - MARK), (at + MARK, y + MARK), (at - MARK, y + MARK)])]
    marks = [circle(at, y, MARK)]
    # Seen from behind with the root on the left of the page, the wearer's left is up.
    if accent.side in ("left", "both"):
        marks.append(line(at, y, at, y - MARK, 0.4))
    if accent.side in ("right", "both"):
        marks.append(line(at, y, at, y + MARK, 0.4))
    return marks


def _own_end(kind: StrandKind, x: Place, top: float, bottom: float, accent_y: float) -> list[str]:
    if not kind.feed_ins or kind.own_ends_stitch >= kind.stitches:
        return []
    at = x(kind.own_ends_stitch * kind.pitch_mm)
    if any(abs(accent.stitch - kind.own_ends_stitch) <= 1 for accent in kind.accents):
        bottom = accent_y - MARK  # the accent's ring and number stand where the line would run
    return [line(at, top, at, bottom, 0.45, "1.2 0.8")]


def _stitch_scale(kind: StrandKind, x: Place, y: float, say: Speech) -> list[str]:
    """A tick a stitch where there is room, and numbers far enough apart to be read."""
    pitch = x(kind.pitch_mm) - x(0.0)
    widest = breadth("000") + 2.0
    every = next((n for n in (1, 2, 5, 10, 20, 50, 100, 200) if n * pitch >= widest), 500)
    numbered = range(0, kind.stitches + 1, every)
    marks = [line(x(0.0), y, x(kind.length_mm), y)]
    marks.append(_strokes("".join([_tick(x(k * kind.pitch_mm), y, 1.4) for k in numbered]), 0.35))
    if pitch > 0.8:
        between = [k for k in range(kind.stitches + 1) if k % every]
        marks.append(_strokes("".join([_tick(x(k * kind.pitch_mm), y, 0.8) for k in between]), 0.15))
    marks += [text(x(k * kind.pitch_mm), y + 1.4 + ROW - 0.8, str(k), "middle") for k in numbered]
    marks.append(text(x(kind.length_mm) + UNIT, y - 0.4, say("stitches"), "end", 3.0))
    return marks


def _length_scale(kind: StrandKind, x: Place, y: float, say: Speech) -> list[str]:
    unit = words.MM_PER_INCH if say.units == "inch" else 10.0
    step = x(unit) - x(0.0)
    every = next((n for n in (1, 2, 5, 10, 20, 50) if n * step >= breadth("00") + 3.0), 100)
    marks = [line(x(0.0), y, x(kind.length_mm), y)]
    for k in range(int(kind.length_mm / unit + 1e-6) + 1):
        at = x(k * unit)
        marks.append(line(at, y, at, y + (1.4 if k % every == 0 else 0.8), 0.25))
        if k % every == 0:
            marks.append(text(at, y + 1.4 + ROW - 0.8, str(k), "middle"))
    unit_y = y + 1.4 + ROW - 0.8
    marks.append(text(x(kind.length_mm) + 8.5, unit_y, say.inch if say.units == "inch" else "cm", "end", 3.0))
    return marks


def _shades(kind: StrandKind) -> dict[str, list[tuple[int, str]]]:
    """For each shaded role, (stitch, colour) wherever its colour changes."""
    placed = [(fed.stitch, fed.role, fed.colour) for fed in kind.feed_ins]
    placed += [(accent.stitch, accent.role or "", accent.colour) for accent in kind.accents]
    found: dict[str, list[tuple[int, str]]] = {}
    for stitch, role, colour in sorted(placed, key=lambda one: one[0]):
        spans = found.setdefault(role, [])
        if colour and (not spans or spans[-1][1] != colour):
            spans.append((stitch, colour))
    return {role: spans for role, spans in found.items() if spans}


def _shade_bar(
    role: str, spans: list[tuple[int, str]], x: Place, kind: StrandKind, y: float
) -> list[str]:
    """A bar along the strand with a tick and a name where pieces of another colour begin."""
    middle = y + 1.2
    marks = [line(x(spans[0][0] * kind.pitch_mm), middle, x(kind.length_mm), middle, 0.35)]
    ends = [stitch for stitch, _ in spans[1:]] + [kind.stitches]
    for (stitch, colour), end in zip(spans, ends):
        at = x(stitch * kind.pitch_mm)
        marks.append(line(at, middle - 1.2, at, middle + 1.2, 0.5))
        room = x(end * kind.pitch_mm) - at - 1.5
        name = shaded(role, colour)
        for said in (name, clean(colour), f"{clean(colour)[:6]}…"):
            if breadth(said) <= room:
                marks.append(text(at + 1.0, middle + ROW + 0.2, said))
                break
    return marks


def _legend(kind: StrandKind, y: float, width: float, say: Speech) -> tuple[list[str], float]:
    """What each mark that was drawn means; the marks stand before the words."""
    items: list[tuple[str, str]] = []
    items += [("whole", said) for said in _laid_in(kind, say, [fed for fed in kind.feed_ins if fed.part >= 1.0])]
    items += [("part", said) for said in _laid_in(kind, say, [fed for fed in kind.feed_ins if fed.part < 1.0])]
    curls = _either(say, (_accent_name(a, say) for a in kind.accents if a.role))
    if curls:
        items.append(("curl", say("{curls}, stroke on its side", curls=curls) if _sided(kind) else curls))
    if any(accent.ornament for accent in kind.accents):
        items.append(("ornament", _either(say, (_accent_name(a, say) for a in kind.accents if a.ornament))))
    if kind.feed_ins and kind.own_ends_stitch < kind.stitches:
        items.append(("own end", say("own hair ends at stitch {stitch}: tuck it in", stitch=kind.own_ends_stitch)))
    if kind.feed_ins:
        items.append(("own", say("own hair's share")))
    marks: list[str] = []
    at, line_y = LEFT, y + ROW - 0.6
    for name, said in items:
        needs = 5.0 + breadth(said) + 4.0
        if at > LEFT and at + needs > width:
            at, line_y = LEFT, line_y + ROW + 0.4
        marks += _sample(name, at + 1.5, line_y - 1.1)
        for i, part in enumerate(wrap(said, width - at - 6.0)):
            if i:
                line_y += ROW + 0.4
            marks.append(text(at + 4.5, line_y, part))
        at += needs
    return marks, line_y + 1.6 if items else y


def _sample(name: str, at: float, y: float) -> list[str]:
    if name in ("whole", "part"):
        fill = "#000" if name == "whole" else "#fff"
        return [shape([(at - MARK, y - MARK), (at + MARK, y - MARK), (at, y + MARK)], fill=fill)]
    if name == "curl":
        return [circle(at, y, MARK)]
    if name == "ornament":
        return [shape([(at - MARK, y - MARK), (at + MARK, y - MARK), (at + MARK, y + MARK), (at - MARK, y + MARK)])]
    if name == "own end":
        return [line(at, y - 1.6, at, y + 1.6, 0.45, "1.2 0.8")]
    return [line(at - 1.8, y, at + 1.8, y, 0.2, "0.8 0.5")]


def _laid_in(kind: StrandKind, say: Speech, feeds: list[FeedIn]) -> list[str]:
    """What the marks above the strand stand for. Where they don't all stand for the same, each says at which stitches,
    as long as that can be read at a glance."""
    at: dict[str, list[int]] = {}
    for fed in feeds:
        at.setdefault(_pieces(fed, say), []).append(fed.stitch)
    if len(at) > 1 and len(kind.feed_ins) <= MOST_PLACES:
        return [say("lay in {pieces} at {places}", pieces=what, places=_at(say, list(dict.fromkeys(places)))) for what, places in at.items()]
    return [say("lay in {pieces}", pieces=_either(say, at))] if at else []


def _either(say: Speech, names: Iterable[str]) -> str:
    """Each once, from root to end."""
    return f" {say.term('list', 'or')} ".join(dict.fromkeys(names))


def _sided(kind: StrandKind) -> bool:
    return any(accent.side != "front" and accent.role for accent in kind.accents)


def _pieces(fed: FeedIn, say: Speech) -> str:
    """``1 × base 3.5 mm``, ``½ × base 3.5 mm, honey``."""
    if fed.part < 1.0:
        count = words.mixed(fed.pieces * fed.part, words.THIRDS_AND_QUARTERS)
    else:
        count = str(fed.pieces)
    return shaded(f"{count} × {fed.role} {held(fed.held_mm, say)}", fed.colour)


def _accent_name(accent: AccentAt, say: Speech) -> str:
    if accent.ornament is not None:
        return f"{accent.count} × {accent.ornament}"
    return shaded(f"{accent.count} × {accent.role} {held(accent.held_mm, say)}", accent.colour)


def strip_text(kind: StrandKind, say: Speech = speech()) -> str:
    """The strip in lines of words: what is laid in and set at which stitch."""
    lines = [
        say("{length} long, {stitches} of {pitch} mm, {width} wide ({widths})", length=say.length(kind.length_mm),
            stitches=say.many("{n} stitch", "{n} stitches", kind.stitches), pitch=say.plain(kind.pitch_mm, 1), width=say.width(kind.width_mm),
            widths=say.widths(kind.width_min_mm, kind.width_max_mm))
    ]
    if kind.profile:
        thinnest = min(kind.profile, key=lambda at: at.width_mm).stitch
        step = say.width(kind.largest_step_mm)
        lines.append(say("thinnest at stitch {stitch}, largest step {step}; this hair reaches {length}", stitch=thinnest, step=step,
                         length=say.length(kind.reach_mm)) if kind.feed_ins else
                     say("thinnest at stitch {stitch}, largest step {step}", stitch=thinnest, step=step))
    by_piece: dict[str, list[int]] = {}
    for fed in kind.feed_ins:
        by_piece.setdefault(_pieces(fed, say), []).append(fed.stitch)
    lines += [say("lay in {pieces} at {places}", pieces=what, places=_at(say, places)) for what, places in by_piece.items()]
    by_accent: dict[str, list[tuple[int, str]]] = {}
    for accent in kind.accents:
        by_accent.setdefault(_accent_name(accent, say), []).append((accent.stitch, accent.side))
    for what, set_at in by_accent.items():
        places = _at(say, [stitch for stitch, _ in set_at])
        lines.append(say(_set_words({side for _, side in set_at}, set_at[0][1]), pieces=what, places=places))
    if kind.feed_ins and kind.own_ends_stitch < kind.stitches:
        at = say.length(kind.own_ends_stitch * kind.pitch_mm)
        lines.append(say("own hair ends at stitch {stitch} ({length}): tuck it in", stitch=kind.own_ends_stitch, length=at))
    return "\n".join(lines)


def _set_words(sides: set[str], first: str) -> str:
    """The sentence for accents that hang to these sides."""
    if len(sides) > 1:
        return mark("set {pieces} at {places}, left side first") if first == "left" else mark("set {pieces} at {places}, right side first")
    return {"front": mark("set {pieces} at {places}"), "both": mark("set {pieces} at {places}, both sides"),
            "left": mark("set {pieces} at {places}, left side"), "right": mark("set {pieces} at {places}, right side")}[first]


def _at(say: Speech, places: list[int]) -> str:
    """``the root``, ``stitch 4``, ``the root, stitches 3, 12 and 21``."""
    root = [say("the root")] if places[0] == 0 else []
    numbers = [str(place) for place in places if place]
    if not numbers:
        return root[0]
    return ", ".join([*root, say.many("stitch {numbers}", "stitches {numbers}", len(numbers), numbers=say.listed(numbers))])
