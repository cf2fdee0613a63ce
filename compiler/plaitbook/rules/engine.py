"""Judging a plan: every rule is asked, written reasons are heard, findings come out in one order."""

from __future__ import annotations

import difflib
from functools import lru_cache
from typing import Iterator

from ..meaning.model import Allowance, House, Recipe, Wearer
from ..meaning.values import Origin
from ..plan.computed import computed
from ..plan.model import Filled, Finding
from .catalogue import REASON_RULES, RULES, rule_of
from .conditions import check_condition
from .judging import ASK, Ready, ready_house_rule, ready_rule
from .rule import SEVERITIES, HouseRule, Severity
from .saying import check_message
from .scene import Parts, Scene
from .truth import Asked

_ORDER = {severity: place for place, severity in enumerate(SEVERITIES)}


def judge(
    recipe: Recipe, wearer: Wearer, house: House, parts: Parts, house_rules: tuple[HouseRule, ...] = ()
) -> tuple[Finding, ...]:
    """Everything the built-in rules and the house's own find, most severe first.

    A stop whose code has a written reason becomes a warning that carries the
    reason. The order is by severity, then code, then file, line and message,
    whatever order the rules came in.
    """
    scene = Scene(recipe, wearer, house, parts)
    asked = Asked(scene)
    reasons = {allow.code: allow for allow in (*wearer.allows, *recipe.allows) if allow.reason.strip()}
    found = [*_in_the_language(asked, _built_in(), reasons)]
    found += _checked(scene, reasons)
    if house_rules:
        for rule in house_rules:
            ready = _own(rule)
            if isinstance(ready, str):
                # The language refuses such a rule earlier; here it must not pass silently.
                found.append(_finding(rule.code, "warn", f"the house's rule {rule.code} can't be read: {ready}",
                                      rule.reason, rule.source, "correct the rule", rule.origin, {}))
            else:
                found += _in_the_language(asked, (ready,), reasons)
    found += _reasons_for_nothing(scene, house_rules)
    unique = dict.fromkeys(found)
    return tuple(sorted(unique, key=_place))


def _place(finding: Finding) -> tuple[int, str, str, int, str]:
    return _ORDER[finding.severity], finding.code, finding.file, finding.line, finding.message


def _finding(code: str, severity: Severity, message: str, reason: str, source: str, fix: str, origin: Origin,
             reasons: dict[str, Allowance], template: str = "", fix_template: str = "",
             filled: tuple[Filled, ...] = ()) -> Finding:
    allow = reasons.get(code) if severity == "stop" else None
    return computed(Finding, code=code, severity="warn" if allow else severity, message=message, reason=reason, source=source,
                    fix=fix, file=origin.file, line=origin.line, allowed_because=allow.reason if allow else None,
                    template=template, fix_template=fix_template, filled=filled)


@lru_cache(maxsize=1)
def _built_in() -> tuple[Ready, ...]:
    return tuple(ready_rule(rule) for rule in RULES if rule.condition is not None)


class _Same:
    """A rule as a key by its identity: hashing its whole condition at every judgement would cost more than asking it."""

    __slots__ = ("rule",)

    def __init__(self, rule: HouseRule) -> None:
        self.rule = rule

    def __hash__(self) -> int:
        return id(self.rule)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.rule is self.rule


def _own(rule: HouseRule) -> Ready | str:
    """A house's rule ready to be asked, or what is wrong with it."""
    return _own_once(_Same(rule))


@lru_cache(maxsize=4096)
def _own_once(same: _Same) -> Ready | str:
    rule = same.rule
    wrong = [*check_condition(rule.condition)]
    if not wrong:
        wrong += [message for text in (rule.message, rule.fix) for message, _ in check_message(text, rule.condition)]
    return "; ".join(wrong) if wrong else ready_house_rule(rule)


def _in_the_language(asked: Asked, rules: tuple[Ready, ...], reasons: dict[str, Allowance]) -> Iterator[Finding]:
    for rule in rules:
        for found in rule.found(asked):
            severity: Severity = "ask" if found.asks else rule.severity
            fix = ASK if found.asks else rule.fix.text
            yield _finding(rule.code, severity, found.message, rule.reason, rule.source, found.fix, found.origin,
                           reasons, rule.message.text, fix, found.filled)


def _checked(scene: Scene, reasons: dict[str, Allowance]) -> Iterator[Finding]:
    for rule in RULES:
        if rule.check is not None:
            for hit in rule.check(scene):
                yield _finding(rule.code, rule.severity, hit.message, rule.why, rule.source, hit.fix or rule.fix,
                               hit.origin, reasons, hit.template, hit.fix or rule.fix, hit.filled)


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
