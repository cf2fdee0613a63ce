"""What a plan makes of each line of a file, for the wearer and the house it was made for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ...cards import words
from ...compile import Compiled, Request
from ...meaning.book import file_meaning
from ...meaning.look import By, Look
from ...meaning.model import House, Recipe, ZoneLook
from ...meaning.standing import NOBODY
from ...meaning.values import Origin
from ...plan.model import Plan, StrandKind
from ...rules.expectations import applies
from ...rules.measures import spoken
from ...rules.names import figure_name
from ...rules.scene import Parts, Scene
from .session import Session


@dataclass(frozen=True)
class Told:
    """One thing that the plan makes of a line."""

    line: int
    text: str
    """Short enough to stand beside the line: ``≈ 62 sections``."""
    tip: str
    """The same as a sentence."""
    quiet: bool = False
    """Worth a look when asked, but not worth standing beside the line."""


def told(session: Session, name: str, request: Request = Request()) -> tuple[Told, ...]:
    """What the plans of a file's looks make of its lines; nothing for a look that can't be planned."""
    found: list[Told] = []
    for look in file_meaning(session.text(name), name).looks:
        if request.look not in (None, look.name):
            continue
        done = session.compile(name, Request(look.name, request.wearer, request.house, request.picks, request.swaps))
        found += _of_plan(done, name, _open_lines(look))
    return tuple(sorted(dict.fromkeys(found), key=lambda each: each.line))


def _open_lines(look: Look) -> dict[tuple[str, str], Origin]:
    """(slot, choice) -> the line that leaves the slot to the choice: ``grid brick by size``."""
    found: dict[tuple[str, str], Origin] = {}
    for said in look.said:
        for value in (said.value, getattr(said.value, "height", None)):
            if isinstance(value, By):
                found[said.slot, value.name] = said.origin
    return {(slot, f"{look.name}|{choice.origin.line}"): origin for (slot, name), origin in found.items()
            for choice in look.choices if choice.name == name}


def _of_plan(done: Compiled, name: str, open_lines: dict[tuple[str, str], Origin]) -> list[Told]:
    if done.plan is None or done.recipe is None or done.wearer is None or done.house is None:
        return []
    plan, recipe, house = done.plan, done.recipe, done.house
    lines = [
        *_head(plan, recipe), *_sections(plan, recipe, open_lines), *_hair(plan, recipe),
        *_strands(plan, recipe, house, open_lines),
        *_feeds(plan, recipe), *_accents(plan, recipe), *_taken(plan, recipe), *_expected(done),
    ]
    return [Told(origin.line, text, tip, quiet) for origin, text, tip, quiet in lines if origin.file == name and origin.line]


_Line = tuple[Origin, str, str, bool]


def _head(plan: Plan, recipe: Recipe) -> list[_Line]:
    long = words.duration(plan.timing.median_minutes)
    price = words.money(plan.quote.total, plan.quote.currency) if plan.quote.total else ""
    who = "for anybody" if plan.head.wearer == NOBODY else f"for {plan.head.wearer}"
    return [(recipe.origin, ", ".join(filter(None, (long, price))),
             f"{long} in the chair{f' and {price}' if price else ''}, {who}", False)]


def _by_line(zones: tuple[ZoneLook, ...], origin: Callable[[ZoneLook], Origin]) -> dict[Origin, list[ZoneLook]]:
    found: dict[Origin, list[ZoneLook]] = {}
    for zone in zones:
        if not zone.left_out:
            found.setdefault(origin(zone), []).append(zone)
    return found


def _sections(plan: Plan, recipe: Recipe, open_lines: dict[tuple[str, str], Origin]) -> list[_Line]:
    summaries = {zone.zone: zone for zone in plan.sections.zones}
    about = "≈ " if plan.sections.count_low < plan.sections.count_high else ""
    found: list[_Line] = []
    for origin, zones in _by_line(recipe.zones, lambda zone: zone.grid.origin).items():
        here = [summaries[zone.zone] for zone in zones if zone.zone in summaries and summaries[zone.zone].sections]
        count = sum(zone.sections for zone in here)
        if not count:
            continue
        each = "; ".join(f"{zone.zone} {zone.sections}" for zone in here)
        origin = open_lines.get(("grid", f"{recipe.name}|{origin.line}"), origin)
        found.append((origin, f"{about}{words.counted(count, 'section')}",
                      f"{about}{words.counted(count, 'section')}: {each}", False))
    return found


def _hair(plan: Plan, recipe: Recipe) -> list[_Line]:
    found: list[_Line] = []
    for use in recipe.hairs:
        lines = [line for line in plan.material.hair if use.role in line.roles]
        if not lines:
            continue
        used = words.packs(sum(line.packs_used for line in lines))
        buy = sum(line.packs_to_buy for line in lines)
        names = words.listed(dict.fromkeys(f'"{line.name}"' for line in lines))
        shared = sorted({role for line in lines for role in line.roles} - {use.role})
        together = f", with {words.listed(shared)}" if shared else ""
        found.append((use.origin, used, f"{used} of {names} used{together}; buy {buy}", False))
    return found


def _kinds(plan: Plan, zones: list[ZoneLook]) -> list[StrandKind]:
    names = {zone.zone for zone in zones}
    return [kind for kind in plan.strand_kinds if kind.zone in names and kind.sections]


def _strands(plan: Plan, recipe: Recipe, house: House, open_lines: dict[tuple[str, str], Origin]) -> list[_Line]:
    found: list[_Line] = []
    for origin, zones in _by_line(recipe.zones, lambda zone: zone.wearing.origin).items():
        kinds = _kinds(plan, zones)
        if not kinds:
            continue
        stitches = _range([kind.stitches for kind in kinds])
        long = words.between(min(k.length_mm for k in kinds), max(k.length_mm for k in kinds), house.units)
        level = any(zone.wearing.level for zone in zones)
        origin = open_lines.get(("wearing", f"{recipe.name}|{origin.line}"), origin)
        found.append((origin, f"≈ {long}" if level else f"{stitches} stitches", f"{long} long, {stitches} stitches", False))
    for origin, zones in _by_line(recipe.zones, lambda zone: zone.start.origin).items():
        kinds = _kinds(plan, zones)
        if kinds:
            wide = words.widths(min(k.width_min_mm for k in kinds), max(k.width_max_mm for k in kinds))
            found.append((origin, f"{wide} wide", f"strands come out {wide} wide", True))
    return found


def _feeds(plan: Plan, recipe: Recipe) -> list[_Line]:
    found: list[_Line] = []
    for origin, zones in _by_line(tuple(z for z in recipe.zones if len(z.feeds) == 1), lambda z: z.feeds[0].origin).items():
        kinds = _kinds(plan, zones)
        if not kinds:
            continue
        counts = [round(sum(feed.pieces * feed.part for feed in kind.feed_ins if feed.stitch > 0)) for kind in kinds]
        wide = words.widths(min(kind.width_mm for kind in kinds), max(kind.width_mm for kind in kinds))
        text = f"{_range(counts)} piece{'' if max(counts) == 1 else 's'} a strand"
        found.append((origin, text, f"{text}; strands {wide} wide on average", False))
    return found


def _accents(plan: Plan, recipe: Recipe) -> list[_Line]:
    lines: dict[tuple[str | None, str | None], set[Origin]] = {}
    for zone in recipe.zones:
        for accent in zone.accents:
            lines.setdefault((accent.pieces.role if accent.pieces else None, accent.ornament), set()).add(accent.origin)
    found: list[_Line] = []
    for (role, ornament), origins in lines.items():
        if len(origins) != 1:
            continue  # two lines set the same thing: which set how many isn't kept apart
        count = sum(at.count for strand in plan.strands for at in strand.accents
                    if at.role == role and at.ornament == ornament)
        found.append((next(iter(origins)), f"{count} in all", f"{count} on the whole head", False))
    return found


def _taken(plan: Plan, recipe: Recipe) -> list[_Line]:
    found: list[_Line] = []
    for each in recipe.taken:
        if each.by == "when":
            found.append((each.origin, f"holds for {plan.head.wearer}", f"{each.what}: {', '.join(each.sets)}", False))
        else:
            option = each.what.partition(" = ")[2]
            found.append((each.origin, f"taken: {option}", f"{each.what}: {', '.join(each.sets)}", False))
    return found


def _expected(done: Compiled) -> list[_Line]:
    plan, recipe, wearer, house = done.plan, done.recipe, done.wearer, done.house
    assert plan and recipe and wearer and house
    scene = Scene(recipe, wearer, house, Parts(plan.sections, plan.strand_kinds, plan.strands, plan.material, plan.load,
                                               plan.timing, plan.quote))
    found: list[_Line] = []
    for expect in recipe.expects:
        entry = figure_name(expect.figure)
        value = entry.read(scene) if entry is not None and applies(expect, scene) else None
        if entry is not None and value is not None:
            said = spoken(value, entry.unit, house.units, house.currency, entry.style)
            found.append((expect.origin, f"now {said}", f"{expect.figure}: {said} for {plan.head.wearer}", False))
    return found


def _range(numbers: list[int]) -> str:
    low, high = min(numbers), max(numbers)
    return str(low) if low == high else f"{low}–{high}"
