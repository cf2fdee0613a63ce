"""The middle of the card: the map, one strand, the zones, the finish and the clock."""

from __future__ import annotations

from collections import Counter
from math import ceil

from ..meaning.model import ZONES, EndStep
from ..plan.model import AccentAt, FeedIn, RowGuide, StrandKind
from . import words as say
from .card import Block, Column, Para, Part, Table, Tick
from .context import Context, lifted, tick_lists
from .pictures import clock_figure, crew_figure, map_figure, strip_caption, strip_figure
from .reasons import why

UNMET_SHOWN = 3
WISH_NOT_MET = "M03"
"""The rule that says what a recipe asked of its strands and can't be had."""

TECHNIQUE_WORDS = {"plait": "plait", "twist": "two-strand twist", "row": "scalp row"}
ZONE_SUFFIX = {"Work": "", "Length": " long", "Stitches": " stitches", "Width": " wide", "Pieces each": " in each strand"}
"""What a column of the zone table says when it stands in a sentence instead."""
ORDER_WORDS = {"nape up": "nape upwards", "front back": "front to back",
               "left to right": "wearer's left to right", "right to left": "wearer's right to left"}


SET_SIDES = ("left to right", "right to left")
"""Orders that name the side they begin on, whichever hand works."""
LEFT_HAND = " Numbered for a left-handed braider: each row from the wearer's right."


def section_part(c: Context) -> Part:
    """Where every section lies, and how the comb is set for each row."""
    parting = c.recipe.parting
    words = {"none": "No parting.", "centre": "Parting in the centre."}.get(parting.kind, f"Parting {parting.kind}")
    if parting.kind in ("side", "off-centre"):
        where = f" on the wearer's {parting.side}" if parting.side else ""
        offset = f", {say.length(parting.offset_mm.value, c.units)} from the middle" if parting.offset_mm else ""
        words = f"{words}{where}{offset}."
    if parting.zigzag:
        words += " Zigzag."
    table, everywhere = _row_table(c)
    hand = LEFT_HAND if c.house.hand == "left" and c.recipe.order not in SET_SIDES else ""
    intro = (f"{c.plan.sections.count} sections, numbered in braid order, {ORDER_WORDS[c.recipe.order]}. {words} "
             f"Left and right: the wearer's own.{hand}") + (f" {everywhere}" if everywhere else "")
    return Part(key="map", title="Section map", blocks=(Para(text=intro), map_figure(c), table))


def _row_table(c: Context) -> tuple[Table, str]:
    """Where the comb goes, a zone a line: how far each row lies from the hairline and which sections it holds; and
    what goes for all of them."""
    guides: dict[str, list[RowGuide]] = {}
    for row in c.plan.sections.rows:
        guides.setdefault(row.zone, []).append(row)
    rows = []
    zones = c.plan.sections.zones
    through = dict.fromkeys(say.clean(g.note) for g in c.plan.sections.rows if g.note)
    once = len(through) == 1
    left_out = [zone.zone for zone in zones if zone.left_out]
    passed = [zone.zone for zone in zones if not zone.left_out and zone.zone not in guides]
    for zone in zones:
        if zone.zone not in guides:
            continue
        found = guides[zone.zone]
        lines = _comb_lines(c, found)
        bricks = [g.row for g in found if g.offset == "half"]
        offset = f"row{'s' if len(bricks) > 1 else ''} {say.ranges(bricks)}: half a section" if bricks else ""
        notes = dict.fromkeys(say.clean(g.note) for g in found if g.note and not once)
        shift = "; ".join(said for said in (offset, *notes) if said) or "–"
        rows.append((zone.zone.capitalize(), str(zone.sections), lines,
                     say.by(zone.mean_height_mm, zone.mean_width_mm, c.units), shift))
    said, table = lifted(Table(
        caption="Set the comb", rows=tuple(rows), plain=True, wide=True, ticks=True,
        columns=(Column(heading="Zone"), Column(heading="Sections", align="right"),
                 Column(heading="From the hairline: section numbers"), Column(heading="High × wide"), Column(heading="Shift")),
    ), keep=3)
    alike = [f"every section {v} high × wide" if h == "High × wide" else v for h, v in said.items() if v != "–"]
    if once:
        alike.append(("rows " if any(not g.note for g in c.plan.sections.rows) else "") + next(iter(through)))
    if passed:
        own = [zone.zone for zone in zones if any(g.note for g in guides.get(zone.zone, ()))]
        alike.append(f"{say.listed(passed)} worked with the rows of {say.listed(own or list(guides))}")
    if left_out:
        alike.append(f"left out: {say.listed(left_out)}")
    return table, say.sentence("; ".join(alike))


