"""``plait book BOOK -o FOLDER``: a book as a folder of web pages that work without a server."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
from pathlib import Path, PurePath
from typing import Any

from .command import BAD_TEXT, GOOD, WRONG_USE, _slug, cant_read, language_argument, shown_path, tell_problems
from .commands import HELP

MARK = "made-by-plait.txt"
"""A file by which a folder is known to be such a site, and may be replaced."""
TOP = ("index.html", "words.html", "site.css", "site.js")
"""A site's other files that lie in no folder of it."""
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
"""Names that Windows keeps for itself, whatever the ending (Microsoft, Naming Files, Paths, and Namespaces)."""


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("book", help=HELP["book"])
    parser.add_argument("book", metavar="BOOK", help="the book's folder")
    parser.add_argument("--house", metavar="H", help="a name in the book; default: its first")
    parser.add_argument("--title", metavar="TEXT", help="default: the folder's name")
    language_argument(parser)
    parser.add_argument("-o", "--out", metavar="FOLDER", default="site", help="the folder to make; default: site")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Make the site whole or not at all; an earlier one is replaced, any other folder is left alone."""
    from .shelf import CantRead
    from .survey.cells import book_root
    from .ways import looks_and_ways

    folder, out = Path(arguments.book), Path(arguments.out)
    if not folder.is_dir():
        print(f"plait: '{arguments.book}' is not a folder\n  try: plait book mybook -o site", file=sys.stderr)
        return WRONG_USE
    wrong = _not_to_replace(folder.resolve(), out.resolve())
    if wrong:
        print(f"plait: '{arguments.out}' {wrong}; nothing was written\n  try: another folder: -o site", file=sys.stderr)
        return WRONG_USE
    try:
        looks, problems = looks_and_ways(folder, arguments.house)
    except CantRead as error:
        return cant_read(error, as_json=False)
    if problems:
        tell_problems(problems, book_root(folder))
        return BAD_TEXT
    from ..cards.language import NAMES, language
    from ..cards.site import Entry, Option, write_site

    entries, pages = [], set()
    for look in looks:
        done = look.ordinary
        assert done.plan and done.recipe and done.wearer and done.house
        page = _page_name(done.plan.head.recipe, pages)
        options = tuple(Option(words, other.plan) for words, other in look.others if other.plan is not None)
        entries.append(Entry(page, done.plan, done.recipe, done.wearer, done.house, options))
    code = arguments.language or NAMES[entries[0].house.language]
    say = language(code)
    title = arguments.title or folder.resolve().name or say("Book")
    try:
        files = write_site(title[:1].upper() + title[1:], tuple(entries), code)
        made = say("Made by {program}. Making the site again replaces this folder.", program="plait")
        files[MARK] = f"{made}\n".encode()
        _place(files, out.resolve())
    except OSError as error:
        print(f"plait: '{arguments.out}' can't be written: {error.strerror or error}; what was there is as it was\n"
              "  try: a folder that may be written, with room on the disk: -o site", file=sys.stderr)
        return BAD_TEXT
    print(f"wrote {shown_path(out / 'index.html')}: {len(entries)} look{'s' if len(entries) != 1 else ''}", file=sys.stderr)
    return GOOD


def _not_to_replace(book: Path, out: Path) -> str:
    """Why a folder mustn't be replaced by a site, or "": only an empty one, or one that holds nothing but a site made here, is."""
    if book.is_relative_to(out):
        return "holds the book itself"
    if not out.exists():
        return ""
    if not out.is_dir():
        return "is already there and isn't a folder"
    files = [path.relative_to(out) for path in out.rglob("*") if not path.is_dir() or path.is_symlink()]
    if files and not (out / MARK).is_file():
        return "is already there and isn't a site made here"
    other = next((path for path in sorted(files) if not _of_a_site(path)), None)
    return "" if other is None else f"holds '{other.as_posix()}', which is no part of a site"


def _of_a_site(path: PurePath) -> bool:
    """Whether a file, named from the site's folder, is one that a site has; what a desktop leaves lying about counts too."""
    if path.parts[:-1] in (("looks",), ("cards",)):
        return path.suffix == ".html"
    return path.name in (".DS_Store", "Thumbs.db", "desktop.ini") or path.as_posix() in (*TOP, MARK)


def _page_name(look: str, taken: set[str]) -> str:
    """A file name for a look that every file system can hold, unlike those already taken."""
    base = _slug(look).encode("ascii", "ignore").decode().strip("-_") or "look"
    if base in RESERVED:
        base = f"look-{base}"
    name, number = base, 1
    while name in taken:
        number += 1
        name = f"{base}-{number}"
    taken.add(name)
    return name


def _place(files: dict[str, bytes], out: Path) -> None:
    """Write all files beside ``out``, then put them in its place at once. Raises OSError."""
    parent = out.parent
    parent.mkdir(parents=True, exist_ok=True)
    made = Path(tempfile.mkdtemp(prefix=f".{out.name}.", dir=parent))
    try:
        new, old = made / "new", made / "old"
        new.mkdir()
        for name, data in files.items():
            path = new / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        if out.exists():
            os.replace(out, old)
        try:
            os.replace(new, out)
        except OSError:
            if old.exists():
                os.replace(old, out)
            raise
    finally:
        shutil.rmtree(made, ignore_errors=True)
