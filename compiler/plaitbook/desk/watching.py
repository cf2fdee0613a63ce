"""``plait watch RECIPE``: compile again at every save, and say in one line what changed."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .command import (
    GOOD, WRONG_USE, _format_of, _pairs, cant_read, recipe_arguments, report_findings, report_problems, shown_path,
)
from .commands import HELP
from .job import Job, open_job
from .shelf import CantRead, Shelf, write_whole

if TYPE_CHECKING:
    from ..compile import Compiled, Request
    from ..plan.model import Plan
    from .editing.session import Session

LOOK_EVERY_S = 0.3
"""Between two looks at the files: our own estimate of what feels at once."""


def register(commands: Any) -> None:
    """Put the command on the command line."""
    watch = commands.add_parser("watch", help=HELP["watch"], description=(
        "Compiles the look, then again whenever a file of it is saved, until you press Ctrl-C."))
    recipe_arguments(watch)
    watch.add_argument("-o", "--out", metavar="OUT", help="a card to write each time: .pdf, .html, .txt or .json")
    watch.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Watch until stopped; wrong use and a book that can't be read end it at once."""
    picks = _pairs(arguments.choose, "a choice", "--choose size=small")
    swaps = _pairs(arguments.instead, "a hair and its stand-in", '--instead "Dune=Kelp"')
    if picks is None or swaps is None:
        return WRONG_USE
    try:
        job = open_job(arguments.recipe)
        session, request = _opened(job, arguments.wearer, arguments.house, picks, swaps)
    except CantRead as error:
        return cant_read(error, as_json=False)
    out = Path(arguments.out) if arguments.out else None
    print(f"watching {shown_path(job.shelf.root / job.name)}; Ctrl-C stops", file=sys.stderr)
    plan: Plan | None = None
    try:
        for done in compiled_anew(session, job.name, request, _wait):
            plan = tell(done, plan, job, out) or plan
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
    return GOOD


def compiled_anew(session: "Session", name: str, request: "Request", wait: Callable[[], bool]) -> "Iterator[Compiled]":
    """The look compiled now, and again each time a text that matters has changed, until ``wait`` says no."""
    before: object = None
    while True:
        texts = session.texts(name)
        if texts != before:
            before = texts
            yield session.compile(name, request)
        if not wait():
            return


def tell(done: "Compiled", before: "Plan | None", job: Job, out: Path | None) -> "Plan | None":
    """Say what changed, and write the card; the plan, or None after saying what is wrong."""
    clock = time.strftime("%H:%M:%S")
    if done.plan is None:
        print(f"{clock}  {len(done.problems)} mistake{'s' if len(done.problems) != 1 else ''}", flush=True)
        report_problems(done.problems, job, as_json=False)
        return None
    print(f"{clock}  {what_changed(before, done.plan)}{_written(done, out, job.shelf)}", flush=True)
    known = {(f.code, f.file) for f in before.findings} if before is not None else set()
    report_findings(tuple(f for f in done.plan.findings if (f.code, f.file) not in known), job)
    return done.plan


def what_changed(before: "Plan | None", after: "Plan") -> str:
    """Hair, hours and price: as they are, or from what to what where they changed."""
    now = _said(after)
    if before is None:
        return ", ".join(now.values())
    was = _said(before)
    changed = [f"{name} {was[name]} → {now[name]}" for name in now if was[name] != now[name]]
    return ", ".join(changed) or "hair, hours and price as before"


def _said(plan: "Plan") -> dict[str, str]:
    from ..cards import words

    return {
        "hair": words.packs(sum(line.packs_used for line in plan.material.hair)),
        "hours": words.duration(plan.timing.median_minutes),
        "price": words.money(plan.quote.total, plan.quote.currency),
    }


def _written(done: "Compiled", out: Path | None, shelf: Shelf) -> str:
    if out is None:
        return ""
    from .service import document

    try:
        write_whole(out, document(done, _format_of(str(out)), None, shelf))
    except CantRead as error:
        return f"; '{out}' can't be made: {error.message}"
    except OSError as error:
        return f"; '{out}' can't be written: {error.strerror or error}"
    return f"; wrote {shown_path(out)}"


def _opened(job: Job, wearer: str | None, house: str | None, picks: dict[str, str],
            swaps: dict[str, str]) -> "tuple[Session, Request]":
    """The session of the job's book and what is asked of it. Raises CantRead."""
    from ..compile import Request
    from .editing.session import Session

    from .service import from_file

    beside: list[tuple[str, str]] = []
    request = Request(job.look, from_file(job, wearer, "wearer", beside), from_file(job, house, "house", beside),
                      {name.lower(): option.lower() for name, option in picks.items()}, swaps)
    for name, _ in beside:
        if Path(name).is_absolute():
            raise CantRead(f"'{name}' lies outside the book's folder", "copy the file into the book, and name it there")
    return Session(job.shelf.root, tuple(name for name, _ in beside)), request


def _wait() -> bool:
    time.sleep(LOOK_EVERY_S)
    return True
