"""The ways a look can be taken: each option by itself, and each word of each fact it adapts to."""

from __future__ import annotations

from typing import Iterator

from .conditions import Any_, Compared, Condition, Every, IsWord, Not, read_condition
from .layers import ADAPTABLE, fact_field
from .look import Look
from .model import Wearer
from .reading import Reading


def variants(look: Look, wearer: Wearer) -> Iterator[tuple[dict[str, str], Wearer]]:
    """(picks, wearer) for every option that isn't the default, and every adaptable word in use."""
    for choice in look.choices:
        for option, _ in choice.options:
            if option != choice.default:
                yield {choice.name: option}, wearer
    for fact in sorted(_facts(look)):
        for word in ADAPTABLE[fact]:
            value: object = {"yes": True, "no": False}.get(word, word)
            yield {}, wearer.model_copy(update={fact_field(fact): value})


def _facts(look: Look) -> set[str]:
    """Facts that some ``when`` of the look tests by word."""
    facts: set[str] = set()
    for when in look.whens:
        condition = read_condition(Reading(when.statement, "when", look.name, []), when.condition)
        if condition is not None:
            facts |= names_in(condition)
    return facts & set(ADAPTABLE)


def names_in(condition: Condition) -> set[str]:
    """Every fact and choice that a condition asks about."""
    if isinstance(condition, (Every, Any_)):
        return set().union(*(names_in(part) for part in condition.parts))
    if isinstance(condition, Not):
        return names_in(condition.part)
    return {condition.fact} if isinstance(condition, (IsWord, Compared)) else set()
