"""What a built-in rule is: its words, its source and its check."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable, Iterable, Literal, NamedTuple

from ..meaning.model import ZONES
from ..meaning.values import Origin
from .measures import listed
from .scene import Scene

Severity = Literal["stop", "warn", "note", "ask"]

SEVERITIES: tuple[Severity, ...] = ("stop", "warn", "ask", "note")
"""In the order in which findings are read."""

COMMON_PRACTICE = "common practice, no source"
OUR_OWN = "our own estimate"


HERE = "\x00"
"""Stands in a hit's message for its zone, so that one thing found in seven zones is one finding."""


class Hit(NamedTuple):
    """One place where a rule finds something: what is wrong, in the author's words, and where."""

    message: str
    origin: Origin
    fix: str = ""
    """What to do here; the rule's own fix where this is empty."""
    zone: str = ""
    """The zone that :data:`HERE` stands for."""


def merged(hits: Iterable[Hit]) -> list[Hit]:
    """Hits that differ only in their zone made one, with the zones named together."""
    zones: dict[Hit, dict[str, None]] = {}
    for hit in hits:
        zones.setdefault(hit._replace(zone=""), {})[hit.zone] = None
    return [
        hit._replace(message=hit.message.replace(HERE, _zone_words(tuple(names)))) if HERE in hit.message else hit
        for hit, names in zones.items()
    ]


def _zone_words(zones: tuple[str, ...]) -> str:
    return "every zone" if len(zones) == len(ZONES) else f"the {listed(zones)}"


@dataclass(frozen=True, slots=True)
class Rule:
    """A judgement the compiler makes of every plan."""

    code: str
    name: str
    severity: Severity
    what: str
    """What it looks for."""
    why: str
    """The reason, as the card prints it."""
    fix: str
    source: str
    """Published source, ``common practice, no source`` or ``our own estimate``."""
    check: Callable[[Scene], Iterable[Hit]]
