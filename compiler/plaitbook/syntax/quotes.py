"""The ways a line with one quote too few, or one too many, may have been meant."""

from __future__ import annotations

import re
from typing import Iterator, NamedTuple

MOST_WAYS = 40
"""Places in one line that are tried."""


class Mended(NamedTuple):
    """A line with its quotes made even."""

    text: str
    how: str
    """``opened``, ``closed``, or ``taken`` out."""
    at: int
    end: int
    """The stretch of the line as it was that the slip is in."""
    name: str
    """What stands in the quotes."""


def quotes_mended(line: str) -> Iterator[Mended]:
    """Each way of putting one quote into a line, those with the shortest names first; then each way of taking one out."""
    put = sorted(_put(line), key=lambda way: (sum(map(len, _names(way.text))), way.how != "closed"))
    yield from [*put[:MOST_WAYS], *_taken(line)][: 2 * MOST_WAYS]


def _names(line: str) -> list[str]:
    return line.split('"')[1::2]


def _taken(line: str) -> Iterator[Mended]:
    for quote in re.finditer('"', line):
        at = quote.start()
        yield Mended(f"{line[:at]} {line[at + 1 :]}", "taken", at, at + 1, "")


def _put(line: str) -> Iterator[Mended]:
    """A quote before a word, or after one."""
    for word in re.finditer(r"[^\s,;:\"]+", line):
        start, end = word.start(), word.end()
        before = f'{line[:start]}"{line[start:]}'
        closes = line.find('"', start)
        if line[:start].count('"') % 2 == 0 and line[start - 1 : start] != '"' and closes >= 0:
            yield Mended(before, "opened", start, closes + 1, line[start:closes].strip())
        opens = line.rfind('"', 0, start)
        if line[:end].count('"') % 2 == 1 and line[end : end + 1] != '"':
            yield Mended(f'{line[:end]}"{line[end:]}', "closed", opens, end, line[opens + 1 : end].strip())
