"""What the desk's commands share: find the book, compile one request, make one document."""

from __future__ import annotations

import json
from pathlib import Path

from ..compile import Compiled, Request, compile_recipe
from ..rules import HouseRule
from ..syntax.problem import Problem
from .job import Job, open_job
from .shelf import BOOK, CantRead, Shelf, read_text

__all__ = ["FORMATS", "Job", "compile_job", "document", "hinted", "house_rules", "open_job"]

FORMATS = ("pdf", "html", "text", "json")


def compile_job(job: Job, wearer: str | None, house: str | None, picks: dict[str, str],
                swaps: dict[str, str] | None = None, learned: bool = True) -> Compiled:
    """Compile a job; ``wearer`` and ``house`` are names in the book, or files. Raises CantRead.

    Rates the house has learned are in force unless ``learned`` is false.
    """
    beside = list(job.beside)
    wearer = from_file(job, wearer, "wearer", beside)
    house = from_file(job, house, "house", beside)
    request = Request(job.look, wearer, house, picks, swaps or {})
    store = job.shelf.root / ".plait" / "log.db"
    if learned and store.is_file():
        return _compile_learned(job, request, beside, store)
    return compile_recipe(job.text, job.name, request, beside=tuple(beside), fetch=job.shelf.fetch)


def _compile_learned(job: Job, request: Request, beside: list[tuple[str, str]], store: Path) -> Compiled:
    """Compile with the learned rates of the book's log."""
    import sqlite3

    from ..compile import compile_from_book
    from ..meaning.book import open_book
    from ..mistakes import all_wrong
    from .learned_rates import put_in_force

    book = open_book([(job.name, job.text), *beside], job.shelf.fetch)
    if book.problems:
        return Compiled(all_wrong(book, job.name, request.look))
    try:
        put_in_force(book.houses, store)
    except (sqlite3.Error, OSError) as error:
        raise CantRead(f"the book's log {store} can't be read: {error}",
                       "move the file away to go on without what was learned") from None
    return compile_from_book(book, job.name, request)


def house_rules(job: Job) -> tuple[tuple[HouseRule, ...], tuple[Problem, ...]]:
    """The rules of the job's book, and what is wrong with the book. Raises CantRead."""
    from ..meaning.book import open_book
    from ..rules.read import read_rules

    book = open_book([(job.name, job.text), *job.beside], job.shelf.fetch)
    problems = list(book.problems)
    return read_rules(tuple(book.rules.values()), problems), tuple(problems)


def from_file(job: Job, named: str | None, kind: str, beside: list[tuple[str, str]]) -> str | None:
    """A name as it is; for a file, its only declaration of this kind, with the file put in scope."""
    if named is None or not named.endswith(".plait"):
        return named
    from ..meaning.book import file_meaning

    path = Path(named)
    text = read_text(path)
    try:
        name = job.shelf.inside(path)
    except ValueError:
        name = str(path.resolve())
    found = [d.name for d in file_meaning(text, name).tree.declarations if d.kind == kind]
    if len(found) != 1:
        count = "no" if not found else str(len(found))
        raise CantRead(f"'{named}' holds {count} {kind}s", f"name a file with one {kind}, or a name in the book")
    beside.append((name, text))
    return found[0]


def document(done: Compiled, form: str, paper: str | None, shelf: Shelf, language: str | None = None) -> bytes:
    """The card of a compiled plan in one of :data:`FORMATS`, as its house has it printed. Raises CantRead for the
    house's own logo or template."""
    assert done.plan and done.recipe and done.wearer and done.house
    if form == "json":
        return plan_json(done).encode()
    from ..cards.build import write_card

    card = write_card(done.plan, done.recipe, done.wearer, done.house, with_look=True, paper=paper, language=language)  # type: ignore[arg-type]
    if done.house.logo or done.house.template:
        from .letterhead import own_page, template_for, with_logo

        card = with_logo(card, done.house, shelf)
        if form == template_for(done.house):
            return own_page(card, done.house, shelf).encode()
    if form == "text":
        from ..cards.text import render_text

        return render_text(card).encode()
    if form == "html":
        from ..cards.html import render_html

        return render_html(card).encode()
    from ..cards.pdf import render_pdf

    return render_pdf(card, paper or done.house.paper)


def plan_json(done: Compiled) -> str:
    """The plan as data. A wearer or house from a file outside the book stands under its own name, not the file's:
    where it lies on this machine is nobody's business, and the same card comes out on another."""
    assert done.plan and done.wearer and done.house
    text = done.plan.model_dump_json(indent=2) + "\n"
    for kind, each in (("wearer", done.wearer), ("house", done.house)):
        if Path(each.origin.file).is_absolute():
            text = text.replace(json.dumps(each.origin.file, ensure_ascii=False), json.dumps(f'{kind} "{each.name}"', ensure_ascii=False))
    return text


def hinted(problems: tuple[Problem, ...], job: Job) -> tuple[Problem, ...]:
    """The problems, with the file named where a missing wearer or house lies elsewhere in the folder."""
    return tuple(_hinted(problem, job) for problem in problems)


def _hinted(problem: Problem, job: Job) -> Problem:
    kind = {"E213": "wearer", "E214": "house"}.get(problem.code)
    found = None if kind is None else _declared_in(job.shelf, kind, problem.message.split('"')[1])
    if found is None:
        return problem
    return problem._replace(help=f'it is declared in {found}: add a line to {BOOK}: use "{found}"')


def _declared_in(shelf: Shelf, kind: str, name: str) -> str | None:
    """The file of the book's folder that declares a name; at most 300 files are looked into."""
    from ..meaning.book import file_meaning

    for path in sorted(shelf.root.rglob("*.plait"))[:300]:
        try:
            inside = shelf.inside(path)
            tree = file_meaning(read_text(path), inside).tree
        except (CantRead, ValueError):
            continue
        if any(d.kind == kind and d.name.casefold() == name.casefold() for d in tree.declarations):
            return inside
    return None
