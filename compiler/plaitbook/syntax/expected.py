"""What the grammar takes next, asked of the parser's own tables.

A place in a statement is the parser's stack of states: everything that may
follow depends on it alone, so answers are kept by it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Iterator

from lark.exceptions import UnexpectedInput

from ..shipped import shipped_folder
from . import vocabulary
from .grammar import _ADVICE, _literals, _parser

_LONGEST_PHRASE = 5
_FILLERS = ("the", "a")
_STOPS = {"ZONE", "AND"}
"""Where one of these may follow, a phrase has come to a free place."""
_TOLD_APART = {"LEFT", "RIGHT", "ZONE", "END", "ANY", "EVERY"}
"""Terminals that tell two phrases apart although the same alternative of the grammar is complete."""
_LONGEST_ENDING = 8
_STANDS_FOR = {"NUMBER": "1", "WORD": "word", "STRING": '"name"', "CLOCK": "09:00", "IN": "in", "MARK": "%", "PER": "g/m",
               "DEGREES": "degrees c", "COMMA": ",", "COLON": ":", "SEMICOLON": ";", "LPAR": "(", "RPAR": ")"}
"""Something to write for a terminal that is no fixed word."""

Stack = tuple[int, ...]


@dataclass(frozen=True)
class Expected:
    """What the grammar takes next."""

    phrases: tuple[str, ...]
    """Fixed words, run on to the next free place: ``heat seal``, ``folded in the middle``."""
    strings: frozenset[str]
    """Grammar rules for which a name in quotes would be the next piece."""
    words: frozenset[str]
    """Grammar rules for which a free word would be the next piece."""
    terminals: frozenset[str]
    trail: tuple[tuple[str, str, int], ...]
    """(terminal, text, offset) of what stands before."""


@lru_cache(maxsize=2048)
def expected_after(rule: str, before: str) -> Expected | None:
    """What the grammar takes after ``before`` in a statement read by ``rule``; None where that can't be read."""
    place = _read_up_to(rule, before)
    if place is None:
        return None
    stack, trail = place
    last = trail[-1][1] if trail else ""
    return Expected(_phrases(rule, stack, last), _roles(rule, stack, "STRING"), _roles(rule, stack, "WORD"),
                    _accepted(rule, stack), trail)


@lru_cache(maxsize=512)
def ending_after(rule: str, before: str) -> str | None:
    """The shortest text that makes a statement of ``before``; None where nothing can. Its words mean nothing."""
    place = _read_up_to(rule, before)
    if place is None:
        return None
    waiting: list[tuple[Stack, str]] = [(place[0], "")]
    seen = {place[0]}
    for _ in range(_LONGEST_ENDING):
        after: list[tuple[Stack, str]] = []
        for stack, text in waiting:
            if "$END" in _accepted(rule, stack):
                return text
            for terminal in _in_order(_accepted(rule, stack)):
                word = _STANDS_FOR.get(terminal) or next(iter(_spelled(terminal)), "")
                ahead = _fed(rule, stack, terminal)
                if word and ahead is not None and ahead not in seen:
                    seen.add(ahead)
                    after.append((ahead, f"{text} {word}"))
        waiting = after
    return None


def _read_up_to(rule: str, before: str) -> tuple[Stack, tuple[tuple[str, str, int], ...]] | None:
    """The parser's stack and the terminals after ``before``."""
    parser = _parser().parse_interactive(before, start=rule)
    try:
        tokens = parser.exhaust_lexer()
    except UnexpectedInput:
        return None
    return (tuple(parser.parser_state.state_stack),
            tuple((token.type, str(token), token.start_pos or 0) for token in tokens))


@lru_cache(maxsize=64)
def _tables(rule: str) -> Any:
    return _parser().parse_interactive("", start=rule).parser_state.parse_conf


def _fed(rule: str, stack: Stack, terminal: str) -> Stack | None:
    """The stack once a terminal is read; None where it can't stand here."""
    tables = _tables(rule)
    states = list(stack)
    while True:
        action = tables.states[states[-1]].get(terminal)
        if action is None:
            return None
        if not hasattr(action[1], "expansion"):
            return (*states, action[1])
        if action[1].expansion:
            del states[-len(action[1].expansion):]
        states.append(tables.states[states[-1]][action[1].origin.name][1])
        if terminal == "$END" and states[-1] == tables.end_state:
            return tuple(states)


