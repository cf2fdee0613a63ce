"""The head from what a stylist can measure; the rest from published anthropometry.

:func:`shape_head` takes any of circumference, ear-to-ear arc, hairline-to-nape arc, length and
breadth, or an age, or nothing. What is missing is the conditional mean of a normal
distribution, given what was measured (the standard formula; Anderson, *An Introduction to
Multivariate Statistical Analysis*, 2.5), and the conditional spread goes on to the count.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, log, sqrt
from typing import NamedTuple, Protocol

from ..meaning.values import Measure
from . import anthropometry as table
from .surface import Axes, perimeter

NAMES = ("circumference", "head length", "head breadth")


class Measured(NamedTuple):
    """The measures taken, mm; plain and hashable so that a head is shaped once."""

    circumference: float | None
    ear_to_ear: float | None
    hairline_to_nape: float | None
    length: float | None
    breadth: float | None
    age_years: float | None
    sex: str | None


class Measurable(Protocol):
    """Anything with a wearer's measures under a wearer's names."""

    circumference_mm: Measure | None
    ear_to_ear_mm: Measure | None
    hairline_to_nape_mm: Measure | None
    head_length_mm: Measure | None
    head_breadth_mm: Measure | None
    age_years: Measure | None
    sex: str | None


class Impossible(NamedTuple):
    """A measure that doesn't fit: which field, and the plausible range in mm."""

    field: str
    value: float
    low: float
    high: float
    because: str


class HeadShape(NamedTuple):
    """The ellipsoid and where it came from. Lengths in mm."""

    axes: Axes
    circumference: float
    length: float
    breadth: float
    tragion_height: float
    ear_to_ear: float
    fullness: float
    log_area_sd: float
    """SD of the logarithm of the area that the unmeasured leaves."""
    taken: tuple[str, ...]
    formulas: tuple[tuple[str, str, tuple[tuple[str, float, str], ...]], ...]
    """(measure, formula, ((input, value, source), ...)) for each inferred measure."""
    source: str
    impossible: tuple[Impossible, ...]


def measured(wearer: Measurable) -> Measured:
    """What was measured on a wearer, as plain numbers."""

    taken = (
        wearer.circumference_mm, wearer.ear_to_ear_mm, wearer.hairline_to_nape_mm,
        wearer.head_length_mm, wearer.head_breadth_mm, wearer.age_years,
    )
    return Measured(*[None if m is None else m.value for m in taken], wearer.sex)


def population(age: float | None, sex: str | None) -> tuple[list[float], list[list[float]], float, str]:
    """Mean vector, covariance matrix (in the order of ``MEASURES``), fullness and source.

    Unknown sex pools the two with equal weight. Lengths in mm.
    """
    sexes = ("female", "male") if sex is None else (sex,)
    parts = [one_sex(age, each) for each in sexes]
    if len(parts) == 1:
        return parts[0]
    (m0, s0, f0, source), (m1, s1, f1, _) = parts
    mean = [(p + q) / 2 for p, q in zip(m0, m1)]
    half = [(p - q) / 2 for p, q in zip(m0, m1)]
    spread = [[(s0[i][j] + s1[i][j]) / 2 + half[i] * half[j] for j in range(4)] for i in range(4)]
    return mean, spread, (f0 + f1) / 2, source


def one_sex(age: float | None, sex: str) -> tuple[list[float], list[list[float]], float, str]:
    """:func:`population` for one sex."""
    mean, sd = list(table.MEAN[sex]), list(table.SD[sex])
    fullness, source = table.FULLNESS[sex], table.ANSUR
    if age is not None and age < 18:
        adult = mean
        length, breadth, height = interpolate(table.SNYDER_AGES, table.SNYDER_MEDIAN[sex], age)
        ellipse = perimeter(length / 2, breadth / 2)
        if age <= 5:
            months = interpolate(table.WHO_MONTHS, table.WHO_MEDIAN_S[sex], age * 12)
            circumference, share = months[0], months[1]
            scale = circumference / (table.CHILD_FULLNESS_AT_5 * ellipse)
            length, breadth, height = length * scale, breadth * scale, height * scale
            fullness, source = table.CHILD_FULLNESS_AT_5, f"{table.WHO}; proportions: {table.SNYDER}"
        else:
            fullness = table.CHILD_FULLNESS_AT_5 + (age - 5) / 13 * (fullness - table.CHILD_FULLNESS_AT_5)
            circumference, share, source = fullness * ellipse, table.CHILD_SPREAD, table.SNYDER
        mean = [circumference, length, breadth, height]
        grown = share / (sd[0] / adult[0])
        sd = [grown * sd[i] / adult[i] * mean[i] for i in range(4)]
    matrix = table.CORRELATION[sex]
    return mean, [[matrix[i][j] * sd[i] * sd[j] for j in range(4)] for i in range(4)], fullness, source


