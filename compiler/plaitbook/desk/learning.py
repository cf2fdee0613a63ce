"""What logged services say of a house's rates: shrunken towards the defaults, with an interval.

For a stage i with n services, ``y`` is the mean of ln(minutes / expected
minutes). The house's own factor for the stage is ``exp(θ)``; with

    y | θ ~ normal(θ, σ²/n),   θ ~ normal(0, τ²)

the normal-normal posterior (Gelman, Carlin, Stern, Dunson, Vehtari and Rubin,
"Bayesian Data Analysis", chapter 2) has mean ``w y`` with
``w = n τ² / (n τ² + σ²)`` and variance ``w σ²/n``. Both variances are estimated
from the stages together (empirical Bayes: Efron and Morris, "Stein's Estimation
Rule and Its Competitors", JASA 68, 1973) and are themselves drawn towards
default values, so that few services move little:

    σ² = (20 · 0.18² + Σ (y_ij - y_i)²) / (20 + Σ (n_i - 1))
    τ² = (30 · 0.07² + n max(0, mean(y_i² - σ²/n_i))) / (30 + n)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist, fmean
from typing import Iterable, Mapping, Sequence

SIGMA, SIGMA_WEIGHT = 0.18, 20.0
"""Log-spread of one stage's minutes on one day about the house's own mean: the day's 0.12, the
stage's own, and a clock read by the way. Its weight is in services. Our own estimates."""

TAU, TAU_WEIGHT = 0.07, 30.0
"""Log-spread of houses about the default rates, before anything is logged; weight in services.
Our own estimates, chosen so that three services move a rate by about a third of what they say."""

INTERVAL = 0.95
"""Of the interval that is stated with each factor."""

LEAST_FACTOR, MOST_FACTOR = 0.2, 5.0
"""A stage logged outside this many times its expected minutes is a slip of the pen; it is left out and said so."""


@dataclass(frozen=True)
class Factor:
    """How much longer than the defaults a stage takes in this house."""

    stage: str
    factor: float
    low: float
    high: float
    services: int
    seen: float
    """The services' own mean factor, unshrunken."""


def fit(ratios: Mapping[str, Sequence[float]]) -> tuple[Factor, ...]:
    """A factor for each stage from its ratios of logged to expected minutes, in the given order."""
    logs = {stage: [math.log(r) for r in mine] for stage, mine in ratios.items() if mine}
    if not logs:
        return ()
    means = {stage: fmean(mine) for stage, mine in logs.items()}
    squares = math.fsum((y - means[stage]) ** 2 for stage, mine in logs.items() for y in mine)
    freedom = sum(len(mine) - 1 for mine in logs.values())
    sigma2 = (SIGMA_WEIGHT * SIGMA**2 + squares) / (SIGMA_WEIGHT + freedom)
    count = fmean(len(mine) for mine in logs.values())
    between = max(0.0, fmean(means[stage] ** 2 - sigma2 / len(mine) for stage, mine in logs.items()))
    tau2 = (TAU_WEIGHT * TAU**2 + count * between) / (TAU_WEIGHT + count)
    z = NormalDist().inv_cdf((1 + INTERVAL) / 2)
    found = []
    for stage, mine in logs.items():
        n = len(mine)
        weight = n * tau2 / (n * tau2 + sigma2)
        middle, half = weight * means[stage], z * math.sqrt(weight * sigma2 / n)
        found.append(Factor(stage, math.exp(middle), math.exp(middle - half), math.exp(middle + half), n,
                            math.exp(means[stage])))
    return tuple(found)


@dataclass(frozen=True)
class Record:
    """How past predictions held."""

    services: int
    within_80: int
    """Ended within the 80 % time of their card."""
    within_95: int
    bias: float
    """Mean of ln(minutes / median): 0.05 is about 5 % longer than the cards said."""


def held(told: Iterable[tuple[float, float, float, float]]) -> Record | None:
    """The record of (minutes, median, 80 % time, 95 % time) told and taken; None of none."""
    rows = list(told)
    if not rows:
        return None
    return Record(len(rows), sum(m <= p80 for m, _, p80, _ in rows), sum(m <= p95 for m, _, _, p95 in rows),
                  fmean(math.log(m / median) for m, median, _, _ in rows))
