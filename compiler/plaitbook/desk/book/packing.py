"""Make a parcel of a look: its own text and that of all it needs, comments and clients left out."""

from __future__ import annotations

import re
from pathlib import Path

from ...meaning.book import file_meaning, open_book
from ...meaning.inherit import inherit
from ...meaning.look import Look
from ...plan.canonical import digest
from ...plan.seal import LOOK, look_ingredients
from ...rules.read import read_rules
from ...syntax.normalise import plain_line, plain_lines
from ...syntax.problem import Problem
from ...syntax.tidy import tidy
from ...syntax.tree import Declaration
from ..shelf import CantRead, read_text
from .opened import Opened
from .parcel import FILE, Refused, chain_of, needed_by, read_parcel, sealed_text

MAX_SEARCHED = 300
"""Files of a book's folder that are searched for clients' names."""


def pack(opened: Opened, look: Look) -> str:
    """The parcel of a look. Raises Refused where a client's name would leave with it, or it can't be made."""
    book = opened.book
    chain = chain_of(look, book)
    needed = needed_by(chain)
    wanted = [("recipe", each.name) for each in chain]
    wanted += [("hair", name) for name in sorted(needed) if name in book.hairs]
    wanted += [("ornament", name) for name in sorted(needed) if name in book.ornaments]
    wanted += [("rule", name) for name in book.rules]
    texts = {path: opened.job.text if path == opened.job.name else read_text(opened.job.shelf.root / path) for path in book.files}
    body = "edition 1\n\n" + "\n\n".join(_source(opened, texts, kind, name) for kind, name in wanted)
    body = tidy(body)
    _refuse_clients(body, opened)
    alone = open_book([(FILE, body)], None)
    problems: list[Problem] = list(alone.problems)
    rules = read_rules(tuple(alone.rules.values()), problems)
    whole = inherit(alone.looks[look.name], alone.looks, problems) if look.name in alone.looks else None
    if problems or whole is None:
        raise Refused(f"\"{look.name}\" doesn't stand by itself: {problems[0].message if problems else 'it was lost'}",
                      problems[0].help if problems else "please report this look's text")
    packed = digest(LOOK, look_ingredients(whole, alone.hairs, alone.ornaments, {rule.code: rule for rule in rules}))
    made_of, _ = opened.made_of(look)
    if made_of is None or digest(LOOK, made_of) != packed:
        raise Refused(f'"{look.name}" would not be the same look after packing', "please report this look's text")
    parcel = sealed_text(body, look.name, look.version, packed)
    read_parcel(parcel.encode())  # whatever would be refused there is refused here
    return parcel


def _source(opened: Opened, texts: dict[str, str], kind: str, name: str) -> str:
    """The lines of one declaration, without comments and without what is expected of a client or a house by name."""
    for path, meaning in opened.book.files.items():
        declarations = meaning.tree.declarations
        for at, declaration in enumerate(declarations):
            if (declaration.kind, declaration.name) == (kind, name):
                end = declarations[at + 1].line - 1 if at + 1 < len(declarations) else None
                left_out = {use.line for use in meaning.tree.uses} | _personal(declaration)
                lines = plain_lines(texts[path])[declaration.line - 1: end]
                kept = [_bare(raw) for number, raw in enumerate(lines, declaration.line) if number not in left_out]
                return "\n".join(line for line in kept if line.strip())
    raise Refused(f'{kind} "{name}" was lost', "please report this look's text")


def _personal(declaration: Declaration) -> set[int]:
    return {segment.line for statement in declaration.statements
            if statement.word == "expect" and statement.node.first("for_wearer", "in_house") is not None
            for segment in statement.segments}


def _bare(raw: str) -> str:
    """A line without its comment."""
    comment = plain_line(raw).comment
    return raw.rstrip()[: -len(comment)].rstrip() if comment else raw.rstrip()


def _refuse_clients(body: str, opened: Opened) -> None:
    """A look's own words may name a client: nothing leaves that does."""
    names = _clients(opened)
    for line in body.split("\n"):
        for name in names:
            if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", line, re.I):
                raise Refused(f'"{name}" is a wearer of this book, and her name would leave with it: {line.strip()}',
                              "take her name out of that line, then pack again")


def _clients(opened: Opened) -> list[str]:
    """The names of all wearers of the book, those of files nobody uses and of the log too."""
    root = opened.job.shelf.root
    names = set(opened.book.wearers)
    for path in sorted(root.rglob("*.plait"))[:MAX_SEARCHED]:
        try:
            names |= {wearer.name for wearer in file_meaning(read_text(path), str(path)).wearers}
        except CantRead:
            continue
    return sorted(name for name in names | _logged(root) if name.strip())


def _logged(root: Path) -> set[str]:
    store = root / ".plait" / "log.db"
    if not store.is_file():
        return set()
    import sqlite3

    from ..log_store import read_services

    try:
        return {service.wearer for _, service in read_services(store) if getattr(service, "wearer", None)}
    except (sqlite3.Error, OSError):
        raise Refused("the book's log can't be read, so nobody can say whether a client's name would leave",
                      "mend or move the log, then pack again") from None
