"""Formulas of work study: three-point estimates, learning curves and rest allowances.

Each has a use here: a house may state a rate as "least, usual, most"; a
trainee's speed follows from the sets done so far; the clock's rest comes from
the allowances.
"""

from __future__ import annotations

import math
from typing import NamedTuple


class Estimate(NamedTuple):
    """A mean and a standard deviation, in the unit of what was estimated."""

    mean: float
    deviation: float


def three_point(least: float, usual: float, most: float) -> Estimate:
    """Mean and standard deviation of a duration stated as least, usual and most.

    ``(a + 4m + b) / 6`` and ``(b - a) / 6``: Malcolm, Roseboom, Clark and Fazar,
    "Application of a Technique for Research and Development Program Evaluation",
    Operations Research 7 (1959). Raises ValueError unless 0 <= least <= usual <= most.
    """
    if not 0 <= least <= usual <= most:
        raise ValueError("a three-point estimate runs from least to usual to most")
    return Estimate((least + 4 * usual + most) / 6, (most - least) / 6)


def along_a_path(deviations: tuple[float, ...]) -> float:
    """Standard deviation of the sum of independent durations: their variances add (the same paper)."""
    return math.sqrt(math.fsum(d * d for d in deviations))


def unit_time(first: float, number: int, rate: float) -> float:
    """Time of the n-th unit where each doubling of the count brings the unit's time to ``rate``.

    ``T(n) = T(1) n^b, b = ln rate / ln 2``: Crawford's unit form of the curve of
    Wright, "Factors Affecting the Cost of Airplanes", Journal of the Aeronautical
    Sciences 3 (1936). Raises ValueError for a number below 1 or a rate outside 0 to 1.
    """
    if number < 1 or not 0 < rate <= 1:
        raise ValueError("a learning curve wants a unit from 1 on and a rate of at most 1")
    return first * number ** (math.log(rate) / math.log(2))


def total_time(first: float, count: int, rate: float) -> float:
    """Time of the first ``count`` units together, in the unit form."""
    return math.fsum(unit_time(first, number, rate) for number in range(1, count + 1))


def unit_time_of_averages(first: float, number: int, rate: float) -> float:
    """Time of the n-th unit in Wright's own form, where the cumulative average falls to ``rate``."""
    whole = number * unit_time(first, number, rate)
    return whole if number == 1 else whole - (number - 1) * unit_time(first, number - 1, rate)


LEARNING_RATE = 0.85
"""Each doubling of the sets done brings a set's time to this. Airframes 80 % (Wright 1936),
70 to 95 % usual for handwork (from memory); 85 % here is our own estimate."""

PRACTISED_SETS = 100
"""Sets after which the shipped rates are those of "one practised braider". Our own estimate:
with 85 % a first set then takes 2.9 times as long. (One account of a first self-made set says
18 h, where 4 to 8 h are usual.)"""


def trainee_speed(sets: int) -> float:
    """A trainee's speed as a share of a practised braider's, by the sets done so far (1 at most)."""
    number = max(1, min(sets, PRACTISED_SETS))
    return unit_time(1.0, PRACTISED_SETS, LEARNING_RATE) / unit_time(1.0, number, LEARNING_RATE)


# --- rest allowances ------------------------------------------------------------

ALLOWANCES: dict[str, float] = {
    "personal needs": 0.05,
    "basic fatigue": 0.04,
    "standing": 0.02,
    "posture slightly awkward": 0.00,
    "posture awkward, bending": 0.02,
    "posture very awkward": 0.07,
    "light slightly below": 0.00,
    "light well below": 0.02,
    "light very poor": 0.05,
    "close attention fairly fine": 0.00,
    "close attention fine": 0.02,
    "close attention very fine": 0.05,
    "noise continuous": 0.00,
    "noise intermittent, loud": 0.02,
    "noise intermittent, very loud": 0.05,
    "monotony low": 0.00,
    "monotony medium": 0.01,
    "monotony high": 0.04,
}
"""Shares of normal time, constant and variable allowances of the table used in work study,
after the International Labour Office, "Introduction to Work Study"; read in a coursework
copy of the table (Niebel). Women's 7 % for personal needs in older editions is not used."""

WEIGHT_ALLOWANCES: tuple[tuple[float, float], ...] = (
    (5, 0.00), (10, 0.01), (15, 0.02), (20, 0.03), (25, 0.04), (30, 0.05), (35, 0.07), (40, 0.09), (45, 0.11),
    (50, 0.13), (60, 0.17), (70, 0.22),
)
"""(pounds lifted, share), the same table."""

AT_THE_HEAD = ("personal needs", "basic fatigue", "standing", "close attention fine", "posture awkward, bending")
"""What applies to a braider who stands bent to a head and watches fine partings. The choice is ours."""


def allowance(names: tuple[str, ...], pounds: float = 0.0) -> float:
    """The sum of the named allowances and that of a weight lifted, as a share of normal time.

    Standard time is normal time x (1 + allowance): Konz, chapter 38 of an
    ergonomics handbook. Raises KeyError for a name that isn't in the table.
    """
    heavy = 0.0
    for weight, share in WEIGHT_ALLOWANCES:
        if pounds >= weight:
            heavy = share
    return math.fsum((*(ALLOWANCES[name] for name in names), heavy))
