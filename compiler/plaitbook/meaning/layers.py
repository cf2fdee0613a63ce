"""Who sets what: choices over the recipe, adaptations over choices, a person's picks over all.

The result answers one question, :meth:`Layers.setting`: does anything set
this slot in this zone, and who? It also remembers what was used, because a
setting that changes nothing is a mistake the stylist wants to hear of.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ..syntax.problem import Problem, Span
from ..syntax.suggest import did_you_mean, spoken_list
from .conditions import Any_, Compared, Condition, Every, IsWord, Not, joined, read_condition
from .look import Look, Overruled, Said, Setting, When
from .model import Taken, Wearer
from .reading import Reading, units_for
from .values import Origin, OriginKind

ADAPTABLE = {
    "strand": ("fine", "medium", "coarse"),
    "density": ("sparse", "medium", "dense"),
    "texture": ("straight", "wavy", "curly", "coily"),
    "edges": ("healthy", "thin", "fragile"),
    "hairline": ("ordinary", "low", "high", "receding"),
    "scalp": ("healthy", "dry", "flaking", "sore", "broken", "infected"),
    "shedding": ("ordinary", "heavy"),
    "chemical service": ("none", "relaxer", "bleach", "colour", "perm"),
    "tender head": ("yes", "no"),
    "past breakage": ("yes", "no"),
    "reacts to added hair": ("yes", "no"),
}
"""Facts of the wearer that ``when`` can test by word, with their words."""

MEASURED = {"age": "time", "own hair": "length", "circumference": "length", "layers": "length"}
"""Facts that ``when`` can compare, with their dimensions."""

_FIELDS = {"chemical service": "chemical", "tender head": "tender", "reacts to added hair": "reacts_to_added_hair",
           "past breakage": "past_breakage", "age": "age_years", "own hair": "own_mm",
           "circumference": "circumference_mm", "layers": "layers_mm"}
_TAKEN_AS = {"strand": "medium", "density": "medium"}
_SECONDS_A_YEAR = 31556952


@dataclass(frozen=True)
class Set:
    """A setting in force."""

    setting: Setting
    by: OriginKind
    name: str
    """The choice and option, or the condition."""
    origin: Origin
    depth: int = 0
    """How many looks back its choice or condition was inherited from."""

    @property
    def choice(self) -> str:
        """The choice's name."""
        return self.name.split(" = ")[0]

    def yields_to(self, base: "Said | None") -> bool:
        """A choice gives way to a line that names its zones, or that a look nearer to this one says."""
        if base is None:
            return False
        return base.depth < self.depth or (bool(base.zones) and not self.setting.zones)


@dataclass
class Layers:
    """Settings in force, weakest layer first."""

    chosen: tuple[tuple[str, str], ...]
    choice_sets: dict[str, tuple[Set, ...]]
    when_sets: tuple[Set, ...]
    picked: frozenset[str]
    whens: tuple[When, ...]
    taken_options: dict[str, str]
    """Every choice's option, overruled choices included."""
    used: set[Span] = field(default_factory=set)
    undone: list[str] = field(default_factory=list)

    def setting(self, slot: str, zone: str, by: str | None = None, base: Said | None = None) -> Set | None:
        """What sets ``slot`` in ``zone`` over the line ``base``; with ``by`` only that choice counts."""
        if by is not None:
            standing = list(self.choice_sets.get(by, ()))
        else:
            standing = [s for sets in self.choice_sets.values() for s in sets if not s.yields_to(base)]
        choice = self._find(standing, slot, zone)
        named = base is not None and bool(base.zones) and by is None and slot != "tightness"
        adapted = self._find([s for s in self.when_sets if not named or s.setting.zones], slot, zone)
        if choice is not None and adapted is not None:
            if choice.name.split(" = ")[0] in self.picked:
                sentence = (f"picking {choice.name} sets {choice.setting.text}, which undoes the adaptation "
                            f"'when {adapted.name}: {adapted.setting.text}'")
                if sentence not in self.undone:
                    self.undone.append(sentence)
                self.used.add(adapted.setting.span)
                return choice
            self.used.add(choice.setting.span)
            return adapted
        return adapted or choice

    def bare(self, by: str) -> Set | None:
        """The value of a choice's option that names no slot: ``waist is 24 in``."""
        return self._find(self.choice_sets.get(by, ()), "bare", "")

    def everywhere(self, slot: str) -> list[Set]:
        """All settings of a slot in force, weakest first."""
        found = [s for sets in self.choice_sets.values() for s in sets if s.setting.slot == slot]
        found += [s for s in self.when_sets if s.setting.slot == slot]
        self.used.update(s.setting.span for s in found)
        return found

    def _find(self, sets: "tuple[Set, ...] | list[Set]", slot: str, zone: str) -> Set | None:
        general = specific = None
        for each in sets:
            if each.setting.slot == slot:
                if zone in each.setting.zones:
                    specific = each
                elif not each.setting.zones:
                    general = each
        found = specific or general
        if found is not None:  # clauses that say the same are all of use
            self.used.update(each.setting.span for each in sets
                             if each.setting.slot == slot and each.setting.text == found.setting.text)
        return found

    def singled_out(self) -> set[str]:
        """Zones that some setting in force names."""
        standing = (*self.when_sets, *(each for sets in self.choice_sets.values() for each in sets))
        return {zone for each in standing for zone in each.setting.zones}

    def taken(self) -> tuple[Taken, ...]:
        """Choices and adaptations that shaped the card."""
        rows = []
        for name, option in self.chosen:
            sets = self.choice_sets.get(name, ())
            origin = sets[0].origin if sets else Origin(kind="choice", where=f"choice {name}")
            rows.append(Taken(what=f"{name} = {option}", sets=tuple(s.setting.text for s in sets),
                              by="pick" if name in self.picked else "choice", origin=origin))
        by_condition: dict[str, list[Set]] = {}
        for each in self.when_sets:
            by_condition.setdefault(each.name, []).append(each)
        for name, found in by_condition.items():
            rows.append(Taken(what=name, sets=tuple(s.setting.text for s in found), by="when",
                              origin=found[0].origin))
        return tuple(rows)

    def unused(self) -> list[Set]:
        """Settings in force that changed nothing."""
        everything = [s for sets in self.choice_sets.values() for s in sets] + list(self.when_sets)
        return [s for s in everything if s.setting.span not in self.used]


