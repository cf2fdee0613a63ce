"""The formatter: one way of laying out a recipe, which never changes what it says.

Only spacing, quote marks and the case of words outside quotes are touched.
Comments and groups of lines set apart by an empty line stay as they are; a
line that can't be read is left alone. Every run checks itself: the same
statements, the same comments, and a second run that changes nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from . import vocabulary
from .lines import MAX_LINE, MAX_LINES, declaration_kind, starts_anew
from .normalise import PlainLine, plain_line, plain_lines
from .parse import parse
from .tree import Tree

INDENT = "  "


class WouldChange(Exception):
    """Tidying would have changed what the text says; the text is left alone. A fault of ours."""


def tidy(text: str) -> str:
    """The text laid out. Raises WouldChange if the result would not say exactly the same."""
    result = _laid_out(text)
    if result != text:
        before, after = _said(parse(text, "")[0]), _said(parse(result, "")[0])
        if before != after or _laid_out(result) != result:
            raise WouldChange
    return result


def _said(tree: Tree) -> tuple[object, ...]:
    """What a tree says, without where it says it."""
    return (
        tree.edition,
        tuple(_words(use.text) for use in tree.uses),
        tuple(
            (d.kind, d.name, _words(d.head.text), tuple((s.word, _words(s.text)) for s in d.statements))
            for d in tree.declarations
        ),
        tuple(" ".join(comment.text.split()) for comment in tree.comments),
    )


def _words(text: str) -> str:
    return re.sub(r"\s*([,;:])\s*", r"\1 ", " ".join(text.split())).strip()


@dataclass
class _Place:
    """Where the line being laid out stands."""

    kind: str = ""
    block: bool = False
    open: bool = False
    """The line before ends in a comma, a semicolon or an open bracket."""


def _laid_out(text: str) -> str:
    physical = plain_lines(text)
    if len(physical) > MAX_LINES or any(len(line) > MAX_LINE for line in physical):
        return text
    place = _Place()
    out: list[str] = []
    for raw in physical:
        line = plain_line(raw)
        code = line.text.strip()
        if not code and line.comment is None and line.unclosed is None:
            if out and out[-1] != "":
                out.append("")
            continue
        if line.unclosed is not None:
            out.append(raw.rstrip())
            place.open = False
            continue
        out.append(_one_line(raw, line, code, place))
    while out and out[-1] == "":
        out.pop()
    return "\n".join(out) + "\n" if out else ""


def _one_line(raw: str, line: PlainLine, code: str, place: _Place) -> str:
    if not code:
        return f"{INDENT if place.block or place.open else ''}{line.comment}"
    indent = _indent(code, place)
    place.open = code.endswith((",", ";", "("))
    shown = f"{indent}{_spaced(_own_case(raw, line.text).strip())}"
    return f"{shown}  {line.comment}" if line.comment else shown


def _indent(code: str, place: _Place) -> str:
    """Indentation of one line of code; moves ``place`` on."""
    kind = declaration_kind(code)
    if kind is not None:
        place.kind, place.block = kind, False
        return ""
    if place.open and not starts_anew(code):
        return INDENT * (2 if place.block else 1)
    word = re.match(r"[^\W\d_][\w'-]*", code)
    heading = word.group() if word else ""
    after = code[len(heading):].lstrip()
    if place.kind == "recipe" and heading in vocabulary.RECIPE_BLOCKS and after.startswith(":"):
        place.block = after.rstrip() == ":"
        return ""
    if heading in ("edition", "use") or (place.kind == "recipe" and heading in vocabulary.RECIPE_STATEMENTS):
        if not (place.kind == "recipe" and place.block and heading == "when" and after):
            place.block = False
            return ""
    return INDENT if place.block else ""


def _own_case(raw: str, plain: str) -> str:
    """The plain text with the author's capitals (``USD``, ``°C``), but for the leading word."""
    if len(plain) > len(raw) or not all(a == b or not b.isalpha() or a.lower() == b for a, b in zip(raw, plain)):
        return plain  # characters of no width were dropped, so columns no longer match
    kept = "".join(a if b.isalpha() and a.lower() == b else b for a, b in zip(raw, plain))
    word = re.match(r"\s*[^\W\d_][\w'-]*", kept)
    return plain[: word.end()] + kept[word.end():] if word else kept


def _spaced(code: str) -> str:
    """One space between words, one after a comma, semicolon or colon; nothing inside quotes changes."""
    parts = code.split('"')
    for at in range(0, len(parts), 2):
        part = re.sub(r"\s+", " ", parts[at])
        part = re.sub(r"\s+([,;:])", r"\1", part)
        # A comma or colon between two digits is a mistake or a time of day: leave it to be seen.
        part = re.sub(r"([,;:])(?=[^\s\d])|(?<!\d)([,;:])(?=\d)", r"\1\2 ", part)
        opens_quote = at + 1 < len(parts)
        parts[at] = f"{part} " if opens_quote and part.endswith((",", ";", ":")) else part
    return '"'.join(parts).strip()
