"""What a look and a plan are made of, by meaning, and their hashes.

The *look* is the recipe with all it inherits, every choice and every
adaptation it holds, the catalogue's hairs and ornaments it can use, and the
house's rules that judge it. Nothing of a wearer or of a house's money and
rates is in it, so it is one and the same for every client.

The *plan* is that look with the choices taken, the wearer, the house and its
rates, learned ones included.
"""

from __future__ import annotations

from typing import Any, Iterator, Mapping

from ..meaning.conditions import Any_, Compared, Condition, Every, IsWord, Not, read_condition
from ..meaning.layers import MEASURED
from ..meaning.look import ACCUMULATE, AccentSaid, Look, PiecesSaid, Said, StepSaid, When
from ..meaning.model import ZONES, Hair, House, Ornament, Rate, Recipe, Wearer
from ..meaning.reading import Reading
from .aloud import aloud
from .canonical import Plain, digest, kept, number, plain
from .model import Seal

LOOK, PLAN = "plaitbook look 1", "plaitbook plan 1"
"""What a hash is of. The number rises when a look of the same meaning would be written down otherwise."""

Ingredients = dict[str, Plain]
"""What it is, in words (``hair "Dune"``, ``feed in nape``) -> what it says."""


def look_ingredients(look: Look, hairs: Mapping[str, Hair], ornaments: Mapping[str, Ornament],
                     rules: Mapping[str, Any]) -> Ingredients:
    """What a look, inheritance done, is made of. ``rules`` are the house's own by their codes."""
    found: Ingredients = {"name": look.name, "version": look.version, "summary": look.summary}
    if look.demo:
        found["demo"] = True
    if look.parents:
        found["based on"] = list(look.parents)
        found["what is inherited"] = _inherited(look)
    found |= _statements(look)
    choices = look.all_choices()  # also an overruled one: what its default sets besides stays in force
    found |= {f"choice {choice.name}": plain(choice) for choice in choices}
    if len(choices) > 1:
        found["order of the choices"] = [choice.name for choice in choices]
    found |= {f"hair {role.role}": plain(role) for role in look.roles}
    if len(look.roles) > 1:
        found["order of the hairs"] = [role.role for role in look.roles]
    for when in look.whens:
        condition = _condition(when, look)
        found.setdefault(f"when {_spoken(condition)}", []).append([condition, plain(when.settings)])
    for expect in look.expects:
        if expect.wearer is None and expect.house is None:
            found.setdefault(f"expect {expect.figure}", []).append(plain(expect))
    for allow in look.allows:
        found[f"allow {allow.code}"] = allow.reason
    if look.products:
        found["finish"] = plain(look.products)
    used = sorted({name for name in used_names(look)})
    found |= {f'hair "{name}"': kept(hairs[name]) for name in used if name in hairs}
    found |= {f'ornament "{name}"': kept(ornaments[name]) for name in used if name in ornaments}
    found |= {f"rule {code}": kept(rule) for code, rule in rules.items()}
    return found


def plan_ingredients(look: str, recipe: Recipe, wearer: Wearer, house: House, rates: Mapping[str, Rate],
                     compiler: str) -> Ingredients:
    """What a plan is made of, besides the look whose hash is ``look``. ``rates`` are all that the clock uses."""
    facts = {f"the house's {name.replace('_', ' ')}": value for name, value in kept(house).items() if name != "rates"}
    found = {"look": look, "wearer": kept(wearer), "compiler": compiler, **facts,
             **{f"rate {name}": kept(rate) for name, rate in rates.items()}}
    found |= {f"choice {name}": option for name, option in recipe.choices}
    picked = [taken.what for taken in recipe.taken if taken.by == "pick"]
    if picked:  # a pick may undo an adaptation, also where it takes what would have been taken anyway
        found["picked"] = picked
    for old, new in recipe.swapped:
        found[f'instead of "{old}"'] = plain(recipe.hair(new))
    personal = [plain(each) for each in recipe.expects if each.wearer is not None or each.house is not None]
    if personal:
        found["expect"] = personal
    return found


