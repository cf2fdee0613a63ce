"""``plait explain RECIPE FIGURE|CODE [--moves]``: where a figure comes from, why a rule speaks, what moves a figure."""

from __future__ import annotations

import argparse
import re
import sys
import textwrap
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING, Any, Iterator

from ..meaning.model import ZONES
from .as_data import format_argument, print_data
from .commands import HELP
from .command import BAD_TEXT, GOOD, compiled_job, recipe_arguments

if TYPE_CHECKING:
    from ..compile import Compiled
    from ..plan.model import Plan
    from ..rules import HouseRule, Rule
    from .service import Job

WIDTH = 80
MOST_THINGS = 6
MOST_TREES = 4


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("explain", help=HELP["explain"])
    recipe_arguments(parser)
    parser.add_argument("figure", metavar="FIGURE|CODE", nargs="?",
                        help="such as material.base.grams, \"added weight\" or L05; none lists the figures")
    parser.add_argument("--moves", action="store_true",
                        help="what moves this figure most: every written number 10 %% up and down")
    format_argument(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the explanation; 1 where nothing has that name."""
    from ..plan.explain import explain, explain_text

    as_json = arguments.format == "json"
    done = compiled_job(arguments, as_json=as_json)
    if isinstance(done, int):
        return done
    job, compiled = done
    plan = compiled.plan
    assert plan is not None
    asked = arguments.figure
    if asked is None and as_json:
        print_data([{"key": key, "label": figure.label, "value": figure.value, "unit": figure.unit}
                    for key, figure in sorted(plan.figures.items())])
        return GOOD
    if asked is None:
        for key, figure in sorted(plan.figures.items()):
            print(f"{key:<44} {figure.label}")
        return GOOD
    keys = [asked] if asked in plan.figures else keys_of(asked.lower(), plan) or labelled(asked, plan)
    if keys:
        if arguments.moves:
            return _moves(keys[0], compiled, job, as_json)
        if as_json:
            print_data([_tree_data(explain(plan.figures, key), set()) for key in keys])
            return GOOD
        told: set[str] = set()
        for key in keys[:MOST_TREES]:
            print(explain_text(explain(plan.figures, key), WIDTH, told))
        return GOOD
    rule = _rule(asked.upper(), job)
    if rule is not None:
        if arguments.moves:
            print(f"{asked} is a rule; --moves is about a figure", file=sys.stderr)
            return BAD_TEXT
        if as_json:
            print_data({"code": rule.code, "name": rule.name, "severity": rule.severity, "why": _why(rule),
                        "findings": [f.model_dump(mode="json") for f in plan.findings if f.code == rule.code],
                        "text": code_text(rule, compiled)})
            return GOOD
        print(code_text(rule, compiled))
        return GOOD
    print(f"there is no figure '{asked}', and no rule\n  try: {_hint(asked, plan, job)}", file=sys.stderr)
    return BAD_TEXT


def _tree_data(node: Any, told: set[str]) -> dict[str, Any]:
    """A figure's tree as plain data; what stands in it twice is told once and then named by its key."""
    data = {"name": node.name, "key": node.key, "label": node.label, "value": node.value, "unit": node.unit,
            "formula": node.formula, "how": node.how, "source": node.source,
            "origin": None if node.origin is None else node.origin.model_dump(mode="json")}
    if node.key and node.key in told:
        return data | {"told_above": True}
    told.add(node.key)
    return data | {"inputs": [_tree_data(child, told) for child in node.children]}


def keys_of(name: str, plan: "Plan") -> list[str]:
    """Keys of the plan's figures that a name of the rules is read from: ``added weight``."""
    from ..rules.names import figure_name

    entry = figure_name(name)
    patterns = entry.keys if entry is not None else ()
    return sorted(key for key in plan.figures if any(fnmatchcase(key, pattern) for pattern in patterns))


def labelled(asked: str, plan: "Plan") -> list[str]:
    """Keys of the figures whose own words hold all that is asked for: ``time in the chair`` finds ``chair time, median``."""
    words = _words(asked)
    return sorted(key for key, figure in plan.figures.items() if words and words <= _words(figure.label))


def _words(text: str) -> set[str]:
    return set(re.findall(r"\w+", text.lower())) - {"a", "an", "the", "in", "on", "of", "for", "to"}


def _rule(code: str, job: "Job") -> "Rule | HouseRule | None":
    from ..rules import REASON_RULES, RULES
    from .service import house_rules

    known: dict[str, Any] = {rule.code: rule for rule in (*RULES, *REASON_RULES)}
    known.update({rule.code: rule for rule in house_rules(job)[0]})
    return known.get(code)


def _hint(asked: str, plan: "Plan", job: "Job") -> str:
    from ..rules import RULES
    from ..rules.names import FIGURES
    from ..syntax.suggest import did_you_mean
    from .service import house_rules

    codes = [rule.code for rule in RULES] + [rule.code for rule in house_rules(job)[0]]
    hint = did_you_mean(asked, [*sorted(plan.figures), *FIGURES, *codes])
    if hint.startswith("allowed"):
        hint = did_you_mean(asked.upper(), codes)
    return hint if hint.startswith("did") else "list the figures with: plait explain RECIPE; the rules with: plait why"


# --- a rule -----------------------------------------------------------------------


def code_text(rule: "Rule | HouseRule", compiled: "Compiled") -> str:
    """What a rule found on this plan, its condition with the values here, and where these come from."""
    from ..rules.rule import HouseRule

    plan = compiled.plan
    assert plan is not None
    severity = rule.severity
    name = rule.name
    lines = _wrap(f"{rule.code}: {name} ({severity})") + [""]
    findings = [finding for finding in plan.findings if finding.code == rule.code]
    for finding in findings:
        at = f" ({finding.file}:{finding.line})" if finding.line else ""
        lines += _wrap(f"found: {finding.message}{at}")
        if finding.allowed_because:
            lines += _wrap(f"allowed because: {finding.allowed_because}", "  ")
    if not findings:
        lines.append("found: nothing here")
    condition = rule.condition
    asked = rule.asked if isinstance(rule, HouseRule) else rule.what
    if condition is None:
        return "\n".join([*lines, *_wrap(f"looks for: {asked}"), *_wrap(f"why: {_why(rule)}")]) + "\n"
    lines += [*_wrap(f"asks: {asked}"), "", "here:"]
    lines += list(_values(condition, compiled))
    lines += [*_wrap(f"why: {_why(rule)}"), *_wrap(f"source: {rule.source}")]
    trees = list(_trees(condition, plan))
    if trees:
        lines += ["", "where these come from:", *trees]
    return "\n".join(lines) + "\n"


def _why(rule: "Rule | HouseRule") -> str:
    from ..rules.rule import HouseRule

    return rule.reason if isinstance(rule, HouseRule) else rule.why


def _values(condition: Any, compiled: "Compiled") -> Iterator[str]:
    """``  added weight = 775 g`` for every name of the condition; for each thing found, its own."""
    from ..plan.explain import where
    from ..rules.conditions import names_in
    from ..rules.names import FACTS, figure_name
    from ..rules.saying import saying, witness
    from ..rules.things import THINGS
    from ..rules.truth import Asked, among, compiled as compiled_condition

    asked = Asked(_scene(compiled))
    names = names_in(condition)
    for thing, name in names:
        if thing and (name in THINGS[thing].figures or name in THINGS[thing].facts):
            continue
        text = saying(f"{{{name}}}", condition)(asked, ()) if name != "zones" else ", ".join(
            sorted(FACTS["zones"].read(asked.scene) or (), key=ZONES.index))
        figure, fact = figure_name(name), FACTS.get(name)
        place = figure.place(asked.scene) if figure and figure.place else fact.place(asked.scene, "") if (
            fact and fact.place and name not in ("zones", "end")) else None
        yield from _wrap(f"{name} = {text}" + (f"  ({where(place)})" if place is not None and place.line else ""), "  ")
    each = witness(condition)
    if each is None:
        return
    kind, inside = THINGS[each.thing], compiled_condition(each.where, each.thing)
    members = among(each)(asked)
    found = [one for one in members if inside(asked, one)]
    here = f" in {', '.join(each.zones)}" if each.zones else ""
    asks = f"{each.thing}{'s' if len(members) > 1 and not each.thing.endswith('hair') else ''}{here}"
    yield from _wrap(f"it holds for {len(found) or 'none'} of {len(members)} {asks}" + (":" if found else "")
                     if members else f"there is no {each.thing}{here} on this card", "  ")
    own = [name for thing, name in names if thing and (name in kind.figures or name in kind.facts)]
    alike: dict[str, int] = {}
    for one in found:
        who = [text.read(one) for name, text in kind.texts.items() if name in ("hair", "ornament")]
        who += [f"section {kind.number(one)[0]}" if each.thing == "section" and kind.number else ""]
        who += [f"in the {kind.zone(one)}" if kind.zone else ""]
        said = ", ".join(f"{name} = {_own(name, one, asked, kind)}" for name in own)
        line = f"{' '.join(word for word in who if word)}: {said}"
        alike[line] = alike.get(line, 0) + 1
    for line, count in list(alike.items())[:MOST_THINGS]:
        yield from _wrap(line + (f" ({count} times)" if count > 1 else ""), "    ")
    if len(alike) > MOST_THINGS:
        yield f"    and {len(alike) - MOST_THINGS} more"


def _own(name: str, one: Any, asked: Any, kind: Any) -> str:
    from ..rules.conditions import Each, Unknown
    from ..rules.saying import saying

    return saying(f"{{{name}}}", Each("any", Unknown(name), kind.name))(asked, (one,))


def _trees(condition: Any, plan: "Plan") -> Iterator[str]:
    from ..plan.explain import explain, explain_text
    from ..rules.conditions import names_in
    from ..rules.things import THINGS

    keys: list[str] = []
    for thing, name in names_in(condition):
        if not (thing and name in THINGS[thing].figures):
            keys += keys_of(name, plan)[:MOST_TREES]
    told: set[str] = set()
    for key in list(dict.fromkeys(keys))[:MOST_TREES]:
        yield explain_text(explain(plan.figures, key), WIDTH, told).rstrip("\n")


def _scene(compiled: "Compiled") -> Any:
    from ..rules import Parts, Scene

    plan = compiled.plan
    assert plan and compiled.recipe and compiled.wearer and compiled.house
    return Scene(compiled.recipe, compiled.wearer, compiled.house, Parts(
        plan.sections, plan.strand_kinds, plan.strands, plan.material, plan.load, plan.timing, plan.quote))


def _wrap(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False)


# --- what moves it -------------------------------------------------------------------


def _moves(key: str, compiled: "Compiled", job: "Job", as_json: bool) -> int:
    from ..plan.explain import spoken
    from .moves import what_moves

    plan = compiled.plan
    assert plan is not None
    figure = plan.figures[key]
    if isinstance(figure.value, str):
        print(f"{key} is a text, which 10 % can't be counted of", file=sys.stderr)
        return BAD_TEXT
    moves = what_moves(key, compiled, job.name)
    if as_json:
        print_data({"key": key, "value": figure.value, "unit": figure.unit, "moves": [
            {"name": move.name, "what": move.what, "most": move.most,
             **{side: {"change": one.text, "value": one.value, "share": one.share, "problem": one.problem}
                for side, one in (("down", move.down), ("up", move.up))}} for move in moves]})
        return GOOD
    still = [move for move in moves if move.most == 0]
    print(f"{key} = {spoken(figure.value, figure.unit)}  ({figure.label})")
    print("What moves it most: every written number 10 % down and up (counts by at least one).\n")
    for place, move in enumerate((m for m in moves if m.most > 0), 1):
        print("\n".join(textwrap.wrap(f"{place:>3}. {move.what}", WIDTH, subsequent_indent="     ",
                                      break_on_hyphens=False)))
        for side in (move.down, move.up):
            if side.moved:
                print(f"     {side.said(figure.unit)}")
    if still:
        print("\n".join(textwrap.wrap(f"{len(still)} more numbers don't move it: "
                                      + ", ".join(move.name for move in still), WIDTH, subsequent_indent="  ",
                                      break_on_hyphens=False)))
    return GOOD
