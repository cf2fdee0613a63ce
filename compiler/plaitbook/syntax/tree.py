"""The tree of a file: declarations, their statements, and nodes that know their columns.

The tree is the text made structured; it knows nothing of hair. It is frozen
and compares by value.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from .problem import Span


class Node(NamedTuple):
    """A rule of the grammar (``kind``) with its parts, or a leaf with its ``text``.

    ``start`` and ``end`` are offsets into the statement's text, from 0.
    """

    kind: str
    start: int
    end: int
    parts: tuple["Node", ...] = ()
    text: str = ""

    def first(self, *kinds: str) -> "Node | None":
        """The first direct part of one of these kinds, if there is one."""
        for part in self.parts:
            if part.kind in kinds:
                return part
        return None

    def all(self, *kinds: str) -> tuple["Node", ...]:
        """Every direct part of one of these kinds, in order."""
        return tuple(part for part in self.parts if part.kind in kinds)

    def has(self, *kinds: str) -> bool:
        """Whether a direct part is of one of these kinds."""
        return self.first(*kinds) is not None


class Segment(NamedTuple):
    """A piece of a logical line: where it starts in the text and in the file."""

    offset: int
    line: int
    column: int


class Statement(NamedTuple):
    """One line that was read: its block or leading word, its node, and where it stands."""

    word: str
    """The block's heading (``feed``) or the statement's leading word (``wearing``)."""
    node: Node
    text: str
    file: str
    segments: tuple[Segment, ...]
    own: str = ""
    """The text with the author's capitals; empty where it has none."""

    @property
    def line(self) -> int:
        """The physical line it starts on."""
        return self.segments[0].line

    def span(self, node: Node | None = None) -> Span:
        """The place in the file of a node of this statement, or of the whole statement."""
        start, end = (node.start, node.end) if node is not None else (0, len(self.text))
        return locate(self.file, self.segments, start, end)

    def quote(self, node: Node | None = None) -> str:
        """The words of a node as the grammar reads them, single-spaced: spacing and capitals never mean anything."""
        words = self.text[node.start : node.end] if node is not None else self.text
        return " ".join(words.split())

    def echo(self, node: Node | None = None) -> str:
        """The words of a node with the author's own capitals: what a message quotes."""
        said = self.own or self.text
        return " ".join((said[node.start : node.end] if node is not None else said).split())


class Declaration(NamedTuple):
    """``recipe "Name"`` and its kin, with the statements that follow it."""

    kind: str
    name: str
    head: Statement
    statements: tuple[Statement, ...]
    lost: tuple[str, ...] = ()
    """What lines of it that can't be read were about: a block's or a fact's word, ``?`` where that can't be told."""
    empty: tuple[tuple[str, Span], ...] = ()
    """Headings with nothing under them."""

    @property
    def line(self) -> int:
        return self.head.line


class Comment(NamedTuple):
    """A comment and the physical line it stands on."""

    line: int
    text: str


class Tree(NamedTuple):
    """One file."""

    file: str
    edition: int | None
    uses: tuple[Statement, ...]
    declarations: tuple[Declaration, ...]
    comments: tuple[Comment, ...] = ()
    lost: tuple[str, ...] = ()
    """Kinds of declarations whose first line can't be read, ``use`` for such a line, ``?`` where that can't be told."""


def locate(file: str, segments: tuple[Segment, ...], start: int, end: int) -> Span:
    """The place in the file of a stretch of a logical line's text."""
    here = segments[0]
    for segment in segments:
        if segment.offset > start:
            break
        here = segment
    column = here.column + start - here.offset
    return Span(file, here.line, column, max(column + 1, column + end - start))


FRACTIONS = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "¼": Fraction(1, 4),
    "¾": Fraction(3, 4), "⅕": Fraction(1, 5), "⅖": Fraction(2, 5), "⅗": Fraction(3, 5),
    "⅘": Fraction(4, 5), "⅙": Fraction(1, 6), "⅚": Fraction(5, 6), "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}


@lru_cache(maxsize=4096)
def number_value(text: str) -> Fraction:
    """The value of a number token: ``18``, ``1.5``, ``1 1/2``, ``1½``, ``½``, ``-3``.

    Raises ZeroDivisionError for a fraction over nothing (``1/0``).
    """
    negative = text.startswith("-")
    text = text.lstrip("-").strip()
    vulgar = Fraction(0)
    if text[-1] in FRACTIONS:
        vulgar = FRACTIONS[text[-1]]
        text = text[:-1].strip()
    whole = sum((Fraction(part) for part in text.split()), Fraction(0))
    value = whole + vulgar
    return -value if negative else value
