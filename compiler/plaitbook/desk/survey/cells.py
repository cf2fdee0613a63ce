"""What a survey compiles: every look of a book for every wearer, in an order that never changes."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import NamedTuple

from ...meaning.book import Book, Fetched, file_meaning, open_book
from ...meaning.inherit import inherit
from ...meaning.model import House
from ..shelf import BOOK, CantRead, read_text, shelf_for

MOST_OPTIONS = 2_000
"""Ways of taking the choices of one look, more than which nobody means; our own estimate."""


class Cell(NamedTuple):
    """One compile of a survey."""

    file: str
    look: str
    wearer: str | None
    house: str | None
    picks: tuple[tuple[str, str], ...]


class Texts(NamedTuple):
    """A book as it was read, once: what is compiled can't change under a survey that runs for minutes."""

    looks: tuple[str, ...]
    """Files that hold a look."""
    files: dict[str, str]
    fetched: dict[tuple[str, str], Fetched]
    book: tuple[str, str] | None
    """The book's own file, in scope everywhere."""
    learned: tuple[House, ...] = ()
    """The houses that have learned from the book's log, with the rates they learned."""


def book_root(folder: Path) -> Path:
    """The folder of the book that a folder belongs to: itself, or the nearest upwards with a ``book.plait``."""
    return shelf_for(folder / BOOK).root


def read_book(folder: Path) -> Texts:
    """All that the looks of a folder are made from; files are named from the book's folder. Raises CantRead, also where
    the folder holds no look."""
    folder = folder.resolve()
    shelf = shelf_for(folder / BOOK)
    fetched: dict[tuple[str, str], Fetched] = {}
    files: dict[str, str] = {}
    own = shelf.book_file()

    def fetch(asking: str, wanted: str) -> Fetched:
        if (asking, wanted) not in fetched:
            fetched[asking, wanted] = shelf.fetch(asking, wanted)
        return fetched[asking, wanted]

    looks = []
    for path in plait_files(folder):
        name = path.relative_to(shelf.root).as_posix()
        text = read_text(path)
        if file_meaning(text, name).looks:
            looks.append(name)
            files[name] = text
            open_book([(name, text), *([own] if own and own[0] != name else [])], fetch)
    if not looks:
        raise CantRead(f"there is no look in '{folder}'", "name a folder with .plait files that hold recipes")
    return _with_lessons(Texts(tuple(looks), files, fetched, own), shelf.root / ".plait" / "log.db")


def plait_files(folder: Path) -> tuple[Path, ...]:
    """Every .plait file of a folder and its folders, by name; hidden ones are passed by. Raises CantRead."""
    try:
        return tuple(path for path in sorted(folder.rglob("*.plait"))
                     if path.is_file() and not any(part.startswith(".") for part in path.relative_to(folder).parts))
    except OSError as error:
        raise CantRead(f"the folder '{folder.name or folder}' can't be looked through: {error.strerror or error}", "name the folder of the book itself") from None


def _with_lessons(texts: Texts, store: Path) -> Texts:
    """The same with what its houses have learned, as the cards of these looks have it. Raises CantRead."""
    if not store.is_file():
        return texts
    import sqlite3

    from ..learned_rates import put_in_force

    houses = {name: house for file in texts.looks for name, house in opened(texts, file).houses.items()}
    before = dict(houses)
    try:
        put_in_force(houses, store)
    except (sqlite3.Error, OSError) as error:
        raise CantRead(f"the book's log can't be read: {error}", f"move {store} away to go on without what was learned") from None
    return texts._replace(learned=tuple(house for name, house in houses.items() if house is not before[name]))


def opened(texts: Texts, file: str) -> Book:
    """The book as one of its files sees it."""
    beside = [texts.book] if texts.book and texts.book[0] != file else []
    book = open_book([(file, texts.files[file]), *beside],
                     lambda asking, wanted: texts.fetched.get((asking, wanted), Fetched(wanted, "", f'"{wanted}" was not read', "run it again")))
    for house in texts.learned:
        if house.name in book.houses:
            book.houses[house.name] = house
    return book


def cells(texts: Texts, wearers: tuple[str, ...], houses: tuple[str, ...], every_choice: bool) -> Iterator[Cell]:
    """Every look × house × way of taking its choices × wearer.

    Without names: every wearer of the book (or nobody), and the book's first house. Wearers come last,
    so that neighbours in the order share a grid, which is laid once.
    """
    for file in texts.looks:
        book = opened(texts, file)
        for look in book.files[file].looks:
            ways: list[tuple[tuple[str, str], ...]] = [()]
            whole = inherit(look, book.looks, []) if every_choice else None
            if whole is not None and whole.choices:
                menu = [[(choice.name, option) for option, _ in choice.options] for choice in whole.choices]
                ways = [way for way, _ in zip(product(*menu), range(MOST_OPTIONS))]
            for house in houses or (None,):
                for way in ways:
                    for wearer in wearers or tuple(book.wearers) or (None,):
                        yield Cell(file, look.name, wearer, house, way)


def fingerprint(texts: Texts, compiler: str, asked: object) -> str:
    """What a survey is of: changes with any text, the compiler or what was asked for."""
    whole = [compiler, asked, sorted(texts.files.items()), [(*key, got.path, got.text) for key, got in sorted(texts.fetched.items())], texts.book]
    return hashlib.sha256(json.dumps(whole, ensure_ascii=False, default=list).encode()).hexdigest()
