"""A house's logo and own card template: read from its book's folder, the template run where it can do no harm."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from ..cards.card import Card, Picture
from ..cards.logo import MOST_BYTES, logo_picture
from ..meaning.model import House
from .shelf import CantRead, Shelf, read_text

SECONDS = 20.0
"""A template that takes longer is stopped; our own estimate, a card takes a hundredth of one."""


def with_logo(card: Card, house: House, shelf: Shelf) -> Card:
    """The card with the house's logo in its head, if the house has one. Raises CantRead."""
    if not house.logo:
        return card
    return card.model_copy(update={"logo": _logo(house, shelf)})


def _logo(house: House, shelf: Shelf) -> Picture:
    path = _inside(house.logo, shelf, "logo", "logo.png")
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise CantRead(f"the logo '{house.logo}' can't be read: {error.strerror or error}", "check the file's name and place in the book") from None
    try:
        return logo_picture(data, house.name)
    except ValueError as error:
        raise CantRead(f"the logo '{house.logo}' {error}", "save it as a smaller PNG or JPEG") from None


def template_for(house: House) -> str:
    """The form that a house's own template makes: text where its name ends in ``.txt``, else HTML; "" for no template."""
    return "" if not house.template else "text" if house.template.lower().endswith(".txt") else "html"


def own_page(card: Card, house: House, shelf: Shelf) -> str:
    """The card as the house's own template prints it. Raises CantRead, with the template's line.

    In HTML everything printed is escaped.
    """
    source = read_text(_inside(house.template, shelf, "template", "card.html"))
    asked = {"source": source, "card": card.model_dump(mode="json"), "html": template_for(house) == "html"}
    try:
        done = subprocess.run([sys.executable, "-I", "-c", f"import sys; sys.path[:0] = {sys.path!r}; from plaitbook.desk.confined import render; render()"],
                              input=json.dumps(asked).encode(), capture_output=True, timeout=SECONDS, check=False)
    except subprocess.TimeoutExpired:
        raise _trouble(house, f"takes more than {SECONDS:.0f} seconds", 0) from None
    try:
        said = json.loads(done.stdout)
    except ValueError:
        raise _trouble(house, "needs more memory than a card may take", 0) from None
    if "trouble" in said:
        raise _trouble(house, f"can't be printed: {said['trouble']}", said["line"])
    return str(said["page"])


def _trouble(house: House, what: str, line: int) -> CantRead:
    where = f"line {line} of the template" if line else "the template"
    return CantRead(f"{where} '{house.template}' {what}", "mend that line, or take the 'template' line out of the house")


def _inside(written: str, shelf: Shelf, word: str, example: str) -> Path:
    """A file that a house names, which must lie in its book."""
    try:
        path = (shelf.root / written.replace("\\", "/")).resolve()
        if path.is_relative_to(shelf.root) and path.is_file():
            return path
    except (OSError, ValueError, RuntimeError):
        pass  # a name no file can have, or a link that leads round in a circle
    raise CantRead(f"the house's {word} '{written}' is no file of this book", f"put the file into the book's folder and write {word} \"{example}\"")
