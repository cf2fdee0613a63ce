"""The tutorial, followed to the letter: its texts are saved, its commands run, its answers compared."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from plaitbook.desk.command import main

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "tutorial.md"
INSTALL = "python3 -m venv .venv && .venv/bin/python -m pip install ."


def fences() -> list[tuple[str, str, str]]:
    """(kind, file, text) of every code block, in order."""
    return [(kind, file.strip(), text) for kind, file, text in
            re.findall(r"^```(\S*)([^\n]*)\n(.*?)^```$", PAGE.read_text("utf-8"), re.M | re.S)]


def line_in_place(whole: str, line: str) -> str:
    """The text with the one line that begins with the same word replaced."""
    word = line.split()[0]
    rows = whole.split("\n")
    (at,) = [number for number, row in enumerate(rows) if row.split()[:1] == [word]]
    return "\n".join([*rows[:at], line.rstrip("\n"), *rows[at + 1 :]])


def test_following_the_tutorial_ends_in_printed_cards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                      capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    code, answered = 0, True
    for kind, file, text in fences():
        if kind == "plait":
            Path(file).write_text(text, "utf-8")
        elif kind == "plait-line":
            path = Path(file)
            path.write_text(line_in_place(path.read_text("utf-8"), text), "utf-8")
        elif kind == "text":
            said = capsys.readouterr()
            assert (said.err if code else said.out).replace("\\", "/").strip() == text.strip()
            answered = True
        else:
            assert kind == "sh"
            for command in text.strip().split("\n"):
                if command == INSTALL:  # the README's own, which the build runs on a clean machine
                    assert INSTALL in (ROOT / "README.md").read_text("utf-8")
                    continue
                assert answered, "a mistake goes unexplained"
                capsys.readouterr()
                words = shlex.split(command)
                assert words[0] == "plait"
                code = main(words[1:])
                answered = code == 0
    assert answered
    for name in ("harbour-waves.pdf", "harbour-waves-medium.pdf"):
        assert Path(name).read_bytes().startswith(b"%PDF")


def test_the_cards_of_the_tutorial_ask_for_no_second_thought(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                            capsys: pytest.CaptureFixture[str]) -> None:
    """A first card full of warnings would teach the wrong thing."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "mybook"]) == 0
    for kind, file, text in fences():
        if kind == "plait":
            Path(file).write_text(text, "utf-8")
    for size in ("medium", "large"):
        capsys.readouterr()
        assert main(["card", "mybook/looks/harbour-waves.plait", "--wearer", "Rosalind", "--choose", f"size={size}", "--format", "text", "-o", "-"]) == 0
        assert "Warning" not in capsys.readouterr().err


def test_the_tutorial_explains_in_plain_words() -> None:
    text = PAGE.read_text("utf-8")
    minutes = sum(int(found) for found in re.findall(r"^## .*\((\d+) minutes?\)", text, re.M))
    assert minutes == 15
    for word in ("syntax", "parse", "compile", "boolean", "string", "exception", "variable"):
        assert word not in text.lower(), word
