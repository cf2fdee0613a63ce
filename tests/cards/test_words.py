"""How quantities print."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plaitbook.cards import words
from plaitbook.cards.speech import speech
from plaitbook.cards.wording import mixed_value

INCH, METRIC = speech("en", "inch"), speech("en", "metric")


def flat(text: str) -> str:
    return text.replace(words.NBSP, " ")


@pytest.mark.parametrize(("mm", "units", "text"), [
    (431.8, "inch", "17 in"), (19.05, "inch", "¾ in"), (38.1, "inch", "1½ in"), (3.175, "inch", "⅛ in"), (0, "inch", "0 in"),
    (0.4, "inch", "⅛ in"), (114.3, "inch", "4½ in"), (431.8, "metric", "43 cm"), (432.9, "metric", "43.5 cm"),
    (19.05, "metric", "19 mm"), (45, "metric", "4.5 cm"), (float("nan"), "inch", "–"),
])
def test_length(mm, units, text):
    assert flat(speech("en", units).length(mm)) == text


@pytest.mark.parametrize(("count", "text"), [
    (1.348, "1⅓ packs"), (2.03, "2 packs"), (1.0, "1 pack"), (0.5, "½ pack"), (0.01, "¼ pack"), (2.7, "2⅔ packs"),
])
def test_packs(count, text):
    assert flat(METRIC.packs(count)) == text


@pytest.mark.parametrize(("minutes", "text"), [(275, "4 h 35"), (35, "35 min"), (60, "1 h"), (65.4, "1 h 05"), (-1, "0 min")])
def test_duration(minutes, text):
    assert flat(METRIC.duration(minutes)) == text


def test_temperature_shows_both_scales():
    assert flat(INCH.temperature(176.6667)) == "350 °F (177 °C)"
    assert flat(METRIC.temperature(180)) == "180 °C (356 °F)"
    assert flat(INCH.temperatures(176.6667, 198.8889)) == "350–390 °F (177–199 °C)"


def test_pencils():
    assert flat(METRIC.pencils(3.5, 7)) == "½ pencil (3.5 mm)"
    assert flat(METRIC.pencils(1.75, 7)) == "¼ pencil (1.75 mm)"
    assert flat(METRIC.pencils(10.5, 7)) == "1½ pencils (10.5 mm)"
    assert flat(METRIC.pencils(4.2, 7)).startswith("about ⅔ pencil")


def test_lists_and_ranges():
    assert words.ranges([1, 2, 3, 7, 9, 8, 12, 13]) == "1–3, 7–9, 12, 13"
    assert flat(INCH.lengths([15.9, 38.1, 73.0])) == "⅝, 1½, 2⅞ in"
    assert flat(INCH.by(19.05, 22.2)) == "¾ × ⅞ in"
    assert flat(METRIC.by(19.0, 22.0)) == "19 × 22 mm" and flat(METRIC.by(19.0, 22.0, [19.0, 31.0])) == "1.9 × 2.2 cm"
    assert flat(METRIC.widths(6.2, 7.4)) == "6–7.5 mm"
    assert METRIC.listed(["a", "b", "c"]) == "a, b and c"


def test_money_keeps_the_currency_code():
    assert flat(METRIC.money(Decimal("1245.5"), "USD")) == "USD 1,245.50"
    assert flat(METRIC.money(Decimal("1245.5"), "JPY")) == "JPY 1,246"


@given(st.text())
def test_clean_text_has_no_control_characters_and_stays_short(text):
    said = words.clean(text)
    assert said == words.clean(said) or len(text) > words.ORDINARY_LIMIT
    assert all(c >= " " and not 0x7F <= ord(c) < 0xA0 for c in said)
    assert len(said) < words.ORDINARY_LIMIT + 40
    said.encode()


@given(st.floats(0.001, 500))
def test_a_mixed_number_is_the_nearest_of_its_kind(value):
    text = words.mixed(value, words.THIRDS_AND_QUARTERS)
    assert abs(mixed_value(text) - value) <= max(1 / 8, 1 / 4 - value) + 1e-9


def test_a_short_stage_is_not_nothing():
    assert [METRIC.duration(m).replace(words.NBSP, " ") for m in (0, 0.2, 0.6, 61)] == ["0 min", "under 1 min", "1 min", "1 h 01"]
