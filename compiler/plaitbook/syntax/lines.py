"""Split a file into logical lines and tell what each one is. Indentation means nothing.

A logical line is one statement. It goes on over the line's end after a comma,
a semicolon or an open bracket, but never past a line that begins with a
heading word, so an unfinished line can't swallow the block below it.
"""

from __future__ import annotations

import re
from typing import Iterator, NamedTuple

from . import vocabulary
from .normalise import plain_line, plain_lines
from .problem import Problem, Span
from .tree import Comment, Segment

MAX_LINE = 2_000
"""Characters in one line."""
MAX_LINES = 20_000
"""Lines in one file."""

_WORD = re.compile(r"[^\W\d_][\w'-]*")
_DECLARATION = re.compile(rf"({'|'.join(vocabulary.DECLARATIONS)})\s+\"")
_BULLET = re.compile(r"^\s*(?:[-*\u2022\u2013]+|\d{1,3}[.)])\s+(?=[^\W\d_\"])")
"""What a chat program puts before a line of a list."""
_HEADING = re.compile(
    rf"(?:{'|'.join(vocabulary.RECIPE_BLOCKS)})\s*:"
    rf"|(?:{'|'.join((*vocabulary.RECIPE_STATEMENTS, 'edition', 'use'))})\b"
)


class LogicalLine(NamedTuple):
    """The text of one statement and where its pieces stand in the file."""

    text: str
    segments: tuple[Segment, ...]
    broken: bool = False
    """Whether it can't be read (a quote never closed, too long); its message is said, its first word still tells where it stands."""
    own: str = ""
    """The text with the author's capitals."""

    @property
    def line(self) -> int:
        return self.segments[0].line

    def first_word(self) -> str:
        """The leading word, or nothing where the line starts with something else."""
        match = _WORD.match(self.text)
        return match.group() if match else ""


def logical_lines(
    text: str, file: str
) -> tuple[list[LogicalLine], list[Comment], list[Problem]]:
    """The statements of a file, its comments, and what is wrong with lines that can't be read at all."""
    problems: list[Problem] = []
    comments: list[Comment] = []
    plain: list[_Plain] = []
    physical = plain_lines(text)
    if len(physical) > MAX_LINES:
        problems.append(Problem(
            "E107", f"this file has {len(physical):,} lines; only the first {MAX_LINES:,} were read",
            "split the book into several files and bring them in with use \"…\"",
            Span(file, MAX_LINES + 1, 1, 2),
        ))
        physical = physical[:MAX_LINES]
    for number, raw in enumerate(physical, 1):
        if len(raw) > MAX_LINE:
            start = raw[:24].strip()
            problems.append(Problem(
                "E106", f"this line is {len(raw):,} characters long, from '{start}…'",
                f"keep a line under {MAX_LINE:,} characters: break it after a comma",
                Span(file, number, MAX_LINE + 1, MAX_LINE + 2),
            ))
            plain.append(_Plain(number, 1, plain_line(raw[:200]).text.lstrip() or start, True, ""))
            continue
        code, comment, unclosed, own = plain_line(raw)
        if comment:
            comments.append(Comment(number, comment))
        if unclosed is not None:
            words = raw[unclosed - 1 : unclosed + 23].rstrip()
            problems.append(Problem(
                "E102", f"the quote that opens at {words} is never closed",
                'end the name with a second " on the same line',
                Span(file, number, unclosed, len(raw) + 1),
            ))
        code = _BULLET.sub(lambda bullet: " " * len(bullet.group()), code)
        stripped = code.lstrip()
        if stripped:
            column = len(code) - len(stripped) + 1
            plain.append(_Plain(number, column, stripped, unclosed is not None, own[column - 1 :]))
    return list(_joined(plain)), comments, problems


def starts_anew(code: str) -> bool:
    """Whether a line begins with a heading word or a declaration."""
    return bool(_HEADING.match(code) or _DECLARATION.match(code))


def declaration_kind(code: str) -> str | None:
    """``recipe`` for a line that begins ``recipe "…"``, and so on; None for other lines."""
    match = _DECLARATION.match(code)
    return match.group(1) if match else None


class _Plain(NamedTuple):
    """The code of one physical line."""

    number: int
    column: int
    text: str
    broken: bool
    own: str
    """With the author's capitals, where there are any."""


def _joined(plain: list[_Plain]) -> Iterator[LogicalLine]:
    at = 0
    while at < len(plain):
        number, column, text, broken, own = plain[at]
        own = own or text
        segments = [Segment(0, number, column)]
        at += 1
        while not broken and text.endswith((",", ";", "(")) and at < len(plain) and len(text) < MAX_LINE:
            more = plain[at]
            if starts_anew(more.text):
                break
            segments.append(Segment(len(text) + 1, more.number, more.column))
            text, own, broken = f"{text} {more.text}", f"{own} {more.own or more.text}", more.broken
            at += 1
        yield LogicalLine(text, tuple(segments), broken, own)