def build_layers(
    look: Look, wearer: Wearer, picks: dict[str, str], problems: list[Problem], where: Span
) -> Layers:
    """The layers of one look for one wearer. ``picks`` are choices made for this card."""
    _refuse_unknown_picks(look, picks, problems, where)
    chosen: list[tuple[str, str]] = []
    choice_sets: dict[str, tuple[Set, ...]] = {}
    options: dict[str, str] = {}
    overruled = {each.choice.name for each in look.overruled}
    for choice in look.all_choices():
        option = choice.default if choice.name in overruled else picks.get(choice.name, choice.default)
        settings = choice.option(option)
        if settings is None:  # a wrong pick has its message already
            option, settings = choice.default, choice.option(choice.default)
        if settings is None:
            continue
        options[choice.name] = option
        if choice.name not in overruled:
            chosen.append((choice.name, option))
        origin = choice.origin.model_copy(update={"kind": "choice"})
        choice_sets[choice.name] = tuple(
            Set(s, "choice", f"{choice.name} = {option}", origin, choice.depth) for s in settings
        )
    when_sets: list[Set] = []
    for when in look.whens:
        reading = Reading(when.statement, "when", f'recipe "{look.name}"', problems)
        condition = read_condition(reading, when.condition)
        if condition is None or not _known(condition, reading, look):
            continue
        if holds(condition, wearer, options, reading):
            origin = when.origin.model_copy(update={"kind": "when"})
            when_sets += [Set(s, "when", when.text, origin, when.depth) for s in when.settings]
    _refuse_conflicts(when_sets, problems)
    return Layers(tuple(chosen), choice_sets, tuple(when_sets), frozenset(picks), look.whens, options)


def _refuse_unknown_picks(look: Look, picks: dict[str, str], problems: list[Problem], where: Span) -> None:
    choices = {choice.name: choice for choice in look.choices}
    overruled = {each.choice.name: each for each in look.overruled}
    for name, option in picks.items():
        if name in overruled:
            problems.append(_overruled(look, overruled[name], option))
        elif name not in choices:
            help_text = did_you_mean(name, choices) if choices else "this look has no choices"
            problems.append(Problem("E601", f"'{name}' is not a choice of \"{look.name}\"", help_text, where))
        elif choices[name].option(option) is None:
            options = [o for o, _ in choices[name].options]
            problems.append(Problem("E602", f"'{option}' is not an option of '{name}'",
                                    did_you_mean(option, options), choices[name].span))


def _overruled(look: Look, gone: Overruled, option: str) -> Problem:
    """A pick of a choice that lines of this look, or of one that it is based on, leave nothing to."""
    owners: dict[str, list[str]] = {}
    for line in gone.by:
        text = line.text if len(line.text) <= 60 else f"{line.text[:57].rstrip()}…"
        itself = " itself" if line.look == look.name and line.look not in owners else ""
        owners.setdefault(line.look, []).append(f"'{text}'{itself} ({line.span.file}:{line.span.line})")
    says = [f'"{owner}" says {spoken_list(lines, "and")}' for owner, lines in owners.items()] or [f'"{look.name}" leaves nothing to it']
    way = f'say what you want in a line of "{look.name}"'
    if set(owners) == {look.name}:  # a line of another look is not for taking out
        way = f"take {'that line' if len(gone.by) == 1 else 'those lines'} out"
    span = next((line.span for line in gone.by if line.look == look.name), look.span)
    return Problem("E601", f"{spoken_list(says, 'and')}, so there is no choice '{gone.choice.name}' any more",
                   f"leave {gone.choice.name}={option} out, or {way}", span)


