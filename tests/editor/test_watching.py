"""``plait watch`` says what changed, and ``plait completion`` knows every command."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from plaitbook.desk import watching
from plaitbook.desk.command import main
from plaitbook.desk.commands import COMMANDS
from plaitbook.desk.job import open_job

LOOK = "looks/saltmarsh.plait"


def change(book: Path, old: str, new: str, name: str = LOOK) -> None:
    path = book / name
    path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")


def watched(book: Path, monkeypatch: pytest.MonkeyPatch, *changes, out: Path | None = None, arguments=()) -> int:
    """Run ``plait watch`` while the changes are made, one before each look."""
    waiting = iter(changes)

    def wait() -> bool:
        step = next(waiting, None)
        if step is None:
            return False
        step()
        return True

    monkeypatch.setattr(watching, "_wait", wait)
    return main(["watch", str(book / LOOK), *arguments, *(["-o", str(out)] if out else [])])


def test_each_save_is_one_line_with_what_changed(book: Path, monkeypatch: pytest.MonkeyPatch, capsys) -> None:
    out = book / "card.html"
    code = watched(
        book, monkeypatch,
        lambda: None,  # nothing was saved: nothing is said
        lambda: change(book, "default medium", "default large"),
        lambda: change(book, "technique plait", "technique palit"),
        lambda: change(book, "technique palit", "technique plait"),
        lambda: change(book, "price 3.20 USD", "price 13.20 USD", "hairs.plait"),
        out=out, arguments=["--wearer", "Ilse"])
    said = capsys.readouterr()
    lines = said.out.strip().split("\n")
    assert code == 0 and len(lines) == 5
    assert all(re.match(r"\d\d:\d\d:\d\d  ", line) for line in lines)
    assert "packs" in lines[0] and "USD" in lines[0] and "wrote" in lines[0]
    assert "hair " in lines[1] and "→" in lines[1] and "price" in lines[1]
    assert lines[2].endswith("1 mistake") and "palit" in said.err
    assert "as before" in lines[3]
    assert "price" in lines[4] and "hours" not in lines[4]
    assert "<html" in out.read_text("utf-8")


def test_a_card_that_cannot_be_written_is_said_and_watching_goes_on(book: Path, monkeypatch, capsys) -> None:
    code = watched(book, monkeypatch, lambda: change(book, "default medium", "default large"), out=book / "no" / "card.txt")
    lines = capsys.readouterr().out.strip().split("\n")
    assert code == 0 and len(lines) == 2 and all("can't be written" in line for line in lines)


def test_what_cannot_be_watched(book: Path, capsys) -> None:
    assert main(["watch", str(book / "none.plait")]) == 1
    assert main(["watch", str(book / LOOK), "--choose", "size"]) == 2
    outside = book.parent / "w.plait"
    outside.write_text('edition 1\nwearer "Out"\n', "utf-8")
    assert main(["watch", str(book / LOOK), "--wearer", str(outside)]) == 1
    assert "outside the book" in capsys.readouterr().err


def test_a_wearer_of_a_file_of_the_book(book: Path, monkeypatch: pytest.MonkeyPatch, capsys) -> None:
    (book / "guest.plait").write_text('edition 1\nwearer "Guest"\nstrand fine\n', "utf-8")
    assert watched(book, monkeypatch, arguments=["--wearer", str(book / "guest.plait")]) == 0
    assert "packs" in capsys.readouterr().out
    assert open_job(str(book / LOOK)).name == LOOK


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_completion_knows_every_command_and_option(shell: str, capsys) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    for name, _, _ in COMMANDS:
        assert re.search(rf"\b{name}\b", script), name
    for option in ("wearer", "format", "choose"):
        assert option in script


@pytest.mark.skipif(sys.platform != "linux", reason="needs bash")
def test_bash_completes(tmp_path: Path, capsys) -> None:
    main(["completion", "bash"])
    script = tmp_path / "plait.bash"
    script.write_text(capsys.readouterr().out, "utf-8")

    def complete(*words: str) -> list[str]:
        asked = " ".join(f"'{word}'" for word in ("plait", *words))
        done = subprocess.run(["bash", "-c", f"source {script}; COMP_WORDS=({asked}); COMP_CWORD={len(words)}; "
                                             "_shtab_plait; echo ${COMPREPLY[@]}"], capture_output=True, text=True, cwd=tmp_path)
        return done.stdout.split()

    (tmp_path / "mine.plait").write_text("", "utf-8")
    assert "watch" in complete("wat") and "editor" in complete("ed")
    assert complete("card", "--form") == ["--format"]
    assert complete("card", "--format", "") == ["pdf", "html", "text", "json"]
    assert "mine.plait" in complete("card", "mi")
