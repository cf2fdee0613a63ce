"""The menu and the site in the language of the house: nothing of ours left in English, figures in its form."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest
from axe import in_browser, violations
from other_languages import left_in_english, words_of, write_book

from plaitbook.cards.language import TRANSLATED, Code
from plaitbook.cards.site import trade_words
from plaitbook.cards.speech import speech
from plaitbook.cards.text import columns
from plaitbook.cards.trade_words import TRADE_WORDS
from plaitbook.desk.command import main
from plaitbook.desk.site_making import MARK

NAMES = {"fr": "French", "es": "Spanish", "pt": "Portuguese"}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_book(tmp_path_factory.mktemp("menu") / "zolo")


@pytest.fixture(scope="module", params=TRANSLATED)
def site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Code, Path]:
    """A site of a house that speaks the language."""
    folder = tmp_path_factory.mktemp("site")
    assert main(["book", str(write_book(folder / "zolo", NAMES[request.param])), "-o", str(folder / "site")]) == 0
    return request.param, folder / "site"


def menu(book: Path, capsys: pytest.CaptureFixture[str], form: str, *more: str) -> str:
    capsys.readouterr()
    assert main(["print", str(book), "menu", "--format", form, *more, "-o", "-"]) == 0
    return capsys.readouterr().out


def plain(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.mark.parametrize("code", TRANSLATED)
def test_nothing_of_ours_stays_english_on_the_menu(book: Path, code: Code, capsys: pytest.CaptureFixture[str]) -> None:
    page, said = menu(book, capsys, "html", "--language", code), menu(book, capsys, "text", "--language", code)
    assert f'<html lang="{code}"' in page
    assert left_in_english(words_of(page), code) == left_in_english(said, code) == []
    assert all(columns(line) <= 80 for line in said.splitlines())
    assert "<i>" not in page and "<b>Casa" not in page and "Zu&lt;i&gt;la&lt;/i&gt; &amp; Movi" in page


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_menu_prices_in_its_form(book: Path, code: Code, capsys: pytest.CaptureFixture[str]) -> None:
    english = re.findall(r"(from )?EUR (\d+\.\d\d)", plain(menu(book, capsys, "text")))
    said = plain(menu(book, capsys, "text", "--language", code))
    assert len(english) == 8 and any(start for start, _ in english)
    say = speech(code)
    for start, amount in english:
        money = say.money(Decimal(amount), "EUR")
        assert plain(say("from {amount}", amount=money) if start else money) in said
    assert not re.search(r"\d\.\d\d\b", said)


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_menu_speaks_as_its_house(book: Path, code: Code, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = write_book(tmp_path / "zolo", NAMES[code])
    assert menu(other, capsys, "html") == menu(book, capsys, "html", "--language", code)
    assert menu(other, capsys, "html", "--language", "en") == menu(book, capsys, "html")


def test_the_english_menu_is_seen_as_english(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = left_in_english(menu(book, capsys, "text"), "es")
    assert "Menu" in found and "from {amount}" in found and "About these prices" in found


def test_nothing_of_ours_stays_english_on_the_site(site: tuple[Code, Path]) -> None:
    code, folder = site
    for path in sorted(folder.rglob("*.html")):
        page = path.read_text("utf-8")
        assert f'<html lang="{code}"' in page, path.name
        assert left_in_english(words_of(page), code) == [], path.name
        assert "<i>" not in page and "<b>Casa" not in page, path.name
        assert not re.search(r"\d\.\d+\s(?:mm|cm|EUR)|EUR\s\d+\.\d\d\b", words_of(page)), path.name
    assert left_in_english((folder / MARK).read_text("utf-8").replace("plait", ""), code) == []
    index = (folder / "index.html").read_text("utf-8")
    assert "Zu&lt;i&gt;la&lt;/i&gt; &amp; Movi" in index and re.search(r"\d,\d\d", index)


def test_the_script_holds_no_words(site: tuple[Code, Path]) -> None:
    """What it says comes from the page, in the page's language, with the place that it fills in."""
    _, folder = site
    script = (folder / "site.js").read_text("utf-8")
    assert not re.findall(r'["`][A-Za-z]+ [A-Za-z ]+["`]', script)
    found = re.search(r'data-every="([^"]+)" data-found="([^"]+)"', (folder / "index.html").read_text("utf-8"))
    assert found and found[1].startswith("4 ") and "{shown}" in found[2] and "4" in found[2]


def test_the_command_wins_over_the_house(site: tuple[Code, Path], tmp_path: Path) -> None:
    code, folder = site
    book = folder.parent / "zolo"
    assert main(["book", str(book), "--language", "en", "-o", str(tmp_path / "en")]) == 0
    assert main(["book", str(write_book(tmp_path / "zolo")), "--language", code, "-o", str(tmp_path / "own")]) == 0
    english = (tmp_path / "en" / "index.html").read_text("utf-8")
    assert '<html lang="en"' in english and "Find a look" in english
    assert (tmp_path / "own" / "index.html").read_bytes() == (folder / "index.html").read_bytes()


@pytest.mark.parametrize("code", ("en", *TRANSLATED))
def test_every_trade_word_has_its_meaning_and_its_place(code: Code) -> None:
    rows = trade_words(speech(code))
    assert {at for at, _, _ in rows} == {word.replace(" ", "-") for word, _ in TRADE_WORDS} and all(word and meaning for _, word, meaning in rows)
    if code == "en":
        assert [(word, meaning) for _, word, meaning in rows] == list(TRADE_WORDS)
    else:
        assert [word for _, word, _ in rows] != [word for word, _ in TRADE_WORDS]
        first = "".join(word[0] for _, word, _ in rows).translate(str.maketrans("éàâáíóêç", "eaaaioec"))
        assert list(first) == sorted(first)


class TestInABrowser:
    pytestmark = in_browser

    def test_axe_finds_nothing(self, site: tuple[Code, Path], tmp_path: Path) -> None:
        _, folder = site
        text = (folder / "index.html").read_text("utf-8")
        text = re.sub(r'<link rel="stylesheet"[^>]*>', lambda _: f"<style>{(folder / 'site.css').read_text('utf-8')}</style>", text)
        text = re.sub(r'<script src="site.js"></script>', lambda _: f"<script>{(folder / 'site.js').read_text('utf-8')}</script>", text)
        assert violations(text, "390,900", tmp_path) == []
