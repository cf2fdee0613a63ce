"""The looks of a folder, each compiled for a wearer of whom nothing is known, with every way of taking its choices."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import NamedTuple

from ..compile import Compiled, Request, compile_from_book
from ..meaning.inherit import inherit
from ..syntax.problem import Problem

MOST_WAYS = 12
"""Ways of taking a look's choices that a menu shows one by one; beyond them each option by itself. Our own estimate."""


class LookWays(NamedTuple):
    """A look, and every way of taking it."""

    file: str
    ordinary: Compiled
    others: tuple[tuple[str, Compiled], ...]
    """(choices in words, the compiled look); empty where there is nothing to choose."""


def looks_and_ways(folder: Path, house: str | None) -> tuple[tuple[LookWays, ...], tuple[Problem, ...]]:
    """Every look of a book's folder, in the order of its files, or what is wrong with them. Raises CantRead."""
    from .survey.cells import opened, read_book

    texts = read_book(folder)
    found: list[LookWays] = []
    problems: list[Problem] = []
    for file in texts.looks:
        book = opened(texts, file)
        if book.problems:
            problems += book.problems
            continue
        for look in book.files[file].looks:
            ordinary = compile_from_book(book, file, Request(look.name, None, house))
            problems += ordinary.problems
            whole = inherit(look, book.looks, [])
            if ordinary.problems or whole is None:
                continue
            others = []
            for picks in _ways([(choice.name, tuple(option for option, _ in choice.options), choice.default) for choice in whole.choices]):
                done = compile_from_book(book, file, Request(look.name, None, house, dict(picks)))
                problems += done.problems
                others.append((_words(picks), done))
            found.append(LookWays(file, ordinary, tuple(others)))
    return tuple(found), tuple(dict.fromkeys(problems))


def _words(picks: tuple[tuple[str, str], ...]) -> str:
    """``rows eight``; with several choices their options say enough: ``small, mid back``."""
    return ", ".join(option for _, option in picks) if len(picks) > 1 else " ".join(picks[0])


def _ways(choices: list[tuple[str, tuple[str, ...], str]]) -> list[tuple[tuple[str, str], ...]]:
    """Every combination of options where they are few, else every option with the others as they usually are."""
    if not choices:
        return []
    every = 1
    for _, options, _ in choices:
        every *= len(options)
    if every <= MOST_WAYS:
        return list(product(*[[(name, option) for option in options] for name, options, _ in choices]))
    return [((name, option),) for name, options, _ in choices for option in options]
