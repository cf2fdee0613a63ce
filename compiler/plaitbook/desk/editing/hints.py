"""What stands beside a line while it is written: ``≈ 62 sections``, ``1⅓ packs``."""

from __future__ import annotations

from dataclasses import dataclass

from ...compile import Request
from ...syntax.normalise import plain_line, plain_lines
from .session import Session
from .told import told


@dataclass(frozen=True)
class Hint:
    """A short remark after the last word of a line."""

    line: int
    column: int
    text: str
    tip: str


def hints(session: Session, name: str, request: Request = Request()) -> tuple[Hint, ...]:
    """What the plan makes of each line of a file; nothing while it can't be planned."""
    raw = plain_lines(session.text(name))
    found = []
    for each in told(session, name, request):
        if not each.quiet and 0 < each.line <= len(raw):
            found.append(Hint(each.line, len(plain_line(raw[each.line - 1]).text) + 1, each.text, each.tip))
    return tuple(found)
