"""``plait station`` and ``plait picture`` on the shipped book."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from plaitbook.desk.command import main
from plaitbook.shipped import shipped_folder

LOOK = str(shipped_folder("recipes") / "looks" / "saltmarsh.plait")


def test_station_writes_a_page_without_money(tmp_path: Path) -> None:
    out = tmp_path / "chair.html"
    assert main(["station", LOOK, "--wearer", "Noor", "-o", str(out)]) == 0
    page = out.read_text("utf-8")
    assert page.startswith("<!DOCTYPE html>") and "Clock and counters" in page and "Quote" not in page


@pytest.mark.parametrize("view", ["front", "side", "back"])
def test_picture_draws_each_view(tmp_path: Path, view: str) -> None:
    out = tmp_path / "look.svg"
    assert main(["picture", LOOK, "--wearer", "Noor", "--view", view, "--width", "60", "-o", str(out)]) == 0
    assert ElementTree.fromstring(out.read_text("utf-8")).get("width") == "60mm"


def test_picture_names_its_own_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["picture", LOOK, "--wearer", "Noor"]) == 0
    assert (tmp_path / "saltmarsh-noor-front.svg").is_file()


def test_picture_in_words(capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["picture", LOOK, "--wearer", "Noor", "--words"]) == 0
    assert "centre parting" in capsysbinary.readouterr().out.decode()


def test_a_width_that_is_none(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["picture", LOOK, "--width", "wide"])
    assert stopped.value.code == 2 and "'wide' is not a width" in capsys.readouterr().err
