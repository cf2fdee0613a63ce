"""``plait new BOOK``: a folder to begin from, copied from the shipped demo book."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path

from ..shipped import shipped_folder
from .command import BAD_TEXT, GOOD
from .shelf import CantRead


def start_book(folder: Path) -> int:
    """Make the folder and say so; the exit code."""
    try:
        make_book(folder)
    except CantRead as error:
        print(f"plait: {error.message}\n  try: {error.help}", file=sys.stderr)
        return BAD_TEXT
    command = sys.argv[0] if Path(sys.argv[0]).name.startswith("plait") else "plait"
    print(f"made {folder}, a demo book. Next:\n  {command} card {folder}/looks/saltmarsh.plait --wearer Noor")
    return GOOD


def make_book(folder: Path) -> None:
    """Make the folder whole or not at all. Raises CantRead where it already holds something or can't be made."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CantRead(f"'{folder}' is already there", "name a folder that doesn't exist yet")
    parent = folder.resolve().parent
    try:
        parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=parent))
    except OSError as error:
        raise CantRead(f"'{folder}' can't be made: {error.strerror or error}", "name a folder where you may write") from None
    try:
        book = made / "book"
        shutil.copytree(shipped_folder("recipes"), book, ignore=shutil.ignore_patterns("__pycache__", ".*"))
        if folder.exists():
            folder.rmdir()
        os.replace(book, folder)
    except OSError as error:
        raise CantRead(f"'{folder}' can't be made: {error.strerror or error}", "name a folder where you may write") from None
    finally:
        shutil.rmtree(made, ignore_errors=True)
