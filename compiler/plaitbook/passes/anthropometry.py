"""Published head measurements, as tables: what an unmeasured head is inferred from.

Lengths in mm unless the name says otherwise.
"""

from __future__ import annotations

ANSUR = (
    "ANSUR II, Gordon et al. 2014, NATICK/TR-15/007; statistics computed from the public "
    "working databases (1,986 women, 4,082 men, aged 17 to 58)"
)
WHO = "WHO Child Growth Standards 2006, head circumference-for-age (by-day tables)"
SNYDER = "Snyder et al. 1977, UM-HSRI-77-17, medians (secondary: from a third party's table)"
OWN = "our own estimate"

MEASURES = ("circumference", "length", "breadth", "tragion_height")
"""Order of the vectors and matrices below."""

MEAN = {
    "female": (561.12, 189.82, 147.77, 126.48),
    "male": (574.37, 199.50, 154.33, 131.15),
}
SD = {
    "female": (19.36, 7.45, 5.19, 6.55),
    "male": (16.05, 7.02, 5.53, 6.16),
}
CORRELATION = {
    "female": (
        (1.0, 0.757, 0.494, 0.375),
        (0.757, 1.0, 0.220, 0.286),
        (0.494, 0.220, 1.0, 0.331),
        (0.375, 0.286, 0.331, 1.0),
    ),
    "male": (
        (1.0, 0.823, 0.554, 0.387),
        (0.823, 1.0, 0.176, 0.288),
        (0.554, 0.176, 1.0, 0.307),
        (0.387, 0.288, 0.307, 1.0),
    ),
}
"""ANSUR II (see :data:`ANSUR`)."""

FULLNESS = {"female": 1.054, "male": 1.029}
"""Measured circumference over the perimeter of the ellipse on length and breadth.
ANSUR II, mean; SD 0.021 and 0.011. A head is squarer than an ellipse."""

CROWN_FULLNESS = 1.05
"""Arc over the crown over the half ellipse on breadth and tragion height. Our own estimate,
from arcs remembered of the NIOSH respirator survey (Zhuang & Bradtmiller 2005; from memory:
women 339.4 mm, men 350.7 mm), which lie 5 to 6 % above the half ellipse on ANSUR II means."""

CHILD_FULLNESS_AT_5 = 1.006
"""WHO medians at 60 months over ellipses on Snyder's medians at 4-5 years: girls 1.007,
boys 1.005. Between 5 and 18 years the factor is taken to grow evenly: our own estimate."""

CHILD_SPREAD = 0.030
"""SD of circumference over its mean, 5 to 18 years: our own estimate, between WHO's S at
60 months (0.0285) and ANSUR II (women 0.0345, men 0.0279)."""

WHO_MONTHS = (0, 1, 2, 3, 4, 6, 9, 12, 15, 18, 24, 30, 36, 42, 48, 54, 60)
WHO_MEDIAN_S = {
    "female": (
        (338.79, 0.03496), (365.16, 0.03211), (382.58, 0.03168), (395.21, 0.0314), (405.89, 0.03119),
        (422.08, 0.03087), (438.31, 0.03053), (448.94, 0.03027), (456.58, 0.03005), (462.43, 0.02987),
        (471.8, 0.02958), (479.34, 0.02933), (485.11, 0.02912), (489.62, 0.02894), (493.32, 0.02878),
        (496.47, 0.02863), (499.23, 0.0285),
    ),
    "male": (
        (344.62, 0.03686), (372.43, 0.03135), (391.35, 0.02997), (405.01, 0.02918), (416.4, 0.02868),
        (433.39, 0.02817), (450.01, 0.02792), (460.64, 0.02789), (468.09, 0.02792), (473.72, 0.028),
        (482.49, 0.02821), (489.35, 0.02847), (494.62, 0.02871), (498.74, 0.02893), (502.12, 0.02912),
        (504.93, 0.0293), (507.37, 0.02945),
    ),
}
"""(median mm, S) by :data:`WHO_MONTHS`, straight lines between; L is 1 throughout."""

SNYDER_AGES = (2.5, 4.5, 6.5, 8.5, 10.5, 12.5, 14.5, 16.5, 19.0)
"""Middles of the age bins 2-3, 4-5 ... 16-17 and 18-20, in years."""

SNYDER_MEDIAN = {
    "male": (
        (180, 135, 114), (182, 138, 116), (183, 141, 120), (187, 143, 120), (187, 145, 123),
        (190, 147, 125), (193, 150, 126), (198, 153, 129), (201, 154, 131),
    ),
    "female": (
        (173, 132, 112), (178, 136, 116), (181, 138, 116), (184, 141, 116), (184, 143, 119),
        (186, 146, 119), (190, 147, 121), (188, 148, 123), (188, 149, 123),
    ),
}
"""(length, breadth, tragion to top) by :data:`SNYDER_AGES`."""

PLAUSIBLE_SDS = 5.0
"""How many SDs from what the other measures predict a measure may lie. Our own estimate."""

SPREAD_SDS = 1.645
"""Half width of a 90 % interval of a normal distribution."""
