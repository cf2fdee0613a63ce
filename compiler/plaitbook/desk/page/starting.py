"""A first book, a new look and a new wearer, from what was filled in on the page."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from ...meaning.book import file_meaning
from ..shelf import BOOK, CantRead
from ..starter import make_book
from .files import Conflict, read, save
from .places import Refused, names, slug

ANSWERS: dict[str, tuple[str, ...]] = {
    "strand": ("fine", "medium", "coarse"),
    "density": ("sparse", "medium", "dense"),
    "texture": ("straight", "wavy", "curly", "coily"),
    "hairline": ("ordinary", "low", "high", "receding"),
    "edges": ("healthy", "thin", "fragile"),
    "scalp": ("healthy", "dry", "flaking", "sore", "broken", "infected"),
    "shedding": ("ordinary", "heavy"),
    "reacts to added hair": ("yes", "no"),
    "patch test": ("clear", "reacted", "not done"),
    "chemical service": ("none",),
    "tender head": ("yes", "no"),
    "past breakage": ("yes", "no"),
    "arrives": ("washed and dried", "washed", "unwashed", "in an old set"),
}
"""Fact -> what can be ticked. An answer left open is not written, and counts as unknown: the card asks."""
MEASURES: dict[str, tuple[str, ...]] = {
    "age": ("years",), "own hair": ("in", "cm"), "circumference": ("in", "cm"),
}
"""Fact -> the units a number of it may have."""
_ORDER = ("age", "strand", "density", "texture", "own hair", "circumference", "hairline", "edges", "scalp", "shedding", "allergies",
          "reacts to added hair", "patch test", "chemical service", "tender head", "past breakage", "arrives")
_NUMBER = re.compile(r"\d{1,3}(?:[.,]\d{1,2})?")


def begin(root: Path) -> None:
    """Make the demo book where there is none. Raises Refused."""
    if names(root):
        return
    try:
        make_book(root)
    except CantRead as error:
        raise Refused(error.message, error.help, 409) from None


def wearer_text(answers: dict[str, Any]) -> tuple[str, str]:
    """(name, declaration) of a wearer from the form's answers. Raises Refused with what to mend."""
    name = _plain_name(answers.get("name"), "the wearer")
    lines = [f'wearer "{name}"']
    for fact in _ORDER:
        given = answers.get(fact)
        if given in (None, "", "unknown"):
            continue
        if not isinstance(given, str) or len(given) > 200:
            raise Refused(f"'{fact}' was not understood", "choose one of the answers")
        if fact == "allergies":
            lines.append(_allergies(given))
        elif fact in MEASURES:
            lines.append(f"{fact} {_measure(fact, given)}")
        elif given in ANSWERS[fact]:
            lines.append(f"{fact} {given}")
        else:
            raise Refused(f"'{given}' is no answer to '{fact}'", f"choose one of: {', '.join(ANSWERS[fact])}")
    text = "\n".join(lines) + "\n"
    problems = file_meaning("edition 1\n" + text, "wearer.plait").problems
    if problems:
        raise Refused(problems[0].message, problems[0].help)
    return name, text


def add_wearer(root: Path, answers: dict[str, Any]) -> tuple[str, str]:
    """Put a new wearer into a file of their own and the file into the book; (name, file). Raises Refused."""
    name, text = wearer_text(answers)
    for other in names(root):
        tree = file_meaning(read(root, other).text, other).tree
        if any(d.kind == "wearer" and d.name.casefold() == name.casefold() for d in tree.declarations):
            raise Refused(f"there is a wearer called {name} already", "add a letter, or the year", 409)
    file = _free(root, "wearers", slug(name))
    _save_new(root, file, f"edition 1\n\n{text}")
    _use(root, file)
    return name, file


def add_look(root: Path, source: str, look: str | None, wanted: Any) -> tuple[str, str]:
    """Copy a look under a new name into a file of its own; (name, file). Raises Refused."""
    name = _plain_name(wanted, "the look")
    text = read(root, source).text
    tree = file_meaning(text, source).tree
    looks = [d for d in tree.declarations if d.kind == "recipe"]
    found = next((d for d in looks if look in (None, d.name)), None)
    if found is None:
        raise Refused(f'there is no look "{look}" in {source}', "choose another look to begin from", 404)
    later = [d.line for d in tree.declarations if d.line > found.line]
    lines = text.split("\n")[found.line - 1 : later[0] - 1 if later else None]
    head = found.head.span(found.head.node.parts[0])
    first = lines[0]
    lines[0] = re.sub(r"\s+version\s+\S+", "", f'{first[: head.column - 1]}"{name}"{first[head.end - 1 :]}')
    for statement in found.statements:
        if statement.word == "demo":
            lines[statement.line - found.line] = None  # type: ignore[call-overload]
    uses = [text.split("\n")[use.line - 1].strip() for use in tree.uses]
    folder = source.rpartition("/")[0]
    file = _free(root, folder, slug(name))
    kept = "\n".join(line for line in lines if line is not None).rstrip() + "\n"
    _save_new(root, file, "\n".join(["edition 1", *uses, "", kept]))
    return name, file


def _plain_name(given: Any, whose: str) -> str:
    name = " ".join(given.split()) if isinstance(given, str) else ""
    if not 0 < len(name) <= 60 or re.search(r'[\x00-\x1f\x7f"“”„«»#]', name):
        raise Refused(f"{whose} needs a name", "write one of up to 60 letters, without quotes")
    return name


def _allergies(given: str) -> str:
    if given.strip().lower() == "none":
        return "allergies none"
    parts = [re.sub(r'[\x00-\x1f\x7f"“”„«»#]', "", part).strip() for part in re.split(r"[,;\n]", given)]
    parts = [part for part in parts if part]
    if not parts:
        return ""
    return "allergies " + ", ".join(f'"{part}"' for part in parts)


def _measure(fact: str, given: str) -> str:
    number, _, unit = given.strip().partition(" ")
    if not _NUMBER.fullmatch(number) or unit not in MEASURES[fact]:
        raise Refused(f"'{given}' is no measure of '{fact}'", f"write a number and choose {' or '.join(MEASURES[fact])}")
    return f"{number.replace(',', '.')} {unit}"


def _free(root: Path, folder: str, wanted: str) -> str:
    """A file's name in a folder of the book that nothing has yet."""
    for n in range(1, 1000):
        name = f"{folder + '/' if folder else ''}{wanted}{'' if n == 1 else f'-{n}'}.plait"
        if not (root / name).exists():
            return name
    raise Refused(f"there are too many files called '{wanted}'", "choose another name", 409)


def _save_new(root: Path, name: str, text: str) -> None:
    if isinstance(save(root, name, text, ""), Conflict):
        raise Refused(f"'{name}' was made by somebody else just now", "try again", 409)


def _use(root: Path, file: str) -> None:
    """Bring a file into the book: one line after the last ``use`` of book.plait."""
    for _ in range(5):
        try:
            book = read(root, BOOK)
        except Refused:
            return  # a folder without a book file: every recipe names its own files
        lines = book.text.split("\n")
        uses = [use.line for use in file_meaning(book.text, BOOK).tree.uses]
        at = uses[-1] if uses else next((n for n, line in enumerate(lines, 1) if line.strip().startswith("edition")), 0)
        lines.insert(at, f'use "{file}"')
        if not isinstance(save(root, BOOK, "\n".join(lines), book.version), Conflict):
            return
    raise Refused("the book is being changed by somebody else", "try again", 409)
