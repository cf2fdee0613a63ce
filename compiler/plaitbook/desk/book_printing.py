"""``plait print FOLDER book``: every look of a book, each for the book's own wearer and house, as one PDF."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from .command import BAD_TEXT, WRONG_USE, _deliver, _slug, cant_read, report_problems

if TYPE_CHECKING:
    from ..compile import Compiled
    from .service import Job

MOST_LOOKS = 300
"""Looks in one printed book; our own estimate of what one PDF should hold."""


def print_book(arguments: argparse.Namespace) -> int:
    """Compile all looks, in the order of their files, and print them; nothing is written if one of them can't be made."""
    folder = Path(arguments.recipe)
    if not folder.is_dir():
        print(f"plait: '{arguments.recipe}' is not a folder\n  try: name the folder of the book: plait print mybook book", file=sys.stderr)
        return WRONG_USE
    made = _made(folder, arguments)
    if isinstance(made, int):
        return made
    from ..cards.book_pdf import BookCard, book_about, render_book
    from ..cards.build import write_card

    cards = []
    for done in made:
        assert done.plan and done.recipe and done.wearer and done.house
        card = write_card(done.plan, done.recipe, done.wearer, done.house, with_quote=False, paper=arguments.paper,
                          language=arguments.language)
        cards.append(BookCard(card, tuple(hair.name for hair in done.recipe.catalogue)))
    first = made[0].plan
    assert first is not None
    title = folder.resolve().name or "Book"
    about = (book_about(cards[0].card.lang, len(cards), first.head),)
    data = render_book(title[:1].upper() + title[1:], about, tuple(cards), arguments.paper or cards[0].card.paper)
    return _deliver(data, arguments.out or f"{_slug(title)}.pdf")


def _made(folder: Path, arguments: argparse.Namespace) -> "list[Compiled] | int":
    """Every look compiled, or the exit code after saying what is wrong with them all."""
    from .service import compile_job, open_job
    from .shelf import CantRead

    if arguments.choose or arguments.instead:
        print("plait: --choose and --instead go with one look, not with a book\n  try: leave them out", file=sys.stderr)
        return WRONG_USE
    made: list[Compiled] = []
    bad: list[tuple[Job, Compiled]] = []
    try:
        looks = _looks(folder)
        if not looks:
            raise CantRead(f"there is no look in '{folder}'", "name a folder with .plait files that hold recipes")
        if len(looks) > MOST_LOOKS:
            raise CantRead(f"'{folder}' holds {len(looks)} looks, more than a printed book takes ({MOST_LOOKS})", "print its folders one by one")
        for where in looks:
            job = open_job(where)
            done = compile_job(job, arguments.wearer, arguments.house, {})
            (bad.append((job, done)) if done.problems else made.append(done))
    except CantRead as error:
        return cant_read(error, as_json=False)
    for job, done in bad:
        report_problems(done.problems, job, as_json=False)
    return BAD_TEXT if bad else made


def _looks(folder: Path) -> list[str]:
    """``FILE#Look`` of every look in the folder's files. Raises CantRead."""
    from ..meaning.book import file_meaning
    from .shelf import read_text

    found = []
    for path in sorted(folder.rglob("*.plait")):
        if any(part.startswith(".") for part in path.relative_to(folder).parts) or not path.is_file():
            continue
        found += [f"{path}#{look.name}" for look in file_meaning(read_text(path), str(path)).looks]
    return found
