"""The shipped book for tests: its texts, and compiling a few lines as if they lay in it."""

from __future__ import annotations

import posixpath
from functools import lru_cache

from plaitbook import Request, compile_recipe
from plaitbook.meaning.book import Fetched
from plaitbook.shipped import shipped_folder

BOOK_FILES = ("hairs.plait", "houses.plait", "wearers.plait", "house-rules.plait")


@lru_cache(maxsize=None)
def shipped_text(name: str) -> str:
    return (shipped_folder("recipes") / name).read_text("utf-8")


def shipped_looks() -> list[str]:
    return sorted(f"looks/{p.name}" for p in (shipped_folder("recipes") / "looks").glob("*.plait"))


def shipped_wearers() -> list[str]:
    return ["Ilse", "Noor", "Tomasz", "Adaeze", "Marisol", "Pim", "Wren"]


def fetch(asking: str, wanted: str) -> Fetched:
    path = posixpath.normpath(posixpath.join(posixpath.dirname(asking), wanted))
    return Fetched(path, shipped_text(path))


def compile_in_book(text: str, file: str = "looks/mine.plait", **request):
    """Compile text as if it lay in the shipped book."""
    beside = tuple((name, shipped_text(name)) for name in BOOK_FILES)
    return compile_recipe(text, file, Request(**request), beside=beside, fetch=fetch)


SMALL = '''edition 1
recipe "Small"
technique plait
wearing 12 in
hair:
base: "Dune", cut 40 in
sections:
grid square 1½ in
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
end: heat seal 180 °C
'''
"""A whole look in few lines, for tests that change one of them."""
