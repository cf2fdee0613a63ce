"""Rules judge a plan; they compute nothing that a card prints."""

from .catalogue import CAUTION, REASON_RULES, RULES, rule_of
from .conditions import And, Compare, Each, Is, Not, Or, Unknown, check_condition
from .engine import judge
from .rule import HouseRule, Rule
from .scene import Parts, Scene

__all__ = [
    "And", "CAUTION", "Compare", "Each", "HouseRule", "Is", "Not", "Or", "Parts", "REASON_RULES", "RULES", "Rule",
    "Scene", "Unknown", "check_condition", "judge", "rule_of",
]
