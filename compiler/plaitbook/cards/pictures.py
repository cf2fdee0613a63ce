"""The card's pictures: each drawing with what it shows, its size on paper and its words."""

from __future__ import annotations

import re
from functools import lru_cache

from ..plan.model import CutLine, Material, RackLine, Sections, StrandKind
from . import wording as words
from .card import Card, Figure, Leanness, Part, Picture
from .context import Context
from .diagrams.clock_strip import clock_strip, clock_text, clock_words
from .diagrams.crew_lanes import crew_lanes, crew_text
from .diagrams.cut_picture import cut_picture, cut_words
from .diagrams.finished_look import View, finished_look, finished_look_text
from .diagrams.rack_picture import rack_picture, rack_words
from .diagrams.section_map import View as MapView
from .diagrams.section_map import section_map, views_in_order
from .diagrams.strand_strip import strand_strip, strip_text
from .language import mark
from .scale import scale_svg
from .speech import Speech, speech
from .told import told_cut

VIEWS: dict[MapView, tuple[str, str]] = {
    "top": (mark("Top"), mark("Top of the head with its sections numbered in braid order")),
    "back": (mark("Back"), mark("Back of the head with its sections numbered in braid order")),
    "left": (mark("Left"), mark("Left of the head with its sections numbered in braid order")),
    "right": (mark("Right"), mark("Right of the head with its sections numbered in braid order")),
}
"""Each view's name, and what it shows."""
ROW_MM, SHEET_MM = 46.0, 92.0
"""Width of one view where all four stand in a row, and where the map has its own sheet."""
COLUMN_MM = 90.0
"""Width of a drawing in one of a sheet's two columns."""
LOOK_MM = 60.0
"""Width of one view of the finished look; our own estimate of the least at which a strand is seen."""
LOOK_LABELS: dict[View, str] = {"front": mark("Front"), "side": mark("Side"), "back": mark("Back")}
OWN_SHEET = 120
"""Sections beyond which the map takes a sheet of its own."""
DRAWN_NAME = 18
"""Letters of a name inside a drawing; our own estimate."""

_BOX = re.compile(r'viewBox="([-\d.eE+ ,]+)"')


def _shape(svg: str) -> float:
    """Height over width, from the drawing's own view box; 1 if it has none."""
    found = _BOX.search(svg)
    if not found:
        return 1.0
    numbers = [float(n) for n in found.group(1).replace(",", " ").split()]
    return numbers[3] / numbers[2] if len(numbers) == 4 and numbers[2] else 1.0


def _picture(svg: str, alt: str, width_mm: float, label: str = "") -> Picture:
    return Picture(svg=svg, alt=alt, width_mm=width_mm, height_mm=width_mm * _shape(svg), label=label)


def map_figure(c: Context, prefix: str = "map-") -> Figure:
    """The head from four sides, every section numbered in the order of the work; ``prefix`` keeps two maps apart."""
    sections = c.plan.sections
    wide = SHEET_MM if sections.count > OWN_SHEET else ROW_MM
    return Figure(caption=c.say("The head from four sides"), plain=True, wide=True, pictures=map_pictures(sections, wide, prefix, c.say),
                  text=_side_words(c.say, sections))


def map_pictures(sections: Sections, wide: float, prefix: str = "map-", say: Speech = speech()) -> tuple[Picture, ...]:
    """The four views in the order of the work, each ``wide`` mm wide."""
    return tuple(
        _picture(
            section_map(sections, view, width_mm=wide, labels=True, prefix=f"{prefix}{view}-", say=say), say(VIEWS[view][1]), wide, say(VIEWS[view][0]),
        )
        for view in views_in_order(sections)
    )


def with_map(card: Card, wide: float) -> Card:
    """The card with its map drawn anew, each view ``wide`` mm wide; the same card where it has none to draw."""
    if card.grid is None:
        return card
    views = map_pictures(card.grid, wide, say=speech(card.lang))
    parts = tuple(part if part.key != "map" else part.model_copy(update={"blocks": tuple(
        b.model_copy(update={"pictures": views}) if isinstance(b, Figure) else b for b in part.blocks)}) for part in card.parts)
    return card.model_copy(update={"parts": parts})


