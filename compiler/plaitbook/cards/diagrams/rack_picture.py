"""The rack as it is loaded: a row of pegs for each size of piece, the piece true to size beside it."""

from __future__ import annotations

from ...plan.model import Material, RackLine
from ..speech import Speech, speech
from .ink import TEXT_MM, circle, held, picture, shaded, text, wrap

PEG_MM = 8.6
LEFT = 2.0
ROW = TEXT_MM + 0.9
BOLD = 1.08 * TEXT_MM
"""Bold letters are about a twelfth wider; Noto Sans."""
MOST_PEGS = 80
"""Pegs of one size that are drawn; the words still say how many (our own estimate: four rows)."""


def rack_picture(material: Material, say: Speech = speech(), width_mm: float = 188.0, prefix: str = "") -> str:
    """The racks as a standalone SVG. It has no ids (``prefix`` unused)."""
    del prefix
    marks: list[str] = []
    y = 0.0
    across = max(1, int((width_mm - 2 * LEFT - 16.0) / PEG_MM))
    for rack in material.racks:
        for words in wrap(_heading(rack, say), width_mm - 2 * LEFT, BOLD):
            marks.append(text(LEFT, y + ROW - 0.9, words, bold=True))
            y += ROW
        y += 0.8
        size = max(rack.held_mm, PEG_MM)
        # The piece as held, at true size, so that a handful can be laid against it.
        marks.append(circle(LEFT + rack.held_mm / 2.0, y + size / 2.0, rack.held_mm / 2.0, fill="#000"))
        start = LEFT + max(16.0, rack.held_mm + 3.0)
        drawn = min(rack.pegs, MOST_PEGS)
        for peg in range(drawn):
            row, column = divmod(peg, across)
            x = start + (column + 0.5) * PEG_MM
            peg_y = y + (row + 0.5) * PEG_MM
            marks.append(circle(x, peg_y, PEG_MM / 2.0 - 0.5))
            marks.append(text(x, peg_y + 1.1, str(_on_peg(rack, peg)), "middle"))
        y += max(size, PEG_MM * (1 + (drawn - 1) // across)) + 2.5
    return picture(width_mm, max(y, 1.0), say("How the rack is loaded"), rack_words(material, say), marks)


def rack_words(material: Material, say: Speech = speech()) -> str:
    """The rack in words, one line for each size."""
    return "\n".join(_heading(rack, say) for rack in material.racks)


def _on_peg(rack: RackLine, peg: int) -> int:
    """Pieces on one peg at the first load."""
    return max(0, min(rack.per_peg, rack.pieces - peg * rack.per_peg))


def _heading(rack: RackLine, say: Speech) -> str:
    what = shaded(rack.role, rack.colour)
    values = {"what": what, "width": held(rack.held_mm, say), "pieces": say.counted("{n} piece", "{n} pieces", rack.pieces),
              "pegs": say.counted("{n} peg", "{n} pegs", rack.pegs), "each": rack.per_peg}
    if rack.reloads == 0:
        return say("{what}, {width}: {pieces} on {pegs} of {each}, load once", **values)
    if rack.reloads == 1:
        return say("{what}, {width}: {pieces} on {pegs} of {each}, load twice", **values)
    return say("{what}, {width}: {pieces} on {pegs} of {each}, load {times} times", **values, times=rack.reloads + 1)
