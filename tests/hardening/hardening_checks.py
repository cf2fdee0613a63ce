"""What must hold of any text whatever: checked by the fuzzer, the stored cases and the hostile tests.

``check_reading`` and ``check_compiling`` raise AssertionError (or let an
exception of the compiler through, which is the same failure) and return
nothing.
"""

from __future__ import annotations

import posixpath
from functools import lru_cache

from shipped_book import BOOK_FILES, shipped_looks, shipped_text

from plaitbook import Request, compile_recipe
from plaitbook.meaning.book import Fetched
from plaitbook.desk.messages import problem_text
from plaitbook.syntax.lines import MAX_LINES
from plaitbook.syntax.normalise import plain_lines
from plaitbook.syntax.parse import parse
from plaitbook.syntax.problem import Problem
from plaitbook.syntax.tidy import tidy
from plaitbook.syntax.tree import Tree

FILE = "looks/fuzzed.plait"


def check_reading(text: str, also_tidy: bool = True) -> tuple[Tree, tuple[Problem, ...]]:
    """The reader gives a tree and places inside the text; tidying settles in one run."""
    tree, problems = parse(text, FILE)
    lines = plain_lines(text)
    for problem in problems:
        check_problem(problem, {FILE: lines})
    for declaration in tree.declarations:
        assert 1 <= declaration.line <= len(lines), "a declaration stands outside the file"
        for statement in declaration.statements:
            assert 1 <= statement.line <= min(len(lines), MAX_LINES), "a statement stands outside the file"
    if also_tidy:
        once = tidy(text)  # raises WouldChange where it would say something else
        assert tidy(once) == once, "tidied twice is not tidied once"
    return tree, problems


def check_problem(problem: Problem, files: dict[str, list[str]]) -> None:
    """A message says something, offers a way out, stands in the text, and can be shown."""
    assert problem.code and problem.message and problem.help, f"an empty message: {problem}"
    assert len(problem.message) < 1000 and len(problem.help) < 6000, f"a message without end: {problem.code}"
    for span in (problem.span, *(span for _, span in problem.others)):
        lines = files.get(span.file)
        assert lines is None or 1 <= span.line <= max(1, len(lines)), f"line {span.line} of {len(lines or ())}: {problem}"
        assert 1 <= span.column <= span.end, f"columns {span.column} to {span.end}: {problem}"
    assert problem_text(problem, lambda file, line: (files.get(file) or [""] * line)[line - 1], str)


@lru_cache(maxsize=1)
def book() -> dict[str, str]:
    """The shipped book's own files by name."""
    return {name: shipped_text(name) for name in BOOK_FILES}


def fetch(asking: str, wanted: str) -> Fetched:
    """What a fuzzed text brings in: a file of the shipped book, or a refusal."""
    path = posixpath.normpath(posixpath.join(posixpath.dirname(asking), wanted.replace("\0", "")))
    if path in (*BOOK_FILES, *shipped_looks()):
        return Fetched(path, shipped_text(path))
    return Fetched(wanted, "", f"there is no file '{wanted}' here", "check the name and the folder")


def check_compiling(text: str, others: dict[str, str] | None = None, wearer: str | None = None,
                    house: str | None = None, look: str | None = None) -> bool:
    """A compile ends in a plan or in messages, never both, never neither. True for a plan."""
    files = {**book(), **(others or {})}
    done = compile_recipe(text, FILE, Request(look=look, wearer=wearer, house=house),
                          beside=tuple(files.items()), fetch=fetch)
    assert (done.plan is None) == bool(done.problems), "a plan with problems, or neither"
    shown = {name: plain_lines(body) for name, body in {**files, FILE: text}.items()}
    for problem in done.problems:
        check_problem(problem, shown)
    if done.plan is not None:
        done.plan.model_dump_json()
    return done.plan is not None
