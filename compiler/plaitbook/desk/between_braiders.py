"""How a look's logged times stand to what its card said, and how far braiders differ."""

from __future__ import annotations

from statistics import fmean, stdev
from typing import NamedTuple

from ..cards.speech import Speech, speech
from .log_store import Service

LEAST = 3
"""Services below which nothing is said of a look; our own estimate."""


class Logged(NamedTuple):
    """The log of one look."""

    services: int
    share: float
    """Mean of the chair times over what the cards said."""
    braiders: int
    """Those with a name and at least two services."""
    spread: float | None
    """Standard deviation between the braiders' own means, as a share; None for fewer than two braiders."""


def logged_times(services: tuple[Service, ...], look: str) -> Logged | None:
    """What the log says of a look, or None where it is too short to say anything.

    Each service counts by its chair time over what its card said, so that sizes and lengths may differ.
    """
    shares: dict[str, list[float]] = {}
    for service in services:
        if service.recipe == look and service.minutes and service.median_minutes:
            shares.setdefault(service.braider, []).append(service.minutes / service.median_minutes)
    every = [share for own in shares.values() for share in own]
    if len(every) < LEAST:
        return None
    means = [fmean(own) for name, own in shares.items() if name and len(own) > 1]
    return Logged(len(every), fmean(every), len(means), stdev(means) if len(means) > 1 else None)


def in_words(logged: Logged, say: Speech = speech()) -> str:
    """``Logged 8 times: 4 % longer than said; between 3 braiders a standard deviation of 9 %.``"""
    percent = round(100.0 * (logged.share - 1.0))
    if percent == 0:
        held = say("as long as said")
    elif percent > 0:
        held = say("{percent} % longer than said", percent=percent)
    else:
        held = say("{percent} % shorter than said", percent=-percent)
    parts = [say.many("Logged {n} time: {held}", "Logged {n} times: {held}", logged.services, held=held)]
    if logged.spread is not None:
        parts.append(say("between {braiders} braiders a standard deviation of {percent} %", braiders=logged.braiders, percent=f"{100.0 * logged.spread:.0f}"))
    return f"{say.series(parts)}."
