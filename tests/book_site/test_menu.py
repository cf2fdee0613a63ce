"""The menu: every look with every way of taking its choices, priced as its quote prices it."""

from __future__ import annotations

from pathlib import Path

import pytest
from shipped_book import compile_in_book, shipped_text

from plaitbook.cards import words as say
from plaitbook.desk.command import main
from plaitbook.desk.ways import MOST_WAYS, _ways
from plaitbook.shipped import shipped_folder

BOOK = str(shipped_folder("recipes"))


def menu(capsys: pytest.CaptureFixture[str], *more: str) -> str:
    assert main(["print", BOOK, "menu", "--format", "text", *more]) == 0
    return capsys.readouterr().out


def test_each_way_has_its_price_and_hours(capsys: pytest.CaptureFixture[str]) -> None:
    said = menu(capsys)
    plan = compile_in_book(shipped_text("looks/saltmarsh.plait"), "looks/saltmarsh.plait", picks={"size": "large", "length": "bob"}).plan
    assert plan is not None
    part = said[said.index("\nSaltmarsh\n"):]
    line = next(line for line in part.splitlines() if line.startswith("large, bob"))
    for said_so in (say.money(plan.quote.total, plan.quote.currency), say.duration(plan.timing.median_minutes), say.duration(plan.timing.p80_minutes)):
        assert said_so.replace(say.NBSP, " ") in line.replace(say.NBSP, " ")


def test_another_house_has_its_own_prices(capsys: pytest.CaptureFixture[str]) -> None:
    assert "USD" in menu(capsys) and "USD" not in menu(capsys, "--house", "Zimmer Sieben")


def test_what_a_card_would_stop_is_offered_to_nobody(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["new", str(tmp_path / "book")])
    look = tmp_path / "book/looks/saltmarsh.plait"
    look.write_text(look.read_text("utf-8").replace("large is grid 1½ in", "large is grid 12 mm"), "utf-8")
    capsys.readouterr()
    assert main(["print", str(tmp_path / "book"), "menu", "--format", "text"]) == 0
    said, told = capsys.readouterr()
    part = said[said.index("\nSaltmarsh\n"):]
    part = part[:part.index("\n\n", part.index("Taken as"))]
    assert "medium, bob" in part and "large, waist" not in part
    assert "left out of the menu" in told and "Saltmarsh, large, waist: " in told and "[T05]" in told


@pytest.mark.parametrize("form", ["pdf", "html"])
def test_it_prints(form: str, tmp_path: Path) -> None:
    out = tmp_path / f"menu.{form}"
    assert main(["print", BOOK, "menu", "-o", str(out)]) == 0
    assert out.stat().st_size > 5_000


@pytest.mark.parametrize("more", [["--wearer", "Noor"], ["--choose", "size=small"], ["--instead", "Dune=Kelp"]])
def test_a_menu_is_for_everyone(more: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["print", BOOK, "menu", *more]) == 2
    assert "leave them out" in capsys.readouterr().err


def test_few_ways_are_shown_together_and_many_one_by_one() -> None:
    small = [("a", ("1", "2"), "1"), ("b", ("x", "y", "z"), "x")]
    assert len(_ways(small)) == 6
    large = [(name, tuple("12345"), "1") for name in "ab"]
    assert 25 > MOST_WAYS and len(_ways(large)) == 10 and all(len(way) == 1 for way in _ways(large))