@lru_cache(maxsize=4096)
def _accepted(rule: str, stack: Stack) -> frozenset[str]:
    return frozenset(name for name in _tables(rule).states[stack[-1]]
                     if name.isupper() and _fed(rule, stack, name) is not None)


def _complete(rule: str, stack: Stack) -> set[tuple[str, str | None]]:
    """(rule, name of its alternative) of everything that is complete here."""
    return {(str(done.origin.name), done.alias) for _, done in _tables(rule).states[stack[-1]].values()
            if hasattr(done, "expansion")}


def _roles(rule: str, stack: Stack, terminal: str) -> frozenset[str]:
    """The rules that would be complete, or go on, once this terminal is read."""
    ahead = _fed(rule, stack, terminal)
    return frozenset() if ahead is None else frozenset(alias or name for name, alias in _complete(rule, ahead))


@lru_cache(maxsize=4096)
def _phrases(rule: str, stack: Stack, last: str) -> tuple[str, ...]:
    """The fixed phrases that may come next, in the grammar's order, each meaning once.

    Of spellings that the grammar takes for the same, the one that the examples or the shipped looks use stays.
    """
    own = _words(vocabulary.EXAMPLES.get(rule, ""), *(text for (start, _), text in _ADVICE.items() if start == rule))
    found: dict[object, tuple[tuple[bool, int, bool, int], str]] = {}
    for phrase, meaning in _run_on(rule, stack, _LONGEST_PHRASE, ""):
        words = phrase.split()
        odd = (f" {last} {phrase} " not in _usage(), sum(word not in own for word in words),
               f" {phrase} " not in _usage(), -len(words))
        if set(words) - set(_FILLERS) and (meaning not in found or odd < found[meaning][0]):
            found[meaning] = (odd, phrase)
    return tuple(phrase for _, phrase in found.values())


def _words(*texts: str) -> list[str]:
    return re.findall(r"[^\s,;:()\"]+", " ".join(texts).lower())


@lru_cache(maxsize=1)
def _usage() -> str:
    """The words of our examples and of the shipped looks, each between spaces."""
    looks = sorted((shipped_folder("recipes") / "looks").glob("*.plait"))
    texts = [*vocabulary.EXAMPLES.values(), *_ADVICE.values(), *(path.read_text("utf-8") for path in looks)]
    return f" {' '.join(_words(*texts))} "


def _run_on(rule: str, stack: Stack, left: int, kept: str) -> Iterator[tuple[str, object]]:
    """(phrase, meaning) of every run of fixed words from here to where something free, or nothing, may come."""
    for terminal in _in_order(_accepted(rule, stack)):
        for word in _spelled(terminal):
            ahead = _fed(rule, stack, terminal)
            if ahead is None:
                continue
            told = f"{kept} {word}" if terminal in _TOLD_APART else kept
            complete = _complete(rule, ahead)
            after = _accepted(rule, ahead)
            if len(complete) == 1 and (only := next(iter(complete)))[1]:
                yield word, (only, told)
            elif left > 1 and after and after.isdisjoint(_STOPS) and all(map(_spelled, after)):
                for rest, meaning in _run_on(rule, ahead, left - 1, told):
                    yield f"{word} {rest}", meaning
            else:
                yield word, (ahead, told)


@lru_cache(maxsize=1)
def _order() -> dict[str, int]:
    return {terminal.name: place for place, terminal in enumerate(_parser().terminals)}


def _in_order(terminals: frozenset[str]) -> list[str]:
    return sorted(terminals, key=lambda name: _order().get(name, -1))


@lru_cache(maxsize=512)
def _spelled(terminal: str) -> tuple[str, ...]:
    """The words a terminal may be written as; none for a terminal that isn't a fixed word."""
    if terminal == "_TO":
        return ("to",)
    return tuple(_literals({terminal}))


def keywords() -> tuple[str, ...]:
    """Every fixed word of the grammar, in its order: what highlighting colours."""
    words = [word for terminal in _parser().terminals for word in _spelled(terminal.name)]
    return tuple(dict.fromkeys(words))


def terminal_pattern(name: str) -> str:
    """The regular expression of a terminal."""
    return next(str(terminal.pattern.to_regexp()) for terminal in _parser().terminals if terminal.name == name)
