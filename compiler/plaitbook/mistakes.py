"""All that is wrong with a file of a book, in one run: also of its looks where the book has mistakes."""

from __future__ import annotations

from .meaning.book import Book
from .meaning.follow_ups import MISSED_IN_BOOK, firsthand
from .meaning.inherit import inherit
from .meaning.look import Look
from .meaning.settle import settle
from .meaning.standing import house_or_default, unknown_wearer
from .meaning.variants import variants
from .rules.read import read_rules
from .syntax.problem import Problem, sort_problems


def all_wrong(book: Book, file: str, name: str | None = None) -> tuple[Problem, ...]:
    """The book's own problems, its rules', and those of each look of the file (or of the one named).

    A message that only follows from another is left out.
    """
    problems = list(book.problems)
    lost = _lost(book)
    read_rules(tuple(book.rules.values()), problems)
    twice = {(span.file, span.line) for problem in book.problems if problem.code == "E203"
             for span in (problem.span, *(span for _, span in problem.others))}
    for look in book.files[file].looks:
        if name in (None, look.name) and (look.span.file, look.span.line) not in twice:
            problems += firsthand(look_wrong(book, look), lost, MISSED_IN_BOOK)
    return sort_problems(problems)


def look_wrong(book: Book, look: Look) -> list[Problem]:
    """What is wrong with a look as it stands, with each of its options, and with each adaptation in force."""
    problems: list[Problem] = []
    whole = inherit(look, book.looks, problems)
    house = house_or_default(book, None, look.span.file, [])
    if whole is None or house is None:
        return problems
    for picks, wearer in (({}, unknown_wearer()), *variants(whole, unknown_wearer())):
        settle(whole, wearer, house, book.hairs, book.ornaments, picks, problems)
    return problems


def _lost(book: Book) -> set[str]:
    """Kinds of declarations that the book would hold but for a mistake."""
    lost = {kind for meaning in book.files.values() for kind in meaning.tree.lost}
    if any(problem.code in ("E201", "E202") for problem in book.problems):
        lost.add("use")
    for meaning in book.files.values():
        for declaration in meaning.tree.declarations:
            shelf = {"hair": book.hairs, "ornament": book.ornaments}.get(declaration.kind)
            if shelf is not None and (declaration.name not in shelf or declaration.lost):
                lost.add(declaration.kind)
    return lost
