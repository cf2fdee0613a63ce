"""Where a cursor stands: in which declaration and block, in which statement, after what.

The file up to the cursor is read as always, with a stand-in word at the
cursor, so that the line it stands in, its block and its start rule come from
the reader itself. What may follow there, :mod:`.expected` says.
"""

from __future__ import annotations

from dataclasses import dataclass

from .lines import LogicalLine, declaration_kind, logical_lines
from .normalise import plain_line, plain_lines
from .parse import _Reader
from .problem import Span
from .tree import Segment, Statement, locate

_STAND_IN = "qqcursorqq"
_WORD_PARTS = "'’-"


@dataclass(frozen=True)
class Cursor:
    """Where a cursor stands: in which declaration and block, after what, in the middle of which word."""

    kind: str
    """``recipe``, ``hair`` and so on; empty outside any declaration."""
    name: str
    block: str | None
    """The heading of the open block, where the line has no heading of its own."""
    word: str
    """The leading word of the statement; empty where the cursor stands in it."""
    rule: str | None
    """The start rule that reads the statement; None where the leading word isn't written yet."""
    before: str
    """The statement's text up to the word being written."""
    partial: str
    """What is written of that word, or of the name in quotes."""
    quoted: bool
    first: bool
    """Whether the word is the first of its physical line: a new statement may begin here."""
    said: tuple[str, ...]
    """Leading words of the declaration's statements so far."""
    file: str
    segments: tuple[Segment, ...]
    """Of ``before``."""
    at: tuple[int, int]
    """(line, index from 0 in the raw line) where the partial word begins."""

    def span(self, start: int, end: int) -> Span:
        """The place in the file of a stretch of ``before``."""
        return locate(self.file, self.segments, start, end)


class _Watching(_Reader):
    """The reader, noting with which rule it would read a line instead of reading it."""

    watched: LogicalLine | None = None
    found: "tuple[str, str, int] | None" = None

    def read(self, line: LogicalLine, word: str, rule: str, offset: int) -> Statement | None:
        if line is not self.watched:
            return super().read(line, word, rule, offset)
        self.found = (word, rule, offset)
        return None


def cursor_at(text: str, file: str, line: int, index: int) -> Cursor | None:
    """Where a cursor stands; ``index`` counts from 0 in the raw line. None in a comment."""
    physical = plain_lines(text)
    if not 1 <= line <= len(physical):
        return None
    raw = physical[line - 1][: max(0, index)]
    plain = plain_line(raw)
    if plain.comment is not None:
        return None
    quoted = plain.unclosed is not None
    begins = plain.unclosed if plain.unclosed is not None else _word_begins(raw)
    partial = raw[begins:]
    kept = raw[: begins - 1] if quoted else raw[:begins]
    lines, _, _ = logical_lines("\n".join([*physical[: line - 1], f"{kept}{_STAND_IN}"]), file)
    if not lines or not lines[-1].text.endswith(_STAND_IN):
        return None
    last = lines.pop()
    reader = _Watching(file, [])
    for each in lines:
        reader.take(each)
    block, kind = reader.block, reader.kind
    name = reader.head.node.parts[0].text[1:-1].strip() if reader.head is not None else ""
    said = tuple(statement.word for statement in reader.statements)
    reader.watched = last
    reader.take(last)
    word, rule, offset = reader.found or ("", None, 0)
    if rule == "declaration_statement":
        kind, name, said, block = declaration_kind(last.text) or "", "", (), None
    body = last.text[offset : -len(_STAND_IN)]
    start = offset + len(body) - len(body.lstrip())
    return Cursor(
        kind if kind != "(skip)" else "", name, block if block != "(skip)" else None, word, rule, body.lstrip(),
        partial, quoted, not kept.strip(), said, file,
        tuple(Segment(s.offset - start, s.line, s.column) for s in last.segments), (line, begins),
    )


def _word_begins(raw: str) -> int:
    """The index where the word at the end of a raw line begins."""
    at = len(raw)
    while at and (raw[at - 1].isalpha() or (raw[at - 1] in _WORD_PARTS and at > 1 and raw[at - 2].isalpha())):
        at -= 1
    return at
