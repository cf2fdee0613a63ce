"""What a word, a number or a name under the pointer is."""

from __future__ import annotations

from dataclasses import dataclass

from ...cards import words
from ...compile import Request
from ...meaning.book import Book, file_meaning
from ...meaning.facts import SCHEMAS
from ...meaning.layers import fact_word
from ...meaning.model import Hair, Ornament, Wearer
from ...meaning.standing import plain_house
from ...rules import rule_of
from ...rules.names import find_fact, figure_name
from ...rules.page import page_of_house_rule, paragraphs
from ...rules.read import read_rules
from ...rules.rule import Rule
from ...syntax import vocabulary
from ...syntax.problem import Span
from ...syntax.tree import Node, Statement
from .columns import index_of, raw_line
from .meanings import meaning_of
from .oracle import fact_words
from .quantities import in_both
from .scope import Scope
from .session import Session
from .spots import Spot
from .told import told



@dataclass(frozen=True)
class Hover:
    """A few lines of Markdown about a place."""

    text: str
    span: Span


def hover(session: Session, name: str, line: int, column: int, request: Request = Request()) -> Hover | None:
    """What stands at a place means; None where there is nothing to say."""
    tree = file_meaning(session.text(name), name).tree
    for kind, statement in _statements(tree):
        if not any(segment.line == line for segment in statement.segments):
            continue
        at = _offset(statement, line, column)
        parts = [] if at is None else [*_quantity(session, name, statement, at, request)]
        spot = Scope(session).at(name, line, column)
        if not parts and spot is not None:
            about = _named(session, name, spot, request)
            if about:
                parts.append((about, spot.span))
        if not parts and at is not None:
            parts += _figure(session, name, statement, at, request)
        if not parts:
            parts += _leading(session, name, kind, statement, line, column, request)
        if parts:
            return Hover("\n\n".join(text for text, _ in parts), parts[0][1])
    return None


def _statements(tree):  # type: ignore[no-untyped-def]
    for use in tree.uses:
        yield "", use
    for declaration in tree.declarations:
        yield declaration.kind, declaration.head
        for statement in declaration.statements:
            yield declaration.kind, statement


def _offset(statement: Statement, line: int, column: int) -> int | None:
    """The offset into a statement's text of a place in the file; None before its text."""
    here = [segment for segment in statement.segments if segment.line == line]
    if not here:
        return None
    offset = here[-1].offset + column - here[-1].column
    return offset if 0 <= offset <= len(statement.text) and offset >= here[-1].offset else None


def _innermost(node: Node, at: int, *kinds: str) -> Node | None:
    """The smallest node of these kinds that holds an offset."""
    for part in node.parts:
        if part.start <= at <= part.end and (found := _innermost(part, at, *kinds)) is not None:
            return found
    return node if node.kind in kinds and node.start <= at <= node.end else None


# --- numbers


def _quantity(session: Session, name: str, statement: Statement, at: int, request: Request) -> list[tuple[str, Span]]:
    node = _innermost(statement.node, at, "measure", "range")
    if node is None:
        return []
    book = session.book(name)
    house = book.houses.get(request.house or "") or next(iter(book.houses.values()), None) or plain_house()
    said = in_both(statement, node, house.pencil_mm.value)
    span = statement.span(node)
    raw = raw_line(session.text(name), span.line)
    written = raw[index_of(raw, span.column) : index_of(raw, span.end)]
    return [(f"`{written}` = {said}", span)] if said else []


# --- names


def _named(session: Session, name: str, spot: Spot, request: Request) -> str:
    book = session.book(name)
    if spot.kind in ("hair", "goods", "ornament") and (thing := book.hairs.get(spot.name) or book.ornaments.get(spot.name)):
        return _thing(thing)
    if spot.kind == "wearer" and spot.name in book.wearers:
        return _wearer(book.wearers[spot.name])
    if spot.kind == "house" and spot.name in book.houses:
        house = book.houses[spot.name]
        return f"**{house.name}**, a house: {house.currency}, {house.units}, {house.paper}"
    if spot.kind == "look" and spot.name in book.looks:
        look = book.looks[spot.name]
        return f"**{look.name}**, version {look.version}. {look.summary}".strip()
    if spot.kind in ("code", "rule"):
        return _rule(book, spot.name, spot.kind)
    if spot.kind in ("choice", "option"):
        return _choice(session, name, spot, request)
    if spot.kind == "role":
        said = [each.tip for each in told(session, name, request) if each.line == spot.span.line] if spot.declares else []
        for look in Scope(session).chain(spot.owner):
            roles = {role.role: role for role in book.looks[look].roles} if look in book.looks else {}
            if spot.name in roles:
                hairs = words.listed(f'"{part.hair}"' for part in roles[spot.name].parts)
                return "\n\n".join([f"**{spot.name}** is {hairs}", *said])
    return ""


