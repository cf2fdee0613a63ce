"""A demo book in a folder of its own, and the command line run on it in this process."""

from __future__ import annotations

import shutil
from pathlib import Path

from plaitbook.desk.command import main
from plaitbook.shipped import shipped_folder

LOOK = "looks/saltmarsh.plait"


def demo_book(folder: Path) -> Path:
    """A copy of the shipped book; returns the path of its look Saltmarsh."""
    book = folder / "book"
    shutil.copytree(shipped_folder("recipes"), book, ignore=shutil.ignore_patterns(".*"))
    return book / LOOK


def run(capsys, *arguments: object) -> tuple[int, str, str]:
    """(exit code, standard output, standard error) of one command."""
    try:
        code = main([str(argument) for argument in arguments])
    except SystemExit as stopped:
        code = int(stopped.code or 0)
    captured = capsys.readouterr()
    return code, captured.out, captured.err
