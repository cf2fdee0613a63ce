"""Settle a look for one wearer in one house: every zone complete, every value a measure.

Precedence, weakest first: what was inherited, the recipe, its choices, the
adaptations that hold, and what a person picks for this card.
"""

from __future__ import annotations

from typing import Any, TypeVar

from ..syntax.problem import Problem, Span
from ..syntax.suggest import did_you_mean
from . import tables
from .follow_ups import firsthand, without_echoes
from .layers import ADAPTABLE, Layers, Set, build_layers, uncovered
from .look import (
    AccentSaid, By, Choice, FeedSaid, GridSaid, Look, PartSaid, Pencils, PiecesSaid, RoleSaid, Said, StepSaid, Wish,
)
from .misnamed import misnamed
from .model import (
    ZONES, Accent, BlendPart, EndStep, Expectation, Feed, Grid, Hair, HairUse, House, Ornament, Parting,
    Pieces, Product, Recipe, Shade, Start, Wearer, Wearing, ZoneLook,
)
from .overruled import role_wins
from .values import Measure, Origin, default


def settle(
    look: Look, wearer: Wearer, house: House, hairs: dict[str, Hair], ornaments: dict[str, Ornament],
    picks: dict[str, str], problems: list[Problem], swaps: dict[str, str] | None = None,
) -> Recipe | None:
    """The recipe for one card, or None with the reasons in ``problems``."""
    before = len(problems)
    layers = build_layers(look, wearer, picks, problems, look.span)
    settler = _Settler(look, wearer, house, hairs, ornaments, layers, problems, swaps or {})
    recipe = settler.recipe()
    found = problems[before:]
    problems[before:] = firsthand(without_echoes(found), look.lost)
    if not found and not settler.known_mistakes and not look.lost:
        # What was taken over may be idle: this look replaced the line that it is for.
        problems += _idle([unused for unused in layers.unused() if not unused.depth])
    return recipe if len(problems) == before and not found else None


def _idle(unused: list[Set]) -> list[Problem]:
    """Settings that change nothing, told in one message: most often one missing line explains them all."""
    if not unused:
        return []
    first, *others = sorted(unused, key=lambda each: each.setting.span)
    said = f"'{first.setting.text}' ({first.name})"
    message = f"{said} changes nothing in this look" if not others else f"{said} and {len(others)} more change nothing in this look"
    return [Problem("E606", message, "take it out, or add the statement it is meant for", first.setting.span,
                    tuple((f"'{each.setting.text}' ({each.name}) too", each.setting.span) for each in others))]


_Sold = TypeVar("_Sold", Hair, Ornament)


