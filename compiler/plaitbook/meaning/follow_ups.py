"""Which messages about a look only follow from another mistake that has its message already.

Where a line can't be read, what it says is missing; a message about that
absence would send the stylist to a line that is right.
"""

from __future__ import annotations

from typing import Iterable

from ..syntax.problem import Problem

MISSED = {
    "E601": ("choices",), "E602": ("choices",), "E604": ("choices",), "E605": ("choices",),
    "E606": ("choices", "when", "adapt", "start", "feed", "accents", "end", "sections", "hair", "wearing"),
    "E607": ("choices", "when", "adapt"), "E608": ("when", "adapt", "choices"), "E609": ("choices",),
    "E616": ("hair",), "E620": ("sections", "choices", "when", "adapt"), "E621": ("sections", "technique"),
    "E622": ("wearing", "choices", "when", "adapt"), "E623": ("start",),
}
"""Code -> the lines of a look whose loss can bring the message about."""
MISSED_IN_BOOK = {
    "E430": ("recipe", "use"), "E431": ("recipe",), "E614": ("hair", "use"), "E615": ("hair",), "E617": ("ornament", "use"),
    "E611": ("hair",), "E612": ("hair",), "E618": ("hair", "use"), "E619": ("wearer", "house", "hair", "ornament", "use"),
}
"""The same for what the book lacks."""
IN_A_CONDITION = ("E604", "E605", "E701", "E702")
COVERING = ("E606", "E607", "E608", "E609")
"""Messages about what no clause covers, or what changes nothing: a clause with a mistake of its own explains them."""


def firsthand(problems: Iterable[Problem], lost: "frozenset[str] | set[str]", table: dict[str, tuple[str, ...]] = MISSED) -> list[Problem]:
    """The problems without those that the loss of these lines (``?``: of some line) explains."""
    if not lost:
        return list(problems)
    return [p for p in problems if not (p.code in table and ("?" in lost or not lost.isdisjoint(table[p.code])))]


def without_echoes(problems: list[Problem]) -> list[Problem]:
    """The problems without those that a mistake among them explains."""
    if any(problem.code in IN_A_CONDITION for problem in problems):
        problems = [problem for problem in problems if problem.code not in COVERING]
    if any(problem.code == "E609" for problem in problems):  # 'by siez' names nothing, so 'size' changes nothing
        problems = [problem for problem in problems if problem.code not in ("E606", "E607")]
    return problems
