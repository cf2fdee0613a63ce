"""The middle of the card: the map, one strand, the zones, the finish and the clock."""

from __future__ import annotations

from collections import Counter
from math import ceil, inf

from ..meaning.model import ZONES, EndStep
from ..passes.checkpoints import clock_at
from ..passes.crew_lanes import opening
from ..plan.model import AccentAt, FeedIn, RowGuide, StrandKind
from . import wording as words
from .card import Block, Column, Para, Part, Table, Tick
from .context import Context, lifted, tick_lists
from .language import mark
from .pictures import clock_figure, crew_figure, map_figure, strip_caption, strip_figure
from .reasons import why
from .speech import Speech
from .told import told

UNMET_SHOWN = 3
WISH_NOT_MET = "M03"
"""The rule that says what a recipe asked of its strands and can't be had."""

ZONE_SENTENCES = {3: mark("{value} long"), 4: mark("{value} stitches"), 5: mark("{value} wide"), 6: mark("pieces in each strand: {value}")}
"""What a column of the zone table says when it stands in a sentence instead, by its place."""
ORDER_WORDS = {"nape up": mark("nape upwards"), "front back": mark("front to back"),
               "left to right": mark("wearer's left to right"), "right to left": mark("wearer's right to left")}

SET_SIDES = ("left to right", "right to left")
"""Orders that name the side they begin on, whichever hand works."""


def technique_words(say: Speech, technique: str) -> str:
    """How a strand is worked."""
    return {"plait": say("plait"), "twist": say("two-strand twist"), "row": say("scalp row")}[technique]


def zone_name(say: Speech, zone: str) -> str:
    """A zone at the beginning of a line."""
    return words.capital(say.term("zone", zone))


def section_part(c: Context) -> Part:
    """Where every section lies, and how the comb is set for each row."""
    say = c.say
    table, everywhere = _row_table(c)
    intro = [
        say("{count} sections, numbered in braid order, {order}.", count=c.plan.sections.count, order=say(ORDER_WORDS[c.recipe.order])),
        _parting(c), say("Left and right: the wearer's own."),
    ]
    if c.house.hand == "left" and c.recipe.order not in SET_SIDES:
        intro.append(say("Numbered for a left-handed braider: each row from the wearer's right."))
    if everywhere:
        intro.append(everywhere)
    return Part(key="map", title=say("Section map"), blocks=(Para(text=" ".join(intro)), map_figure(c), table))


def _parting(c: Context) -> str:
    """The main parting in a sentence or two."""
    say, parting = c.say, c.recipe.parting
    zigzag = " " + say("Zigzag.") if parting.zigzag else ""
    if parting.kind == "none":
        return say("No parting.") + zigzag
    if parting.kind == "centre":
        return say("Parting in the centre.") + zigzag
    off = say.length(parting.offset_mm.value) if parting.offset_mm else ""
    if parting.kind == "side":
        kinds = {
            ("left", True): say("Parting side on the wearer's left, {off} from the middle.", off=off),
            ("left", False): say("Parting side on the wearer's left."),
            ("right", True): say("Parting side on the wearer's right, {off} from the middle.", off=off),
            ("right", False): say("Parting side on the wearer's right."),
            ("", True): say("Parting side, {off} from the middle.", off=off), ("", False): say("Parting side."),
        }
    else:
        kinds = {
            ("left", True): say("Parting off-centre on the wearer's left, {off} from the middle.", off=off),
            ("left", False): say("Parting off-centre on the wearer's left."),
            ("right", True): say("Parting off-centre on the wearer's right, {off} from the middle.", off=off),
            ("right", False): say("Parting off-centre on the wearer's right."),
            ("", True): say("Parting off-centre, {off} from the middle.", off=off), ("", False): say("Parting off-centre."),
        }
    return kinds[parting.side or "", bool(off)] + zigzag