def interpolate(xs: tuple[float, ...], rows: tuple[tuple[float, ...], ...], x: float) -> list[float]:
    """Straight lines between rows, constant beyond the ends."""
    if x <= xs[0]:
        return [float(v) for v in rows[0]]
    for i in range(1, len(xs)):
        if x <= xs[i]:
            t = (x - xs[i - 1]) / (xs[i] - xs[i - 1])
            return [p + t * (q - p) for p, q in zip(rows[i - 1], rows[i])]
    return [float(v) for v in rows[-1]]


def condition(
    mean: list[float], spread: list[list[float]], known: dict[int, float]
) -> tuple[list[float], list[list[float]], list[dict[int, float]]]:
    """Mean and covariance of a normal vector once some entries are known, and the slopes used.

    One entry at a time (the sequential form of the regression): exact, no matrix inverse.
    """
    m, s = list(mean), [list(row) for row in spread]
    n = len(m)
    slopes: list[dict[int, float]] = [{} for _ in range(n)]
    for k, value in known.items():
        var = s[k][k]
        if var <= 1e-9:
            continue
        gain = [s[i][k] / var for i in range(n)]
        shift = value - m[k]
        before = slopes[k]
        slopes = [
            {
                j: slopes[i].get(j, 0.0) + gain[i] * ((1.0 if j == k else 0.0) - before.get(j, 0.0))
                for j in known
            }
            for i in range(n)
        ]
        m = [m[i] + gain[i] * shift for i in range(n)]
        row = list(s[k])
        s = [[s[i][j] - gain[i] * row[j] for j in range(n)] for i in range(n)]
    return m, s, slopes


@lru_cache(maxsize=256)
def shape_head(given: Measured) -> HeadShape:
    """The ellipsoid for what was measured; measures that can't be are listed in ``impossible``.

    ``a`` and ``b`` are half the breadth and length, enlarged alike until the ellipse has the
    circumference; ``c`` is the height at which the half ellipse over the crown has the
    ear-to-ear arc.
    """
    mean, spread, fullness, source = population(given.age_years, given.sex)
    known = {i: v for i, v in enumerate((given.circumference, given.length, given.breadth)) if v is not None}
    impossible = list(implausible(mean, spread, known))
    m, s, slopes = condition(mean, spread, known)
    formulas = []
    if 0 not in known and 1 in known and 2 in known:
        m[0] = fullness * perimeter(given.length / 2, given.breadth / 2)
        formulas.append(("circumference", "fullness * " + PERIMETER, (
            ("fullness", fullness, table.ANSUR), ("length", m[1], ""), ("breadth", m[2], ""))))
    for i, name in enumerate(table.MEASURES):
        if i not in known and not any(name == done[0] for done in formulas):
            formulas.append((name, *regression(i, mean, known, slopes, source)))
    circumference, length, breadth, height = m
    scale = circumference / perimeter(length / 2, breadth / 2)
    a, b = scale * breadth / 2, scale * length / 2
    predicted = table.CROWN_FULLNESS * perimeter(breadth / 2, height) / 2
    height_sd = sqrt(max(s[3][3], 0.0))
    arc = predicted
    if given.ear_to_ear is not None:
        arc = given.ear_to_ear
        slack = table.PLAUSIBLE_SDS * height_sd
        low = table.CROWN_FULLNESS * perimeter(breadth / 2, height - slack) / 2
        high = table.CROWN_FULLNESS * perimeter(breadth / 2, height + slack) / 2
        low = max(low, 2.02 * a)
        if not low <= arc <= high:
            impossible.append(Impossible("ear_to_ear_mm", arc, low, high, "a head of this size"))
            arc = min(max(arc, low), high)
    c = crown_height(a, arc)
    rise = 0.0 if given.ear_to_ear is not None else height_sd / height
    around = sqrt(max(s[0][0], 0.0)) / circumference
    across = 0.0 if given.ear_to_ear is not None else s[0][3] / (circumference * height)
    up = log(half_area((a, b, c * 1.01)) / half_area((a, b, c))) / log(1.01)
    flat = 2 - up
    variance = (flat * around) ** 2 + (up * rise) ** 2 + 2 * flat * up * across
    taken = tuple(
        name for name, v in (
            ("circumference", given.circumference), ("ear to ear", given.ear_to_ear),
            ("hairline to nape", given.hairline_to_nape), ("head length", given.length),
            ("head breadth", given.breadth),
        ) if v is not None
    )
    return HeadShape(
        (a, b, c), circumference, length, breadth, height, arc, fullness,
        sqrt(max(0.0, variance)), taken, tuple(formulas), source, tuple(impossible),
    )


