"""Which characters the shipped fonts can print, so that paper never shows an empty place or fails.

PDF/UA-1 forbids a glyph that means nothing, and a word without a place to
break runs off the sheet; both are settled here, on the words, before the
template sees them.
"""

from __future__ import annotations

import re
import struct
from functools import lru_cache
from pathlib import Path

FONTS = Path(__file__).parent / "fonts"
SUBSTITUTE = "□"
LONGEST_WORD = 14
"""Letters after which a word may break; our own estimate of what a narrow table cell holds."""

CRUMB = 4

_SELECTORS = re.compile("[\u00ad\u034f\u180b-\u180f\u200c-\u200f\u2060-\u2064\ufe00-\ufe0f\ufeff\ufff9-\ufffb]")
_SIGNS = frozenset("⅓⅔⅛⅜⅝⅞–—‘’“”…·→□″′€×°")
_ASCII = frozenset(chr(n) for n in range(32, 127))
_LONG = re.compile(r"[^\s\u200b]{%d,}" % (LONGEST_WORD + 1))


@lru_cache(maxsize=1)
def covered() -> frozenset[int]:
    """Code points that at least one shipped font has a glyph for."""
    points: set[int] = set()
    for path in sorted(FONTS.glob("*.ttf")):
        points |= _character_map(path.read_bytes())
    return frozenset(points)


def _character_map(font: bytes) -> set[int]:
    """The code points of a TrueType font: its ``cmap`` table in formats 4 and 12 (OpenType specification)."""
    tables = struct.unpack_from(">H", font, 4)[0]
    start = next(struct.unpack_from(">I", font, 12 + 16 * i + 8)[0] for i in range(tables)
                 if font[12 + 16 * i:16 + 16 * i] == b"cmap")
    points: set[int] = set()
    for i in range(struct.unpack_from(">H", font, start + 2)[0]):
        at = start + struct.unpack_from(">I", font, start + 4 + 8 * i + 4)[0]
        kind = struct.unpack_from(">H", font, at)[0]
        if kind == 12:
            for group in range(struct.unpack_from(">I", font, at + 12)[0]):
                first, last, _ = struct.unpack_from(">III", font, at + 16 + 12 * group)
                points.update(range(first, last + 1))
        elif kind == 4:
            half = struct.unpack_from(">H", font, at + 6)[0]
            count = half // 2
            ends = struct.unpack_from(f">{count}H", font, at + 14)
            starts = struct.unpack_from(f">{count}H", font, at + 16 + half)
            for first, last in zip(starts, ends):
                if first != 0xFFFF:
                    points.update(range(first, last + 1))
    return points


def drawable(text: str, *, strict: bool = False) -> str:
    """The text with a box for each character that no shipped font can draw.

    Joiners and variation selectors are dropped. ``strict`` keeps letters, digits
    and signs of one code point only, for the rare mix of scripts that no font
    of ours can shape.
    """
    if _ASCII.issuperset(text):
        return text
    known = covered()
    text = _SELECTORS.sub("", text)
    if strict:
        return "".join(c if c in _ASCII or c in "\n\t\u00a0\u200b" or 0xA0 < ord(c) < 0x250 or c in _SIGNS else SUBSTITUTE
                       for c in text)
    return "".join(c if ord(c) in known or c in "\n\t\u200b" else SUBSTITUTE for c in text)


def printable(text: str, *, strict: bool = False) -> str:
    """Drawable, and with places to break in every very long word."""
    text = drawable(text, strict=strict)
    return _LONG.sub(_breakable, text) if len(text) > LONGEST_WORD else text


def _breakable(word: re.Match[str]) -> str:
    """A long word in halves or so; one that can't be a word, in crumbs that fit the narrowest cell."""
    text = word[0]
    step = LONGEST_WORD if len(text) <= 3 * LONGEST_WORD else CRUMB
    return "\u200b".join(text[i:i + step] for i in range(0, len(text), step))
