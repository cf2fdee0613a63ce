"""Grid, strands, hair, time and the recipe's own tests."""

from __future__ import annotations

import re
from typing import Iterator

from ..meaning.values import Origin
from ..passes.quote import NO_PRICE
from ..plan.model import StrandKind
from . import limits
from .expectations import missed
from .measures import hours, length, listed, numbers, width
from .rule import COMMON_PRACTICE, HERE, OUR_OWN, Hit, Rule
from .scene import Scene, ornaments_worn, worked

_NUMBERS = re.compile(r"[\d.]+")


def _wider(scene: Scene) -> Iterator[Hit]:
    sizes = {item.number: min(item.width_mm, item.height_mm) for item in scene.parts.sections.items}
    over: dict[Origin, list[tuple[float, float, str, int]]] = {}
    for look, kind in worked(scene):
        over.setdefault(look.grid.origin, []).extend(
            (kind.width_max_mm, sizes[n], kind.zone, n) for n in kind.sections
            if n in sizes and kind.width_max_mm > sizes[n])
    for origin, found in over.items():
        if found:
            strand, part, zone, _ = max(found, key=lambda one: one[0] - one[1])
            yield Hit(f"strands of the {zone} are up to {width(strand)} wide, on parts of {width(part)} "
                      f"({numbers(tuple(sorted(n for *_, n in found)))})", origin)


def _few_hairs(scene: Scene) -> Iterator[Hit]:
    few: dict[str, list[int]] = {}
    for item in scene.parts.sections.items:
        if item.hairs < limits.FEW_HAIRS:
            few.setdefault(item.zone, []).append(item.number)
    for zone, found in few.items():
        yield Hit(f"under {limits.FEW_HAIRS} own hairs in {numbers(tuple(found))} of the {zone}",
                  scene.recipe.zone(zone).grid.origin)


def _short_own(scene: Scene) -> Iterator[Hit]:
    seen: set[str] = set()
    for look, kind in worked(scene):
        own = scene.wearer.own_hair_mm(look.zone)
        if kind.added_g > 0 and own.value < limits.SHORT_OWN_MM and look.zone not in seen:
            seen.add(look.zone)
            yield Hit(f"own hair of {own.text} in {HERE} is to hold added hair", own.origin, zone=look.zone)


def _unmeasured(scene: Scene) -> Iterator[Hit]:
    sections = scene.parts.sections
    if sections.count_low != sections.count_high:
        yield Hit(f"the head isn't measured: {sections.count} sections, {sections.count_low} to "
                  f"{sections.count_high} as it may be", scene.wearer.origin)


def _no_price(scene: Scene) -> Iterator[Hit]:
    origins = {hair.name: hair.origin for hair in scene.recipe.catalogue}
    origins |= {ornament.name: ornament.origin for ornament in scene.recipe.ornaments}
    for line in scene.parts.quote.lines:
        if line.label in origins and (line.note == NO_PRICE or line.note.startswith("priced in ")):
            yield Hit(f'"{line.label}": {line.note}', origins[line.label])


def _rule_of_four(scene: Scene) -> Iterator[Hit]:
    packs = sum(line.packs_used for line in scene.parts.material.hair)
    if packs > limits.PACKS_RULE_OF_FOUR:
        grams = sum(line.grams for line in scene.parts.material.hair)
        yield Hit(f"{packs:.1f} packs ({grams:.0f} g) of added hair", scene.recipe.origin)


