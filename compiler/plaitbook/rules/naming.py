"""What a name in a condition or a message is: a figure, a fact in words, or a text for messages only."""

from __future__ import annotations

from typing import Any, Callable, Literal, NamedTuple

from ..meaning.values import Origin

Style = Literal["", "width"]


class FigureName(NamedTuple):
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


class FactName(NamedTuple):
    """A fact in words, and the words it can be."""

    name: str
    words: tuple[str, ...]
    read: Callable[[Any], frozenset[str] | None]
    """Every word that holds; None where it isn't known."""
    what: str = ""
    place: Callable[[Any, str], Origin | None] | None = None
    """Where it was written that this word holds."""
    names: Callable[[Any], tuple[str, ...]] | None = None
    """Somebody's own words that stand for the fact inside a message, where its own words don't."""
    single: bool = True
    """Whether at most one of its words can hold at a time."""


class TextName(NamedTuple):
    """A name or a sentence that a message may print in braces; no condition can test it."""

    name: str
    what: str
    read: Callable[[Any], str]
    phrases: Callable[[Any], tuple[str, ...]] | None = None
    """The same as phrases of ours, where they aren't somebody's own words and can be said in another language."""
    zone: bool = False
    """Whether it is a zone's name."""
