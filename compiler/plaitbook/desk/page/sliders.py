"""The numbers of a recipe, each with the words it can become: what a slider moves over.

Numbers come from the parse tree, so whatever the grammar reads can be moved.
A step is a whole replacement for the number as written (``¾`` becomes ``⅞``):
the page puts it in place and needs to know nothing about measures.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Iterator

from ...meaning.book import file_meaning
from ...syntax.problem import Span
from ...syntax.tree import FRACTIONS, Node, Statement, number_value
from .steps import steps_of

MOST = 200
"""Sliders of one recipe; our own estimate, beyond what anybody scrolls through."""

_GLYPHS = {value: glyph for glyph, value in FRACTIONS.items()}

_NAMES = {
    "grid": "grid", "set_grid": "grid", "grid_rectangle": "grid", "grid_count": "count", "hairline_size": "hairline",
    "set_hairline": "hairline", "parting_off": "parting", "set_width": "width", "feed_hold": "width", "feed_until": "width",
    "length_wish": "wearing", "set_wearing": "wearing", "set_every": "every", "every": "every", "from_to": "from",
    "at_stitches": "at", "pieces": "pieces", "some_pieces": "pieces", "set_pieces": "piece", "set_first_piece": "first_piece",
    "set_accent_piece": "accent_piece", "own_first": "own", "set_own": "own", "cut": "cut", "set_cut": "cut",
    "pulled": "pulled", "fold_at": "fold", "shade": "shade", "knot": "turns", "heat_seal": "seal", "dip": "dip",
    "curl_rods": "rods", "ornaments": "ornaments", "end_ornaments": "ornaments", "product": "product", "set_bare": "option",
    "blend_part": "blend",
}
"""Node of the grammar -> the page's word for its number; the innermost that is named here wins."""
_BY = {"wearing": "wearing", "sections": "grid", "grid": "grid", "feed": "width"}
"""Statement that can leave its measure to a choice -> the page's word for that measure."""
_PASSED_BY = frozenset(("expect", "allow", "edition", "based"))
"""Lines that judge or refer, and make nothing."""


@dataclass(frozen=True)
class Slider:
    """One number: what it is called (a key of the page's words), where it stands, what it can become."""

    what: str
    block: str
    about: str
    """The author's words for whom it is: a hair, a zone, an option, a condition."""
    span: Span
    unit: str
    steps: tuple[str, ...]
    at: int
    """Which step it stands at."""
    choice: str = ""
    option: str = ""
    """The choice and the option that this number belongs to, where it does."""


def sliders(text: str, file: str, look: str | None) -> tuple[Slider, ...]:
    """Every number of a look that a slider can move, in the order of the text. Never raises for bad text."""
    tree = file_meaning(text, file).tree
    looks = [d for d in tree.declarations if d.kind == "recipe" and look in (None, d.name)]
    found: list[Slider] = []
    for declaration in looks[:1]:
        left_to = _left_to_a_choice(declaration.statements)
        for statement in declaration.statements:
            if statement.word not in _PASSED_BY:
                found += [replace(one, what=left_to.get(one.choice, one.what)) if one.what == "option" else one for one in _of_statement(statement)]
    return tuple(found[:MOST])


def _left_to_a_choice(statements: Iterable[Statement]) -> dict[str, str]:
    """Choice -> what its bare measures are: ``wearing by length`` makes those of ``length`` a finished length."""
    return {by.group(1): _BY[statement.word] for statement in statements if statement.word in _BY
            for by in re.finditer(r"\bby ([\w’'-]+)", statement.text)}


def _of_statement(statement: Statement) -> Iterator[Slider]:
    choice, option = "", ""
    whom = _zones(statement)
    for part in (statement.node, *statement.node.parts) if statement.node.kind == "choices_line" else (statement.node,):
        if part is statement.node and part.kind == "choices_line":
            choice = statement.quote(part.parts[0]).strip('"')
            continue
        if part.kind in ("name", "default", "condition"):
            continue
        if part.kind == "option":
            option = statement.quote(part.first("words")).strip()
        yield from _of_node(statement, part, "", whom, choice, option)


def _of_node(statement: Statement, node: Node, named: str, about: str, choice: str, option: str) -> Iterator[Slider]:
    if node.kind in ("condition", "zones", "and_zones"):
        return
    named = _NAMES.get(node.kind, named)
    about = _hair(statement, node) or about
    if node.kind == "measure" and len(node.all("number")) == 1:
        yield from _slider(statement, node.parts[0], statement.quote(node.first("unit")), named, about, choice, option)
    elif node.kind == "measure":
        return  # feet and inches are two numbers of one length: neither can be moved alone
    elif node.kind == "range":
        unit = node.first("unit")
        for number in node.all("number"):
            yield from _slider(statement, number, statement.quote(unit), named, about, choice, option)
    elif node.kind == "number":
        yield from _slider(statement, node, "", f"{named}_count" if named in ("pieces", "ornaments") else named, about, choice, option)
    else:
        numbers = 0
        for part in node.parts:
            numbers += part.kind in ("number", "measure")
            inner = "to" if node.kind == "from_to" and numbers == 2 else named
            yield from _of_node(statement, part, inner, about, choice, option)


def _slider(statement: Statement, number: Node, unit: str, named: str, about: str, choice: str, option: str) -> Iterator[Slider]:
    if not number.parts:
        return
    ladder = _ladder(number.parts[0].text, unit, named)
    if ladder is not None:
        yield Slider(named or "number", statement.word, about, statement.span(number), unit, *ladder, choice, option)


@lru_cache(maxsize=4096)
def _ladder(written: str, unit: str, named: str) -> tuple[tuple[str, ...], int] | None:
    """The steps of a number as they are written, and which of them it stands at. Memoised: most numbers don't change."""
    try:
        value = number_value(written)
    except (ValueError, ZeroDivisionError):
        return None
    made = steps_of(value, unit, named)
    if not made or value < 0:
        return None
    said = {step: said_as(step, written) for step in made}
    said[value] = written
    order = sorted(said)
    return tuple(said[step] for step in order), order.index(value)


def said_as(value: Fraction, like: str) -> str:
    """A number written the way its author wrote hers: ``1½`` or ``1.5`` or ``1 1/2``."""
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    if "." in like or part not in _GLYPHS:
        return f"{float(value):.2f}".rstrip("0").rstrip(".")
    if "/" in like:
        return f"{whole} {part}" if whole else str(part)
    return f"{whole}{_GLYPHS[part]}" if whole else _GLYPHS[part]


def _hair(statement: Statement, node: Node) -> str:
    """The hair or product that a node's numbers are about, in the author's words."""
    if node.kind in ("hair_line", "set_cut"):
        return statement.quote(node.first("name")).strip('"')
    if node.kind in ("pieces", "some_pieces"):
        return statement.quote(node.first("hair_ref")).strip('"')
    if node.kind in ("product", "ornaments"):
        string = node.first("string")
        return statement.quote(string).strip('"') if string else ""
    return ""


def _zones(statement: Statement) -> str:
    if statement.node.kind == "when_statement":
        return statement.quote(statement.node.first("condition"))
    zones = statement.node.first("zones")
    return statement.quote(zones) if zones is not None else ""
