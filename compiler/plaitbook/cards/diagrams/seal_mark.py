"""The seal as a square of dots (a QR code, ISO/IEC 18004), to be read by a telephone's camera."""

from __future__ import annotations

from functools import lru_cache

from ...plan.aloud import dotted
from ...plan.model import Seal
from ..language import Language, language
from .ink import picture

ENGLISH = language("en")

SIDE_MM = 15.0
"""Of the printed square with its margin: 41 dots of 0.37 mm, four dots of a 300 dpi printer each. Our own estimate of
what an ordinary telephone reads from a hand's breadth away."""
MARGIN = 4
"""Dots of white around it that the standard asks for."""
MASK = 3
"""One of the eight patterns laid over the dots, the same for every card: each is readable, and weighing all eight
takes five times as long as the rest of the drawing (1 ms against 5.5)."""
LEVEL = "m"
"""Corrects up to 15 % of the codewords (ISO/IEC 18004): a card gets gel on it."""


def seal_words(seal: Seal, say: Language = ENGLISH) -> str:
    """The seal in syllables, as the card prints it beside the square."""
    return say("look {look}, plan {plan}", look=seal.look_aloud, plan=seal.plan_aloud)


@lru_cache(maxsize=16)
def seal_mark(seal: Seal, say: Language = ENGLISH) -> str:
    """The square as a standalone SVG. It has no ids."""
    import segno

    code = segno.make(dotted(seal.look, seal.plan), error=LEVEL, mask=MASK, micro=False, boost_error=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 2 * MARGIN
    dot = SIDE_MM / side
    path = "".join(_runs(row, y + MARGIN) for y, row in enumerate(rows))
    mark = f'<path d="{path}" transform="scale({dot:.6f})"/>'
    return picture(SIDE_MM, SIDE_MM, say("The seal of this card"), seal_words(seal, say), (mark,))


def _runs(row: bytes, y: int) -> str:
    """The dark stretches of one row as closed shapes, so that no hairline of white shows between two dots."""
    out, x = [], 0
    while x < len(row):
        if not row[x]:
            x += 1
            continue
        end = x
        while end < len(row) and row[end]:
            end += 1
        out.append(f"M{x + MARGIN} {y}h{end - x}v1h-{end - x}z")
        x = end
    return "".join(out)
