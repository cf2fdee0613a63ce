"""Cutting stock with parts of flat lengths allowed: a bound that is nearly always met.

The linear relaxation of Gilmore and Gomory (A Linear Programming Approach to the
Cutting-Stock Problem, Operations Research 9, 1961), solved by the revised simplex
method over all patterns that leave no room for another piece.
"""

from __future__ import annotations

from math import ceil, floor
from typing import NamedTuple

Pattern = tuple[int, ...]

EPSILON = 1e-9
"""Smaller improvements than this are rounding."""

MOST_PIVOTS = 500
"""The simplex stops here with what it has (our own estimate; a dozen lengths take forty)."""


class Relaxed(NamedTuple):
    """The cheapest mixture of patterns, in parts of flat lengths."""

    flats: int
    """No plan in whole flat lengths takes fewer; 0 where the search was cut off."""
    mixture: tuple[tuple[Pattern, float], ...]


def full_patterns(lengths: tuple[float, ...], flat_mm: float, most: int) -> list[Pattern] | None:
    """Every way to cut one flat length with no room left for another piece, longest first.

    None where there are more than ``most``. ``lengths`` run from the longest to the shortest.
    """
    found: list[Pattern] = []

    def fill(i: int, room: float, taken: Pattern) -> bool:
        if i == len(lengths):
            if room < lengths[-1]:
                found.append(taken)
            return len(found) <= most
        return all(
            fill(i + 1, room - take * lengths[i], (*taken, take))
            for take in range(floor(room / lengths[i]), -1, -1)
        )

    return found if fill(0, flat_mm, ()) else None


def relax(counts: tuple[int, ...], patterns: list[Pattern]) -> Relaxed:
    """The least Σx with Σx·pattern at least ``counts``, x in parts.

    Every piece must fit somewhere. A column is a pattern (cost 1) or a piece thrown away
    (-1 of it, cost 0).
    """
    size = len(counts)
    # Begin with patterns of one length each, so that the basis is diagonal.
    begin = [max(patterns, key=lambda pattern: pattern[i])[i] for i in range(size)]
    columns: list[tuple[Pattern, int]] = [
        (tuple(begin[i] if j == i else 0 for j in range(size)), 1) for i in range(size)
    ]
    inverse = [[1.0 / begin[i] if i == j else 0.0 for j in range(size)] for i in range(size)]
    amounts = [counts[i] / begin[i] for i in range(size)]
    for _ in range(MOST_PIVOTS):
        worth = [sum(columns[row][1] * inverse[row][j] for row in range(size)) for j in range(size)]
        entering = _entering(worth, patterns)
        if entering is None:
            total = sum(amount * cost for amount, (_, cost) in zip(amounts, columns))
            mixture = tuple(
                (pattern, amount) for amount, (pattern, cost) in zip(amounts, columns) if cost and amount > EPSILON
            )
            return Relaxed(ceil(total - 1e-6), mixture)
        pattern, _ = entering
        change = [sum(a * n for a, n in zip(row, pattern)) for row in inverse]
        ratios = [(amounts[i] / change[i], i) for i in range(size) if change[i] > EPSILON]
        if not ratios:
            break
        step, leaving = min(ratios)
        scale = change[leaving]
        inverse[leaving] = [value / scale for value in inverse[leaving]]
        for i in range(size):
            if i != leaving:
                amounts[i] -= step * change[i]
                if change[i]:
                    inverse[i] = [a - change[i] * b for a, b in zip(inverse[i], inverse[leaving])]
        amounts[leaving] = step
        columns[leaving] = entering
    return Relaxed(0, ())


def _entering(worth: list[float], patterns: list[Pattern]) -> tuple[Pattern, int] | None:
    """The column that would save most, or None where none saves anything."""
    best = max(patterns, key=lambda pattern: sum(w * n for w, n in zip(worth, pattern)))
    saving = sum(w * n for w, n in zip(worth, best)) - 1.0
    least = min(range(len(worth)), key=worth.__getitem__)
    if -worth[least] > max(saving, EPSILON):
        return tuple(-1 if j == least else 0 for j in range(len(worth))), 0
    return (best, 1) if saving > EPSILON else None