def _row_table(c: Context) -> tuple[Table, str]:
    """Where the comb goes, a zone a line: how far each row lies from the hairline and which sections it holds; and
    what goes for all of them."""
    say = c.say
    guides: dict[str, list[RowGuide]] = {}
    for row in c.plan.sections.rows:
        guides.setdefault(row.zone, []).append(row)
    rows = []
    zones = c.plan.sections.zones
    through = dict.fromkeys(told(say, g.note) for g in c.plan.sections.rows if g.note)
    once = len(through) == 1
    left_out = [zone.zone for zone in zones if zone.left_out]
    passed = [zone.zone for zone in zones if not zone.left_out and zone.zone not in guides]
    sizes = [mm for zone in zones if zone.zone in guides for mm in (zone.mean_height_mm, zone.mean_width_mm)]
    ways = [g.from_hairline_mm for g in c.plan.sections.rows if not g.note]
    for zone in zones:
        if zone.zone not in guides:
            continue
        found = guides[zone.zone]
        lines = _comb_lines(c, found, ways)
        bricks = [g.row for g in found if g.offset == "half"]
        offset = say.many("row {rows}: half a section", "rows {rows}: half a section", len(bricks), rows=words.ranges(bricks)) if bricks else ""
        notes = dict.fromkeys(told(say, g.note) for g in found if g.note and not once)
        shift = say.series(one for one in (offset, *notes) if one) or "–"
        rows.append((zone_name(say, zone.zone), str(zone.sections), lines, say.by(zone.mean_height_mm, zone.mean_width_mm, sizes), shift))
    same, table = lifted(Table(
        caption=say("Set the comb"), rows=tuple(rows), plain=True, wide=True, ticks=True,
        columns=(Column(heading=say("Zone")), Column(heading=say("Sections"), align="right"),
                 Column(heading=say("From the hairline: section numbers")), Column(heading=say("High × wide")), Column(heading=say("Shift"))),
    ), keep=3)
    alike = [say("every section {size} high × wide", size=value) if place == 3 else value for place, value in same.items() if value != "–"]
    if once:
        note = next(iter(through))
        alike.append(say("rows {direction}", direction=note) if any(not g.note for g in c.plan.sections.rows) else note)
    if passed:
        own = [zone.zone for zone in zones if any(g.note for g in guides.get(zone.zone, ()))]
        alike.append(say("{zones} worked with the rows of {others}", zones=_zones(say, passed), others=_zones(say, own or list(guides))))
    if left_out:
        alike.append(say("left out: {zones}", zones=_zones(say, left_out)))
    return table, words.sentence(say.series(alike))


def _zones(say: Speech, zones: list[str]) -> str:
    return say.listed(say.term("zone", zone) for zone in zones)


def _comb_lines(c: Context, found: list[RowGuide], among: list[float]) -> str:
    """How far from the hairline each row of a zone lies, in one unit ``among`` all rows; scalp rows lie side by side
    instead."""
    say = c.say
    across = [g for g in found if g.note]
    rows = [g for g in found if not g.note]
    lines = [say("{zone}: {numbers}", zone=at, numbers=words.ranges(g.sections)) for at, g in zip(say.alike((g.from_hairline_mm for g in rows), among), rows)]
    if across:
        numbers = [n for g in across for n in g.sections]
        apart = say.between(min(g.width_mm or g.height_mm for g in across), max(g.width_mm or g.height_mm for g in across))
        if len(numbers) == 1:
            lines.append(say("row {number}, {width} wide", number=numbers[0], width=apart))
        else:
            lines.append(say("rows {numbers} side by side, {width} apart", numbers=words.ranges(numbers), width=apart))
    return say.series(lines)


def shown_kinds(c: Context) -> tuple[StrandKind, ...]:
    """The strands worth a picture: for each technique the one most sections are worked in."""
    best: dict[str, StrandKind] = {}
    for kind in c.plan.strand_kinds:
        if kind.technique not in best or len(kind.sections) > len(best[kind.technique].sections):
            best[kind.technique] = kind
    return tuple(sorted(best.values(), key=lambda k: -len(k.sections)))


def strip_part(c: Context) -> Part:
    """One strand from root to tip, with what is laid in at each stitch."""
    say = c.say
    blocks: list[Block] = []
    kinds = shown_kinds(c)
    for kind in kinds:
        blocks.append(strip_figure(c, kind))
        blocks.append(schedule_table(c, kind))
        if kind.profile and kind.feed_ins:
            thin = min(kind.profile, key=lambda at: at.width_mm)
            blocks.append(Para(text=say("Thinnest at stitch {stitch}; this hair reaches {length}.", stitch=thin.stitch,
                                        length=say.length(kind.reach_mm)), tone="small", until=2))
    blocks += [Para(text=text, tone="strong") for text in _unmet(c)]
    title = say("One braid") if len(kinds) == 1 else say("One of each braid")
    return Part(key="strip", title=title, blocks=tuple(blocks))


