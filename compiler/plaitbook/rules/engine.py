"""Judging a plan: every rule is asked, written reasons are heard, findings come out in one order."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Iterator

from ..meaning.model import Allowance, House, Recipe, Wearer
from ..meaning.values import Origin
from ..plan.model import Finding
from .catalogue import RULES, rule_of
from .conditions import Condition, check_condition, holds
from .rule import OUR_OWN, SEVERITIES, Rule, Severity, merged
from .scene import Parts, Scene

_ORDER = {severity: place for place, severity in enumerate(SEVERITIES)}


@dataclass(frozen=True, slots=True)
class HouseRule:
    """A rule of the salon's own, read from its book."""

    code: str
    severity: Severity
    condition: Condition
    message: str
    reason: str
    source: str
    origin: Origin
    fix: str = ""


def judge(
    recipe: Recipe, wearer: Wearer, house: House, parts: Parts, house_rules: tuple[HouseRule, ...] = ()
) -> tuple[Finding, ...]:
    """Everything the built-in rules and the house's own find, most severe first.

    A stop whose code has a written reason becomes a warning that carries the
    reason. The order is by severity, then code, then file, line and message,
    whatever order the rules came in.
    """
    scene = Scene(recipe, wearer, house, parts)
    reasons = {allow.code: allow for allow in (*wearer.allows, *recipe.allows) if allow.reason.strip()}
    found = [*_built_in(scene, reasons)]
    found += _house_rules(scene, house_rules, reasons)
    found += _reasons_for_nothing(scene, house_rules)
    unique = dict.fromkeys(found)
    return tuple(sorted(unique, key=_place))


def _place(finding: Finding) -> tuple[int, str, str, int, str]:
    return _ORDER[finding.severity], finding.code, finding.file, finding.line, finding.message


def _finding(code: str, severity: Severity, message: str, reason: str, source: str, fix: str, origin: Origin,
             reasons: dict[str, Allowance]) -> Finding:
    allow = reasons.get(code) if severity == "stop" else None
    return Finding(code=code, severity="warn" if allow else severity, message=message, reason=reason, source=source,
                   fix=fix, file=origin.file, line=origin.line, allowed_because=allow.reason if allow else None)


def _built_in(scene: Scene, reasons: dict[str, Allowance]) -> Iterator[Finding]:
    for rule in RULES:
        for hit in merged(rule.check(scene)):
            yield _finding(rule.code, rule.severity, hit.message, rule.why, rule.source, hit.fix or rule.fix,
                           hit.origin, reasons)


def _house_rules(scene: Scene, rules: tuple[HouseRule, ...], reasons: dict[str, Allowance]) -> Iterator[Finding]:
    for rule in rules:
        wrong = check_condition(rule.condition)
        if wrong:
            # The language refuses such a rule earlier; here it must not pass silently.
            yield _finding(rule.code, "warn", f"the house's rule {rule.code} can't be read: {'; '.join(wrong)}",
                           rule.reason, rule.source, "correct the rule", rule.origin, {})
            continue
        verdict = holds(rule.condition, scene)
        if verdict.holds:
            yield _finding(rule.code, rule.severity, rule.message, rule.reason, rule.source, rule.fix, rule.origin,
                           reasons)
        elif verdict.holds is None:
            names = ", ".join(verdict.unknown)
            yield _finding(rule.code, "ask", f"{rule.message}? That can't be said without: {names}", rule.reason,
                           rule.source, "ask, and write it down", rule.origin, {})


REASON_RULES = (
    Rule("O01", "reason for no rule", "warn", "a written reason whose code no rule has",
         "A stop is overridden by its own code only.", "write the code as the finding prints it", OUR_OWN, lambda _: ()),
    Rule("O02", "reason without words", "warn", "a stop allowed without a reason",
         "A stop is overridden only with a written reason, which prints on the card.", "write the reason", OUR_OWN,
         lambda _: ()),
)
"""About written reasons, which only the engine sees; listed with the rest."""


def _reasons_for_nothing(scene: Scene, rules: tuple[HouseRule, ...]) -> Iterator[Finding]:
    no_rule, no_words = REASON_RULES
    own = {rule.code for rule in rules}
    for allow in (*scene.wearer.allows, *scene.recipe.allows):
        if allow.code not in own and rule_of(allow.code) is None:
            near = difflib.get_close_matches(allow.code, sorted({rule.code for rule in RULES} | own), n=3)
            yield _finding(no_rule.code, no_rule.severity, f'a reason is written for "{allow.code}", but no rule has '
                           "that code", no_rule.why, no_rule.source,
                           f"did you mean {' or '.join(near)}?" if near else no_rule.fix, allow.origin, {})
        elif not allow.reason.strip():
            yield _finding(no_words.code, no_words.severity, f"{allow.code} is allowed without a reason, so it still "
                           "stands", no_words.why, no_words.source, no_words.fix, allow.origin, {})
