"""The card's pictures: each drawing with what it shows, its size on paper and its words."""

from __future__ import annotations

import re
from functools import lru_cache

from ..plan.model import CutLine, Material, RackLine, Sections, StrandKind
from . import words as say
from .card import Card, Figure, Leanness, Part, Picture
from .context import Context
from .diagrams.clock_strip import clock_strip, clock_text, clock_words
from .diagrams.crew_lanes import crew_lanes, crew_text
from .diagrams.cut_picture import cut_picture, cut_words
from .diagrams.finished_look import View, finished_look, finished_look_text
from .diagrams.rack_picture import rack_picture, rack_words
from .diagrams.section_map import section_map, views_in_order
from .diagrams.strand_strip import strand_strip, strip_text
from .scale import scale_svg

ROW_MM, SHEET_MM = 46.0, 92.0
"""Width of one view where all four stand in a row, and where the map has its own sheet."""
COLUMN_MM = 90.0
"""Width of a drawing in one of a sheet's two columns."""
LOOK_MM = 60.0
"""Width of one view of the finished look; our own estimate of the least at which a strand is seen."""
LOOK_LABELS: dict[View, str] = {"front": "Front", "side": "Side", "back": "Back"}
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
    return Figure(caption="The head from four sides", plain=True, wide=True, pictures=map_pictures(sections, wide, prefix),
                  text=_side_words(sections))


def map_pictures(sections: Sections, wide: float, prefix: str = "map-") -> tuple[Picture, ...]:
    """The four views in the order of the work, each ``wide`` mm wide."""
    return tuple(
        _picture(
            section_map(sections, view, width_mm=wide, labels=True, prefix=f"{prefix}{view}-"),
            f"{view.capitalize()} of the head with its sections numbered in braid order", wide, view.capitalize(),
        )
        for view in views_in_order(sections)
    )


def with_map(card: Card, wide: float) -> Card:
    """The card with its map drawn anew, each view ``wide`` mm wide; the same card where it has none to draw."""
    if card.grid is None:
        return card
    views = map_pictures(card.grid, wide)
    parts = tuple(part if part.key != "map" else part.model_copy(update={"blocks": tuple(
        b.model_copy(update={"pictures": views}) if isinstance(b, Figure) else b for b in part.blocks)}) for part in card.parts)
    return card.model_copy(update={"parts": parts})


def _side_words(sections: Sections) -> tuple[str, ...]:
    """Which sections lie on which side, a line a zone: what the row table can't say."""
    zones: dict[str, dict[str, list[int]]] = {}
    for section in sections.items:
        zones.setdefault(section.zone, {}).setdefault(section.side, []).append(section.number)
    return tuple(
        f"{zone.capitalize()}: " + "; ".join(f"{side} {say.ranges(sides[side])}" for side in ("left", "middle", "right") if side in sides)
        for zone, sides in zones.items()
    )


def strip_caption(c: Context, kind: StrandKind) -> str:
    """What one strand is, in a line."""
    what = {"plait": "braid", "twist": "twist", "row": "scalp row"}[kind.technique]
    return (f"One {what} ({kind.zone}): {say.length(kind.length_mm, c.units)}, "
            f"{say.counted(kind.stitches, 'stitch', 'stitches')}, {say.width(kind.width_mm)} wide on average")


def strip_figure(c: Context, kind: StrandKind) -> Figure:
    """One strand from root to tip."""
    kind = _clean_kind(kind)
    svg, words = _strip(kind, c.units, c.sheet_mm)
    what = {"plait": "braid", "twist": "twist", "row": "scalp row"}[kind.technique]
    return Figure(
        caption=strip_caption(c, kind), told=True,
        pictures=(_picture(svg, f"One {what} from root to tip with its feed-ins and accents by stitch", c.sheet_mm),),
        text=words, wide=True,
    )


@lru_cache(maxsize=32)
def _strip(kind: StrandKind, units: say.Units, wide: float) -> tuple[str, tuple[str, ...]]:
    """The drawing and its words; kept, because an edit seldom changes every strand."""
    return strand_strip(kind, units, wide), _lines(strip_text(kind, units))


def drawn(name: str, most: float = DRAWN_NAME) -> str:
    """A name short and clean enough to stand in a drawing; wide letters count for more."""
    name = say.clean(name)
    used = 0.0
    for i, letter in enumerate(name):
        used += say.letter_room(letter)
        if used > most:
            return name[:i].rstrip() + "…"
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
    return tuple(say.clean(line, 400) for line in lines if line.strip())


