"""Did you mean: the nearest words that are allowed here."""

from __future__ import annotations

from difflib import SequenceMatcher, get_close_matches
from typing import Iterable


def nearest(word: str, allowed: Iterable[str], most: int = 3) -> list[str]:
    """At most ``most`` of ``allowed`` that look like ``word``, nearest first."""
    choices = list(dict.fromkeys(allowed))
    close = get_close_matches(word[:60], choices, n=most, cutoff=0.62 if len(word) > 8 else 0.7)
    # A slip in a short word ("tpo") falls under the ratio; one swapped pair is still a slip.
    if not close:
        close = [c for c in choices if len(c) > 2 and (sorted(c) == sorted(word) or _one_letter_off(c, word))][:most]
    return close


def _one_letter_off(word: str, other: str) -> bool:
    """Whether two short words of one length differ in a single letter (``H0Z`` for ``H02``)."""
    return len(word) == len(other) <= 4 and sum(a != b for a, b in zip(word, other)) == 1


def likeness(word: str, other: str) -> float:
    """How alike two words are, from 0 to 1."""
    return SequenceMatcher(None, word, other).ratio()


def spoken_list(words: Iterable[str], last: str = "or") -> str:
    """``a, b or c``."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def did_you_mean(word: str, allowed: Iterable[str]) -> str:
    """Help for an unknown word: the nearest, or all that is allowed."""
    choices = list(dict.fromkeys(allowed))
    close = nearest(word, choices)
    if close:
        return f"did you mean {spoken_list(repr(c) for c in close)}?"
    return f"allowed here: {spoken_list(choices)}" if choices else ""
