"""Between the columns of a :class:`Span` and the characters of a raw line.

A column counts the characters that mean something; those of no width (a joiner
inside an emoji, a soft hyphen from a word processor) are passed over.
"""

from __future__ import annotations

from ...syntax.normalise import _NO_WIDTH as NO_WIDTH
from ...syntax.normalise import plain_lines


def index_of(raw: str, column: int) -> int:
    """The index, from 0, of the character in a raw line that stands at a column from 1."""
    if raw.isascii():
        return max(0, min(column - 1, len(raw)))
    counted = 0
    for at, char in enumerate(raw):
        if char in NO_WIDTH:
            continue
        counted += 1
        if counted >= column:
            return at
    return len(raw)


def column_of(raw: str, index: int) -> int:
    """The column, from 1, of an index in a raw line."""
    before = raw[: max(0, index)]
    if before.isascii():
        return len(before) + 1
    return sum(char not in NO_WIDTH for char in before) + 1


def raw_line(text: str, line: int) -> str:
    """A physical line of a text, from 1; nothing past its end."""
    lines = plain_lines(text)
    return lines[line - 1] if 0 < line <= len(lines) else ""