def _unmet(scene: Scene) -> Iterator[Hit]:
    # Kinds of strand differ by a few hairs and so miss a wish by a little more or less: one finding
    # speaks for all, with the kind that holds most strands as its example.
    missed_by: dict[Origin, list[tuple[int, str, str]]] = {}
    for look, kind in worked(scene):
        origin = look.feeds[0].origin if look.feeds else look.wearing.origin
        for sentence in kind.unmet:
            missed_by.setdefault(origin, []).append((len(kind.sections), kind.zone, sentence))
    for origin, found in missed_by.items():
        alike: dict[str, list[tuple[int, str, str]]] = {}
        for one in found:
            alike.setdefault(_wish(one[2]), []).append(one)
        for group in alike.values():
            strands, zone, sentence = max(group, key=lambda one: one[0])
            others = sum(count for count, _, _ in group) - strands
            zones = tuple(dict.fromkeys(zone for _, zone, _ in group))
            rest = f"; much the same on {others} more strands ({listed(zones)})" if others else ""
            yield Hit(f"{zone}, {strands} strands: {sentence}{rest}", origin)


def _wish(sentence: str) -> str:
    """The sentence without its numbers: two of these that agree are about one wish."""
    return _NUMBERS.sub("", sentence)


def _reach(scene: Scene) -> Iterator[Hit]:
    short: dict[Origin, list[StrandKind]] = {}
    for look, kind in worked(scene):
        # Half a stitch of grace: lengths are worked in whole stitches.
        if not kind.unmet and kind.added_g > 0 and kind.length_mm > kind.reach_mm + kind.pitch_mm / 2:
            short.setdefault(look.wearing.origin, []).append(kind)
    for origin, kinds in short.items():
        worst = max(kinds, key=lambda kind: kind.length_mm - kind.reach_mm)
        zones = tuple(dict.fromkeys(kind.zone for kind in kinds))
        yield Hit(f"strands of {length(worst.length_mm)} in the {listed(zones)}, but the added hair reaches "
                  f"{length(worst.reach_mm)}", origin)


def _bore(scene: Scene) -> Iterator[Hit]:
    seen: set[tuple[str, str]] = set()
    for ornament, look, kind in ornaments_worn(scene):
        end = kind.profile[-1].width_mm if kind.profile else kind.width_min_mm
        if ornament.bore_mm and ornament.bore_mm.value < end and (ornament.name, kind.zone) not in seen:
            seen.add((ornament.name, kind.zone))
            yield Hit(f'"{ornament.name}" has a hole of {width(ornament.bore_mm.value)}, and strands in {HERE} end '
                      f"{width(end)} wide", look.grid.origin, zone=kind.zone)


def _no_bore(scene: Scene) -> Iterator[Hit]:
    seen: set[str] = set()
    for ornament, _, _ in ornaments_worn(scene):
        if ornament.bore_mm is None and ornament.kind in ("bead", "cuff", "ring") and ornament.name not in seen:
            seen.add(ornament.name)
            yield Hit(f'the catalogue gives no hole for "{ornament.name}"', ornament.origin)


def _long(scene: Scene) -> Iterator[Hit]:
    if scene.parts.timing.p80_minutes > limits.LONG_SERVICE_MINUTES:
        yield Hit(f"{hours(scene.parts.timing.median_minutes)} in the chair, or {hours(scene.parts.timing.p80_minutes)} "
                  "on a slow day", scene.recipe.origin)


def _sits(scene: Scene) -> Iterator[Hit]:
    sits, every = scene.wearer.sits_s, scene.house.break_every_s
    if sits is not None and sits.value < min(every.value, scene.parts.timing.median_minutes * 60):
        yield Hit(f"{scene.wearer.name} sits {sits.text} at a time; the house breaks every {every.text}", sits.origin)


def _braider(scene: Scene) -> Iterator[Hit]:
    every = scene.house.break_every_s
    if every.value > limits.BRAIDER_SIT_S and scene.parts.timing.median_minutes * 60 > limits.BRAIDER_SIT_S:
        yield Hit(f"the house breaks every {every.text}", every.origin)


def _undone(scene: Scene) -> Iterator[Hit]:
    for sentence in scene.recipe.undone:
        yield Hit(sentence, scene.recipe.origin)


def _missed(scene: Scene) -> Iterator[Hit]:
    for expectation in scene.recipe.expects:
        sentence = missed(expectation, scene)
        if sentence:
            yield Hit(sentence, expectation.origin)


