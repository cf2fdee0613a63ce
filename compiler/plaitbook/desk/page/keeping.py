"""The page's own folder in a book, ``.plait/page``: drafts and history lie here, out of everybody's way."""

from __future__ import annotations

import re
from datetime import datetime, timezone
from hashlib import sha256
from pathlib import Path

FOLDER = Path(".plait") / "page"
_STAMP = "%Y%m%dT%H%M%S.%fZ"


def own_folder(root: Path, what: str, name: str = "") -> Path:
    """The folder of drafts or of one file's history, made where it isn't there."""
    folder = root / FOLDER / what
    if name:
        folder = folder / folder_of(name)
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def folder_of(name: str) -> str:
    """A folder's name for a file of the book: what can be read of it, and what tells it from all others."""
    readable = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40]
    return f"{readable}-{sha256(name.encode()).hexdigest()[:12]}"


def stamp(when: datetime) -> str:
    """A moment as part of a file's name; names sort as moments do."""
    return when.astimezone(timezone.utc).strftime(_STAMP)


def moment(text: str) -> datetime | None:
    """The moment of a :func:`stamp`, or None."""
    try:
        return datetime.strptime(text, _STAMP).replace(tzinfo=timezone.utc)
    except ValueError:
        return None


def now() -> datetime:
    """This moment."""
    return datetime.now(timezone.utc)
