"""What another device on the shop's network sees of a book: everything but the people in it."""

from __future__ import annotations

import re

from ...meaning.book import file_meaning
from ...syntax.normalise import plain_lines
from ..editing.session import Session
from .places import Refused


def holds_wearers(text: str, name: str) -> bool:
    """Whether a file says anything of a wearer, however badly written: such a file is not shared."""
    return bool(re.search(r"(?im)^\W*wearer\b", text))


def without_wearers(text: str, name: str) -> str:
    """The text with every wearer's lines made empty; line numbers stay."""
    tree = file_meaning(text, name).tree
    heads = sorted((d.line, d.kind) for d in tree.declarations)
    lines = plain_lines(text)
    for place, (line, kind) in enumerate(heads):
        end = heads[place + 1][0] - 1 if place + 1 < len(heads) else len(lines)
        if kind == "wearer":
            lines[line - 1 : end] = [""] * (end - line + 1)
    left = "\n".join(lines)
    return left if not holds_wearers(left, name) else "edition 1\n"


def lay_blanks(session: Session) -> None:
    """Lay the text without its wearers over every file of a session that holds any."""
    for name in session.names():
        session.drop(name)
        text = session.text(name)
        if holds_wearers(text, name):
            session.put(name, without_wearers(text, name))


def refuse_hidden_uses(text: str) -> None:
    """Raises Refused where a shared text brings in what the book keeps to itself (``.plait``)."""
    for wanted in re.findall(r"(?im)^\s*use\b[^\n]*", text):
        if re.search(r"(?:^|[/\\\"“”„«» ])\.[^./\\]", wanted):
            raise Refused("a hidden file can't be used from another device", "use a file of the book", 403)


def refuse_wearers(text: str, name: str) -> None:
    """Raises Refused for a file that holds a wearer."""
    if holds_wearers(text, name):
        raise Refused("wearers' details stay on the desk's own machine", "open this file there", 403)
