"""What a rule is: its words, its source, and its condition or its check."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable, Iterable, Literal, NamedTuple

from ..meaning.values import Origin
from ..plan.model import Filled
from .conditions import Condition
from .scene import Scene

Severity = Literal["stop", "warn", "note", "ask"]

SEVERITIES: tuple[Severity, ...] = ("stop", "warn", "ask", "note")
"""In the order in which findings are read."""

COMMON_PRACTICE = "common practice, no source"
OUR_OWN = "our own estimate"


class Hit(NamedTuple):
    """One place where a rule's check finds something: what is wrong, in the author's words, and where."""

    message: str
    origin: Origin
    fix: str = ""
    """What to do here; the rule's own fix where this is empty."""
    template: str = ""
    """The message with its figures in braces; empty where it is a sentence of another part of the plan."""
    filled: tuple[Filled, ...] = ()


@dataclass(frozen=True)
class Rule:
    """A judgement the compiler makes of every plan: in the language, or as a check where that can't say it."""

    code: str
    name: str
    severity: Severity
    what: str
    """What it looks for: in words, or the condition as written."""
    why: str
    """The reason, as the card prints it."""
    fix: str
    source: str
    """Published source, ``common practice, no source`` or ``our own estimate``."""
    check: Callable[[Scene], Iterable[Hit]] | None = None
    condition: Condition | None = None
    message: str = ""
    """With a condition: what it says, figures in braces."""


@dataclass(frozen=True)
class HouseRule:
    """A rule read from a book: the salon's own, or a built-in one before it is put into the table."""

    code: str
    severity: Severity
    condition: Condition
    message: str
    reason: str
    source: str
    origin: Origin
    fix: str = ""
    name: str = ""
    asked: str = ""
    """The condition as written."""