def _refuse_conflicts(sets: list[Set], problems: list[Problem]) -> None:
    seen: dict[tuple[str, str], Set] = {}
    for each in sets:
        key_name = each.setting.slot
        if key_name in ("cut", "hair"):
            key_name += f" {each.setting.value[0]}"
        for zone in each.setting.zones or ("",):
            earlier = seen.setdefault((key_name, zone), each)
            if earlier is not each and earlier.setting.text != each.setting.text:
                problems.append(Problem(
                    "E603", f"two adaptations both hold and disagree: '{earlier.setting.text}' "
                           f"and '{each.setting.text}'",
                    "make one condition narrower, or join them in one line",
                    each.setting.span, (("the other is here", earlier.setting.span),),
                ))


def _known(condition: Condition, reading: Reading, look: Look) -> bool:
    """Whether every fact and word of a condition exists; says so where one doesn't."""
    if isinstance(condition, (Every, Any_)):
        return all([_known(part, reading, look) for part in condition.parts])
    if isinstance(condition, Not):
        return _known(condition.part, reading, look)
    choices = {choice.name: [o for o, _ in choice.options] for choice in look.all_choices()}
    if isinstance(condition, IsWord):
        words = ADAPTABLE.get(condition.fact) or choices.get(condition.fact)
        if words is None:
            reading.say("E604", f"'{condition.fact}' is nothing a recipe can adapt to",
                        did_you_mean(condition.fact, (*ADAPTABLE, *MEASURED, *choices)), condition.fact_node or condition.node)
            return False
        for word, node in zip(condition.words, condition.word_nodes):
            if word not in (*words, "unknown"):
                reading.say("E605", f"'{reading.quote(node)}' is not one of the words for '{condition.fact}'",
                            did_you_mean(word, words), node)
                return False
        return True
    if isinstance(condition, Compared):
        dimension = MEASURED.get(condition.fact)
        if dimension is None:
            reading.say("E604", f"'{condition.fact}' can't be compared with a number",
                        did_you_mean(condition.fact, MEASURED), joined(condition.fact_nodes))
            return False
        if condition.bound.kind != "measure":
            reading.say("E105", f"'{reading.quote(condition.bound)}' has no unit",
                        units_for(reading.quote(condition.bound), "age" if dimension == "time" else dimension), condition.bound)
            return False
        return reading.amount(condition.bound, dimension) is not None
    reading.say("E604", f"'{reading.quote(condition.node)}' is for a house's rule; a recipe adapts to the wearer",
                "write a fact of the wearer: strand is fine", condition.node)
    return False


def holds(condition: Condition, wearer: Wearer, chosen: dict[str, str], reading: Reading) -> bool:
    """Whether a condition is true of this wearer; an unknown fact makes a comparison false."""
    if isinstance(condition, Every):
        return all(holds(part, wearer, chosen, reading) for part in condition.parts)
    if isinstance(condition, Any_):
        return any(holds(part, wearer, chosen, reading) for part in condition.parts)
    if isinstance(condition, Not):
        return not holds(condition.part, wearer, chosen, reading)
    if isinstance(condition, IsWord):
        value = chosen.get(condition.fact) or fact_word(wearer, condition.fact)
        return (value in condition.words) != condition.negated
    if isinstance(condition, Compared):
        measure = getattr(wearer, _FIELDS.get(condition.fact, condition.fact))
        bound = reading.amount(condition.bound, MEASURED[condition.fact])
        if measure is None or bound is None:
            return False
        limit = float(bound) / (_SECONDS_A_YEAR if condition.fact == "age" else 1)
        return {">": measure.value > limit, "<": measure.value < limit,
                ">=": measure.value >= limit, "<=": measure.value <= limit}[condition.operator]
    return False


def fact_field(fact: str) -> str:
    """The wearer model's field for a fact's words."""
    return _FIELDS.get(fact, fact)


def fact_word(wearer: Wearer, fact: str) -> str:
    """The wearer's word for a fact: its value, what it is taken as, or ``unknown``."""
    value = getattr(wearer, _FIELDS.get(fact, fact), None)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value or _TAKEN_AS.get(fact, "unknown")


def uncovered(look: Look, fact: str, slot: str) -> list[str]:
    """Words of a fact for which no ``when`` sets a slot: what an open value still lacks."""
    covered: set[str] = set()
    words = ADAPTABLE[fact]
    for when in look.whens:
        if any(s.slot == slot for s in when.settings):
            condition = read_condition(Reading(when.statement, "when", look.name, []), when.condition)
            if isinstance(condition, IsWord) and condition.fact == fact:
                named = set(condition.words)
                covered |= set(words) - named if condition.negated else named
    return [word for word in words if word not in covered]