RULES = (
    Rule("G01", "braid wider than its part", "warn", "a strand wider than the section it hangs from",
         "A braid bigger than its part hangs on too few hairs.", "larger sections, or fewer or thinner pieces",
         "a hair-care magazine, \"How to use braid extensions\", trade grade D (braid no bigger than its part)", _wider),
    Rule("G02", "too few hairs", "warn", "a section of very few own hairs",
         "A few hairs hold a strand badly and carry all of it.", "larger sections there", OUR_OWN, _few_hairs),
    Rule("G03", "own hair too short", "warn", "added hair on own hair under two inches",
         "Short hair slips out of the added hair, so it gets pulled tighter.",
         "wait until it has grown, or ask what the salon's own minimum is",
         "a cosmetic how-to page, \"Minimum hair length for cornrows\", trade grade D; salons' policies ask for 4 in",
         _short_own),
    Rule("G04", "head not measured", "note", "a section count that rests on an unmeasured head",
         "Heads differ by several centimetres, and the count with them.",
         "measure round the head and ear to ear over the crown", "ANSUR II, US Army 2012 (spread of head sizes)",
         _unmeasured),
    Rule("M01", "no price", "note", "hair or ornaments without a price in the house's currency",
         "The quote leaves them out.", "put a price into the catalogue", OUR_OWN, _no_price),
    Rule("M02", "rule of four", "note", "more than four packs",
         "A trade rule: at most four packs, four weeks, four times a year. A pack is no fixed weight.",
         "shorter, thinner or fewer strands",
         "a French hairdressing site, \"Box braids: comment les entretenir\", trade grade B", _rule_of_four),
    Rule("M03", "wish not met", "warn", "something the recipe asks of the strands that can't be had",
         "The hair, the pieces and the width asked for don't fit together.",
         "another piece size, another hair, or another width", "computed", _unmet),
    Rule("M04", "hair too short", "warn", "strands longer than the added hair reaches",
         "Past its reach a strand runs thin and out.", "longer hair, a longer cut, or a shorter wearing length",
         "computed", _reach),
    Rule("M05", "ornament too tight", "warn", "an ornament whose hole is smaller than the strand's end",
         "A tight bead frays the strand and can't be taken off again.", "a larger hole, or thin the end",
         "a hair-tie seller's blog, trade grade D (bead hole slightly larger than the braid end)", _bore),
    Rule("M06", "ornament's hole unknown", "ask", "an ornament without a hole in the catalogue",
         "Whether it goes on can't be said.", "measure it and write it into the catalogue", COMMON_PRACTICE, _no_bore),
    Rule("T01", "a very long service", "note", "a service of over eight hours on a slow day",
         "Some salons spread such sets over two or three days.", "offer two days, or a second braider",
         "web guides on micro braids, trade grade D; the eight hours are our own estimate", _long),
    Rule("T02", "sits less than the house's stretch", "note", "a wearer who can't sit as long as the house works",
         "The clock on this card breaks as often as the wearer needs.", "plan the breaks with the wearer", OUR_OWN, _sits),
    Rule("T03", "braider's hands", "note", "more than two hours' braiding between breaks",
         "Over 75 % of braiders report discomfort in fingers, wrists and back; sitting and standing time predict "
         "shoulder pain.", "a break every two hours at least, hands stretched",
         "Sy & Phillips 2016, J Occup Environ Hyg 13:434 (n 101); the two hours are our own estimate", _braider),
    Rule("P01", "pick undoes an adaptation", "warn", "a pick that undoes an adaptation to the wearer",
         "The recipe's author adapted the look to this wearer for a reason.",
         "take the adaptation back in, or write down why not", COMMON_PRACTICE, _undone),
    Rule("P02", "expectation missed", "warn", "a clause of the recipe's own tests that this plan misses",
         "The recipe's author expected something else.", "check the recipe, the wearer's facts and the expectation",
         "the recipe", _missed),
)
