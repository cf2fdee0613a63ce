"""``plait new BOOK``: a folder to begin from, copied from the shipped demo book."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path

from ..shipped import shipped_folder
from .command import BAD_TEXT, GOOD


def start_book(folder: Path) -> int:
    """Make the folder whole or not at all; refuses one that already holds something."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        print(f"plait: '{folder}' is already there\n  try: name a folder that doesn't exist yet", file=sys.stderr)
        return BAD_TEXT
    parent = folder.resolve().parent
    try:
        parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=parent))
    except OSError as error:
        print(f"plait: '{folder}' can't be made: {error.strerror or error}\n"
              "  try: name a folder where you may write", file=sys.stderr)
        return BAD_TEXT
    try:
        book = made / "book"
        shutil.copytree(shipped_folder("recipes"), book, ignore=shutil.ignore_patterns("__pycache__", ".*"))
        if folder.exists():
            folder.rmdir()
        os.replace(book, folder)
    except OSError as error:
        print(f"plait: '{folder}' can't be made: {error.strerror or error}\n"
              "  try: name a folder where you may write", file=sys.stderr)
        return BAD_TEXT
    finally:
        shutil.rmtree(made, ignore_errors=True)
    command = sys.argv[0] if Path(sys.argv[0]).name.startswith("plait") else "plait"
    print(f"made {folder}, a demo book. Next:\n  {command} card {folder}/looks/saltmarsh.plait --wearer Noor")
    return GOOD
