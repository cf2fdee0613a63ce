"""Names made of plain words: what stands before them in the line says whose they are."""

from __future__ import annotations

from collections.abc import Iterator

from ...meaning.layers import ADAPTABLE, MEASURED
from ...rules import REASON_RULES, RULES
from ...rules.names import FACTS, FIGURES, find_fact, names_here
from ...syntax.cursor import Cursor
from ...syntax.expected import Expected
from .oracle import thing_before
from .scope import Scope

Word = tuple[str, str, str]
"""(what is written, what it is, a word about it)."""
Trail = tuple[tuple[str, str, int], ...]


def codes(scope: Scope) -> Iterator[Word]:
    """Codes of rules, those that may stop the work first, then the book's own."""
    for rule in sorted((*RULES, *REASON_RULES), key=lambda rule: (rule.severity != "stop", rule.code)):
        yield rule.code, "code", rule.name
    yield from ((code, "code", "a rule of this book") for code in scope.names("code"))


def free_words(cursor: Cursor, expected: Expected, before: Trail, scope: Scope) -> Iterator[Word]:
    """What a free word may be; ``before`` ends where the words being written begin."""
    lead = before[-1][0] if before else ""
    look = cursor.name
    if "hair_ref" in expected.words or lead in ("CUT", "HAIR"):
        yield from ((role, "role", "") for role in scope.names("role", look))
    elif "code" in expected.words:
        yield from codes(scope)
    elif cursor.rule == "severity_statement":
        yield from ((word, "value", "") for word in ("stop", "warn", "note"))
    elif lead == "BY":
        yield from ((choice, "choice", "") for choice in scope.names("choice", look))
        yield from ((fact, "fact", ", ".join(words)) for fact, words in ADAPTABLE.items())
    elif lead == "DEFAULT":
        yield from ((option, "option", "") for option in _options(before))
    elif cursor.rule == "expect_statement":
        yield from _figures(look, scope)
    elif cursor.rule in ("when_statement", "if_statement") and lead != "COLON":
        yield from _condition(cursor, lead, before, scope)


def _figures(look: str, scope: Scope) -> Iterator[Word]:
    for figure in FIGURES.values():
        yield figure.name, "figure", figure.what
        if figure.name in ("packs", "packs to buy", "hair used"):
            yield from ((f"{figure.name} of {role}", "figure", f"{figure.what}, of one hair of the look")
                        for role in scope.names("role", look))


def _condition(cursor: Cursor, lead: str, before: Trail, scope: Scope) -> Iterator[Word]:
    recipe, thing = cursor.kind == "recipe", thing_before(before)
    fact = _tested(before, lead)
    if fact:
        found = find_fact(fact, thing)
        words = (ADAPTABLE.get(fact) or scope.names("option", cursor.name, fact)) if recipe else (
            found.words if found is not None else ())
        yield from ((word, "value", fact) for word in (*words, *(("unknown",) if words else ())))
    if lead in ("IS", "ARE") or (lead == "NOT" and len(before) > 1 and before[-2][0] in ("IS", "ARE")):
        return
    if recipe:
        yield from ((name, "fact", ", ".join(words)) for name, words in ADAPTABLE.items())
        yield from ((name, "fact", "") for name in MEASURED)
        yield from ((name, "choice", "") for name in scope.names("choice", cursor.name))
        return
    for name in names_here(thing):
        entry = FIGURES.get(name) or FACTS.get(name)
        yield name, "figure" if name in FIGURES else "fact", entry.what if entry is not None else ""


def _tested(before: Trail, lead: str) -> str:
    """The fact whose words are listed here: ``strand is fine or …``."""
    if lead not in ("IS", "ARE", "NOT", "OR"):
        return ""
    at = max((n for n, (terminal, _, _) in enumerate(before) if terminal in ("IS", "ARE")), default=-1)
    if at < 1 or any(t in ("AND", "LPAR", "WHERE") for t, _, _ in before[at:]):
        return ""
    start = at
    while start and before[start - 1][0] == "WORD":
        start -= 1
    return " ".join(text for _, text, _ in before[start:at])


def _options(trail: Trail) -> tuple[str, ...]:
    """The options a line of ``choices`` has named: the words before each ``is``."""
    found = []
    for at, (terminal, _, _) in enumerate(trail):
        if terminal == "IS":
            start = at
            while start and trail[start - 1][0] == "WORD":
                start -= 1
            found.append(" ".join(text for _, text, _ in trail[start:at]))
    return tuple(found)
