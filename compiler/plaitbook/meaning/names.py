"""Names that are written in a look, a wearer or a house but stand for nothing in the book."""

from __future__ import annotations

from ..syntax.problem import Problem, Span, whole_line
from ..syntax.suggest import did_you_mean, nearest
from ..syntax.tree import Node
from .book import Book
from .look import Look
from .model import House, Wearer
from .values import Origin


def refuse_unknown_names(book: Book, look: Look, wearer: Wearer, house: House, problems: list[Problem]) -> None:
    """A stock, a pack or an expectation under a misspelt name would be silently ignored."""

    def check(kind: str, name: str | None, shelf: dict, origin: Origin) -> None:  # type: ignore[type-arg]
        if name is not None and name not in shelf:
            problems.append(Problem(
                "E619", f'there is no {kind} "{name}" in this book',
                did_you_mean(name, shelf) or f'declare it: {kind} "{name}"',
                _place(book, name, origin)))

    for expect in look.expects:
        # A look brought in from another book may speak of people who aren't in this one.
        for kind, name, shelf in (("wearer", expect.wearer, book.wearers), ("house", expect.house, book.houses)):
            if name is not None and nearest(name, shelf):
                check(kind, name, shelf, expect.origin)
    for name, _ in (*house.stock, *house.pack_weights):
        check("hair", name, book.hairs, house.origin)
    for name, _ in house.prices:
        check("hair", name, {**book.hairs, **book.ornaments}, house.origin)
    for name, _ in wearer.brings:
        check("hair", name, book.hairs, wearer.origin)


def _place(book: Book, name: str, origin: Origin) -> Span:
    """Where a name stands in the line it comes from; the line where it can't be found."""
    meaning = book.files.get(origin.file)
    for declaration in meaning.tree.declarations if meaning is not None else ():
        for statement in declaration.statements:
            if statement.line == origin.line:
                at = statement.text.find(f'"{name}"')
                if at >= 0:
                    return statement.span(Node("string", at, at + len(name) + 2))
    return whole_line(origin.file, origin.line)