class _Settler:
    """One look being settled. Each method answers one part of the recipe."""

    def __init__(self, look: Look, wearer: Wearer, house: House, hairs: dict[str, Hair],
                 ornaments: dict[str, Ornament], layers: Layers, problems: list[Problem],
                 swaps: dict[str, str]) -> None:
        self.look = look
        self.wearer = wearer
        self.house = house
        self.hairs = hairs
        self.ornaments = ornaments
        self.layers = layers
        self.problems = problems
        self.swaps = swaps
        self.swapped: list[tuple[str, str]] = []
        self.roles: dict[str, HairUse] = {}
        self.used_ornaments: dict[str, Ornament] = {}
        self.grid_groups: dict[Any, int] = {}
        self.known_mistakes = False
        """Whether a mistake was met again that another of the look's variants has told of."""

    def _refuse_unknown_roles(self) -> None:
        """Options and adaptations that cut or change a hair this look doesn't have."""
        declared = [role.role for role in self.look.roles]
        settings = [s for choice in self.look.choices for _, option in choice.options for s in option]
        settings += [s for when in self.look.whens for s in when.settings]
        for setting in settings:
            if setting.slot in ("cut", "hair") and setting.value[0] not in declared:
                if self._misnamed("E616", setting.value[0]):
                    continue
                self._say("E616", f"'{setting.value[0]}' is no hair of this look",
                          did_you_mean(setting.value[0], declared) or f'add it under hair: {setting.value[0]}: "name of the hair"',
                          setting.role_span or setting.span)

    def recipe(self) -> Recipe | None:
        self._refuse_unknown_roles()
        for role in self.look.roles:
            self._declare_role(role)
        left_out = self._left_out()
        zones = self._zones(left_out)
        if all(zone in left_out for zone in ZONES):
            self._say("E610", "every zone is left out, so nothing would be braided",
                      "leave at least one zone in", self.look.span)
        if any(zone is None for zone in zones):
            return None
        self._refuse_idle_swaps()
        used = {part.hair for use in self.roles.values() for part in use.parts}
        parting = self._said("parting", "")
        order = self._said("order", "")
        mirrored = self._said("mirrored", "")
        look = self.look
        return Recipe(
            name=look.name, version=look.version, summary=look.summary, based_on=look.parents,
            zones=tuple(zones), parting=self._parting(parting),
            mirrored=mirrored.value if mirrored else True,
            order=order.value if order else "nape up",
            hairs=tuple(self.roles.values()),
            catalogue=tuple(self._weighed(self.hairs[name]) for name in sorted(used) if name in self.hairs),
            swapped=tuple(self.swapped),
            ornaments=tuple(self.used_ornaments.values()),
            products=tuple(Product(name=n, mass_g=m, origin=o) for n, m, o in look.products),
            choices=self.layers.chosen, taken=self.layers.taken(), undone=tuple(self.layers.undone),
            expects=tuple(Expectation(figure=e.figure, low=e.low, high=e.high, text=e.text,
                                      wearer=e.wearer, house=e.house, origin=e.origin,
                                      dimension=e.dimension)
                          for e in look.expects),
            allows=look.allows, notes=tuple(s.value for s in look.said if s.slot == "note"), demo=look.demo, origin=look.origin,
        )

    # --- looking things up

    def _say(self, code: str, message: str, help: str, span: Span) -> None:
        problem = Problem(code, message, help, span)
        if code == "E616" and any(p.code == code and p.message == message for p in self.problems):
            self.known_mistakes = True
            return  # a hair that isn't declared is one slip, however often it is used
        if problem not in self.problems:  # the same slip shows in every zone it reaches
            self.problems.append(problem)
        else:
            self.known_mistakes = True

    def _misnamed(self, code: str, name: str) -> bool:
        """Whether the slip is in the line that declares a hair or choice; says so there."""
        declared = misnamed(self.look, name)
        if declared is None or declared.name_span is None or isinstance(declared, Choice) != (code == "E609"):
            return False
        what = "choice" if isinstance(declared, Choice) else "hair"
        wrong = declared.name if isinstance(declared, Choice) else declared.role
        self._say(code, f"this look uses '{name}' as a {what}, and '{wrong}' nowhere", did_you_mean(name, (name,)), declared.name_span)
        return True

    def _where(self, heading: str) -> Span:
        """The place to miss something: its heading where that stands with nothing under it, else the look's first line."""
        return dict(self.look.empty).get(heading, self.look.span)

    def _all_said(self, slot: str, zone: str) -> list[Said]:
        """The statements of a slot that hold in a zone: those that name it, else those for all."""
        specific = [s for s in self.look.said if s.slot == slot and zone in s.zones]
        return specific or [s for s in self.look.said if s.slot == slot and not s.zones]

    def _said(self, slot: str, zone: str) -> Said | None:
        found = self._all_said(slot, zone)
        return found[-1] if found else None

    def _measure(self, wish: Wish | None, slot: str, zone: str, base: Said | None = None) -> Measure | None:
        """A wish made a measure: what a layer sets wins over what the recipe says."""
        by = wish.name if isinstance(wish, By) else None
        is_fact = by in ADAPTABLE and by not in self.layers.choice_sets
        found = self.layers.setting(slot, zone, None if is_fact else by, base)
        if isinstance(wish, By) and not self._covered(wish, slot):
            return None
        if found is not None and isinstance(found.setting.value, (Measure, Pencils)):
            value = self._plain(found.setting.value)
            return value.model_copy(update={"origin": found.origin})
        if not isinstance(wish, By):
            return self._plain(wish) if wish is not None else None
        if by in self.layers.choice_sets:
            bare = self.layers.bare(by)
            if bare is not None:
                return bare.setting.value.model_copy(update={"origin": bare.origin})
            option = self.layers.taken_options[by]
            self._say("E607", f"the option '{option}' of '{by}' sets no {_spoken(slot)}",
                      f"add it to the option: {option} is {_spoken(slot)} …", wish.span)
        elif is_fact:
            self._say("E608", f"no clause covers {by} unknown", f"add: when {by} is unknown: {_setting(slot)}", wish.span)
        elif not self._misnamed("E609", by or ""):
            names = [choice.name for choice in self.look.choices]
            self._say("E609", f"'by {by}' names no choice of this look",
                      did_you_mean(by or "", (*names, *ADAPTABLE)), wish.span)
        return None

    def _covered(self, wish: By, slot: str) -> bool:
        """Whether a value left to a fact of the wearer is set for each of its words, whoever this wearer is."""
        if wish.name not in ADAPTABLE or wish.name in self.layers.choice_sets:
            return True
        missing = uncovered(self.look, wish.name, slot)
        if missing:
            self._say("E608", f"no clause covers {wish.name} {', '.join(missing)}",
                      f"add: when {wish.name} is {missing[0]}: {_setting(slot)}", wish.span)
        return not missing

    def _plain(self, value: "Measure | Pencils") -> Measure:
        if isinstance(value, Pencils):
            return Measure(value=float(value.count) * self.house.pencil_mm.value, text=value.text,
                           origin=value.origin)
        return value

    def _count(self, every: "int | By | None", zone: str, base: Said) -> int | None:
        """Stitches between accents or feeds."""
        by = every.name if isinstance(every, By) else None
        is_fact = by in ADAPTABLE and by not in self.layers.choice_sets
        found = self.layers.setting("every", zone, None if is_fact else by, base)
        if found is not None and (not isinstance(every, By) or self._covered(every, "every")):
            return found.setting.value
        if isinstance(every, By):
            return self._measure(every, "every", zone)  # type: ignore[return-value]  # says what is missing
        return every

    # --- hair

    def _declare_role(self, role: RoleSaid) -> None:
        parts = role.parts
        for found in self.layers.everywhere("hair"):
            name, hair, colour, span = found.setting.value
            if name == role.role and not (found.by == "choice" and role_wins(role, "hair", found.choice, found.depth)):
                parts = (PartSaid(hair, colour, 1, span, found.setting.colour_span),)
        parts = tuple(self._swapped_part(part) for part in parts)
        hairs = [hair for part in parts if (hair := self._hair(part)) is not None]
        if len(hairs) != len(parts):
            return
        if len({hair.kind for hair in hairs}) > 1:
            self._say("E611", f"the blend '{role.role}' mixes plain and curly hair",
                      "blend hairs of one kind", role.span)
            return
        cut = role.cut
        for found in self.layers.everywhere("cut"):
            if found.setting.value[0] == role.role and not (found.by == "choice" and role_wins(role, "cut", found.choice, found.depth)):
                cut = found.setting.value[1]
        cut_mm = self._measure(cut, "cut_length", "") if cut is not None else None
        if isinstance(cut, By) and cut_mm is None:
            return
        shortest = min(hairs, key=lambda hair: hair.flat_mm.value)
        if cut_mm is None:
            cut_mm = shortest.flat_mm
        elif cut_mm.value > shortest.flat_mm.value + 0.5:
            self._say("E612", f"'cut {cut_mm.text}' is longer than \"{shortest.name}\", "
                             f"which lies {shortest.flat_mm.text} flat",
                      f"cut at most {shortest.flat_mm.text}", role.span)
        total = sum(part.parts for part in parts)
        blunt = role.blunt or shortest.ends == "tapered" or shortest.kind == "curly"
        pulled = role.pulled or (
            default(0.0, "0", "ends left as they come") if blunt
            else default(tables.TAPER_PULL_MM, "4 in", "ends pulled 4 in when stretched, common practice, no source")
        )
        if pulled.value >= cut_mm.value:
            self._say("E613", f"ends pulled {pulled.text} is more than the piece of {cut_mm.text}",
                      "pull the ends less", role.span)
        self.roles[role.role] = HairUse(
            role=role.role, kind=shortest.kind, cut_mm=cut_mm, pulled_mm=pulled, origin=role.origin,
            fold=0.5 if role.fold is None else role.fold, shades=self._shades(role, parts[0].hair),
            parts=tuple(BlendPart(hair=p.hair, colour=p.colour, share=p.parts / total) for p in parts),
        )

    def _refuse_idle_swaps(self) -> None:
        """A stand-in for a hair that isn't in the look would be silently ignored."""
        for name in self.swaps:
            if name not in {swapped for swapped, _ in self.swapped}:
                used = sorted({part.hair for use in self.roles.values() for part in use.parts})
                self._say("E618", f'"{name}" is not in this look, so nothing can stand in for it',
                          did_you_mean(name, used), self.look.span)

    def _swapped_part(self, part: PartSaid) -> PartSaid:
        """What stands in for a hair on this card; a colour the stand-in lacks falls to its first."""
        instead = self.swaps.get(part.hair)
        if instead is None:
            return part
        if (part.hair, instead) not in self.swapped:
            self.swapped.append((part.hair, instead))
        hair = self.hairs.get(instead)
        colour = part.colour
        if hair is not None and hair.colours and colour not in hair.colours:
            colour = hair.colours[0]
        return PartSaid(instead, colour, part.parts, part.span, part.colour_span)

    def _hair(self, part: PartSaid) -> Hair | None:
        hair = self.hairs.get(part.hair)
        if hair is None:
            self._say("E614", f'there is no hair "{part.hair}" in this book',
                      did_you_mean(part.hair, self.hairs) or f'declare it: hair "{part.hair}"', part.span)
            return None
        if part.colour is not None and hair.colours and part.colour not in hair.colours:
            self._say("E615", f'"{part.hair}" does not come in "{part.colour}"',
                      did_you_mean(part.colour, hair.colours), part.colour_span or part.span)
        return hair

    def _shades(self, role: RoleSaid, name: str) -> tuple[Shade, ...]:
        for colour, _, span in role.shades:
            self._hair(PartSaid(name, colour, 1, span, span))
        return tuple(Shade(from_stitch=stitch, colour=colour, origin=role.origin) for colour, stitch, _ in role.shades)

    def _role_for(self, said: PiecesSaid) -> str | None:
        if said.hair in self.roles:
            return said.hair
        declared = [role.role for role in self.look.roles]
        if said.hair in declared:
            return None  # declared, but wrong: it has its own message
        if not said.quoted:
            if self._misnamed("E616", said.hair):
                return None
            self._say("E616", f"'{said.hair}' is no hair of this look",
                      did_you_mean(said.hair, (*declared, *self.hairs)) if declared else
                      f'add it under hair: — {said.hair}: "name of the hair"', said.span)
            return None
        if said.hair in self.hairs:
            self._declare_role(RoleSaid(said.hair, (PartSaid(said.hair, None, 1, said.span),),
                                        None, None, None, False, (), said.origin, said.span))
            return said.hair
        self._hair(PartSaid(said.hair, None, 1, said.span))
        return None

    def _pieces(self, said: PiecesSaid | None, slot: str, zone: str, base: Said) -> Pieces | None:
        if said is None:
            return None
        role = self._role_for(said)
        held = self._measure(said.held, slot, zone, base)
        if role is None or held is None:
            return None
        return Pieces(count=said.count, role=role, held_mm=held, origin=said.origin)

    # --- zones

    def _left_out(self) -> set[str]:
        out = {zone for said in self.look.said if said.slot == "leave_out" for zone in said.zones}
        for found in self.layers.everywhere("leave_out"):
            out |= set(found.setting.zones)
        return out

    def _zones(self, left_out: set[str]) -> list[ZoneLook | None]:
        """Every zone. Those that no line singles out are alike, so the first of them is settled for all."""
        singled_out = self.layers.singled_out() | {zone for said in self.look.said for zone in said.zones} | {"hairline"}
        alike: ZoneLook | None = None
        found: list[ZoneLook | None] = []
        for zone in ZONES:
            if zone not in singled_out and alike is not None:
                found.append(alike.model_copy(update={"zone": zone}))
                continue
            found.append(self._zone(zone, zone in left_out))
            if zone not in singled_out:
                alike = found[-1]
        return found

    def _zone(self, zone: str, left_out: bool) -> ZoneLook | None:
        technique = self._said("technique", zone)
        kind, tight = technique.value if technique else ("plait", None)
        tightness = self.layers.setting("tightness", zone, base=technique if technique and tight else None)
        grid = self._grid(zone, kind)
        wearing = self._wearing(zone)
        start = self._start(zone)
        feeds = self._feeds(zone)
        accents = self._accents(zone)
        end = self._end(zone)
        if grid is None or wearing is None or start is None:
            return None
        return ZoneLook(
            zone=zone, left_out=left_out, technique=kind,
            tightness=tightness.setting.value if tightness else (tight or "ordinary"),
            grid=grid, wearing=wearing, start=start, feeds=feeds, accents=accents, end=end,
        )

    def _grid(self, zone: str, technique: str) -> Grid | None:
        said = self._said("grid", zone)
        found = self.layers.setting("grid", zone, base=said)
        if said is None and found is None:
            self._say("E620", f'"{self.look.name}" does not say how the head is parted',
                      "add to sections: grid brick ¾ in", self._where("sections"))
            return None
        base: GridSaid = said.value if said else found.setting.value  # type: ignore[union-attr]
        origin = said.origin if said else found.origin  # type: ignore[union-attr]
        shape, direction = base.shape, base.direction
        height: Wish | None = base.height
        width: Wish | None = base.width
        count = base.count
        if isinstance(height, By):
            size = self._grid_by(height, zone)
            if size is None:
                return None
            height, width, count, shape, direction, origin = size[0], size[1], size[2], shape or size[3], direction or size[4], size[5]
        elif found is not None and said is not None:
            new: GridSaid = found.setting.value
            height, width, count = new.height, new.width, new.count
            shape, direction, origin = new.shape or shape, new.direction or direction, found.origin
        hairline = self._hairline(zone, shape)
        if hairline is not None and not (said is not None and zone in said.zones):
            shape, height, width, count, origin = hairline[0], hairline[1], None, None, hairline[2]
        shape = shape or ("rows" if technique == "row" else "square")
        if (shape == "rows") != (technique == "row"):
            span = said.span if said else self.look.span
            self._say("E621", f"this is {'worked in scalp rows' if technique == 'row' else 'parted in rows'}, "
                             f"but {'parted in sections' if technique == 'row' else 'worked in single strands'}",
                      "say both for the same zones: technique scalp rows in top, and grid rows straight back 1 in in top",
                      span)
            return None
        key = (shape, direction, id(said) if said else 0, str(height), str(count))
        group = self.grid_groups.setdefault(key, len(self.grid_groups))
        return Grid(shape=shape, direction=direction or "straight back", count=count, group=group, origin=origin,
                    height_mm=None if height is None else self._plain(height),  # type: ignore[arg-type]
                    width_mm=None if width is None else self._plain(width))  # type: ignore[arg-type]

    def _grid_by(self, wish: By, zone: str) -> tuple[Any, ...] | None:
        is_fact = wish.name in ADAPTABLE and wish.name not in self.layers.choice_sets
        found = self.layers.setting("grid", zone, None if is_fact else wish.name)
        if found is not None:
            grid: GridSaid = found.setting.value
            return grid.height, grid.width, grid.count, grid.shape, grid.direction, found.origin
        measure = self._measure(wish, "grid", zone)
        return None if measure is None else (measure, None, None, None, None, measure.origin)

    def _hairline(self, zone: str, shape: str | None) -> tuple[str | None, Measure, Origin] | None:
        if zone != "hairline":
            return None
        said = self._said("hairline", "")
        wish = said.value[1] if said else None
        size = self._measure(wish, "hairline", zone, said)
        if size is None:
            return None
        own_shape = (said.value[0] if said else None) or (shape if shape != "rows" else "square")
        return own_shape, size, said.origin if said else size.origin

    def _wearing(self, zone: str) -> Wearing | None:
        said = self._said("wearing", zone)
        value = said.value if said else None
        by = value.name if isinstance(value, By) else None
        found = self.layers.setting("wearing", zone, by if by in self.layers.choice_sets else None, said)
        if isinstance(value, By) and not self._covered(value, "wearing"):
            return None
        if found is not None:
            value = found.setting.value
        if isinstance(value, tuple):
            return Wearing(level=value[1], origin=found.origin if found else said.origin)  # type: ignore[union-attr]
        length = self._measure(value, "wearing", zone, said)
        if length is None:
            if value is None:
                self._say("E622", f'"{self.look.name}" does not say how long it is worn',
                          "add a line: wearing 18 in", self._where("wearing"))
            return None
        return Wearing(length_mm=length, origin=length.origin)

    def _start(self, zone: str) -> Start | None:
        said = self._said("start", zone)
        if said is None:
            self._say("E623", f'"{self.look.name}" does not say how a strand starts',
                      "add a line: start: extension at root, 1 piece of base ½ pencil", self._where("start"))
            return None
        kind, own, pieces = said.value
        kinds = {"extension": "extension", "own_first": "own hair first", "own_only": "own hair only", "knotted": "knotted"}
        pieces_found = self._pieces(pieces, "first_piece", zone, said)
        if pieces is not None and pieces_found is None:
            return None
        own_mm = self._measure(own, "own", zone, said) if kind == "own_first" else None
        return Start(kind=kinds[kind], own_mm=own_mm, pieces=pieces_found, origin=said.origin)

    def _feeds(self, zone: str) -> tuple[Feed, ...]:
        feeds = []
        for said in self._all_said("feed", zone):
            value: FeedSaid = said.value
            if value.kind == "none":
                continue
            pieces = self._pieces(value.pieces, "pieces", zone, said)
            width = self._measure(value.width, "width", zone, said) if value.width is not None else None
            every = self._feed_every(value)
            if pieces is None or (value.width is not None and width is None):
                continue
            feeds.append(Feed(kind=value.kind, pieces=pieces, width_mm=width, stitches=value.stitches,
                              every=every, first=value.first, last=value.last, origin=said.origin))
        return tuple(feeds)

    def _feed_every(self, value: FeedSaid) -> int | None:
        if isinstance(value.every, By):
            self._say("E120", f"feeding every so many stitches 'by {value.every.name}' is not built yet",
                      "write the number of stitches: every 4 stitches", value.every.span)
            return None
        return value.every

    def _accents(self, zone: str) -> tuple[Accent, ...]:
        accents = []
        for said in self._all_said("accents", zone):
            value: AccentSaid = said.value
            if value.kind == "none":
                continue
            pieces = self._pieces(value.pieces, "accent_piece", zone, said)
            if value.pieces is not None and pieces is None:
                continue
            if value.ornament is not None and not self._ornament(value.ornament, value.span or said.span):
                continue
            every = self._count(value.every, zone, said) if value.every is not None else None
            if value.every is not None and every is None:
                continue
            accents.append(Accent(
                every=every, stitches=value.stitches, first=value.first, last=value.last, pieces=pieces,
                ornament=value.ornament, ornament_count=value.ornament_count, side=value.side,
                stagger=value.stagger, origin=said.origin,
            ))
        return tuple(accents)

    def _ornament(self, name: str, span: Span) -> bool:
        ornament = self.ornaments.get(name)
        if ornament is None:
            self._say("E617", f'there is no ornament "{name}" in this book',
                      did_you_mean(name, self.ornaments) or f'declare it: ornament "{name}"', span)
            return False
        self.used_ornaments[name] = self._priced(ornament)
        return True

    def _end(self, zone: str) -> tuple[EndStep, ...]:
        steps = []
        for said in self._all_said("end", zone):
            value: StepSaid = said.value
            if value.kind == "none":
                continue
            if value.ornament is not None and not self._ornament(value.ornament, value.span or said.span):
                continue
            steps.append(EndStep(kind=value.kind, turns=value.turns, temperature_c=value.temperature,
                                 seconds=value.seconds, length_mm=value.length, rod_mm=value.rod,
                                 ornament=value.ornament, ornament_count=value.ornament_count, origin=said.origin))
        return tuple(steps)

    def _weighed(self, hair: Hair) -> Hair:
        """The hair with the pack weight this house has found on its own scale, and the price it pays."""
        grams = dict(self.house.pack_weights).get(hair.name)
        if grams is not None:
            hair = hair.model_copy(update={"pack_g": grams})
        return self._priced(hair)

    def _priced(self, thing: _Sold) -> _Sold:
        price = dict(self.house.prices).get(thing.name)
        if price is None:
            return thing
        return thing.model_copy(update={"price": price, "currency": self.house.currency})

    def _parting(self, said: Said | None) -> Parting:
        if said is None:
            return Parting(origin=Origin(kind="default", where="centre parting where none is said"))
        kind, side, offset = said.value
        if kind == "zigzag":
            return Parting(kind="side" if side else "centre", side=side, zigzag=True, origin=said.origin)
        return Parting(kind=kind, side=side, offset_mm=offset, origin=said.origin)


def _setting(slot: str) -> str:
    """A setting of a slot as a ``when`` writes it."""
    return "wearing 18 in" if slot == "wearing" else _spoken(slot)


def _spoken(slot: str) -> str:
    return {"every": "every 9 stitches", "grid": "grid ½ in", "width": "width 7 mm", "wearing": "18 in",
            "pieces": "pieces ½ pencil", "first_piece": "first piece ½ pencil",
            "accent_piece": "accent piece ¼ pencil", "hairline": "hairline ½ in", "own": "own hair 1½ in",
            }.get(slot, slot.replace("_", " "))