def _comb_lines(c: Context, found: list[RowGuide]) -> str:
    """How far from the hairline each row of a zone lies; scalp rows lie side by side instead."""
    across = [g for g in found if g.note]
    rows = [g for g in found if not g.note]
    said = [f"{at}: {say.ranges(g.sections)}" for at, g in zip(say.alike((g.from_hairline_mm for g in rows), c.units), rows)]
    if across:
        numbers = [n for g in across for n in g.sections]
        apart = say.between(min(g.width_mm or g.height_mm for g in across), max(g.width_mm or g.height_mm for g in across), c.units)
        said.append(f"row {numbers[0]}, {apart} wide" if len(numbers) == 1 else f"rows {say.ranges(numbers)} side by side, {apart} apart")
    return "; ".join(said)


def shown_kinds(c: Context) -> tuple[StrandKind, ...]:
    """The strands worth a picture: for each technique the one most sections are worked in."""
    best: dict[str, StrandKind] = {}
    for kind in c.plan.strand_kinds:
        if kind.technique not in best or len(kind.sections) > len(best[kind.technique].sections):
            best[kind.technique] = kind
    return tuple(sorted(best.values(), key=lambda k: -len(k.sections)))


def strip_part(c: Context) -> Part:
    """One strand from root to tip, with what is laid in at each stitch."""
    blocks: list[Block] = []
    kinds = shown_kinds(c)
    for kind in kinds:
        blocks.append(strip_figure(c, kind))
        blocks.append(schedule_table(c, kind))
        if kind.profile and kind.feed_ins:
            thin = min(kind.profile, key=lambda at: at.width_mm)
            blocks.append(Para(text=f"Thinnest at stitch {thin.stitch}; this hair reaches {say.length(kind.reach_mm, c.units)}.",
                               tone="small", until=2))
    blocks += [Para(text=text, tone="strong") for text in _unmet(c)]
    title = "One braid" if len(kinds) == 1 else "One of each braid"
    return Part(key="strip", title=title, blocks=tuple(blocks))


def _unmet(c: Context) -> list[str]:
    """What was asked of the strands and can't be had, unless a finding says it already."""
    asked = list(dict.fromkeys((k.zone, u) for k in c.plan.strand_kinds for u in k.unmet))
    if any(f.code == WISH_NOT_MET for f in c.plan.findings):
        return []
    said = [f"{zone.capitalize()}: {say.sentence(say.clean(u, 300))}" for zone, u in asked[:UNMET_SHOWN]]
    if len(asked) > UNMET_SHOWN:
        said.append(f"Much the same for {len(asked) - UNMET_SHOWN} more kinds of strand.")
    return said


def schedule_table(c: Context, kind: StrandKind) -> Table:
    """What is laid in, at which stitches and how far from the root; equal pieces share a line."""
    lines: list[tuple[int, str, list[tuple[int, float]]]] = []
    feeds: dict[str, list[tuple[int, float]]] = {}
    for feed in _together(kind.feed_ins):
        words = _laid(c, feed)
        if feed.stitch == 0:
            lines.append((-1, words, [(0, 0.0)]))
        else:
            feeds.setdefault(words, []).append((feed.stitch, feed.at_mm))
    lines += [(at[0][0], words, at) for words, at in feeds.items()]
    accents: dict[tuple[str, str | None, int, float], list[AccentAt]] = {}
    for accent in kind.accents:
        accents.setdefault((accent.ornament or accent.role or "", accent.colour, accent.count, accent.held_mm), []).append(accent)
    for (name, colour, count, held), found in accents.items():
        size = f", {say.pencils(held, c.house.pencil_mm.value)}" if held else ""
        shade = f" in {say.name(colour)}" if colour else ""
        lines.append((found[0].stitch, f"{count} × {say.name(name)}{shade}{size}{_sides(found)}", [(a.stitch, a.at_mm) for a in found]))
    if 0 < kind.own_ends_stitch < kind.stitches:
        lines.append((kind.own_ends_stitch, "Own hair ends about here: tuck it in",
                      [(kind.own_ends_stitch, kind.own_ends_stitch * kind.pitch_mm)]))
    lines.sort(key=lambda line: line[0])
    return Table(
        caption=strip_caption(c, kind), plain=True, wide=True, until=2,
        rows=tuple((", ".join(str(s) for s, _ in at if s) or "Start", say.lengths([mm for _, mm in at], c.units), words)
                   for _, words, at in lines),
        columns=(Column(heading="At stitch"), Column(heading="From the root"), Column(heading="Lay in")),
    )


