"""Cutting stock: the fewest flat lengths of hair that give the pieces wanted.

One length is arithmetic. Several lengths from one hair are packed first-fit
decreasing; where that misses the lower bound, the relaxed problem is rounded down
and a bounded exact search packs what is left. Lengths are millimetres.
"""

from __future__ import annotations

from math import ceil, floor
from typing import NamedTuple

from .relaxed_cuts import Pattern, full_patterns, relax
from .saying import say_count, say_length

SLACK_MM = 1e-6
"""Two lengths that differ by rounding are the same length."""

SEARCH_STEPS = 20_000
"""The exact search tries so many cuts, then keeps the best found (our own estimate: 50 ms)."""

MOST_PATTERNS = 2_000
"""With more ways to cut one flat length than this, first-fit decreasing has the last word (our
own estimate; three lengths of hair have a few dozen)."""

SEARCH_DEPTH = 60
"""The exact search packs no more flat lengths than this (our own estimate)."""


class CutPlan(NamedTuple):
    """How flat lengths are cut: ``times`` flat lengths by each ``pattern``."""

    lengths: tuple[float, ...]
    """The lengths wanted, longest first."""
    patterns: tuple[tuple[Pattern, int], ...]
    """(pieces of each length from one flat length, how many flat lengths)."""
    flats: int
    bound: int
    """No plan can take fewer flat lengths than this."""
    proved: bool
    """The plan is the best there is."""


def cuts_per_length(flat_mm: float, cut_mm: float) -> int:
    """Pieces end to end in one flat length."""
    return floor((flat_mm + SLACK_MM) / cut_mm)


def cut_stock(wanted: tuple[tuple[float, int], ...], flat_mm: float) -> CutPlan:
    """The fewest flat lengths for ``wanted``: (cut length, pieces) pairs.

    Raises ValueError for a piece longer than the flat length, or not longer than zero.
    """
    merged: dict[float, int] = {}
    for length, count in wanted:
        if not 0.0 < length <= flat_mm + SLACK_MM:
            raise ValueError(f"a piece of {length} mm can't be cut from {flat_mm} mm")
        merged[length] = merged.get(length, 0) + count
    lengths = tuple(sorted((length for length, count in merged.items() if count), reverse=True))
    counts = tuple(merged[length] for length in lengths)
    if not lengths:
        return CutPlan((), (), 0, 0, True)
    found = _first_fit(lengths, counts, flat_mm)
    bound = lower_bound(lengths, counts, flat_mm)
    if len(found) > bound:
        patterns = full_patterns(lengths, flat_mm + SLACK_MM, MOST_PATTERNS)
        if patterns is not None:
            found, bound = _improved(lengths, counts, flat_mm, patterns, found, bound)
    done = len(found) == bound
    tally: dict[Pattern, int] = {}
    for pattern in found:
        tally[pattern] = tally.get(pattern, 0) + 1
    return CutPlan(lengths, tuple(sorted(tally.items(), reverse=True)), len(found), bound, done)


def lower_bound(lengths: tuple[float, ...], counts: tuple[int, ...], flat_mm: float) -> int:
    """A number of flat lengths that no plan can beat (Martello and Toth's L2, Discrete
    Applied Mathematics 28, 1990: pieces too long to share, and what is left for the rest)."""
    best = ceil(sum(n * x for n, x in zip(counts, lengths)) / flat_mm - 1e-9)
    for limit in (0.0, *[x for x in lengths if x <= flat_mm / 2.0]):
        alone = paired = small = room = 0.0
        for x, n in zip(lengths, counts):
            if x > flat_mm - limit + SLACK_MM:
                alone += n
            elif x > flat_mm / 2.0 + SLACK_MM:
                paired += n
                room += n * (flat_mm - x)
            elif x >= limit - SLACK_MM:
                small += n * x
        best = max(best, int(alone + paired) + max(0, ceil((small - room) / flat_mm - 1e-9)))
    return best


