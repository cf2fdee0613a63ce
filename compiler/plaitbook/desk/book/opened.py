"""A recipe file opened with all it can see, and what each of its looks is made of."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from ...compile import VERSION, Compiled, Request, compile_from_book, sort_problems
from ...meaning.book import Book, open_book
from ...meaning.inherit import inherit
from ...meaning.look import Look
from ...plan.canonical import digest, plain
from ...plan.seal import LOOK, Ingredients, look_ingredients, plan_ingredients
from ...passes.rates import rates_for
from ...rules.read import read_rules
from ...syntax.problem import Problem
from ..job import Job, open_job
from ..service import from_file
from ..shelf import CantRead

__all__ = ["Opened", "built_in_rules", "open_looks"]

PART_DIGITS = 16
"""Hexadecimal digits kept of a part's hash: 64 bits, far more than tell the parts of one book apart."""


@dataclass(frozen=True)
class Opened:
    """A file, its book, and the looks it was opened for."""

    job: Job
    book: Book
    looks: tuple[Look, ...]
    """As written: inheritance not done."""
    wearer: str | None = None
    house: str | None = None
    """Names in the book, also where files were given."""
    problems: tuple[Problem, ...] = ()

    def made_of(self, look: Look) -> tuple[Ingredients | None, tuple[Problem, ...]]:
        """What a look is made of, or what is wrong with it."""
        problems: list[Problem] = []
        whole = inherit(look, self.book.looks, problems)
        rules = read_rules(tuple(self.book.rules.values()), problems)
        if whole is None or problems:
            return None, sort_problems(problems)
        return look_ingredients(whole, self.book.hairs, self.book.ornaments, {r.code: r for r in rules}), ()

    def compiled(self, look: str, picks: dict[str, str], wearer: str | None = None, house: str | None = None,
                 swaps: dict[str, str] | None = None) -> Compiled:
        """One look of the file for one wearer of the book; without names, for those it was opened with."""
        request = Request(look, wearer or self.wearer, house or self.house, picks, swaps or {})
        return compile_from_book(self.book, self.job.name, request)


def open_looks(recipe: str, wearer: str | None = None, house: str | None = None) -> Opened:
    """``FILE`` (every look in it) or ``FILE#Look``, learned rates in force. Raises CantRead.

    ``wearer`` and ``house`` are names in the book, or files.
    """
    job = open_job(recipe)
    beside = list(job.beside)
    wearer, house = from_file(job, wearer, "wearer", beside), from_file(job, house, "house", beside)
    book = open_book([(job.name, job.text), *beside], job.shelf.fetch)
    if book.problems:
        return Opened(job, book, (), wearer, house, sort_problems(book.problems))
    _learned(job, book)
    looks = tuple(look for look in book.files[job.name].looks if job.look in (None, look.name))
    if job.look is not None and not looks:
        names = [look.name for look in book.files[job.name].looks]
        raise CantRead(f"there is no look \"{job.look}\" in '{job.name}'",
                       f"it holds {', '.join(names)}" if names else "it holds no looks")
    return Opened(job, book, looks, wearer, house)


def _learned(job: Job, book: Book) -> None:
    store = job.shelf.root / ".plait" / "log.db"
    if not store.is_file():
        return
    import sqlite3

    from ..learned_rates import put_in_force

    try:
        put_in_force(book.houses, store)
    except (sqlite3.Error, OSError) as error:
        raise CantRead(f"the book's log {store} can't be read: {error}",
                       "move the file away to go on without what was learned") from None


def plan_parts(look: str, done: Compiled) -> dict[str, str]:
    """What a plan is made of, each part as the beginning of its hash."""
    assert done.recipe and done.wearer and done.house
    parts = plan_ingredients(look, done.recipe, done.wearer, done.house, rates_for(done.house), VERSION)
    return {what: digest(what, value)[:PART_DIGITS] for what, value in parts.items()}


@lru_cache(maxsize=1)
def built_in_rules() -> str:
    """The beginning of a hash over what the compiler's own rules ask and say."""
    from ...rules.catalogue import RULES

    said = [[rule.code, rule.severity, plain(rule.condition) if rule.condition is not None else rule.what, rule.message,
             rule.fix] for rule in RULES]
    return digest("rules", said)[:PART_DIGITS]


def look_hash(made_of: Ingredients) -> str:
    """SHA-256 of a look."""
    return digest(LOOK, made_of)