def _together(feeds: tuple[FeedIn, ...]) -> list[FeedIn]:
    """Equal pieces at one stitch as one line."""
    found: dict[tuple[object, ...], FeedIn] = {}
    for feed in feeds:
        key = (feed.stitch, feed.role, feed.held_mm, feed.part, feed.colour)
        same = found.get(key)
        found[key] = feed if same is None else same.model_copy(update={"pieces": same.pieces + feed.pieces})
    return list(found.values())


def _sides(accents: list[AccentAt]) -> str:
    sides = {a.side for a in accents}
    return ", alternate sides" if sides == {"left", "right"} else f", {accents[0].side}" if len(sides) == 1 else ""


def _laid(c: Context, feed: FeedIn) -> str:
    amount = str(feed.pieces) if feed.part == 1 else say.mixed(feed.pieces * feed.part, say.THIRDS_AND_QUARTERS)
    size = say.pencils(feed.held_mm, c.house.pencil_mm.value)
    shade = f" in {say.name(feed.colour)}" if feed.colour else ""
    return f"{amount} × {say.name(feed.role)}{shade}, {size}" + (": split the piece" if feed.part < 1 else "")


def zone_part(c: Context) -> Part:
    """How the strands of each zone are worked; zones that are worked alike share a line."""
    zone_of = {s.number: s.zone for s in c.plan.sections.items}
    worked: dict[tuple[str, str], list[tuple[StrandKind, int]]] = {}
    for kind in c.plan.strand_kinds:
        work = TECHNIQUE_WORDS[kind.technique] + ("" if kind.tightness == "ordinary" else f", {kind.tightness}")
        for zone, count in Counter(zone_of.get(n, kind.zone) for n in kind.sections).items():
            worked.setdefault((zone, work), []).append((kind, count))
    groups: dict[tuple[object, ...], list[tuple[str, list[tuple[StrandKind, int]]]]] = {}
    for (zone, work), found in sorted(worked.items(), key=lambda item: ZONES.index(item[0][0])):
        groups.setdefault((work, *_worked_alike(c, [k for k, _ in found])), []).append((zone, found))
    rows = []
    for (work, *_), zones in groups.items():
        names = say.listed(zone for zone, _ in zones)
        kinds = [k for _, found in zones for k, _ in found]
        strands = sum(n for _, found in zones for _, n in found)
        rows.append((names[:1].upper() + names[1:], str(strands), str(work), *_measures(c, kinds)))
    said, table = lifted(Table(
        caption="Zones that are worked alike share a line", rows=tuple(rows), plain=True, wide=True,
        columns=(Column(heading="Zone"), Column(heading="Strands", align="right"), Column(heading="Work"),
                 Column(heading="Length", align="right"), Column(heading="Stitches", align="right"), Column(heading="Width"),
                 Column(heading="Pieces each")),
    ), keep=2)
    alike = ", ".join(value + ZONE_SUFFIX[heading] for heading, value in said.items())
    everywhere = (Para(text=say.sentence(f"everywhere: {alike}")),) if alike else ()
    return Part(key="zones", title="Zone by zone", blocks=(*everywhere, table))


def _worked_alike(c: Context, kinds: list[StrandKind]) -> tuple[object, ...]:
    """What must agree for zones to share a line: length and stitches as printed, width to the millimetre, whole pieces."""
    most: dict[str, float] = {}
    for role, count in (pair for k in kinds for pair in k.pieces):
        most[role] = max(count, most.get(role, 0.0))
    return (say.length(max(k.length_mm for k in kinds), c.units), max(k.stitches for k in kinds),
            round(max(k.width_max_mm for k in kinds)), *((role, ceil(count)) for role, count in most.items()))


def _measures(c: Context, kinds: list[StrandKind]) -> tuple[str, str, str, str]:
    """Length, stitches, width and pieces of these strands, as ranges where they differ."""
    longest, shortest = max(k.length_mm for k in kinds), min(k.length_mm for k in kinds)
    most, least = max(k.stitches for k in kinds), min(k.stitches for k in kinds)
    pieces: dict[str, list[float]] = {}
    for role, count in (pair for k in kinds for pair in k.pieces):
        pieces.setdefault(role, []).append(count)
    each = ", ".join(f"{say.span(min(n), max(n))} {say.name(role)}" for role, n in pieces.items())
    return (say.between(shortest, longest, c.units), str(most) if most == least else f"{least}–{most}",
            say.widths(min(k.width_min_mm for k in kinds), max(k.width_max_mm for k in kinds)), each or "–")


