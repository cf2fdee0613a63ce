"""A mistake in a text, as a value: where it is, what is wrong, what to write instead."""

from __future__ import annotations

from typing import Iterable, NamedTuple


class Span(NamedTuple):
    """A stretch of one line. Lines and columns count from 1; ``end`` is one past the last column."""

    file: str
    line: int
    column: int
    end: int


def whole_line(file: str, line: int) -> Span:
    """A line as a whole: for a mistake in what it means rather than in one of its words."""
    return Span(file, line, 1, 1_000_000)


def whole_file(file: str) -> Span:
    """The place of a mistake that no one line of a file made."""
    return Span(file, 1, 1, 1)


class Problem(NamedTuple):
    """One mistake. ``message`` says what is wrong in the author's words; ``help`` what to do."""

    code: str
    message: str
    help: str
    span: Span
    others: tuple[tuple[str, Span], ...] = ()
    """(label, span) of every other party to the mistake."""


def sort_problems(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems in reading order, each once."""
    unique = dict.fromkeys(problems)
    return tuple(sorted(unique, key=lambda p: (p.span.file, p.span.line, p.span.column, p.code)))
