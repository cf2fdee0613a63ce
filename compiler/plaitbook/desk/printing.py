"""``plait print RECIPE WHAT``: the other papers of the same plan, its lists, and a whole book."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from .commands import HELP
from .command import WRONG_USE, _deliver, _format_of, _slug, cant_read, compiled_job, language_argument, recipe_arguments

KINDS = ("shopping", "quote", "intake", "crew", "handout", "aftercare")
"""Kept beside ``cards.documents.DOCUMENTS``, which isn't imported before something is printed; a test holds them together."""
LISTS = ("shopping", "sections", "stitches")
"""Kept beside ``cards.lists.LISTS`` in the same way."""
BOOK, MENU = "book", "menu"


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("print", help=HELP["print"],
        epilog="sections and stitches are lists and print as CSV; book and menu take the book's folder instead of a recipe")
    recipe_arguments(parser)
    parser.add_argument("what", choices=(*KINDS, *(name for name in LISTS if name not in KINDS), BOOK, MENU), help="which paper or list")
    parser.add_argument("--format", choices=("pdf", "html", "text", "csv"), help="default: from OUT's ending, else pdf (csv for lists)")
    parser.add_argument("--paper", choices=("letter", "a4", "half"), help="default: the house's paper")
    language_argument(parser)
    parser.add_argument("--staff", action="store_true", help="menu: say too how logged times held, and how far braiders differ")
    parser.add_argument("-o", "--out", metavar="OUT", help="the file to write; - for standard output")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print one paper. A stop of the plan is the prep card's business and doesn't keep a list from printing."""
    what = arguments.what
    form = _form(what, arguments.format, arguments.out)
    if form is None:
        return WRONG_USE
    if what == BOOK:
        from .book_printing import print_book

        return print_book(arguments)
    if what == MENU:
        from .menu_printing import print_menu

        return print_menu(arguments, form)
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    plan = done[1].plan
    assert plan is not None
    from .shelf import CantRead

    try:
        data = _list(done[1], what) if form == "csv" else _document(done[1], what, form, arguments, done[0].shelf)
    except CantRead as error:
        return cant_read(error, as_json=False)
    out = arguments.out
    if out is None and form in ("pdf", "html"):
        out = f"{_slug(plan.head.recipe)}-{_slug(plan.head.wearer)}-{what}.{form}"
    return _deliver(data, out)


def _form(what: str, asked: str | None, out: str | None) -> str | None:
    """The form to print in, or None after saying why it can't be."""
    listed = what in LISTS and what not in KINDS
    form = asked or ("csv" if listed or (out and Path(out).suffix.lower() == ".csv") else "pdf" if what == BOOK else _format_of(out))
    form = "pdf" if form == "json" else form
    if listed and form != "csv":
        print(f"plait: {what} is a list and prints as CSV only\n  try: --format csv", file=sys.stderr)
        return None
    if form == "csv" and what not in LISTS:
        print(f"plait: {what} is no list and can't be CSV\n  try: {', '.join(LISTS)} as CSV", file=sys.stderr)
        return None
    if what == BOOK and form != "pdf":
        print(f"plait: a book prints as PDF only, not {form}\n  try: --format pdf", file=sys.stderr)
        return None
    return form


def _list(compiled: Any, what: str) -> bytes:
    from ..cards.lists import write_list

    return write_list(what, compiled.plan, compiled.recipe).encode()


def _document(compiled: Any, what: str, form: str, arguments: argparse.Namespace, shelf: Any) -> bytes:
    from ..cards.documents import write_document
    from .letterhead import with_logo

    card = write_document(what, compiled.plan, compiled.recipe, compiled.wearer, compiled.house, paper=arguments.paper,
                          language=arguments.language)
    card = with_logo(card, compiled.house, shelf)
    if form == "text":
        from ..cards.text import render_text

        return render_text(card).encode()
    if form == "html":
        from ..cards.html import render_html

        return render_html(card).encode()
    from ..cards.pdf import render_pdf

    return render_pdf(card)
