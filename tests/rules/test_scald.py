"""Burn and fibre limits against the published tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from plaitbook.rules import limits, rule_of
from plaitbook.rules.scald import SCALD_TABLE, scald_seconds, scald_words


@pytest.mark.parametrize("celsius, seconds", SCALD_TABLE)
def test_the_table_of_moritz_and_henriques_comes_back_row_by_row(celsius: float, seconds: float) -> None:
    """Moritz & Henriques 1947, Am J Pathol 23:695, as listed in secondary copies: 5 s at 60 °C, 1 s at 68.3 °C."""
    assert scald_seconds(celsius) == pytest.approx(seconds, rel=1e-12)


def test_below_and_above_the_table() -> None:
    assert scald_seconds(43.9) is None
    assert scald_seconds(95) == 1.0
    assert scald_words(95) == "in a second or less"
    assert scald_words(60) == "in 5 s"
    assert scald_words(48.9) == "in 5 min"
    assert scald_words(40) == "in a time the table doesn't give"


@pytest.mark.parametrize("fahrenheit, low, high", [(120, 250, 350), (130, 25, 35), (140, 4.5, 6.5), (150, 1.9, 2.2)])
def test_the_consumer_agency_text_agrees(fahrenheit: float, low: float, high: float) -> None:
    """US CPSC tap-water text (secondary copy): 120 °F 5 min, 130 °F 30 s, 140 °F 6 s, 150 °F 2 s."""
    seconds = scald_seconds((fahrenheit - 32) / 1.8)
    assert seconds is not None and low <= seconds <= high


@given(some.floats(44, 100), some.floats(0, 20))
def test_hotter_water_never_burns_slower(celsius: float, more: float) -> None:
    cool, hot = scald_seconds(celsius), scald_seconds(celsius + more)
    assert cool is not None and hot is not None and hot <= cool


def test_limits_that_are_definitions() -> None:
    assert limits.BURNS_ABOVE_C == pytest.approx((400 - 32) / 1.8, abs=0.05)
    assert limits.CLEAR_OF_SEAL_MM == 25.4
    assert limits.WEAR_WEEKS == (4, 6, 8)  # Baylor College of Medicine, September 2024


def test_what_is_secondary_is_marked_so_in_the_rule() -> None:
    assert "secondary" in rule_of("W04").source  # type: ignore[union-attr]
    assert "secondary" in rule_of("C04").source  # type: ignore[union-attr]