def true_scale_figure(c: Context) -> Figure:
    """A ruler, the piece sizes as circles, and a bar to check the printer with."""
    sizes = {round(r.held_mm, 2): f"{drawn(r.role)}, {say.width(r.held_mm)}" for r in c.plan.material.racks}
    common = sorted(c.plan.strand_kinds, key=lambda k: -len(k.sections))
    strands = set(list(dict.fromkeys(round((k.target_mm or k.width_mm) * 2) / 2 for k in common))[:2])
    pieces = [(mm, text) for mm, text in sorted(sizes.items())] + [(mm, f"strand, {say.width(mm)}") for mm in sorted(strands)]
    svg, wide, high = scale_svg(tuple(pieces[:6]), c.units)
    words = tuple(f"Circle of {say.width(mm)} across: {text}" for mm, text in pieces[:6])
    alt = "A ruler, a bar of 50 mm to check the print, and circles: " + "; ".join(text for _, text in pieces[:6])
    return Figure(
        caption="True to scale, if the bar is 50 mm long",
        pictures=(Picture(svg=svg, alt=alt, width_mm=wide, height_mm=high),), text=words, true_scale=True, told=True,
    )


def cutting_figure(c: Context) -> tuple[Figure, ...]:
    """How each hair is cut and folded."""
    return _cutting(c.plan.material.cuts, c.units) if c.plan.material.cuts else ()


@lru_cache(maxsize=16)
def _cutting(cuts: tuple[CutLine, ...], units: say.Units) -> tuple[Figure, ...]:
    short = tuple(line.model_copy(update={"hair": drawn(line.hair, 14), "role": drawn(line.role, 10), "text": say.clean(line.text)})
                  for line in cuts)
    material = Material(hair=(), cuts=short, racks=(), added_worn_g=0, own_g=0)
    picture = _picture(cut_picture(material, units, COLUMN_MM), "One length of each hair with its cuts and folds", COLUMN_MM)
    return (Figure(caption="Where to cut and fold", pictures=(picture,), text=_lines(cut_words(material)), until=1, told=True),)


def rack_figure(c: Context) -> tuple[Figure, ...]:
    """The rack, loaded."""
    return _rack(c.plan.material.racks) if c.plan.material.racks else ()


@lru_cache(maxsize=16)
def _rack(racks: tuple[RackLine, ...]) -> tuple[Figure, ...]:
    short = tuple(line.model_copy(update={"role": drawn(line.role, 10)}) for line in racks)
    material = Material(hair=(), cuts=(), racks=short, added_worn_g=0, own_g=0)
    picture = _picture(rack_picture(material, COLUMN_MM), "The rack with its pieces on their pegs", COLUMN_MM)
    return (Figure(caption="The rack, loaded", pictures=(picture,), text=_lines(rack_words(material)), until=1, told=True),)


def clock_figure(c: Context) -> tuple[Figure, ...]:
    """The day as a line."""
    timing = c.plan.timing
    if not timing.stages:
        return ()
    timing = timing.model_copy(update={"stages": tuple(
        stage.model_copy(update={"name": say.name(stage.name), "note": ""}) for stage in timing.stages)})
    count = c.plan.sections.count
    picture = _picture(clock_strip(timing, count, c.sheet_mm), clock_words(timing, count), c.sheet_mm)
    # The stages stand above, in their order; when braiding begins and when the breaks are stands nowhere else.
    words = tuple(line for line in clock_text(timing, count) if line.startswith(("braiding", "break")))
    words = words or clock_text(timing, count)
    return (Figure(caption="The time in the chair", pictures=(picture,), text=_lines(words), wide=True, until=1),)


def look_figure(c: Context, views: tuple[View, ...] = ("front", "side", "back"), until: Leanness = 0) -> Figure:
    """The finished look; one view carries the legend of the colours, the words say them all."""
    words = finished_look_text(c.plan, c.recipe, c.units)
    pictures = tuple(
        _picture(finished_look(c.plan, view, width_mm=LOOK_MM, prefix=f"look-{view}-", recipe=c.recipe, units=c.units, legend=i == 0),
                 f"{LOOK_LABELS[view]} of the finished look. {words}", LOOK_MM, LOOK_LABELS[view])
        for i, view in enumerate(views)
    )
    return Figure(caption="The finished look", plain=True, wide=True, pictures=pictures, text=(words,), until=until)


def look_part(c: Context, views: tuple[View, ...] = ("front", "side", "back"), until: Leanness = 0) -> Part:
    """The finished look as a part: no step of the work, so it has no number."""
    return Part(key="look", title="The finished look", blocks=(look_figure(c, views, until),), step=False)


def crew_figure(c: Context) -> tuple[Figure, ...]:
    """Who works where and when, where more than one works."""
    timing = c.plan.timing
    if not timing.crew:
        return ()
    timing = timing.model_copy(update={"crew": tuple(lane.model_copy(update={"braider": drawn(lane.braider)}) for lane in timing.crew)})
    words = _lines(crew_text(timing))
    picture = _picture(crew_lanes(timing, c.sheet_mm), "Each braider's own sections on one time line", c.sheet_mm)
    return (Figure(caption="Who works where", pictures=(picture,), text=words, wide=True, until=1),)