def _thing(thing: "Hair | Ornament") -> str:
    price = f", {thing.price} {thing.currency}" if thing.price is not None else ""
    if isinstance(thing, Ornament):
        return f"**{thing.name}**, a {thing.kind}: {thing.mass_g.text}{price}"
    facts = [f"{thing.pack_g.text} pack", f"{thing.flat_mm.text} flat"]
    if thing.worn_mm is not None:
        facts.append(f"hangs at {thing.worn_mm.text}")
    if thing.sealing is not None:
        low, high = thing.sealing.low_c, thing.sealing.high_c
        facts.append(f"seals at {words.temperatures(low, high, 'metric')}")
    if thing.styling_ceiling_c is not None:
        facts.append(f"tools up to {words.temperature(thing.styling_ceiling_c.value, 'metric')}")
    facts.append(f"hot water {thing.hot_water}")
    colours = f"\n\nColours: {words.listed(thing.colours)}" if thing.colours else ""
    return f"**{thing.name}**, {thing.kind}, {thing.fibre}: {', '.join(facts)}{price}{colours}"


def _wearer(wearer: Wearer) -> str:
    facts = [f"{label} {value}" for label, value in (
        ("strand", wearer.strand), ("density", wearer.density), ("texture", wearer.texture),
        ("own hair", wearer.own_mm.text), ("edges", wearer.edges), ("scalp", wearer.scalp)) if value]
    age = f", {wearer.age_years.text}" if wearer.age_years is not None else ""
    return f"**{wearer.name}**{age}: {', '.join(facts)}"


def _rule(book: Book, name: str, kind: str) -> str:
    found: Rule | None = rule_of(name.upper()) if kind == "code" else None
    if found is None:
        for rule in read_rules(tuple(book.rules.values()), []):
            if name in (rule.code, rule.name):
                found = page_of_house_rule(rule)
    if found is None:
        return ""
    said = "\n\n".join(f"*{heading}.* {text}" if heading else text for heading, text in paragraphs(found))
    return f"**{found.code}: {found.name}**\n\n{said}"


def _choice(session: Session, name: str, spot: Spot, request: Request) -> str:
    book, scope = session.book(name), Scope(session)
    choice_name = spot.choice or spot.name
    for look in scope.chain(spot.owner):
        for choice in book.looks[look].choices if look in book.looks else ():
            if choice.name != choice_name:
                continue
            taken = request.picks.get(choice.name, choice.default)
            rows = [f"- {option}{' (taken)' if option == taken else ''}: {', '.join(s.text for s in sets)}"
                    for option, sets in choice.options if spot.kind == "choice" or option == spot.name]
            return f"**{choice.name}**, a choice of \"{look}\"\n\n" + "\n".join(rows)
    wearer = book.wearers.get(request.wearer or "")
    fact = find_fact(choice_name)
    if fact is None:
        return ""
    said = f" {wearer.name}: {fact_word(wearer, choice_name)}." if wearer is not None else ""
    return f"**{choice_name}**: {fact.what}. It may be {words.listed(fact.words, 'or')}.{said}"


# --- figures and leading words


def _figure(session: Session, name: str, statement: Statement, at: int, request: Request) -> list[tuple[str, Span]]:
    """A figure's name in an ``expect`` or an ``if``: what it is, and what it is now."""
    node = _innermost(statement.node, at, "words", "name")
    if node is None or statement.word not in ("expect", "if"):
        return []
    said = " ".join(part.text for part in node.parts)
    entry = figure_name(said)
    if entry is None:
        return []
    lines = [each.tip for each in told(session, name, request) if each.line == statement.line]
    return [("\n\n".join([f"**{said}**: {entry.what}", *lines]), statement.span(node))]


def _leading(session: Session, name: str, kind: str, statement: Statement, line: int, column: int,
             request: Request) -> list[tuple[str, Span]]:
    """What the statement's first word means, and what the plan makes of its line."""
    word = statement.word
    meaning = meaning_of(kind, _section_word(statement) or word)
    rule = {**vocabulary.RECIPE_BLOCKS, **vocabulary.RECIPE_STATEMENTS}.get(word) if kind == "recipe" else \
        vocabulary.RULE_STATEMENTS.get(word)
    example = vocabulary.EXAMPLES.get(rule or "", "") if kind in ("recipe", "rule") else ""
    plan = [each.tip for each in told(session, name, request) if each.line == line]
    parts = [f"**{_section_word(statement) or word}**: {meaning}"] if meaning else []
    parts += plan
    if example and (not _section_word(statement) or example.startswith(_section_word(statement))):
        parts.append(f"```plait\n{example}\n```")
    if kind in SCHEMAS and len(words_allowed := fact_words(kind, word)) > 1:
        parts.append(f"One of: {words.listed(words_allowed, 'or')}.")
    return [("\n\n".join(parts), statement.span())] if parts else []


def _section_word(statement: Statement) -> str:
    first = statement.text.split(" ", 1)[0]
    return first if statement.word == "sections" and first in vocabulary.SECTION_WORDS else ""