def finish_part(c: Context) -> Part:
    """The steps of the end, zone by zone only where they differ, then the whole head."""
    groups: dict[tuple[EndStep, ...], list[str]] = {}
    for look in c.recipe.zones:
        if not look.left_out and look.end:
            groups.setdefault(look.end, []).append(look.zone)
    blocks: list[Block] = []
    for steps, zones in groups.items():
        title = "Each end" if len(groups) == 1 else f"Each end: {say.listed(zones)}"
        blocks += tick_lists(title, [_end_tick(c, s) for s in steps],
                             numbered=True, run_in=True)
    last = [Tick(text=f"Smooth with {say.listed(say.name(p.name) for p in c.recipe.products)}", why=why("smooth"))] if c.recipe.products else []
    last.append(Tick(text="Look at every part and the hairline; ask whether anything pulls or hurts.",
                     note="If it does, loosen that braid now.", why=why("pull")))
    last.append(Tick(text="Count the braids against the map; card complete", why=why("count")))
    blocks += tick_lists("Whole head", last, run_in=True)
    return Part(key="finish", title="Finish", blocks=tuple(blocks))


def _end_tick(c: Context, step: EndStep) -> Tick:
    words, note = _end_words(c, step), _seal_words(c) if step.kind == "heat seal" else ""
    return Tick(text=say.sentence(words) if note else words, note=note, why=why(step.kind))


def _seal_words(c: Context) -> str:
    """The window of each hair that is sealed, beside the temperature the recipe asks for."""
    words = [f"{say.name(h.name)} seals at {say.temperatures(h.sealing.low_c, h.sealing.high_c, c.units)} and burns above it."
             for h in c.recipe.catalogue if h.sealing and h.kind == "plain"]
    return " ".join(words)


def _end_words(c: Context, step: EndStep) -> str:
    heat = f" at {say.temperature(step.temperature_c.value, c.units)}" if step.temperature_c else ""
    held = f", {say.plain(step.seconds.value, 1)}{say.NBSP}s" if step.seconds else ""
    long = f" the last {say.length(step.length_mm.value, c.units)}" if step.length_mm else ""
    rod = f" on a rod of {say.width(step.rod_mm.value)}" if step.rod_mm else ""
    ornament = f"{step.ornament_count} × {say.name(step.ornament or '')}"
    return {
        "knot": f"Knot, {say.counted(step.turns, 'turn')}" if step.turns else "Knot",
        "heat seal": f"Heat seal{heat}{held}: touch the tip only",
        "dip": f"Dip{long} in hot water{heat}{held}; keep curly hair out",
        "curl rods": f"Wind{long}{rod}",
        "ornaments": f"Thread {ornament}",
        "band": "Band the end",
        "tuck": "Tuck the end in",
        "leave loose": f"Leave{long or ' the end'} loose",
        "leave curls loose": "Leave the curls loose; keep them away from heat",
        "trim": "Trim the straight ends even" + (f",{long}" if long else ""),
    }[step.kind]


def clock_part(c: Context) -> Part:
    """How long each stage takes and where the work should stand by when."""
    timing = c.plan.timing
    said = (f"{say.duration(timing.median_minutes)} in the chair with {say.counted(timing.braiders, 'braider')}; "
            f"4 days in 5 within {say.duration(timing.p80_minutes)}, 19 in 20 within {say.duration(timing.p95_minutes)}.")
    planned: list[str] = []
    for when, title in (("ahead", "Before the chair"), ("chair", "In the chair")):
        stages = [f"{say.name(s.name)} {say.duration(s.minutes)}" + (f" ({say.clean(s.note)})" if s.note else "")
                  for s in timing.stages if s.when == when]
        if stages:
            planned.append(f"{title}: {'; '.join(stages)}.")
    blocks: list[Block] = [Para(text=said), *(Para(text=p, until=2) for p in planned), *clock_figure(c), *crew_figure(c)]
    clock = any(p.clock for p in timing.checkpoints)
    rows = []
    for point in timing.checkpoints:
        row = [f"{point.sections} of {c.plan.sections.count}", say.duration(point.minutes)]
        rows.append((*row, point.clock or "–", point.zone) if clock else (*row, point.zone))
    columns = [Column(heading="Braids done"), Column(heading="By", align="right")]
    columns += [Column(heading="Clock", align="right")] if clock else []
    checks = Table(caption="Checkpoints", ticks=True, rows=tuple(rows), columns=(*columns, Column(heading="Zone done")))
    blocks.append(checks)
    return Part(key="clock", title="Clock", blocks=tuple(blocks))
