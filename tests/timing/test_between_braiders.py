"""How far braiders differ, from the log; beside the statistics of Python's own library."""

from __future__ import annotations

from statistics import stdev

import pytest

from plaitbook.cards.speech import speech
from plaitbook.desk.between_braiders import in_words, logged_times
from plaitbook.desk.log_csv import from_csv, to_csv
from plaitbook.desk.log_store import Service


def service(n: int, braider: str, minutes: float, look: str = "Look") -> Service:
    return Service(f"u{n}", "2027-01-01", look, "Ann", "House", minutes=minutes, median_minutes=100.0, braider=braider)


LOG = tuple(service(n, who, minutes) for n, (who, minutes) in enumerate(
    [("Ana", 90.0), ("Ana", 110.0), ("Bo", 120.0), ("Bo", 130.0), ("", 100.0), ("Cy", 300.0)]))


def test_the_spread_is_between_means_of_those_with_two_services() -> None:
    logged = logged_times(LOG, "Look")
    assert logged is not None and (logged.services, logged.braiders) == (6, 2)
    assert logged.share == pytest.approx(850 / 600)
    assert logged.spread == pytest.approx(stdev([1.0, 1.25]))
    assert in_words(logged) == "Logged 6 times: 42 % longer than said; between 2 braiders a standard deviation of 18 %."


@pytest.mark.parametrize(("code", "said"), [
    ("fr", "Relevé 6 fois : 42 % de plus qu'annoncé ; entre 2 tresseuses, un écart type de 18 %."),
    ("es", "Registrado 6 veces: 42 % más de lo anunciado; entre 2 trenzadoras, una desviación típica del 18 %."),
    ("pt", "Registrado 6 vezes: 42 % a mais que o anunciado; entre 2 trancistas, um desvio padrão de 18 %."),
])
def test_it_is_said_in_the_language_of_the_house(code, said: str) -> None:
    logged = logged_times(LOG, "Look")
    assert logged is not None and in_words(logged, speech(code)).replace("\u00a0", " ") == said


def test_too_little_says_nothing() -> None:
    assert logged_times(LOG[:2], "Look") is None
    assert logged_times(LOG, "Another") is None


def test_one_braider_has_no_spread() -> None:
    logged = logged_times((service(1, "Ana", 100.0), service(2, "Ana", 100.0), service(3, "", 100.0)), "Look")
    assert logged is not None and logged.spread is None and in_words(logged) == "Logged 3 times: as long as said."


def test_who_braided_survives_the_csv_and_older_files_are_read() -> None:
    assert from_csv(to_csv(LOG)) == LOG
    older = "\r\n".join(line.rpartition(",")[0] for line in to_csv(LOG[:1]).splitlines())
    assert from_csv(older)[0].braider == ""
