"""Names of files in a book. What has no name here can't be read or written by the page."""

from __future__ import annotations

import os
import re
from pathlib import Path

LONGEST = 200
"""Letters of a name; our own estimate, well under what any file system takes."""
MOST_FILES = 2000
MOST_LOOKED_AT = 50_000
"""Entries of folders looked at: somebody may open a folder that is no book. Our own estimate."""
ENDING = ".plait"

_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"] + [f"{port}{n}" for port in ("com", "lpt") for n in "123456789¹²³0"])
"""Names that mean a device on Windows, whatever their ending (Microsoft, Naming Files, Paths, and Namespaces)."""
_FORBIDDEN = re.compile(r'[\x00-\x1f\x7f<>:"|?*\\\u202a-\u202e\u2066-\u2069]')
"""Control and direction characters, and what Windows allows in no name."""


class Refused(Exception):
    """Something the page won't do; ``message`` and ``help`` are for the person, ``status`` for HTTP."""

    def __init__(self, message: str, help: str, status: int = 400) -> None:
        super().__init__(message)
        self.message = message
        self.help = help
        self.status = status


def place(root: Path, name: str) -> Path:
    """Where a file of the book lies. Raises Refused for any name that isn't one of a recipe file inside it."""
    if not isinstance(name, str) or not 0 < len(name) <= LONGEST or not name.lower().endswith(ENDING):
        raise _no_name()
    for part in name.split("/"):
        if not part or part.startswith(".") or part.endswith((".", " ")) or _FORBIDDEN.search(part):
            raise _no_name()
        if part.split(".")[0].strip().lower() in _DEVICES:
            raise _no_name()
    path = root / name
    try:
        target = path.resolve()
        inside = target.relative_to(root.resolve())
        if target.is_symlink():  # a ring of links leads nowhere; before Python 3.13 resolving one raises
            raise ValueError
    except (ValueError, OSError, RuntimeError):
        raise Refused("that file lies outside the book", "open a file of this book", 403) from None
    if any(part.startswith(".") for part in inside.parts):
        raise Refused("that file is not part of the book", "open a file of this book", 403)
    return path


def _no_name() -> Refused:
    return Refused("that is not the name of a file in this book",
                   "use letters, numbers and dashes, and end it with .plait", 400)


def names(root: Path) -> tuple[str, ...]:
    """Every recipe file of the book, in order; what a link leads out of the book is left out."""
    found: list[str] = []
    looked_at = 0
    for folder, inner, files in os.walk(root):
        inner[:] = sorted(one for one in inner if not one.startswith(".") and one != "node_modules")
        looked_at += len(inner) + len(files)
        for file in sorted(files):
            path = Path(folder) / file
            if not file.lower().endswith(ENDING):
                continue
            name = path.relative_to(root).as_posix()
            try:
                place(root, name)
            except Refused:
                continue
            if path.is_file():
                found.append(name)
        if len(found) >= MOST_FILES or looked_at > MOST_LOOKED_AT:
            break
    return tuple(sorted(found)[:MOST_FILES])


def slug(words: str) -> str:
    """A file's name from a look's or a person's: ``mid-length-plaits``. Letters of every script stay."""
    made = re.sub(r"[^\w]+", "-", words.strip().lower(), flags=re.UNICODE).strip("-_")[:60].strip("-_")
    return f"{made}-" if made in _DEVICES else made or "untitled"
