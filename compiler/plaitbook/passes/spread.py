"""The time of the last of several braiders: the greatest of independent durations.

C. E. Clark, "The Greatest of a Finite Set of Random Variables", Operations
Research 9 (1961): mean and variance of the greater of two normal variables,
taken one after another.
"""

from __future__ import annotations

import math
from functools import reduce

Normal = tuple[float, float]
"""(mean, variance)."""


def _greater(one: Normal, two: Normal) -> Normal:
    (m1, v1), (m2, v2) = one, two
    a = math.sqrt(v1 + v2)
    if a == 0:
        return max(one, two)
    alpha = (m1 - m2) / a
    below = 0.5 * math.erfc(-alpha / math.sqrt(2))
    density = math.exp(-alpha * alpha / 2) / math.sqrt(2 * math.pi)
    mean = m1 * below + m2 * (1 - below) + a * density
    square = (m1 * m1 + v1) * below + (m2 * m2 + v2) * (1 - below) + (m1 + m2) * a * density
    return mean, max(0.0, square - mean * mean)


def greatest(durations: tuple[Normal, ...]) -> Normal:
    """Mean and variance of the greatest of independent durations; (0, 0) of none."""
    return reduce(_greater, sorted(durations, reverse=True)) if durations else (0.0, 0.0)
