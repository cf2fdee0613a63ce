"""What a name in a condition or a message is: a figure, a fact in words, or a text for messages only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Callable, Literal

from ..meaning.values import Origin

Style = Literal["", "width"]


@dataclass(frozen=True)
class FigureName:
    """A number a condition may compare. ``read`` takes the scene, or one thing of it (:mod:`.things`)."""

    name: str
    unit: str
    """The fixed unit inside: ``mm``, ``cm2``, ``g``, ``s``, ``c``, ``mn``, ``um``, ``per cm2``, ``years``,
    ``weeks``, ``money``, or empty for a plain number."""
    what: str
    read: Callable[[Any], float | None]
    """None: nobody knows."""
    place: Callable[[Any], Origin | None] | None = None
    """Where what it says was written, if a person wrote it."""
    keys: tuple[str, ...] = ()
    """Keys of the plan's figures that it is read from; ``*`` stands for any part of a key."""
    style: Style = ""
    """``width``: printed in millimetres to the tenth in every house, as strands are."""


@dataclass(frozen=True)
class FactName:
    """A fact in words, and the words it can be."""

    name: str
    words: tuple[str, ...]
    read: Callable[[Any], frozenset[str] | None]
    """Every word that holds; None where it isn't known."""
    what: str = ""
    place: Callable[[Any, str], Origin | None] | None = None
    """Where it was written that this word holds."""
    say: Callable[[Any], str] | None = None
    """The fact inside a message, where that isn't its words."""
    single: bool = True
    """Whether at most one of its words can hold at a time."""


@dataclass(frozen=True)
class TextName:
    """A name or a sentence that a message may print in braces; no condition can test it."""

    name: str
    what: str
    read: Callable[[Any], str]
