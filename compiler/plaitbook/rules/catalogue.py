"""Every built-in rule, and the line of caution that every card carries."""

from __future__ import annotations

from . import child, heat, load, questions, water, wearer, work
from .rule import Rule

CAUTION = (
    "Hot tools and hot water burn. Braids and added hair pull; pain means too tight. Hair, dyes and products can "
    "cause allergic reactions. This card plans work and gives no medical advice: local codes and licensed practice "
    "come first, and a clinician where the scalp or hair isn't well."
)
"""Printed on every card."""

RULES: tuple[Rule, ...] = (
    *heat.RULES, *water.RULES, *wearer.RULES, *child.RULES, *load.RULES, *work.RULES, *questions.RULES,
)

_BY_CODE = {rule.code: rule for rule in RULES}
if len(_BY_CODE) != len(RULES):
    raise AssertionError("a rule's code is used twice")


def rule_of(code: str) -> Rule | None:
    """The built-in rule with this code, if there is one."""
    return _BY_CODE.get(code)
