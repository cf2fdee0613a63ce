"""Every built-in rule, and the line of caution that every card carries."""

from __future__ import annotations

from . import work
from .built_in_table import IN_THE_LANGUAGE
from .rule import OUR_OWN, Rule

CAUTION = (
    "Hot tools and hot water burn. Braids and added hair pull; pain means too tight. Hair, dyes and products can "
    "cause allergic reactions. This card plans work and gives no medical advice: local codes and licensed practice "
    "come first, and a clinician where the scalp or hair isn't well."
)
"""Printed on every card."""

RULES: tuple[Rule, ...] = (*IN_THE_LANGUAGE, *work.RULES)

REASON_RULES = (
    Rule("O01", "reason for no rule", "warn", "a written reason whose code no rule has",
         "A stop is overridden by its own code only.", "write the code as the finding prints it", OUR_OWN),
    Rule("O02", "reason without words", "warn", "a stop allowed without a reason",
         "A stop is overridden only with a written reason, which prints on the card.", "write the reason", OUR_OWN),
)
"""About written reasons, which only the engine sees; listed with the rest."""

_BY_CODE = {rule.code: rule for rule in RULES}
if len(_BY_CODE) != len(RULES):
    raise AssertionError("a rule's code is used twice")


def rule_of(code: str) -> Rule | None:
    """The built-in rule with this code, if there is one."""
    return _BY_CODE.get(code)
