"""The letters of a printed page as an independent reader (PDFium) finds them, and what is wrong with where they stand."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from typing import NamedTuple

import numpy
import pypdfium2
import pypdfium2.raw as raw

DPI = 150
LEAST_DOTS = 8
PALEST = 30
"""Of 255 shades between ink and paper, how far a dot must be from what lies beside the letter."""
MM = 72 / 25.4
MARGIN_MM = 8.0
"""Nothing is printed nearer the sheet's edge: the card's margin is 9 mm."""
OVERLAP = 0.2
"""Share of the smaller letter's box that another may cover: italics and kerned pairs touch, a clash covers more."""
LEANS = "fFrtTVWYPLAKky7ſﬁ/"
"""Letters that the next one is set under or into."""
INK = 0.55
"""Share of a letter's height and breadth in which ink is found where nothing cuts it off."""


class Letter(NamedTuple):
    text: str
    left: float
    bottom: float
    right: float
    top: float
    at: int


def letters(page: pypdfium2.PdfPage) -> list[Letter]:
    """Every visible letter with its tight box in points."""
    text = page.get_textpage()
    found = []
    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    for i in range(raw.FPDFText_CountChars(text)):
        code = raw.FPDFText_GetUnicode(text, i)
        if code <= 32 or code in (0xA0, 0x200B, 0x2068, 0x2069) or raw.FPDFText_IsGenerated(text, i) == 1:
            continue
        if raw.FPDFText_GetFontSize(text, i) <= 1.01 and not raw.FPDFText_GetCharBox(text, i, left, right, bottom, top):
            continue
        raw.FPDFText_GetCharBox(text, i, left, right, bottom, top)
        if right.value - left.value > 0.2 and top.value - bottom.value > 0.2:
            found.append(Letter(chr(code), left.value, bottom.value, right.value, top.value, i))
    return found


def troubles(pdf: bytes) -> Iterator[str]:
    """What is wrong with the text of a document: beyond the margin, over each other, cut off."""
    document = pypdfium2.PdfDocument(pdf)
    for number, page in enumerate(document, 1):
        width, height = page.get_size()
        found = letters(page)
        edge = MARGIN_MM * MM
        for letter in found:
            if letter.left < edge or letter.right > width - edge or letter.bottom < 0.4 * edge or letter.top > height - edge:
                yield f"side {number}: {_near(found, letter)} lies in the margin"
        yield from (f"side {number}: {_near(found, a)} and {_near(found, b)} overlap" for a, b in _clashes(found))
        yield from (f"side {number}: {_near(found, one)} is cut off" for one in _cut_off(page, found, height))


def _near(found: list[Letter], letter: Letter) -> str:
    at = found.index(letter)
    return f"{letter.text!r} of {''.join(one.text for one in found[max(0, at - 12):at + 12])!r}"


def _clashes(found: list[Letter]) -> Iterator[tuple[Letter, Letter]]:
    cells: dict[tuple[int, int], list[Letter]] = {}
    for letter in found:
        for x in range(int(letter.left // 12), int(letter.right // 12) + 1):
            for y in range(int(letter.bottom // 12), int(letter.top // 12) + 1):
                for other in cells.setdefault((x, y), []):
                    across = min(letter.right, other.right) - max(letter.left, other.left)
                    high = min(letter.top, other.top) - max(letter.bottom, other.bottom)
                    if across <= 0 or high <= 0 or letter.at - other.at <= 2 and letter.at > other.at and (other.text in LEANS or letter.text in "j.,"):
                        continue
                    if letter.text == other.text and abs(letter.left - other.left) < 0.1 and abs(letter.bottom - other.bottom) < 0.1:
                        continue  # the white rim round a number on the map is drawn first, in the same place
                    least = min((one.right - one.left) * (one.top - one.bottom) for one in (letter, other))
                    if across * high > OVERLAP * least:
                        yield other, letter
                cells[(x, y)].append(letter)


def _cut_off(page: pypdfium2.PdfPage, found: list[Letter], height: float) -> Iterator[Letter]:
    scale = DPI / 72
    grey = page.render(scale=scale, grayscale=True).to_numpy()
    grey = grey.reshape(grey.shape[0], grey.shape[1], -1)[:, :, 0].astype(numpy.int16)
    for letter in found:
        if not letter.text.isalnum():
            continue
        top, bottom = int((height - letter.top) * scale), int((height - letter.bottom) * scale) + 1
        left, right = int(letter.left * scale), int(letter.right * scale) + 1
        box = grey[max(0, top):bottom, max(0, left):right]
        if box.size == 0:
            yield letter
            continue
        marked = numpy.abs(box - int(numpy.median(grey[max(0, top - 1):bottom + 1, max(0, left - 1):left + 1]))) > PALEST
        rows, across = numpy.flatnonzero(marked.any(axis=1)), numpy.flatnonzero(marked.any(axis=0))
        if rows.size == 0 or _short(rows, bottom - top) or letter.text not in "1IliLj" and _short(across, right - left):
            yield letter


def _short(marked: numpy.ndarray, whole: int) -> bool:
    """Whether ink reaches over too little of a letter; not asked of one so narrow that its rim is most of it."""
    return whole >= LEAST_DOTS and int(marked[-1] - marked[0]) + 1 < INK * whole
