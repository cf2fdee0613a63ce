"""``plait print FOLDER menu``: every look of a book with its choices, prices and hours, for clients to read."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from .command import BAD_TEXT, WRONG_USE, _deliver, _slug, cant_read, tell_problems

if TYPE_CHECKING:
    from ..plan.model import Plan


def print_menu(arguments: argparse.Namespace, form: str) -> int:
    """Compile every way of taking every look, and print what they come to; nothing is written if one can't be made."""
    from .shelf import CantRead
    from .survey.cells import book_root
    from .ways import looks_and_ways

    folder = Path(arguments.recipe)
    if not folder.is_dir():
        print(f"plait: '{arguments.recipe}' is not a folder\n  try: name the folder of the book: plait print mybook menu", file=sys.stderr)
        return WRONG_USE
    if arguments.choose or arguments.instead or arguments.wearer:
        print("plait: a menu is for everyone: --wearer, --choose and --instead don't go with it\n  try: leave them out", file=sys.stderr)
        return WRONG_USE
    try:
        looks, problems = looks_and_ways(folder, arguments.house)
    except CantRead as error:
        return cant_read(error, as_json=False)
    if problems:
        tell_problems(problems, book_root(folder))
        return BAD_TEXT
    import sqlite3

    from ..cards.language import NAMES
    from ..cards.menu import Dish, write_menu
    from ..cards.speech import speech
    from .between_braiders import in_words, logged_times
    from .log_store import read_services, store_path

    try:
        services = tuple(service for _, service in read_services(store_path(book_root(folder)))) if arguments.staff else ()
    except (sqlite3.Error, OSError) as error:
        return cant_read(CantRead(f"the book's log can't be read: {error}", "leave --staff out, or move .plait/log.db away"), as_json=False)
    first = looks[0].ordinary
    assert first.plan and first.house
    say = speech(arguments.language or NAMES[first.house.language], first.house.units)
    dishes, left_out = [], []
    for look in looks:
        plan = look.ordinary.plan
        assert plan is not None
        ways = tuple((words, done.plan) for words, done in look.others if done.plan is not None) or (("", plan),)
        left_out += [f"{plan.head.recipe}{f', {words}' if words else ''}: {stop}" for words, way in ways for stop in _stops(way)[:1]]
        ways = tuple((words, way) for words, way in ways if not _stops(way))
        if not ways:
            continue
        logged = logged_times(services, plan.head.recipe) if arguments.staff else None
        dishes.append(Dish(plan.head.recipe, plan.head.summary, ways, in_words(logged, say) if logged else ""))
    if left_out:
        print("left out of the menu, as their cards say stop:", *left_out, sep="\n  ", file=sys.stderr)
    if not dishes:
        print("plait: nothing is left to offer; no menu was written\n  try: plait check each look, and mend what says stop", file=sys.stderr)
        return BAD_TEXT
    title = folder.resolve().name or say("Book")
    card = write_menu(title[:1].upper() + title[1:], first.plan.head.house, tuple(dishes), paper=arguments.paper or first.house.paper,
                      demo=any(look.ordinary.plan is not None and look.ordinary.plan.head.demo for look in looks), say=say)
    out = arguments.out or (f"{_slug(title)}-menu.{form}" if form in ("pdf", "html") else None)
    if form == "text":
        from ..cards.text import render_text

        return _deliver(render_text(card).encode(), out)
    if form == "html":
        from ..cards.html import render_html

        return _deliver(render_html(card).encode(), out)
    from ..cards.pdf import render_pdf

    return _deliver(render_pdf(card), out)


def _stops(plan: "Plan") -> list[str]:
    """What says stop, for want of a written reason to go on: such a set is offered to nobody."""
    return [f"{finding.message} [{finding.code}]" for finding in plan.findings if finding.severity == "stop" and not finding.allowed_because]
