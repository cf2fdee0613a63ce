"""``plait check``: read files, settle and plan every look in them, say what is wrong."""

from __future__ import annotations

import json
import sys

from ..compile import Request, compile_from_book
from ..meaning.book import Book, open_book
from ..meaning.inherit import inherit
from ..meaning.look import Look
from ..meaning.settle import settle
from ..meaning.standing import house_or_default, unknown_wearer
from ..meaning.variants import variants
from ..syntax.problem import Problem
from .command import BAD_TEXT, GOOD, report_findings, report_problems, shown_path
from .messages import problem_data
from .service import Job, open_job
from .shelf import CantRead


def check_files(files: list[str], as_json: bool) -> int:
    """Check each file; 0 when nothing is wrong in any. One JSON document for all with ``as_json``."""
    worst = GOOD
    data = []
    for name in files:
        try:
            job = open_job(name)
        except CantRead as error:
            print(f"plait: {error.message}\n  try: {error.help}", file=sys.stderr)
            data.append({"file": name, "problems": [{"code": "E901", "message": error.message, "help": error.help}],
                         "findings": []})
            worst = BAD_TEXT
            continue
        problems, findings, counted = _check(job)
        stops = [f for f in findings if f.severity == "stop"]
        data.append({"file": shown_path(job.shelf.root / job.name), "problems": [problem_data(p) for p in problems],
                     "findings": [f.model_dump() for f in findings]})
        if problems or stops:
            worst = BAD_TEXT
        if as_json:
            continue
        if problems:
            report_problems(problems, job, as_json=False)
        else:
            print(f"{name}: good, {counted}")
        report_findings(findings, job)
    if as_json:
        print(json.dumps(data, ensure_ascii=False, indent=2))
    return worst


def _check(job: Job):  # type: ignore[no-untyped-def]
    """(problems, findings, what was found in words) for one file."""
    book = open_book([(job.name, job.text), *job.beside], job.shelf.fetch)
    if book.problems:
        return tuple(sorted(dict.fromkeys(book.problems), key=lambda p: (p.span.file, p.span.line, p.span.column))), (), ""
    problems, findings = [], []
    looks = book.files[job.name].looks
    for look in looks:
        if job.look not in (None, look.name):
            continue
        done = compile_from_book(book, job.name, Request(look.name))
        problems += done.problems
        problems += untried(book, look)
        if done.plan is not None:
            findings += [f for f in done.plan.findings if f.severity in ("stop", "warn")]
    declared = len(book.files[job.name].tree.declarations)
    said = f"{len(looks)} look{'s' if len(looks) != 1 else ''}, {declared} declaration{'s' if declared != 1 else ''}"
    return tuple(dict.fromkeys(problems)), tuple(findings), said


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