def sealed(look: Ingredients, recipe: Recipe, wearer: Wearer, house: House, rates: Mapping[str, Rate],
           compiler: str) -> Seal:
    """Both hashes of a plan."""
    of_look = digest(LOOK, look)
    of_plan = digest(PLAN, plan_ingredients(of_look, recipe, wearer, house, rates, compiler))
    return Seal(look=of_look, plan=of_plan, look_aloud=aloud(of_look), plan_aloud=aloud(of_plan))


# --- the look's statements ----------------------------------------------------


def _statements(look: Look) -> Ingredients:
    """Statements by what they set and where; lines that add up keep their order."""
    found: Ingredients = {}
    for said in look.said:
        label = _label(said)
        value = plain(said.value)
        if said.slot in (*ACCUMULATE, "note"):
            found.setdefault(label, []).append(value)
        else:
            found[label] = value
    return found


def _inherited(look: Look) -> Plain:
    """How many looks back each inherited line stands: it decides what a choice may change."""
    depths = {_label(said): said.depth for said in look.said if said.depth}
    depths |= {f"choice {choice.name}": choice.depth for choice in look.all_choices() if choice.depth}
    return [f"{label}: {depth}" for label, depth in sorted(depths.items())]


def _label(said: Said) -> str:
    return said.slot.replace("_", " ") + _places(said.zones)


def _places(zones: tuple[str, ...]) -> str:
    return f" in {', '.join(sorted(zones, key=ZONES.index))}" if zones else ""


def _condition(when: When, look: Look) -> Plain:
    reading = Reading(when.statement, "when", look.name, [])
    condition = read_condition(reading, when.condition)
    return None if condition is None else _meant(condition, reading)


def _meant(condition: Condition, reading: Reading) -> Plain:
    match condition:
        case IsWord():
            return [condition.fact, "is not" if condition.negated else "is", *sorted(condition.words)]
        case Compared():
            bound = reading.amount(condition.bound, MEASURED.get(condition.fact, "length"))
            return [condition.fact, condition.operator, None if bound is None else number(float(bound)), condition.other]
        case Every():
            return ["all of", *(_meant(part, reading) for part in condition.parts)]
        case Any_():
            return ["any of", *(_meant(part, reading) for part in condition.parts)]
        case Not():
            return ["not", _meant(condition.part, reading)]
    return plain(condition)


def _spoken(condition: Plain) -> str:
    """A condition's plain form as a label: ``strand is fine``."""
    if not isinstance(condition, list):
        return str(condition)
    head, *rest = condition
    if head in ("all of", "any of"):
        return (" and " if head == "all of" else " or ").join(_spoken(part) for part in rest)
    if head == "not":
        return f"not {_spoken(rest[0])}"
    if rest and rest[0] in ("is", "is not"):
        return f"{head} {rest[0]} {' or '.join(rest[1:])}"
    return " ".join(str(word) for word in condition if word)


# --- what it uses -------------------------------------------------------------


def used_names(look: Look) -> Iterator[str]:
    """Every hair and ornament of the catalogue that a look can come to use, however it is taken."""
    for role in look.roles:
        for part in role.parts:
            yield part.hair
    for said in look.said:
        yield from _named_in(said)
    settings = [s for choice in look.all_choices() for _, option in choice.options for s in option]
    settings += [s for when in look.whens for s in when.settings]
    for setting in settings:
        if setting.slot == "hair":
            yield setting.value[1]


def _named_in(said: Said) -> Iterator[str]:
    value = said.value
    pieces = getattr(value, "pieces", None)
    if said.slot == "start":
        pieces = value[2]
    if isinstance(pieces, PiecesSaid) and pieces.quoted:
        yield pieces.hair
    if isinstance(value, (AccentSaid, StepSaid)) and value.ornament:
        yield value.ornament
