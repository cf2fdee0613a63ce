"""Every place in a file where something has its name: where it is declared and where it is used."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Iterator

from ...meaning.book import file_meaning
from ...meaning.reading import string_of, words_of
from ...syntax.problem import Span
from ...syntax.tree import Declaration, Node, Statement

HAIR_FACTS = {("hair", "substitute"), ("wearer", "brings"), ("house", "stock"), ("house", "pack"), ("house", "price")}
"""(declaration, fact) whose names in quotes are hairs of the catalogue; a house prices ornaments too."""
_OF_ROLE = ("packs", "packs to buy", "hair used", "pieces")
"""Figures that are asked of one hair of the look: ``packs of base`` (see rules/names.py)."""


@dataclass(frozen=True)
class Spot:
    """One place where a name stands."""

    kind: str
    """``look``, ``hair``, ``ornament``, ``goods`` (a hair or an ornament), ``wearer``, ``house``, ``rule`` (its name),
    ``code``, ``file``, ``colour``, ``choice``, ``option`` or ``role``."""
    name: str
    span: Span
    """Of the name, without its quotes."""
    declares: bool = False
    owner: str = ""
    """The look whose choice, option or role it is; the hair whose colour."""
    choice: str = ""
    """For an option: its choice."""
    quoted: bool = False


@lru_cache(maxsize=512)
def spots(text: str, file: str) -> tuple[Spot, ...]:
    """Every name in a file, in reading order. Lines that can't be read have none."""
    tree = file_meaning(text, file).tree
    found: list[Spot] = []
    for use in tree.uses:
        found += _string(use, use.node, "file")
    for declaration in tree.declarations:
        found += _head(declaration)
        for statement in declaration.statements:
            if declaration.kind == "recipe":
                found += _in_recipe(declaration.name, statement)
            elif statement.word in ("allow", "code") and statement.node.first("code"):
                found += _code(statement, statement.word == "code")
            elif (declaration.kind, statement.word) in HAIR_FACTS:
                kind = "goods" if (declaration.kind, statement.word) == ("house", "price") else "hair"
                for node in statement.node.all("string"):
                    found.append(_spot(statement, node, kind))
            elif (declaration.kind, statement.word) == ("hair", "colours"):
                for node in statement.node.all("string"):
                    found.append(_spot(statement, node, "colour", True, declaration.name))
    return tuple(sorted(found, key=lambda spot: (spot.span.line, spot.span.column)))


def _spot(statement: Statement, node: Node, kind: str, declares: bool = False, owner: str = "",
          choice: str = "") -> Spot:
    """The spot of a STRING leaf, or of a node of words."""
    leaf = node if node.kind == "string" else node.first("string")
    if leaf is not None:
        span = statement.span(leaf)
        inner = leaf.text[1:-1]
        start = span.column + 1 + len(inner) - len(inner.lstrip())
        return Spot(kind, inner.strip(), Span(span.file, span.line, start, start + len(inner.strip())), declares,
                    owner, choice, True)
    name = words_of(node) if node.parts else node.text
    return Spot(kind, name, statement.span(node), declares, owner, choice)


def _string(statement: Statement, node: Node, kind: str) -> Iterator[Spot]:
    if node.first("string") is not None:
        yield _spot(statement, node, kind)


def _head(declaration: Declaration) -> Iterator[Spot]:
    kind = "look" if declaration.kind == "recipe" else declaration.kind
    names = declaration.head.node.all("string")
    yield _spot(declaration.head, names[0], kind, True)
    if len(names) > 1:
        yield _spot(declaration.head, names[1], "look")


def _code(statement: Statement, declares: bool) -> Iterator[Spot]:
    code = statement.node.first("code")
    assert code is not None
    spot = _spot(statement, code.parts[0], "code", declares)
    yield Spot("code", spot.name.upper(), spot.span, declares, quoted=spot.quoted)


def _in_recipe(look: str, statement: Statement) -> Iterator[Spot]:
    node = statement.node
    if statement.word == "based":
        yield from _string(statement, node, "look")
    elif statement.word == "allow":
        yield from _code(statement, False)
    elif statement.word == "choices":
        yield from _choice(look, statement)
    elif statement.word == "hair":
        yield _spot(statement, node.parts[0], "role", True, look)
        yield from _walk(look, statement, node.parts[1:])
    else:
        yield from _walk(look, statement, (node,))


def _choice(look: str, statement: Statement) -> Iterator[Spot]:
    choice = words_of(statement.node.parts[0])
    yield _spot(statement, statement.node.parts[0], "choice", True, look)
    for part in statement.node.parts[1:]:
        if part.kind == "option":
            yield _spot(statement, part.parts[0], "option", True, look, choice)
        if part.kind == "default":
            yield _spot(statement, part.parts[0], "option", False, look, choice)
        else:
            yield from _walk(look, statement, part.parts)


def _walk(look: str, statement: Statement, nodes: tuple[Node, ...]) -> Iterator[Spot]:
    for node in nodes:
        kind = node.kind
        if kind in ("one_hair", "blend_part", "set_hair"):
            if kind == "set_hair":
                yield _spot(statement, node.parts[0], "role", False, look)
            yield _spot(statement, node.first("string"), "hair")  # type: ignore[arg-type]
            colour = node.first("colour")
            if colour is not None:
                yield _spot(statement, colour, "colour", owner=string_of(node))
        elif kind == "hair_ref":
            leaf = node.parts[0]
            yield _spot(statement, leaf, "hair" if leaf.kind == "string" else "role", owner=look)
        elif kind == "set_cut":
            yield _spot(statement, node.parts[0], "role", False, look)
        elif kind == "ornaments":
            yield from _string(statement, node, "ornament")
        elif kind == "by":
            yield _spot(statement, node.parts[0], "choice", False, look)
        elif kind == "for_wearer":
            yield from _string(statement, node, "wearer")
        elif kind == "in_house":
            yield from _string(statement, node, "house")
        elif kind == "figure_name":
            yield from _role_of_figure(look, statement, node.parts[0])
        elif kind == "condition":
            yield from _condition(look, statement, node)
        else:
            yield from _walk(look, statement, node.parts)


def _role_of_figure(look: str, statement: Statement, words: Node) -> Iterator[Spot]:
    said = words_of(words)
    for figure in _OF_ROLE:
        if said.startswith(f"{figure} of ") and len(words.parts) > len(figure.split()) + 1:
            rest = words.parts[len(figure.split()) + 1 :]
            yield _spot(statement, Node("words", rest[0].start, rest[-1].end, rest), "role", False, look)
            return


def _condition(look: str, statement: Statement, node: Node) -> Iterator[Spot]:
    """A choice that is tested, and the options it is tested for."""
    fact = ""
    for term in node.parts:
        if term.kind == "is_word":
            fact = words_of(term.parts[0])
            yield _spot(statement, term.parts[0], "choice", False, look)
            yield _spot(statement, term.parts[-1], "option", False, look, fact)
        elif term.kind == "bare" and fact:
            yield _spot(statement, term.parts[0], "option", False, look, fact)
        elif term.kind in ("group", "negation"):
            inner = term.first("condition") or term
            yield from _condition(look, statement, inner)