def _unmet(c: Context) -> list[str]:
    """What was asked of the strands and can't be had, unless a finding says it already."""
    say = c.say
    asked = list(dict.fromkeys((k.zone, u) for k in c.plan.strand_kinds for u in k.unmet))
    if any(f.code == WISH_NOT_MET for f in c.plan.findings):
        return []
    lines = [say("{zone}: {wish}", zone=zone_name(say, zone), wish=words.sentence(told(say, words.clean(u, 300)))) for zone, u in asked[:UNMET_SHOWN]]
    if len(asked) > UNMET_SHOWN:
        lines.append(say.many("Much the same for {n} more kind of strand.", "Much the same for {n} more kinds of strand.", len(asked) - UNMET_SHOWN))
    return lines


def schedule_table(c: Context, kind: StrandKind) -> Table:
    """What is laid in, at which stitches and how far from the root; equal pieces share a line."""
    say = c.say
    lines: list[tuple[int, str, list[tuple[int, float]]]] = []
    feeds: dict[str, list[tuple[int, float]]] = {}
    for feed in _together(kind.feed_ins):
        laid = _laid(c, feed)
        if feed.stitch == 0:
            lines.append((-1, laid, [(0, 0.0)]))
        else:
            feeds.setdefault(laid, []).append((feed.stitch, feed.at_mm))
    lines += [(at[0][0], laid, at) for laid, at in feeds.items()]
    accents: dict[tuple[str, str | None, int, float], list[AccentAt]] = {}
    for accent in kind.accents:
        accents.setdefault((accent.ornament or accent.role or "", accent.colour, accent.count, accent.held_mm), []).append(accent)
    for (name, colour, count, held), found in accents.items():
        what = _shaded(say, f"{count} × {words.name(name)}", colour)
        size = f", {say.pencils(held, c.pencil_mm)}" if held else ""
        lines.append((found[0].stitch, f"{what}{size}{_sides(say, found)}", [(a.stitch, a.at_mm) for a in found]))
    if 0 < kind.own_ends_stitch < kind.stitches:
        lines.append((kind.own_ends_stitch, say("Own hair ends about here: tuck it in"),
                      [(kind.own_ends_stitch, kind.own_ends_stitch * kind.pitch_mm)]))
    lines.sort(key=lambda line: line[0])
    return Table(
        caption=strip_caption(c, kind), plain=True, wide=True, until=2,
        rows=tuple((", ".join(str(s) for s, _ in at if s) or say("Start"), say.lengths([mm for _, mm in at]), laid)
                   for _, laid, at in lines),
        columns=(Column(heading=say("At stitch")), Column(heading=say("From the root")), Column(heading=say("Lay in"))),
    )


def _together(feeds: tuple[FeedIn, ...]) -> list[FeedIn]:
    """Equal pieces at one stitch as one line."""
    found: dict[tuple[object, ...], FeedIn] = {}
    for feed in feeds:
        key = (feed.stitch, feed.role, feed.held_mm, feed.part, feed.colour)
        same = found.get(key)
        found[key] = feed if same is None else same.model_copy(update={"pieces": same.pieces + feed.pieces})
    return list(found.values())


def _shaded(say: Speech, what: str, colour: str | None) -> str:
    return say("{what} in {colour}", what=what, colour=words.name(colour)) if colour else what


def _sides(say: Speech, accents: list[AccentAt]) -> str:
    sides = {a.side for a in accents}
    if sides == {"left", "right"}:
        return ", " + say("alternate sides")
    return f", {say.term('side', accents[0].side)}" if len(sides) == 1 else ""


def _laid(c: Context, feed: FeedIn) -> str:
    amount = str(feed.pieces) if feed.part == 1 else words.mixed(feed.pieces * feed.part, words.THIRDS_AND_QUARTERS)
    what = _shaded(c.say, f"{amount} × {words.name(feed.role)}", feed.colour)
    laid = f"{what}, {c.say.pencils(feed.held_mm, c.pencil_mm)}"
    return c.say("{pieces}: split the piece", pieces=laid) if feed.part < 1 else laid


