"""Which sections of different strips share an edge."""

from __future__ import annotations

from .cell import Cell
from .scalp import TURN
from .zones import CROWN_DEPTH

CLOSE = 1e-7
"""Overlaps shorter than this, in radians or shares of depth, are corners, not edges."""


def join(cells: list[Cell]) -> None:
    """Link the sections of neighbouring strips.

    Within a strip the sections are linked as they are laid. Here the edges on the strips'
    borders are sorted onto the line they lie on, and one sweep along each line matches the
    sections on its two sides: the work grows with the length of the borders.
    """
    lines: dict[tuple[bool, float], tuple[list, list]] = {}
    for i, cell in enumerate(cells):
        for down, line, low, high, after in cell.rim:
            if down:
                line = round(line % TURN, 9)
            elif line == CROWN_DEPTH and low < -CLOSE:
                # The sides, counted from the forehead, meet rows counted round the back.
                low, high = low + TURN, high + TURN
            pair = lines.get((down, line))
            if pair is None:
                pair = lines[(down, line)] = ([], [])
            pair[after].append((low, high, i))
    for ones, others in lines.values():
        if not ones or not others:
            continue
        ones.sort()
        others.sort()
        i = j = 0
        while i < len(ones) and j < len(others):
            low0, high0, a = ones[i]
            low1, high1, b = others[j]
            if a != b and min(high0, high1) - max(low0, low1) > CLOSE:
                cells[a].link(cells[b])
            if high0 < high1:
                i += 1
            else:
                j += 1
