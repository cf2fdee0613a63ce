"""Choices that a look took over and that lines nearer to it leave nothing to.

Such a choice is none of the look's any more: it isn't picked, tried or printed. What its default still sets
besides (a cut that went with a length) stays as the base says it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Iterator, NamedTuple

from .conditions import read_condition
from .look import ACCUMULATE, By, Choice, Look, Nearer, Overruled, RoleSaid, Said, Setting, in_order
from .model import ZONES
from .reading import Reading
from .variants import names_in

_SAID_BY = {"tightness": ("technique",), "grid": ("grid",), "hairline": ("hairline",), "wearing": ("wearing",),
            "width": ("feed",), "pieces": ("feed",), "first_piece": ("start",), "own": ("start",),
            "accent_piece": ("accents",), "every": ("accents",), "leave_out": ("leave_out",)}
"""What an option sets -> the lines of a look that say it themselves."""
_SAID_BESIDE = ("hairline", "grid", "leave_out")
"""Lines that may take away what an option sets without saying it themselves."""
_LENGTHS = ("wearing", "bare")
"""What a cut in the same option goes with: a cut for a length that nobody can have is no reason to choose."""


class _Place(NamedTuple):
    """Somewhere that a setting may take effect."""

    slot: str
    zone: str
    by: str | None
    """The choice or fact that the line leaves it to."""
    said: Said | None


def sift(look: Look, base: Look) -> Look:
    """A look laid over its base, without the inherited choices that change nothing in it any more."""
    earlier = {each.choice.name: each for each in base.overruled}
    own = {choice.name for choice in look.choices if not choice.depth}
    returning = [replace(each.choice, depth=each.choice.depth + 1) for each in base.overruled if each.choice.name not in own]
    whole = replace(look, choices=in_order((*look.choices, *returning)), overruled=())
    if not any(choice.depth for choice in whole.choices):
        return whole
    here = tuple(_places(whole))
    idle = [choice for choice in whole.choices if choice.depth and not _counts(whole, choice, here)]
    if not idle:
        return whole
    there, gone = tuple(_places(base)), []
    for choice in idle:
        before = earlier.get(choice.name)
        was = before.choice if before else next(each for each in base.choices if each.name == choice.name)
        if before or _counts(base, was, there):  # one that never changed anything is its own look's mistake
            gone.append(Overruled(choice, _nearer(look, was, base, there, before.by if before else ())))
    names = {each.choice.name for each in gone}
    return replace(whole, choices=tuple(c for c in whole.choices if c.name not in names), overruled=tuple(gone))


def _counts(look: Look, choice: Choice, places: tuple[_Place, ...]) -> bool:
    """Whether it matters to a look which option is taken."""
    return (any(place.by == choice.name for place in places)
            or any(isinstance(role.cut, By) and role.cut.name == choice.name for role in look.roles)
            or any(True for _ in _effects(look, choice, places))
            or _asked_for(look, choice, places))


def _effects(look: Look, choice: Choice, places: tuple[_Place, ...]) -> Iterator[Setting]:
    """Settings of a choice's options that change something."""
    for _, option in choice.options:
        found = [setting for setting in option if setting.slot != "bare" and _lands(look, choice, setting, places)]
        idle_length = any(s.slot in _LENGTHS and s not in found for s in option) and not any(s.slot in _LENGTHS for s in found)
        yield from (setting for setting in found if not (setting.slot == "cut" and idle_length))


def _lands(look: Look, choice: Choice, setting: Setting, places: tuple[_Place, ...]) -> bool:
    """Whether a setting gets anywhere past the lines that are nearer, and past later choices."""
    if setting.slot in ("cut", "hair"):
        role = next((role for role in look.roles if role.role == setting.value[0]), None)
        return role is not None and not role_wins(role, setting.slot, choice.name, choice.depth) and not _outdone(look, choice, setting, None)
    if setting.slot == "leave_out":
        return not set(setting.zones) <= _left_out(look)
    names = {each.name for each in look.all_choices()}
    for place in places:
        if place.slot != setting.slot or (setting.zones and place.zone not in setting.zones):
            continue
        if place.by == choice.name:
            return True
        if place.by in names and place.slot != "wearing":
            continue
        if not _yields(choice, setting, place) and not _outdone(look, choice, setting, place):
            return True
    return False


def role_wins(role: RoleSaid, slot: str, choice: str, depth: int) -> bool:
    """Whether a line under ``hair`` says for itself what a choice taken over from farther back sets (a cut, a hair)."""
    if role.depth >= depth or (slot == "cut" and role.cut is None):
        return False
    return not (slot == "cut" and isinstance(role.cut, By) and role.cut.name == choice)


def _yields(choice: Choice, setting: Setting, place: _Place) -> bool:
    said = place.said
    return said is not None and (said.depth < choice.depth or bool(said.zones and not setting.zones))


