"""The few marks that the strip, cut and rack pictures are drawn with. Millimetres, black on white."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from ..language import Language
from ..wording import clean, letter_room

TEXT_MM = 3.1
"""Type size: 20 minutes of arc at half a metre is 2.9 mm (visual angle; geometry)."""
LETTER = 0.58
"""Mean width of a letter over the type size (from memory, sans serif)."""
LINE = 0.25
INK = "#000"


def number(value: float) -> str:
    """A coordinate with two decimals at most."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def held(mm: float, say: Language) -> str:
    """The width of a held piece; a quarter pencil is 1.75 mm and may not print as 2."""
    return say.number(f"{mm:.2f}".rstrip("0").rstrip(".")) + " mm"


def text(x: float, y: float, words: str, anchor: str = "start", size: float = TEXT_MM, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}" text-anchor="{anchor}"{weight}>'
        f"{escape(words)}</text>"
    )


def line(x1: float, y1: float, x2: float, y2: float, wide: float = LINE, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}" stroke="{INK}" '
        f'stroke-width="{number(wide)}" fill="none"{dashed}/>'
    )


def shape(points: Iterable[tuple[float, float]], fill: str = "#fff", wide: float = LINE, dash: str = "") -> str:
    """A closed outline."""
    path = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="M{path}Z" fill="{fill}" stroke="{INK}" stroke-width="{number(wide)}"{dashed}/>'


def circle(x: float, y: float, radius: float, fill: str = "#fff", wide: float = LINE) -> str:
    return (
        f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="{fill}" '
        f'stroke="{INK}" stroke-width="{number(wide)}"/>'
    )


def breadth(words: str, size: float = TEXT_MM) -> float:
    """About how wide words come out, in mm."""
    return len(words) * size * LETTER


LONG_WORD = 12
"""Letters up to which a word is never too long for a line; our own estimate."""


def wrap(words: str, room_mm: float, size: float = TEXT_MM) -> list[str]:
    """Words broken into lines that fit; a single word that doesn't is cut short."""
    lines: list[str] = []
    now = ""
    for word in words.split(" "):
        if len(word) > LONG_WORD:
            word = _cut_short(word, room_mm / (size * LETTER))
        if now and breadth(f"{now} {word}", size) > room_mm:
            lines.append(now)
            now = word
        else:
            now = f"{now} {word}" if now else word
    return [*lines, now] if now else lines


def _cut_short(word: str, room: float) -> str:
    """As much of a word as ``room`` letters hold; wide letters count for more."""
    used = 0.0
    for i, letter in enumerate(word):
        used += letter_room(letter)
        if used > room - 1.0 and i < len(word) - 1:
            return f"{word[:max(1, i)]}…"
    return word


def levels(places: Sequence[tuple[float, str]], most: int, size: float = TEXT_MM) -> list[int | None]:
    """A level for each label, left to right, so that none touch; None where there is no room."""
    ends = [-1e9] * most
    found: list[int | None] = []
    for x, words in places:
        half = breadth(words, size) / 2.0
        level = next((i for i in range(most) if x - half > ends[i] + 0.6), None)
        if level is not None:
            ends[level] = x + half
        found.append(level)
    return found


def shaded(words: str, colour: str | None, most: int = 12) -> str:
    """Words with the colour of a shade after them, short enough to stand in a drawing."""
    if not colour:
        return words
    name = clean(colour)
    return f"{words}, {name if len(name) <= most else name[:most].rstrip() + '…'}"


def picture(width: float, height: float, title: str, desc: str, marks: Iterable[str]) -> str:
    """A standalone drawing. It has no ids, so any number of them can share a page."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}mm" height="{number(height)}mm" role="img" font-family="sans-serif" fill="#000">'
        f"<title>{escape(title)}</title><desc>{escape(desc)}</desc>" + "".join(marks) + "</svg>"
    )
