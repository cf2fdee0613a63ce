"""What the rules say of a file's looks, each with the line it speaks of."""

from __future__ import annotations

from dataclasses import dataclass

from ...compile import Request
from ...meaning.book import file_meaning
from ...plan.model import Finding
from ...syntax.normalise import plain_line
from ...syntax.problem import Span
from .columns import raw_line
from .session import Session

SPOKEN = ("stop", "warn", "note", "ask")


@dataclass(frozen=True)
class Found:
    """A finding, the place in the file that was asked about, and where else it comes from."""

    finding: Finding
    span: Span
    elsewhere: Span | None = None
    """The line of another file that it speaks of: a wearer's, a house's rule."""


def findings(session: Session, name: str, request: Request = Request()) -> tuple[Found, ...]:
    """What the rules say of every look of a file; the worst first. What speaks of another file's
    line, or of none, stands at the look's own first line."""
    found: dict[Found, None] = {}
    for look in file_meaning(session.text(name), name).looks:
        if request.look not in (None, look.name):
            continue
        done = session.compile(name, Request(look.name, request.wearer, request.house, request.picks, request.swaps))
        for finding in done.plan.findings if done.plan is not None else ():
            there = statement_span(session, finding.file, finding.line) if finding.file and finding.line else None
            if there is not None and there.file == name:
                found[Found(finding, there)] = None
            else:
                found[Found(finding, statement_span(session, name, look.span.line), there)] = None
    return tuple(sorted(found, key=lambda each: (SPOKEN.index(each.finding.severity), each.span.line)))


def statement_span(session: Session, file: str, line: int) -> Span:
    """A line of a file from its first word to its last, comments left out."""
    text = plain_line(raw_line(session.text(file), line)).text
    start = len(text) - len(text.lstrip()) + 1
    return Span(file, line, start, max(start + 1, len(text) + 1))
