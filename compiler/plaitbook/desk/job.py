"""A recipe file opened in its book: where every command that reads one begins."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from .shelf import BOOK, Shelf, read_text, shelf_for


class Job(NamedTuple):
    """A recipe file opened in its book."""

    shelf: Shelf
    name: str
    """The file's name in the book."""
    text: str
    look: str | None
    beside: tuple[tuple[str, str], ...]


def open_job(recipe: str) -> Job:
    """The job of ``FILE`` or ``FILE#Look name``. Raises CantRead."""
    path_text, look = _split(recipe)
    path = Path(path_text)
    text = read_text(path)
    shelf = shelf_for(path)
    name = shelf.inside(path)
    book = shelf.book_file() if name != BOOK else None
    return Job(shelf, name, text, look, (book,) if book else ())


def _split(recipe: str) -> tuple[str, str | None]:
    if Path(recipe).exists() or "#" not in recipe:
        return recipe, None
    path, _, look = recipe.partition("#")
    return path, look or None