def _outdone(look: Look, choice: Choice, setting: Setting, place: _Place | None) -> bool:
    """Whether a later choice sets the same whichever of its options is taken."""
    def sets(later: Choice, other: Setting) -> bool:
        if other.slot != setting.slot or (place is None and other.value[0] != setting.value[0]):
            return False
        if place is None:
            return True
        return (place.zone in other.zones or not (other.zones or setting.zones)) and not _yields(later, other, place)

    choices = look.all_choices()
    later = choices[choices.index(choice) + 1:]
    return any(all(any(sets(each, other) for other in option) for _, option in each.options) for each in later)


def _asked_for(look: Look, choice: Choice, places: tuple[_Place, ...]) -> bool:
    """Whether an adaptation that can change something asks which option was taken."""
    for when in look.whens:
        condition = read_condition(Reading(when.statement, "when", look.name, []), when.condition)
        if condition is None or choice.name not in names_in(condition):
            continue
        if not when.depth or any(_adapts(look, setting, places) for setting in when.settings):
            return True
    return False


def _adapts(look: Look, setting: Setting, places: tuple[_Place, ...]) -> bool:
    if setting.slot in ("cut", "hair"):
        return any(role.role == setting.value[0] for role in look.roles)
    if setting.slot == "leave_out":
        return not set(setting.zones) <= _left_out(look)
    for place in places:
        named = place.said is not None and place.said.zones and setting.slot != "tightness"
        if place.slot == setting.slot and (place.zone in setting.zones if setting.zones else not named):
            return True
    return False


def _left_out(look: Look) -> set[str]:
    return {zone for said in look.said if said.slot == "leave_out" for zone in said.zones}


def _places(look: Look) -> Iterator[_Place]:
    """Where settings take effect, in the zones that a look braids: as :mod:`.settle` asks for them."""
    out = _left_out(look)
    by_slot: dict[str, list[Said]] = {}
    for each in look.said:
        by_slot.setdefault(each.slot, []).append(each)

    def said(slot: str, zone: str) -> list[Said]:
        lines = by_slot.get(slot, [])
        return [each for each in lines if zone in each.zones] or [each for each in lines if not each.zones]

    for zone in ZONES:
        if zone in out:
            continue
        technique, grid, wearing = (next(iter(said(slot, zone)[-1:]), None) for slot in ("technique", "grid", "wearing"))
        yield _Place("tightness", zone, None, technique if technique and technique.value[1] else None)
        yield _Place("wearing", zone, _by(wearing.value) if wearing else None, wearing)
        size = said("hairline", "") if zone == "hairline" and not (grid and zone in grid.zones) else []
        if zone == "hairline" and not (grid and zone in grid.zones):
            yield _Place("hairline", zone, _by(size[-1].value[1]) if size else None, size[-1] if size else None)
        if not size or size[-1].value[0] in (None, "rows"):  # else the hairline says both its shape and its size
            yield _Place("grid", zone, _by(grid.value.height) if grid else None, grid)
        for line in said("start", zone)[-1:]:
            kind, own, pieces = line.value
            if pieces is not None:
                yield _Place("first_piece", zone, _by(pieces.held), line)
            if kind == "own_first":
                yield _Place("own", zone, _by(own), line)
        for slot, held in (("feed", "pieces"), ("accents", "accent_piece")):
            for line in said(slot, zone):
                if line.value.pieces is not None:
                    yield _Place(held, zone, _by(line.value.pieces.held), line)
                if slot == "feed" and line.value.width is not None:
                    yield _Place("width", zone, _by(line.value.width), line)
                if slot == "accents" and line.value.every is not None:
                    yield _Place("every", zone, _by(line.value.every), line)


def _by(wish: object) -> str | None:
    return wish.name if isinstance(wish, By) else None


def _nearer(look: Look, choice: Choice, base: Look, places: tuple[_Place, ...], before: tuple[Nearer, ...]) -> tuple[Nearer, ...]:
    """The lines that leave nothing to a choice of the base: this look's own, then those that did so in the base already."""
    effects = tuple(_effects(base, choice, places))
    slots = {line.slot for line in before} | {slot for effect in effects for slot in _SAID_BY.get(effect.slot, ())}
    slots |= {place.said.slot for place in places if place.by == choice.name and place.said is not None}
    slots |= {f"hair {effect.value[0]}" for effect in effects if effect.slot in ("cut", "hair")}
    own: list[tuple[str, Said | RoleSaid | Choice]] = [(said.slot, said) for said in look.said if not said.depth]
    own += [(f"hair {role.role}", role) for role in look.roles if not role.depth]
    found = [(slot, line) for slot, line in own if slot in slots]
    if not found and not before:
        found = [(slot, line) for slot, line in own if slot in _SAID_BESIDE]
        found += [("choices", each) for each in look.choices if not each.depth]
    found.sort(key=lambda each: each[1].span)
    return (*(Nearer(look.name, slot, _written(line), line.span) for slot, line in found), *before)


def _written(line: Said | RoleSaid | Choice) -> str:
    """A line with the word or the heading it begins with."""
    slot = line.slot if isinstance(line, Said) else ""
    if slot in ("wearing", "technique"):
        return f"{slot} {line.text}"
    return f"{slot}: {line.text}" if slot in ACCUMULATE or slot == "start" else line.text