PERIMETER = (
    "pi * (length + breadth) / 2 * (1 + 3 * ((length - breadth) / (length + breadth)) ** 2"
    " / (10 + sqrt(4 - 3 * ((length - breadth) / (length + breadth)) ** 2)))"
)
"""Perimeter of the ellipse on length and breadth (Ramanujan 1914)."""


def regression(
    i: int, mean: list[float], known: dict[int, float], slopes: list[dict[int, float]], source: str
) -> tuple[str, tuple[tuple[str, float, str], ...]]:
    """The conditional mean of one measure as exact arithmetic, with its inputs."""
    terms, inputs = ["mean"], [("mean", mean[i], source)]
    for j, value in known.items():
        name = table.MEASURES[j]
        terms.append(f"slope_{name} * ({name} - mean_{name})")
        inputs += [
            (f"slope_{name}", slopes[i].get(j, 0.0), source), (name, value, ""),
            (f"mean_{name}", mean[j], source),
        ]
    return " + ".join(terms), tuple(inputs)


def implausible(mean: list[float], spread: list[list[float]], known: dict[int, float]) -> list[Impossible]:
    """Each measure that lies too far from what the others predict, worst first."""
    fields = ("circumference_mm", "head_length_mm", "head_breadth_mm")
    found = []
    for i, value in known.items():
        others = {j: v for j, v in known.items() if j != i}
        m, s, _ = condition(mean, spread, others)
        sd = sqrt(max(s[i][i], 1e-9))
        z = abs(value - m[i]) / sd
        if z > table.PLAUSIBLE_SDS:
            reach = table.PLAUSIBLE_SDS * sd
            because = "beside " + " and ".join(f"{NAMES[j]} {v:.0f} mm" for j, v in others.items())
            found.append((z, Impossible(fields[i], value, m[i] - reach, m[i] + reach, because if others else "")))
    # One wrong measure makes its neighbours look wrong too; the farthest off is the one to name.
    return [worst for _, worst in sorted(found, key=lambda pair: -pair[0])[:1]]


def crown_height(a: float, arc: float) -> float:
    """The c whose half ellipse with ``a`` has the arc over the crown. Newton-free bisection, mm."""
    low, high = 0.2 * a, 4.0 * a
    for _ in range(60):
        c = (low + high) / 2
        if perimeter(a, c) / 2 < arc:
            low = c
        else:
            high = c
    return (low + high) / 2


def half_area(axes: Axes) -> float:
    """Area of the half ellipsoid, mm2: Knud Thomsen's approximation (2004, p = 1.6075), within 1.1 %.

    Used only for how the area responds to its height, never for an area that is printed.
    """
    a, b, c = axes
    p = 1.6075
    return 2 * 3.141592653589793 * (((a * b) ** p + (a * c) ** p + (b * c) ** p) / 3) ** (1 / p)


def spread_of(count: int, head: HeadShape) -> tuple[int, int]:
    """The 90 % range of a count that goes with the area, for the head's unmeasured part."""
    reach = table.SPREAD_SDS * head.log_area_sd
    return round(count * exp(-reach)), round(count * exp(reach))
