"""A book of one's own to change, and the command line as a function."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from plaitbook.desk.command import main
from plaitbook.shipped import shipped_folder


@dataclass(frozen=True)
class Said:
    """What a command answered."""

    code: int
    out: str
    err: str


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A copy of the demo book."""
    folder = tmp_path / "book"
    shutil.copytree(shipped_folder("recipes"), folder, ignore=shutil.ignore_patterns("__pycache__", ".*"))
    return folder


@pytest.fixture
def plait(capsys: pytest.CaptureFixture[str]):
    """Run a command; its exit code and what it printed."""

    def run(*arguments: object) -> Said:
        capsys.readouterr()
        try:
            code = main([str(argument) for argument in arguments])
        except SystemExit as stopped:
            code = int(stopped.code or 0)
        printed = capsys.readouterr()
        return Said(code, printed.out, printed.err)

    return run


def change(path: Path, old: str, new: str) -> None:
    """Put one text in the place of another, which must be there."""
    text = path.read_text("utf-8")
    assert old in text, f"{old!r} is not in {path.name}"
    path.write_text(text.replace(old, new), "utf-8")
