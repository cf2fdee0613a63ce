"""``plait print RECIPE shopping|quote|aftercare``: the other papers of the same plan."""

from __future__ import annotations

import argparse
from typing import Any

from .command import _deliver, _format_of, _slug, compiled_job, recipe_arguments

KINDS = ("shopping", "quote", "aftercare")
"""Kept beside ``cards.documents.DOCUMENTS``, which isn't imported before something is printed; a test holds them together."""


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("print", help="print the shopping list, the client's quote, or the aftercare and take-down slip")
    recipe_arguments(parser)
    parser.add_argument("what", choices=KINDS, help="which paper")
    parser.add_argument("--format", choices=("pdf", "html", "text"), help="default: from OUT's ending, else pdf")
    parser.add_argument("--paper", choices=("letter", "a4", "half"), help="default: the house's paper")
    parser.add_argument("-o", "--out", metavar="OUT", help="the file to write; - for standard output")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print one paper. A stop of the plan is the prep card's business and doesn't keep a list from printing."""
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    plan = done[1].plan
    assert plan is not None
    form = arguments.format or _format_of(arguments.out)
    data = _document(done[1], arguments.what, "pdf" if form == "json" else form, arguments.paper)
    out = arguments.out
    if out is None and form != "text":
        out = f"{_slug(plan.head.recipe)}-{_slug(plan.head.wearer)}-{arguments.what}.{form}"
    return _deliver(data, out)


def _document(compiled: Any, what: str, form: str, paper: Any) -> bytes:
    from ..cards.documents import write_document

    card = write_document(what, compiled.plan, compiled.recipe, compiled.wearer, compiled.house, paper=paper)
    if form == "text":
        from ..cards.text import render_text

        return render_text(card).encode()
    if form == "html":
        from ..cards.html import render_html

        return render_html(card).encode()
    from ..cards.pdf import render_pdf

    return render_pdf(card)
