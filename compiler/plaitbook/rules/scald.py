"""How fast hot water burns through skin: the published table, and what stands between its rows."""

from __future__ import annotations

import math

SCALD_TABLE: tuple[tuple[float, float], ...] = (
    (44.0, 21600.0), (48.9, 300.0), (51.7, 120.0), (54.4, 30.0), (57.2, 10.0),
    (60.0, 5.0), (62.8, 3.0), (65.6, 2.0), (68.3, 1.0),
)
"""(°C, seconds to a full-thickness burn of adult skin). Moritz & Henriques 1947, Studies of
thermal injury II, Am J Pathol 23:695, as listed in secondary copies of the table; a child's
skin burns faster."""

SOURCE = (
    "Moritz & Henriques 1947, Am J Pathol 23:695 (table as listed in secondary copies); "
    "Meizoso et al. 2016, J Burn Care Res 37:e7"
)


def scald_seconds(water_c: float) -> float | None:
    """Seconds until water of this temperature burns through adult skin.

    Straight lines in log time between the table's rows. None below the first
    row (44 °C): the table says nothing there, and that isn't leave to linger.
    Above the last row (68.3 °C) the answer is 1.0 and means "1 s or less".
    """
    if water_c < SCALD_TABLE[0][0]:
        return None
    for (low, slow), (high, fast) in zip(SCALD_TABLE, SCALD_TABLE[1:]):
        if water_c <= high:
            share = (water_c - low) / (high - low)
            return math.exp((1 - share) * math.log(slow) + share * math.log(fast))
    return SCALD_TABLE[-1][1]


def scald_words(water_c: float) -> str:
    """How fast, for a card: ``in 5 s``, ``in a second or less``."""
    seconds = scald_seconds(water_c)
    if seconds is None:
        return "in a time the table doesn't give"
    if seconds <= 1.05:
        return "in a second or less"
    if seconds < 100:
        return f"in {seconds:.0f} s"
    return f"in {seconds / 60:.0f} min"