def zone_part(c: Context) -> Part:
    """How the strands of each zone are worked; zones that are worked alike share a line."""
    say = c.say
    zone_of = {s.number: s.zone for s in c.plan.sections.items}
    worked: dict[tuple[str, str], list[tuple[StrandKind, int]]] = {}
    for kind in c.plan.strand_kinds:
        work = technique_words(say, kind.technique) + ("" if kind.tightness == "ordinary" else f", {say.term('tightness', kind.tightness)}")
        for zone, count in Counter(zone_of.get(n, kind.zone) for n in kind.sections).items():
            worked.setdefault((zone, work), []).append((kind, count))
    groups: dict[tuple[object, ...], list[tuple[str, list[tuple[StrandKind, int]]]]] = {}
    for (zone, work), found in sorted(worked.items(), key=lambda item: ZONES.index(item[0][0])):
        groups.setdefault((work, *_worked_alike(c, [k for k, _ in found])), []).append((zone, found))
    rows = []
    for (work, *_), zones in groups.items():
        kinds = [k for _, found in zones for k, _ in found]
        strands = sum(n for _, found in zones for _, n in found)
        rows.append((words.capital(_zones(say, [zone for zone, _ in zones])), str(strands), str(work), *_measures(c, kinds)))
    same, table = lifted(Table(
        caption=say("Zones that are worked alike share a line"), rows=tuple(rows), plain=True, wide=True,
        columns=(Column(heading=say("Zone")), Column(heading=say("Strands"), align="right"), Column(heading=say("Work")),
                 Column(heading=say("Length"), align="right"), Column(heading=say("Stitches"), align="right"), Column(heading=say("Width")),
                 Column(heading=say("Pieces each"))),
    ), keep=2)
    alike = ", ".join(say(ZONE_SENTENCES[place], value=value) if place in ZONE_SENTENCES else value for place, value in same.items())
    everywhere = (Para(text=say("Everywhere: {what}.", what=alike)),) if alike else ()
    return Part(key="zones", title=say("Zone by zone"), blocks=(*everywhere, table))


def _worked_alike(c: Context, kinds: list[StrandKind]) -> tuple[object, ...]:
    """What must agree for zones to share a line: length and stitches as printed, width to the millimetre, whole pieces."""
    most: dict[str, float] = {}
    for role, count in (pair for k in kinds for pair in k.pieces):
        most[role] = max(count, most.get(role, 0.0))
    return (c.say.length(max(k.length_mm for k in kinds)), max(k.stitches for k in kinds),
            round(max(k.width_max_mm for k in kinds)), *((role, ceil(count)) for role, count in most.items()))


def _measures(c: Context, kinds: list[StrandKind]) -> tuple[str, str, str, str]:
    """Length, stitches, width and pieces of these strands, as ranges where they differ."""
    longest, shortest = max(k.length_mm for k in kinds), min(k.length_mm for k in kinds)
    most, least = max(k.stitches for k in kinds), min(k.stitches for k in kinds)
    pieces: dict[str, list[float]] = {}
    for role, count in (pair for k in kinds for pair in k.pieces):
        pieces.setdefault(role, []).append(count)
    each = ", ".join(f"{words.span(min(n), max(n))} {words.name(role)}" for role, n in pieces.items())
    return (c.say.between(shortest, longest), str(most) if most == least else f"{least}–{most}",
            c.say.widths(min(k.width_min_mm for k in kinds), max(k.width_max_mm for k in kinds)), each or "–")


def finish_part(c: Context) -> Part:
    """The steps of the end, zone by zone only where they differ, then the whole head."""
    say = c.say
    groups: dict[tuple[EndStep, ...], list[str]] = {}
    for look in c.recipe.zones:
        if not look.left_out and look.end:
            groups.setdefault(look.end, []).append(look.zone)
    blocks: list[Block] = []
    for steps, zones in groups.items():
        title = say("Each end") if len(groups) == 1 else say("Each end: {zones}", zones=_zones(say, zones))
        blocks += tick_lists(say, title, [_end_tick(c, s) for s in steps], numbered=True, run_in=True)
    products = say.listed(words.name(p.name) for p in c.recipe.products)
    last = [Tick(text=say("Smooth with {products}", products=products), why=why(say, "smooth"))] if products else []
    last.append(Tick(text=say("Look at every part and the hairline; ask whether anything pulls or hurts."),
                     note=say("If it does, loosen that braid now."), why=why(say, "pull")))
    last.append(Tick(text=say("Count the braids against the map; card complete"), why=why(say, "count")))
    blocks += tick_lists(say, say("Whole head"), last, run_in=True)
    return Part(key="finish", title=say("Finish"), blocks=tuple(blocks))


def _end_tick(c: Context, step: EndStep) -> Tick:
    text, note = _end_words(c, step), _seal_words(c) if step.kind == "heat seal" else ""
    return Tick(text=words.sentence(text) if note else text, note=note, why=why(c.say, step.kind))


def _seal_words(c: Context) -> str:
    """The window of each hair that is sealed, beside the temperature the recipe asks for."""
    return " ".join(c.say("{hair} seals at {window} and burns above it.", hair=words.name(h.name),
                          window=c.say.temperatures(h.sealing.low_c, h.sealing.high_c))
                    for h in c.recipe.catalogue if h.sealing and h.kind == "plain")


