"""The study of motions: its table against the published one, its sums, and the one rate that was taken from it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import motion_study as study  # noqa: E402
from plaitbook.passes.rates import SHIPPED  # noqa: E402
from published_recipes import Look, hours  # noqa: E402

RATES = {rate.operation: rate for rate in SHIPPED}


def test_a_tmu_is_a_hundred_thousandth_of_an_hour() -> None:
    assert study.TMU_S == pytest.approx(3600 / 100_000)


@pytest.mark.parametrize("inches, move_b, reach_e", [(4, 6.9, 6.8), (10, 12.2, 10.5), (20, 18.2, 16.7), (30, 24.3, 22.9)])
def test_a_stroke_there_and_back_follows_the_tables(inches: float, move_b: float, reach_e: float) -> None:
    line = study.TMU["stroke"] + study.TMU["stroke, mm"] * inches * 25.4
    assert line == pytest.approx(move_b + reach_e, abs=1.4)


def test_a_fine_stitch_and_a_turn_by_hand() -> None:
    assert study.normal_seconds("stitch") == pytest.approx((2 * 5.6 + 3.4) * 0.036 * 1.05)
    assert study.normal_seconds("twist") == pytest.approx((4 * 5.6 + 3.4) * 0.036 * 1.05)
    whole = 2 * (9.4 + 5.6 + 2.0 + 6.4 + 2.0 + 8.9) + 6.9 + 10.6
    assert study.normal_seconds("twist, whole hand") == pytest.approx(whole * 0.036 * 1.05)


def test_the_turn_of_a_twist_is_the_study_s() -> None:
    found = study.study_seconds()
    assert RATES["twist"].seconds == pytest.approx(found["twist"], rel=0.01)
    assert RATES["twist hair"].seconds == pytest.approx(found["twist hair"], rel=0.01)
    assert all(RATES[name].origin.kind == "source" for name in ("twist", "twist hair"))


def test_every_list_uses_motions_of_the_table_and_names_a_shipped_operation() -> None:
    for name, lines in study.MOTIONS_OF.items():
        assert all(line.motion in study.TMU and line.times > 0 for line in lines)
        assert name.removesuffix(", whole hand") in {*RATES, *study.COUNTED}


def test_the_study_and_the_rates_agree_on_a_medium_set_and_part_at_the_ends() -> None:
    """What docs/validation.md says of the study: near at a pencil's width, slower where strands are fine, quicker where thick."""
    medium, small, jumbo = Look(), Look("small"), Look("jumbo")
    assert study.study_hours(medium) == pytest.approx(hours(medium), rel=0.15)
    assert study.study_hours(small) > 1.1 * hours(small) and study.study_hours(jumbo) < 0.8 * hours(jumbo)
