"""Between the protocol's places (lines from 0, columns in code units) and ours (from 1, in characters)."""

from __future__ import annotations

from pathlib import Path
from typing import Callable

from lsprotocol import types as lsp
from pygls import uris

from ...syntax.normalise import plain_lines
from ...syntax.problem import Span
from ..editing.columns import column_of, index_of

Units = Callable[[str], int]
"""How many of the client's code units a text is: in UTF-16, an emoji is two."""


def column_from(raw: str, character: int, units: Units) -> int:
    """Our column for a column of the client's in one raw line; past its end, its end."""
    if raw.isascii():
        return min(max(character, 0), len(raw)) + 1
    counted = 0
    for index, char in enumerate(raw):
        if counted >= character:
            return column_of(raw, index)
        counted += units(char)
    return column_of(raw, len(raw))


def range_of(span: Span, lines: list[str], units: Units) -> lsp.Range:
    """The client's range for a span in a text of these lines. A span that reaches past its line ends with it."""
    if not 0 < span.line <= len(lines):
        last = max(0, len(lines) - 1)
        end = lsp.Position(last, units(lines[last]) if lines else 0)
        return lsp.Range(end, end)
    raw = lines[span.line - 1]
    start, end_index = index_of(raw, span.column), index_of(raw, span.end)
    return lsp.Range(lsp.Position(span.line - 1, units(raw[:start])),
                     lsp.Position(span.line - 1, units(raw[: max(start, end_index)])))


def lines_range(first: int, last: int, lines: list[str], units: Units) -> lsp.Range:
    """The client's range from the start of one line to the end of another."""
    last = max(1, min(last, len(lines)))
    return lsp.Range(lsp.Position(max(0, first - 1), 0), lsp.Position(last - 1, units(lines[last - 1])))


def lines_of(text: str) -> list[str]:
    """The lines of a text, as the protocol counts them."""
    return plain_lines(text)


def path_of(uri: str) -> Path | None:
    """The file a URI names; None where it names none (a text that was never saved)."""
    if not uri.startswith("file:"):
        return None
    path = uris.to_fs_path(uri)
    return Path(path) if path else None


def uri_of(path: Path) -> str:
    """The URI of a file."""
    return uris.from_fs_path(str(path)) or path.as_uri()
