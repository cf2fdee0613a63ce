"""All that one compile can see: the recipe's file, what it uses, and the book it lies in."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from ..syntax.parse import parse
from ..syntax.problem import Problem, Span, whole_line
from ..syntax.tree import Declaration, Tree
from .fetched import Fetch, Fetched
from .facts import hair_model, house_model, ornament_model, wearer_model
from .look import Look, read_look
from .model import Hair, House, Ornament, Wearer
from .reading import string_of

MAX_FILES = 300


@dataclass(frozen=True)
class FileMeaning:
    """One file's declarations, each given meaning on its own."""

    tree: Tree
    problems: tuple[Problem, ...]
    looks: tuple[Look, ...] = ()
    hairs: tuple[Hair, ...] = ()
    ornaments: tuple[Ornament, ...] = ()
    wearers: tuple[Wearer, ...] = ()
    houses: tuple[House, ...] = ()
    rules: tuple[Declaration, ...] = ()


@lru_cache(maxsize=512)
def file_meaning(text: str, file: str) -> FileMeaning:
    """Parse one file and give its declarations meaning. Memoised: most files don't change."""
    tree, parse_problems = parse(text, file)
    problems = list(parse_problems)
    looks, hairs, ornaments, wearers, houses, rules = [], [], [], [], [], []
    for declaration in tree.declarations:
        if declaration.kind == "recipe":
            looks.append(read_look(declaration, problems))
        elif declaration.kind == "hair":
            hairs.append(hair_model(declaration, problems))
        elif declaration.kind == "ornament":
            ornaments.append(ornament_model(declaration, problems))
        elif declaration.kind == "wearer":
            wearers.append(wearer_model(declaration, problems))
        elif declaration.kind == "house":
            houses.append(house_model(declaration, problems))
        else:
            rules.append(declaration)
    return FileMeaning(
        tree, tuple(problems), tuple(looks), tuple(h for h in hairs if h), tuple(o for o in ornaments if o),
        tuple(wearers), tuple(houses), tuple(rules),
    )


@dataclass
class Book:
    """Names in scope. ``problems`` holds everything wrong in every file that was read."""

    files: dict[str, FileMeaning] = field(default_factory=dict)
    looks: dict[str, Look] = field(default_factory=dict)
    hairs: dict[str, Hair] = field(default_factory=dict)
    ornaments: dict[str, Ornament] = field(default_factory=dict)
    wearers: dict[str, Wearer] = field(default_factory=dict)
    houses: dict[str, House] = field(default_factory=dict)
    rules: dict[str, Declaration] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def open_book(files: list[tuple[str, str]], fetch: Fetch | None) -> Book:
    """The book of these (path, text) files and everything they use, directly or not."""
    book = Book()
    waiting = list(files)
    while waiting:
        path, text = waiting.pop(0)
        if path in book.files:
            continue
        meaning = file_meaning(text, path)
        book.files[path] = meaning
        book.problems += meaning.problems
        for statement in meaning.tree.uses:
            wanted = string_of(statement.node)
            span = statement.span(statement.node.parts[0])
            got = _fetch(path, wanted, fetch)
            if got.refused:
                book.problems.append(Problem("E201", got.refused, got.help, span))
            elif len(book.files) + len(waiting) >= MAX_FILES:
                book.problems.append(Problem("E202", f"this book uses more than {MAX_FILES} files",
                                             "bring in fewer files, or join some", span))
                return book
            else:
                waiting.append((got.path, got.text))
    for path in book.files:
        _admit(book, book.files[path])
    return book


def _fetch(path: str, wanted: str, fetch: Fetch | None) -> Fetched:
    if fetch is None:
        return Fetched(wanted, "", f'"{wanted}" can\'t be brought in here', "paste its text into this one")
    return fetch(path, wanted)


def _admit(book: Book, meaning: FileMeaning) -> None:
    for kind, shelf, items in (
        ("recipe", book.looks, meaning.looks), ("hair", book.hairs, meaning.hairs),
        ("ornament", book.ornaments, meaning.ornaments), ("wearer", book.wearers, meaning.wearers),
        ("house", book.houses, meaning.houses), ("rule", book.rules, meaning.rules),
    ):
        for item in items:
            earlier = shelf.get(item.name)
            if earlier is None:
                shelf[item.name] = item  # type: ignore[index, assignment]
                continue
            book.problems.append(Problem(
                "E203", f'{kind} "{item.name}" is declared twice', "give one of them another name",
                _span(item), (("declared first here", _span(earlier)),),
            ))


def _span(item: object) -> Span:
    head = getattr(item, "head", None)
    if head is not None:
        return head.span()
    origin = item.origin  # type: ignore[attr-defined]
    return whole_line(origin.file, origin.line)