def _end_words(c: Context, step: EndStep) -> str:
    say = c.say
    heat = say.temperature(step.temperature_c.value) if step.temperature_c else ""
    held = f"{say.plain(step.seconds.value, 1)}{words.NBSP}s" if step.seconds else ""
    how = ", ".join(one for one in (heat, held) if one)
    long = say.length(step.length_mm.value) if step.length_mm else ""
    rod = say.width(step.rod_mm.value) if step.rod_mm else ""
    match step.kind:
        case "knot":
            return say.many("Knot, {n}\u00a0turn", "Knot, {n}\u00a0turns", step.turns) if step.turns else say("Knot")
        case "heat seal":
            if held and not heat:
                return say("Heat seal for {held}: touch the tip only", held=held)
            return say("Heat seal at {how}: touch the tip only", how=how) if heat else say("Heat seal: touch the tip only")
        case "dip":
            if long:
                return say("Dip the last {length} in hot water at {how}; keep curly hair out", length=long, how=how) if heat else say(
                    "Dip the last {length} in hot water; keep curly hair out", length=long)
            return say("Dip in hot water at {how}; keep curly hair out", how=how) if heat else say("Dip in hot water; keep curly hair out")
        case "curl rods":
            if long:
                return say("Wind the last {length} on a rod of {width}", length=long, width=rod) if rod else say("Wind the last {length}", length=long)
            return say("Wind on a rod of {width}", width=rod) if rod else say("Wind on a rod")
        case "ornaments":
            return say("Thread {count} × {name}", count=step.ornament_count, name=words.name(step.ornament or ""))
        case "band":
            return say("Band the end")
        case "tuck":
            return say("Tuck the end in")
        case "leave loose":
            return say("Leave the last {length} loose", length=long) if long else say("Leave the end loose")
        case "leave curls loose":
            return say("Leave the curls loose; keep them away from heat")
    return say("Trim the straight ends even, the last {length}", length=long) if long else say("Trim the straight ends even")


def breaks_line(c: Context, until: float = inf) -> str:
    """When there are breaks and how long they are, up to so many minutes of chair time; nothing where there is none."""
    say, at = c.say, opening(c.house)
    by_length: dict[str, list[float]] = {}
    for begins, minutes in c.plan.timing.breaks:
        if begins < until:
            by_length.setdefault(say.duration(minutes), []).append(begins)
    if not by_length:
        return ""

    def said(times: list[float]) -> str:
        clock = [clock_at(at, time) for time in times]
        return say.listed(clock) if all(clock) else say("{time} from sitting down", time=say.listed(map(say.duration, times)))

    return say("Breaks: {breaks}.", breaks=say.series(say("{time} for {long}", time=said(times), long=long) for long, times in by_length.items()))


def clock_part(c: Context) -> Part:
    """How long each stage takes and where the work should stand by when."""
    say, timing = c.say, c.plan.timing
    line = say("{time} in the chair with {braiders}; 4 days in 5 within {longer}, 19 in 20 within {longest}.",
               time=say.duration(timing.median_minutes), braiders=say.counted("{n} braider", "{n} braiders", timing.braiders),
               longer=say.duration(timing.p80_minutes), longest=say.duration(timing.p95_minutes))
    planned: list[str] = []
    for when, template in (("ahead", mark("Before the chair: {stages}.")), ("chair", mark("In the chair: {stages}."))):
        stages = [f"{say.term('stage', words.name(s.name))} {say.duration(s.minutes)}" + (f" ({told(say, words.clean(s.note))})" if s.note else "")
                  for s in timing.stages if s.when == when]
        if stages:
            planned.append(say(template, stages=say.series(stages)))
    breaks = breaks_line(c)
    blocks: list[Block] = [Para(text=f"{line} {breaks}" if breaks else line), *(Para(text=p, until=2) for p in planned), *clock_figure(c), *crew_figure(c)]
    clock = any(p.clock for p in timing.checkpoints)
    rows = []
    for point in timing.checkpoints:
        row = [say("{number} of {whole}", number=point.sections, whole=c.plan.sections.count), say.duration(point.minutes)]
        zone = say.term("zone", point.zone)
        rows.append((*row, point.clock or "–", zone) if clock else (*row, zone))
    columns = [Column(heading=say("Braids done")), Column(heading=say("By"), align="right")]
    columns += [Column(heading=say("Clock"), align="right")] if clock else []
    blocks.append(Table(caption=say("Checkpoints"), ticks=True, rows=tuple(rows), columns=(*columns, Column(heading=say("Zone done")))))
    return Part(key="clock", title=say("Clock"), blocks=tuple(blocks))