def _side_words(say: Speech, sections: Sections) -> tuple[str, ...]:
    """Which sections lie on which side, a line a zone: what the row table can't say."""
    zones: dict[str, dict[str, list[int]]] = {}
    for section in sections.items:
        zones.setdefault(section.zone, {}).setdefault(section.side, []).append(section.number)
    return tuple(
        say("{zone}: {numbers}", zone=words.capital(say.term("zone", zone)), numbers=say.series(
            f"{say.term('side', side)} {words.ranges(sides[side])}" for side in ("left", "middle", "right") if side in sides))
        for zone, sides in zones.items()
    )


def strip_caption(c: Context, kind: StrandKind) -> str:
    """What one strand is, in a line."""
    say = c.say
    what = {"plait": mark("One braid ({zone}): {length}, {stitches}, {width} wide on average"),
            "twist": mark("One twist ({zone}): {length}, {stitches}, {width} wide on average"),
            "row": mark("One scalp row ({zone}): {length}, {stitches}, {width} wide on average")}[kind.technique]
    return say(what, zone=say.term("zone", kind.zone), length=say.length(kind.length_mm),
               stitches=say.counted("{n} stitch", "{n} stitches", kind.stitches), width=say.width(kind.width_mm))


def strip_figure(c: Context, kind: StrandKind) -> Figure:
    """One strand from root to tip."""
    kind = _clean_kind(kind)
    svg, lines = _strip(kind, c.say, c.sheet_mm)
    alt = {"plait": mark("One braid from root to tip with its feed-ins and accents by stitch"),
           "twist": mark("One twist from root to tip with its feed-ins and accents by stitch"),
           "row": mark("One scalp row from root to tip with its feed-ins and accents by stitch")}[kind.technique]
    return Figure(caption=strip_caption(c, kind), told=True, pictures=(_picture(svg, c.say(alt), c.sheet_mm),), text=lines, wide=True)


@lru_cache(maxsize=32)
def _strip(kind: StrandKind, say: Speech, wide: float) -> tuple[str, tuple[str, ...]]:
    """The drawing and its words; kept, because an edit seldom changes every strand."""
    return strand_strip(kind, say, wide), _lines(strip_text(kind, say))


def drawn(name: str, most: float = DRAWN_NAME) -> str:
    """A name short and clean enough to stand in a drawing; wide letters count for more."""
    name = words.clean(name)
    used = 0.0
    for i, letter in enumerate(name):
        used += words.letter_room(letter)
        if used > most:
            return words.clean(name[:i].rstrip() + "…")
    return name


def _clean_kind(kind: StrandKind) -> StrandKind:
    """The same strand with names short and clean enough to stand in a drawing."""
    names = {f.role for f in kind.feed_ins} | {a.role or a.ornament or "" for a in kind.accents}
    if all(drawn(n) == n for n in names):
        return kind

    def short(name: str | None) -> str | None:
        return None if name is None else drawn(name)

    return kind.model_copy(update={
        "feed_ins": tuple(f.model_copy(update={"role": short(f.role)}) for f in kind.feed_ins),
        "accents": tuple(a.model_copy(update={"role": short(a.role), "ornament": short(a.ornament)}) for a in kind.accents),
    })


def _lines(text: str | tuple[str, ...] | list[str]) -> tuple[str, ...]:
    lines = text.splitlines() if isinstance(text, str) else text
    return tuple(line for line in lines if line.strip())


def true_scale_figure(c: Context) -> Figure:
    """A ruler, the piece sizes as circles, and a bar to check the printer with."""
    say = c.say
    sizes = {round(r.held_mm, 2): f"{drawn(r.role)}, {say.width(r.held_mm)}" for r in c.plan.material.racks}
    common = sorted(c.plan.strand_kinds, key=lambda k: -len(k.sections))
    strands = set(list(dict.fromkeys(round((k.target_mm or k.width_mm) * 2) / 2 for k in common))[:2])
    pieces = [(mm, text) for mm, text in sorted(sizes.items())]
    pieces += [(mm, say("strand, {width}", width=say.width(mm))) for mm in sorted(strands)]
    svg, wide, high = scale_svg(tuple(pieces[:6]), say)
    lines = tuple(say("Circle of {width} across: {what}", width=say.width(mm), what=text) for mm, text in pieces[:6])
    alt = say("A ruler, a bar of 50 mm to check the print, and circles: {circles}", circles=say.series(text for _, text in pieces[:6]))
    return Figure(
        caption=say("True to scale, if the bar is 50 mm long"),
        pictures=(Picture(svg=svg, alt=alt, width_mm=wide, height_mm=high),), text=lines, true_scale=True, told=True,
    )


