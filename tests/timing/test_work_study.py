"""Work-study formulas against published worked examples, each with its source."""

from __future__ import annotations

import pytest

from plaitbook.meaning.work_study import (
    AT_THE_HEAD, PRACTISED_SETS, WEIGHT_ALLOWANCES, along_a_path, allowance, three_point, total_time, trainee_speed,
    unit_time, unit_time_of_averages,
)
from plaitbook.passes.rest import REST

CRAWFORD = {
    # rate: (unit times of units 5, 10, 15, 20; their totals), of a Crawford unit table, first unit 1.
    0.85: ((0.686, 0.583, 0.530, 0.495), (4.031, 7.116, 9.861, 12.402)),
    0.80: ((0.596, 0.477, 0.418, 0.381), (3.738, 6.315, 8.511, 10.485)),
    0.75: ((0.513, 0.385, 0.325, 0.288), (3.459, 5.589, 7.319, 8.828)),
    0.70: ((0.437, 0.306, 0.248, 0.214), (3.195, 4.932, 6.274, 7.407)),
}


@pytest.mark.parametrize("rate", CRAWFORD)
def test_the_unit_table_of_the_learning_curve(rate: float) -> None:
    """The published Crawford unit table, three decimals."""
    units, totals = CRAWFORD[rate]
    for number, unit, total in zip((5, 10, 15, 20), units, totals):
        assert unit_time(1, number, rate) == pytest.approx(unit, abs=0.0006)
        assert total_time(1, number, rate) == pytest.approx(total, abs=0.0006)


def test_doublings_of_the_unit_form() -> None:
    """50 min first, 40 second, 32 fourth at 80 % (maxwideman.com, appendix on learning curves)."""
    assert [unit_time(50, n, 0.8) for n in (1, 2, 4)] == pytest.approx([50, 40, 32])


def test_wrights_own_form_by_averages() -> None:
    """Averages 100, 80, 64 % at 1, 2, 4 units, so the second takes 60 % (Wright 1936, quoted in a USC thesis)."""
    assert unit_time_of_averages(1, 2, 0.8) == pytest.approx(0.6)
    total = sum(unit_time_of_averages(1, n, 0.8) for n in range(1, 5))
    assert total / 4 == pytest.approx(0.64)


@pytest.mark.parametrize("said, mean, deviation", [((4, 6, 12), 6.67, 1.33), ((5, 8, 14), 8.5, 1.5)])
def test_three_point_estimates(said: tuple[float, float, float], mean: float, deviation: float) -> None:
    """Two textbook examples of the PERT estimate, as printed to two decimals."""
    found = three_point(*said)
    assert found.mean == pytest.approx(mean, abs=0.005) and found.deviation == pytest.approx(deviation, abs=0.005)


def test_variances_add_along_a_path() -> None:
    """Standard deviations 0.5, 1.5, 0.5 and 0.33 give 1.69 (a textbook path)."""
    assert along_a_path((0.5, 1.5, 0.5, 0.33)) == pytest.approx(1.69, abs=0.005)


def test_the_worked_allowance() -> None:
    """A published exercise: 45 lb, standing, slightly awkward, very poor light, loud noise, low monotony.

    5 + 4 + 2 + 0 + 11 + 5 + 5 + 0 = 32 % (the exercise was seen without its answer; the sum is ours).
    """
    names = ("personal needs", "basic fatigue", "standing", "posture slightly awkward", "light very poor",
             "noise intermittent, very loud", "monotony low")
    assert allowance(names, pounds=45) == pytest.approx(0.32)


def test_the_braiders_own_allowance() -> None:
    """Personal 5, fatigue 4, standing 2, fine work 2, bending 2: 15 % (the ILO table; the choice is ours)."""
    assert REST == allowance(AT_THE_HEAD) == pytest.approx(0.15)
    assert [w for w, _ in WEIGHT_ALLOWANCES] == sorted(w for w, _ in WEIGHT_ALLOWANCES)


def test_a_trainee_gets_quicker_and_ends_as_practised() -> None:
    speeds = [trainee_speed(sets) for sets in (1, 2, 10, 50, PRACTISED_SETS, 500)]
    assert speeds == sorted(speeds) and speeds[-1] == speeds[-2] == 1
    assert speeds[1] / speeds[0] == pytest.approx(1 / 0.85)


@pytest.mark.parametrize("wrong", [(3, 2, 4), (-1, 2, 3), (1, 5, 4)])
def test_an_estimate_runs_from_least_to_most(wrong: tuple) -> None:
    with pytest.raises(ValueError):
        three_point(*wrong)


@pytest.mark.parametrize("number, rate", [(0, 0.8), (1, 0), (1, 1.2)])
def test_a_learning_curve_wants_a_unit_and_a_rate(number: int, rate: float) -> None:
    with pytest.raises(ValueError):
        unit_time(1, number, rate)
