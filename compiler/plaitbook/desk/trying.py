"""Try every look of a file: settle and plan each, and settle each of its options."""

from __future__ import annotations

from collections import Counter

from ..compile import Request, compile_from_book
from ..meaning.book import Book, open_book
from ..meaning.fetched import Fetch
from ..meaning.inherit import inherit
from ..meaning.look import Look
from ..meaning.settle import settle
from ..meaning.standing import house_or_default, unknown_wearer
from ..meaning.variants import variants
from ..mistakes import all_wrong
from ..rules.read import read_rules
from ..syntax.problem import Problem
from .job import Job
from .kept import Found


def try_file(job: Job, fetch: Fetch) -> Found:
    """What is wrong with a file, and what should make one think."""
    book = open_book([(job.name, job.text), *job.beside], fetch)
    if book.problems:
        return Found(all_wrong(book, job.name, job.look), (), "")
    problems, findings = [], []
    looks = book.files[job.name].looks
    if not looks:
        read_rules(tuple(book.rules.values()), problems)
    for look in looks:
        if job.look not in (None, look.name):
            continue
        done = compile_from_book(book, job.name, Request(look.name))
        problems += done.problems
        problems += untried(book, look)
        if done.plan is not None:
            findings += [f.model_dump() for f in done.plan.findings if f.severity in ("stop", "warn")]
    return Found(tuple(dict.fromkeys(problems)), tuple(findings), holds([d.kind for d in book.files[job.name].tree.declarations]))


def holds(kinds: list[str]) -> str:
    """What a file holds, by kind: ``1 look``, ``6 hairs, 2 ornaments``; ``nothing of its own`` where it only uses others."""
    named = Counter("look" if kind == "recipe" else kind for kind in kinds)
    return ", ".join(f"{n} {kind}{'s' if n != 1 else ''}" for kind, n in named.items()) or "nothing of its own"


def untried(book: Book, look: Look) -> list[Problem]:
    """What is wrong with options that aren't the default and adaptations that don't hold yet."""
    problems: list[Problem] = []
    whole = inherit(look, book.looks, problems)
    if whole is None:
        return []
    house = house_or_default(book, None, look.span.file, [])
    assert house is not None
    for picks, wearer in variants(whole, unknown_wearer()):
        settle(whole, wearer, house, book.hairs, book.ornaments, picks, problems)
    return problems