def cutting_figure(c: Context) -> tuple[Figure, ...]:
    """How each hair is cut and folded."""
    return _cutting(c.plan.material.cuts, c.say) if c.plan.material.cuts else ()


@lru_cache(maxsize=16)
def _cutting(cuts: tuple[CutLine, ...], say: Speech) -> tuple[Figure, ...]:
    short = tuple(line.model_copy(update={"hair": drawn(line.hair, 14), "role": drawn(line.role, 10), "text": words.clean(told_cut(say, line))})
                  for line in cuts)
    material = Material(hair=(), cuts=short, racks=(), added_worn_g=0, own_g=0)
    picture = _picture(cut_picture(material, say, COLUMN_MM), say("One length of each hair with its cuts and folds"), COLUMN_MM)
    return (Figure(caption=say("Where to cut and fold"), pictures=(picture,), text=_lines(cut_words(material, say)), until=1, told=True),)


def rack_figure(c: Context) -> tuple[Figure, ...]:
    """The rack, loaded."""
    return _rack(c.plan.material.racks, c.say) if c.plan.material.racks else ()


@lru_cache(maxsize=16)
def _rack(racks: tuple[RackLine, ...], say: Speech) -> tuple[Figure, ...]:
    short = tuple(line.model_copy(update={"role": drawn(line.role, 10)}) for line in racks)
    material = Material(hair=(), cuts=(), racks=short, added_worn_g=0, own_g=0)
    picture = _picture(rack_picture(material, say, COLUMN_MM), say("The rack with its pieces on their pegs"), COLUMN_MM)
    return (Figure(caption=say("The rack, loaded"), pictures=(picture,), text=_lines(rack_words(material, say)), until=1, told=True),)


def clock_figure(c: Context) -> tuple[Figure, ...]:
    """The day as a line."""
    timing, say = c.plan.timing, c.say
    if not timing.stages:
        return ()
    timing = timing.model_copy(update={"stages": tuple(
        stage.model_copy(update={"name": words.name(stage.name), "note": ""}) for stage in timing.stages)})
    count = c.plan.sections.count
    picture = _picture(clock_strip(timing, count, c.sheet_mm, say=say), clock_words(timing, count, say), c.sheet_mm)
    # The stages stand above, in their order; when braiding begins and when the breaks are stands nowhere else.
    lines = clock_text(timing, count, say, only=("braiding", "break", "breaks")) or clock_text(timing, count, say)
    return (Figure(caption=say("The time in the chair"), pictures=(picture,), text=_lines(lines), wide=True, until=1),)


def look_figure(c: Context, views: tuple[View, ...] = ("front", "side", "back"), until: Leanness = 0) -> Figure:
    """The finished look; one view carries the legend of the colours, the words say them all."""
    say = c.say
    look = finished_look_text(c.plan, c.recipe, say)
    pictures = tuple(
        _picture(finished_look(c.plan, view, width_mm=LOOK_MM, prefix=f"look-{view}-", recipe=c.recipe, say=say, legend=i == 0),
                 say("{view} of the finished look. {words}", view=say(LOOK_LABELS[view]), words=look), LOOK_MM, say(LOOK_LABELS[view]))
        for i, view in enumerate(views)
    )
    return Figure(caption=say("The finished look"), plain=True, wide=True, pictures=pictures, text=(look,), until=until)


def look_part(c: Context, views: tuple[View, ...] = ("front", "side", "back"), until: Leanness = 0) -> Part:
    """The finished look as a part: no step of the work, so it has no number."""
    return Part(key="look", title=c.say("The finished look"), blocks=(look_figure(c, views, until),), step=False)


def crew_figure(c: Context) -> tuple[Figure, ...]:
    """Who works where and when, where more than one works."""
    timing = c.plan.timing
    if not timing.crew:
        return ()
    timing = timing.model_copy(update={"crew": tuple(lane.model_copy(update={"braider": drawn(lane.braider)}) for lane in timing.crew)})
    lines = _lines(crew_text(timing, c.say))
    picture = _picture(crew_lanes(timing, c.sheet_mm, say=c.say), c.say("Each braider's own sections on one time line"), c.sheet_mm)
    return (Figure(caption=c.say("Who works where"), pictures=(picture,), text=lines, wide=True, until=1),)
