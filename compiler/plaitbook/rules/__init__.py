"""Rules judge a plan; they compute nothing that a card prints."""

from .conditions import And, Compare, Each, Is, Not, Or, check_condition
from .engine import HouseRule, judge
from .catalogue import CAUTION, RULES, rule_of
from .rule import Rule
from .scene import Parts, Scene

__all__ = [
    "And", "CAUTION", "Compare", "Each", "HouseRule", "Is", "Not", "Or", "Parts", "RULES", "Rule", "Scene",
    "check_condition", "judge", "rule_of",
]
