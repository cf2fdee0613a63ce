"""The day's paper in the language of its house: nothing of ours left in English, figures and dates in its form."""

from __future__ import annotations

import json
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pikepdf
import pytest
from other_languages import HOSTILE, left_in_english, words_of, write_book

from plaitbook.cards.language import NAMES, TRANSLATED, Code
from plaitbook.cards.speech import speech
from plaitbook.cards.text import columns
from plaitbook.desk.command import main

CREW = ("--crew", "Sivo, Lune, Kapa")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_book(tmp_path_factory.mktemp("day") / "week")


def paper(book: Path, capsys: pytest.CaptureFixture[str], *more: str) -> str:
    capsys.readouterr()
    assert main(["day", str(book / "week.csv"), *more]) == 1  # the week goes wrong in every way
    return capsys.readouterr().out


@pytest.mark.parametrize("code", TRANSLATED)
@pytest.mark.parametrize("crew", [(), CREW])
def test_nothing_of_ours_stays_english(book: Path, code: Code, crew: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    page = paper(book, capsys, "--format", "html", "--language", code, *crew)
    assert f'<html lang="{code}"' in page
    assert left_in_english(words_of(page), code) == []
    said = paper(book, capsys, "--language", code, *crew)
    assert left_in_english(said, code) == []
    assert all(columns(line) <= 80 for line in said.splitlines())


def test_the_english_one_is_seen_as_english(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = left_in_english(paper(book, capsys), "fr")
    assert "Day plan" in found and "Braider {number}" in found and "{visit}: it would end after midnight" in found


@pytest.mark.parametrize("code", TRANSLATED)
def test_figures_and_dates_are_in_its_form(book: Path, code: Code, capsys: pytest.CaptureFixture[str]) -> None:
    said = " ".join(paper(book, capsys, "--language", code, *CREW).replace("\u00a0", " ").split())
    say = speech(code, "metric")
    plan = json.loads(paper(book, capsys, "--format", "json", "--language", code, *CREW))
    total = Decimal(plan["days"][0]["visits"][0]["total"])
    for text in (say.money(total, "EUR"), say.width(3.5), say.length(405.0), say.packs(plan["buy"][0]["used"]), say.day_and_month(date(2027, 3, 4))):
        assert text.replace("\u00a0", " ") in said
    assert not re.search(r"\d\.\d+ (?:mm|cm|EUR)|EUR \d+\.\d\d\b", said)
    assert {"fr": "Jeu. 4 mars 2027", "es": "Jue 4 mar 2027", "pt": "Qui. 4 mar. 2027"}[code] in said


def test_the_house_says_its_language_and_the_command_wins(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    french = write_book(tmp_path / "week", "French")
    assert paper(french, capsys) == paper(book, capsys, "--language", "fr")
    assert paper(french, capsys, "--language", "en") == paper(book, capsys)
    assert NAMES["french"] == "fr"


def test_the_data_is_the_same_in_every_language(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    english = paper(book, capsys, "--format", "json")
    assert all(paper(book, capsys, "--format", "json", "--language", code) == english for code in TRANSLATED)


@pytest.mark.parametrize("code", ("en", *TRANSLATED))
def test_names_are_text(book: Path, code: Code, capsys: pytest.CaptureFixture[str]) -> None:
    page = paper(book, capsys, "--format", "html", "--language", code)
    assert "<i>" not in page and "<b>Casa" not in page and "\u202e" not in page
    assert "Zu&lt;i&gt;la&lt;/i&gt; &amp; Movi" in page and HOSTILE not in paper(book, capsys, "--language", code)


@pytest.mark.parametrize("code", TRANSLATED)
def test_it_prints_as_pdf(book: Path, code: Code, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paper(book, capsys, "--language", code, "-o", str(tmp_path / "day.pdf"))
    with pikepdf.open(tmp_path / "day.pdf") as pdf:
        assert str(pdf.Root.Lang) == code