def _first_fit(lengths: tuple[float, ...], counts: tuple[int, ...], flat_mm: float) -> list[Pattern]:
    """First-fit decreasing, filling one flat length after another."""
    left = list(counts)
    plans: list[Pattern] = []
    while any(left):
        room, pattern = flat_mm + SLACK_MM, []
        for i, length in enumerate(lengths):
            take = min(left[i], floor(room / length))
            pattern.append(take)
            room -= take * length
        times = min(left[i] // take for i, take in enumerate(pattern) if take)
        for i, take in enumerate(pattern):
            left[i] -= take * times
        plans.extend([tuple(pattern)] * times)
    return plans


def _improved(
    lengths: tuple[float, ...], counts: tuple[int, ...], flat_mm: float,
    patterns: list[Pattern], packed: list[Pattern], bound: int,
) -> tuple[list[Pattern], int]:
    """The best plan found, and the better bound: (patterns in use, bound).

    The relaxed problem's whole flat lengths are taken as they are and the rest is
    searched; a few whole ones are given back where the rest alone won't meet the bound.
    """
    relaxed = relax(counts, patterns)
    bound = max(bound, relaxed.flats)
    whole = [pattern for pattern, amount in relaxed.mixture for _ in range(floor(amount + 1e-6))]
    best = packed
    for back in (0, 2, 5, 10):
        if len(best) == bound or back > len(whole):
            break
        # Give back evenly over the patterns, so that the rest is as mixed as the whole.
        given_back = {i * len(whole) // back for i in range(back)}
        kept, left = _take([pattern for i, pattern in enumerate(whole) if i not in given_back], counts)
        rest = min(
            _first_fit(lengths, left, flat_mm), _fullest_first(lengths, left, flat_mm, patterns), key=len
        )
        if len(kept) + len(rest) > bound and len(rest) <= SEARCH_DEPTH:
            rest, _ = _search(lengths, left, flat_mm, patterns, rest, bound - len(kept))
        if len(kept) + len(rest) < len(best):
            best = kept + rest
    if len(best) > bound and len(best) <= SEARCH_DEPTH:
        best, finished = _search(lengths, counts, flat_mm, patterns, best, bound)
        if finished:
            bound = len(best)
    return best, bound


def _take(plans: list[Pattern], counts: Pattern) -> tuple[list[Pattern], Pattern]:
    """Flat lengths cut for no more pieces than are still wanted, and what is wanted after them."""
    left = counts
    found = []
    for pattern in plans:
        cut = tuple(min(take, n) for take, n in zip(pattern, left))
        left = tuple(n - take for n, take in zip(left, cut))
        found.append(cut)
    return [cut for cut in found if any(cut)], left


def _fullest_first(
    lengths: tuple[float, ...], counts: tuple[int, ...], flat_mm: float, patterns: list[Pattern]
) -> list[Pattern]:
    """Flat length after flat length, each cut with the longest piece left and the least waste."""
    left = counts
    plans: list[Pattern] = []
    while any(left):
        longest = next(i for i, n in enumerate(left) if n)
        cuts = (tuple(min(take, n) for take, n in zip(pattern, left)) for pattern in patterns)
        best = max(
            (cut for cut in cuts if cut[longest]),
            key=lambda cut: sum(n * x for n, x in zip(cut, lengths)),
        )
        plans.append(best)
        left = tuple(n - take for n, take in zip(left, best))
    return plans


def _search(
    lengths: tuple[float, ...], counts: tuple[int, ...], flat_mm: float,
    patterns: list[Pattern], packed: list[Pattern], bound: int,
) -> tuple[list[Pattern], bool]:
    """Depth-first over patterns for a plan shorter than ``packed``; False if cut off.

    Every flat length must hold the longest piece still wanted, so plans that differ in
    order only are met once. It stops at ``bound``.
    """
    best = packed
    steps = 0
    seen: dict[Pattern, int] = {}

    def go(left: Pattern, plan: list[Pattern]) -> bool:
        nonlocal best, steps
        steps += len(patterns)
        if steps > SEARCH_STEPS:
            return False
        if not any(left):
            if len(plan) < len(best):
                best = list(plan)
            return True
        least = lower_bound(lengths, left, flat_mm)
        if len(plan) + least >= len(best) or seen.get(left, len(plan) + 1) <= len(plan):
            return True
        seen[left] = len(plan)
        longest = next(i for i, n in enumerate(left) if n)
        tried = {tuple(min(a, b) for a, b in zip(pattern, left)) for pattern in patterns}
        # The fullest cuts first: they lead to a short plan soonest.
        for cut in sorted(
            (cut for cut in tried if cut[longest]), key=lambda cut: -sum(n * x for n, x in zip(cut, lengths))
        ):
            plan.append(cut)
            finished = go(tuple(b - a for a, b in zip(cut, left)), plan)
            plan.pop()
            if not finished:
                return False
            if len(best) == bound:
                return True
        return True

    finished = go(counts, [])
    return best, finished


def cut_text(flat_mm: float, cut_mm: float, fold: float, pulled_mm: float, units: str) -> str:
    """The cutting instruction for one hair: fold in so many, cut at the folds, fold, pull."""
    count = cuts_per_length(flat_mm, cut_mm)
    over = flat_mm - count * cut_mm
    said: list[str] = []
    if over > 1.0:
        said.append(f"cut {say_length(over, units)} off the end")
    if count == 1:
        said.append(f"one length of {say_length(cut_mm, units)}" if over > 1.0 else "use the full length, uncut")
    elif count == 2:
        said.append(f"fold in half, cut at the fold: 2 lengths of {say_length(cut_mm, units)}")
    else:
        said.append(
            f"fold in {say_count(count)}, cut at the folds: {count} lengths of {say_length(cut_mm, units)}"
        )
    text = ", ".join(said)
    if pulled_mm > 0.0:
        text += f"; pull the ends {say_length(pulled_mm, units)} apart"
    if 0.0 < fold < 1.0:
        shorter = min(fold, 1.0 - fold) * cut_mm
        where = "in the middle" if abs(fold - 0.5) < 1e-9 else f"{say_length(shorter, units)} from one end"
        text += f"; fold each piece {where}"
    return text
