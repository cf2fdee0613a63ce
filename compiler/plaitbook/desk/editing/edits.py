"""A change to a text: a place and what stands there instead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterable

from ...syntax.normalise import plain_lines
from ...syntax.problem import Span
from .columns import index_of


@dataclass(frozen=True)
class Edit:
    """``text`` in the place of a stretch of one line; where the stretch is empty, put in before it."""

    span: Span
    text: str


def apply(text: str, edits: Iterable[Edit]) -> str:
    """The text with all edits made; they don't overlap. Lines end as ``\\n`` afterwards."""
    lines = plain_lines(text)
    for edit in sorted(edits, key=lambda e: (e.span.line, e.span.column), reverse=True):
        if 0 < edit.span.line <= len(lines):
            raw = lines[edit.span.line - 1]
            start, end = index_of(raw, edit.span.column), index_of(raw, edit.span.end)
            lines[edit.span.line - 1] = raw[:start] + edit.text + raw[max(start, end):]
    return "\n".join(lines)
