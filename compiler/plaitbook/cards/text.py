"""The card for a terminal: plain text, 80 columns, aligned.

Templates lay out the document; the functions here wrap and align, by the
width a character takes on a terminal.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING

from .card import Ask, Card, Table
from .language import language
from .wording import NBSP, ODD

if TYPE_CHECKING:
    from jinja2 import Template

BOX = "[ ]"
LINE = "_" * 28


def render_text(card: Card, width: int = 80) -> str:
    """The card as text, no line wider than ``width`` columns (at least 40)."""
    width = max(40, width)
    lines = _template().render(card=card, w=width, say=language(card.lang)).split("\n")
    return "\n".join(line.rstrip() for line in lines).replace(NBSP, " ").strip("\n") + "\n"


@lru_cache(maxsize=1)
def _template() -> Template:
    from .environment import environment

    env = environment(autoescape=False)
    env.filters |= {"wrap": wrap, "grid": grid, "rule": rule, "pairs": pairs, "columns": columns, "answer": answer}
    return env.get_template("card.txt.j2")


def columns(text: str) -> int:
    """Terminal columns a text takes: wide characters two, combining marks none."""
    if text.isascii() or not ODD.search(text):
        return len(text)
    return sum(0 if unicodedata.combining(c) or c in "\u200b\u200d\ufe0f\u2066\u2067\u2068\u2069" else
               2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def answer(item: Ask) -> str:
    """The boxes and the line of a question."""
    return " ".join([f"{BOX.replace(' ', NBSP)}{NBSP}{option}" for option in item.options] + ([LINE] if item.blank else []))


def rule(letter: str, width: int) -> str:
    """A line across the page."""
    return letter * width


def split(text: str, width: int) -> list[str]:
    """A text in lines of at most ``width`` columns; a word that is too long is cut."""
    if len(text) <= width and not ODD.search(text):
        return [text]
    lines: list[str] = []
    if not ODD.search(text):
        # Every sign takes one column: cut at the last space that fits.
        rest = text
        while len(rest) > width:
            at = rest.rfind(" ", 0, width + 1)
            if at <= 0:
                break
            lines.append(rest[:at])
            rest = rest[at + 1:]
        else:
            return [*lines, rest]
        lines = []
    line = ""
    for word in text.split(" "):
        while columns(word) > width:
            room = width - (columns(line) + 1 if line else 0)
            if line and room < 8:
                lines.append(line)
                line, room = "", width
            head = _head(word, room)
            lines.append(f"{line} {head}" if line else head)
            line, word = "", word[len(head):]
        if line and columns(line) + 1 + columns(word) > width:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}" if line else word
    return [*lines, line] if line or not lines else lines


def _head(word: str, room: int) -> str:
    """As much of a word as fits, at least one character."""
    used = 0
    for i, c in enumerate(word):
        used += columns(c)
        if used > room:
            return word[: max(1, i)]
    return word


def wrap(text: str, width: int, first: str = "", rest: str | None = None) -> str:
    """Wrapped with ``first`` before the first line and ``rest`` (spaces by default) before the others."""
    rest = " " * columns(first) if rest is None else rest
    lines = split(text, width - max(columns(first), columns(rest)))
    return "\n".join((rest if i else first) + line for i, line in enumerate(lines))


def pairs(items: tuple[tuple[str, str], ...], width: int) -> str:
    """Names and values in two columns."""
    if not items:
        return ""
    left = min(max(columns(name) for name, _ in items), width // 2)
    out = []
    for name, value in items:
        names, values = split(name, left), split(value, width - left - 2)
        for i in range(max(len(names), len(values))):
            a, b = (names[i] if i < len(names) else ""), (values[i] if i < len(values) else "")
            out.append(_pad(a, left, "left") + "  " + b)
    return "\n".join(out)


def _pad(text: str, width: int, align: str) -> str:
    space = " " * max(0, width - columns(text))
    return space + text if align == "right" else text + space


def grid(table: Table, width: int) -> str:
    """A table in aligned columns, its cells wrapped so that no line is wider than ``width``."""
    lead = len(BOX) + 1 if table.ticks else 0
    heads = [c.heading for c in table.columns]
    rows = [heads, *table.rows]
    gap = 2
    widths = _fit([[row[i] for row in rows] for i in range(len(heads))], width - lead - gap * (len(heads) - 1))
    out = []
    for n, row in enumerate(rows):
        cells = [split(cell, widths[i]) for i, cell in enumerate(row)]
        for k in range(max(map(len, cells))):
            parts = [_pad(cell[k] if k < len(cell) else "", widths[i], table.columns[i].align) for i, cell in enumerate(cells)]
            out.append((" " * lead if n == 0 or k or not lead else BOX + " ") + (" " * gap).join(parts))
        if n == 0:
            out.append(" " * lead + (" " * gap).join("-" * w for w in widths))
    return "\n".join(out)


def _fit(content: list[list[str]], room: int) -> list[int]:
    """Column widths: as wide as the content, the widest narrowed first, words kept whole where they can be."""
    widths = [max(1, *map(columns, cells)) for cells in content]
    if sum(widths) <= room:
        return widths
    words = [max((columns(word) for cell in cells for word in cell.split(" ")), default=1) for cells in content]
    for floor in (words, [4] * len(widths), [1] * len(widths)):
        while sum(widths) > room:
            spare = [(w - min(f, w), i) for i, (w, f) in enumerate(zip(widths, floor))]
            most, at = max((w if s > 0 else 0, i) for (s, i), w in zip(spare, widths))
            if most == 0:
                break
            over = sum(widths) - room
            second = max((w for i, w in enumerate(widths) if i != at), default=0)
            widths[at] = max(floor[at], 1, min(widths[at] - 1, max(widths[at] - over, second)))
    return widths
