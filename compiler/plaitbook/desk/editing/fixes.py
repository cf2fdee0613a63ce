"""The change that a message's help offers, ready to be made."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Iterator

from ...meaning.book import file_meaning
from ...rules.read import read_rules
from ...syntax.expected import keywords
from ...syntax.parse import parse
from ...syntax.problem import Problem, Span
from ...syntax.suggest import likeness, nearest
from .columns import column_of, index_of, raw_line
from .edits import Edit, apply
from .oracle import suggested

_QUOTED = r"'(?:[^'\\]|\\.)*'|\"(?:[^\"\\]|\\.)*\""


@dataclass(frozen=True)
class Fix:
    """One way of putting a mistake right."""

    title: str
    edits: tuple[Edit, ...]


def fixes(problem: Problem, text: str) -> tuple[Fix, ...]:
    """Every change that the problem's help spells out; none of them makes the text worse to read."""
    before = _mistakes(text, problem.span.file)
    found: dict[tuple[Edit, ...], tuple[Fix, int]] = {}
    for fix in _offered(problem, text):
        after = before + 1 if fix.edits in found else _mistakes(apply(text, fix.edits), problem.span.file)
        if after <= before:
            found[fix.edits] = fix, after
    best = min((after for _, after in found.values()), default=0)  # of two words that are alike, one may not fit the line
    return tuple(fix for fix, after in found.values() if after == best)


def _mistakes(text: str, file: str) -> int:
    """How many mistakes of form, and of what each line means by itself, a text has."""
    meaning = file_meaning(text, file)
    of_rules: list[Problem] = []
    read_rules(meaning.rules, of_rules)
    return len(meaning.problems) + len(of_rules)


def _offered(problem: Problem, text: str) -> Iterator[Fix]:
    span, help = _inside(problem.span, text), problem.help
    wrong = _wrong_words(problem, text, span)
    if help.startswith("did you mean "):
        for said in re.findall(_QUOTED, help):
            place = _misspelt(problem, text, span, said[1:-1])
            if place is not None:
                yield Fix(f"write {said}", (Edit(place, said[1:-1]),))
    elif colon := re.match(r"put a colon after it: (.+)$", help):
        yield _instead(wrong or span, colon.group(1))
    elif quoted := re.match(r"write the name in quotes: (.+)$", help):
        yield _instead(span, quoted.group(1))
    elif help.startswith("put quotes around "):
        raw = raw_line(text, span.line)
        yield _instead(span, f'"{raw[index_of(raw, span.column) : index_of(raw, span.end)]}"')
    elif help.startswith('put a " before '):
        yield Fix(help, (Edit(Span(span.file, span.line, span.column, span.column), '"'),))
    elif taken := re.match(r"take this (?:comma|full stop|semicolon|colon|mark|quote) out$", help):
        yield Fix(taken.group(), (Edit(span, _between(text, span)),))
    elif help.startswith("end the name with a second"):
        yield Fix('close the quote', (Edit(Span(span.file, span.line, span.end, span.end), '"'),))
    elif added := re.match(r"add a line: (.+)$", help):
        end = len(raw_line(text, span.line)) + 1
        yield Fix(f"add the line {added.group(1)}", (Edit(Span(span.file, span.line, end, end), f"\n{added.group(1)}"),))
    elif help == "take it out":
        yield Fix("take it out", (Edit(wrong or span, ""),))
    else:
        yield from _rewritten(problem, text, wrong or span)
        yield from _respelled(text, span)


def _between(text: str, span: Span) -> str:
    """What keeps the words on both sides of a place apart once it is empty."""
    raw = raw_line(text, span.line)
    before, after = raw[: index_of(raw, span.column)], raw[index_of(raw, span.end) :]
    return " " if before[-1:].strip() and after[:1].strip() and after[:1] not in ",;:.#" else ""


def _respelled(text: str, span: Span) -> Iterator[Fix]:
    """The word that the place lies in, as the nearest word of the grammar: ``plaitt`` is read as far as ``plait``."""
    raw = raw_line(text, span.line)
    at = index_of(raw, span.column)
    for word in re.finditer(r"[^\W\d_][\w'’\-]*", raw):
        if word.start() < at < word.end():
            column = column_of(raw, word.start())
            place = Span(span.file, span.line, column, column + len(word.group()))
            for near in nearest(word.group().lower(), keywords()):
                edit = Edit(place, near)
                if len(parse(apply(text, [edit]), span.file)[1]) < len(parse(text, span.file)[1]):
                    yield Fix(f"write '{near}'", (edit,))


def _misspelt(problem: Problem, text: str, span: Span, word: str) -> Span | None:
    """Where the suggested word belongs: the quoted words of the message that are most like it, if they stand at the place."""
    quoted = [said[1:-1] for said in re.findall(_QUOTED, problem.message) if said[1:-1] not in ("", word)]
    if not quoted:
        return None
    wrong = max(quoted, key=lambda said: likeness(said.casefold(), word.casefold()))
    raw = raw_line(text, span.line)
    start, end = index_of(raw, span.column), index_of(raw, span.end)
    at = raw.casefold().find(wrong.casefold(), start, max(end, start + len(wrong)))
    if at >= 0:
        offset = span.column + at - start
        return _most_alike(Span(span.file, span.line, offset, offset + len(wrong)), text, word)
    there = raw[start:end]
    inner = there.strip('"').strip()
    if inner and f" {inner.casefold()} " in f" {wrong.casefold()} ":  # 'by lenght', of which one word is underlined
        offset = span.column + there.find(inner)
        return Span(span.file, span.line, offset, offset + len(inner))
    return None


def _most_alike(place: Span, text: str, word: str) -> Span:
    """The last words of a place that the suggested word is a spelling of: ``by sise`` for ``size``."""
    raw = raw_line(text, place.line)
    said = raw[index_of(raw, place.column) : index_of(raw, place.end)]
    starts = [0, *(match.end() for match in re.finditer(r"\s+", said))]
    best = max(starts, key=lambda start: likeness(said[start:].lower(), word.lower()))
    return Span(place.file, place.line, place.column + best, place.end)


def _rewritten(problem: Problem, text: str, span: Span) -> Iterator[Fix]:
    """What the help says to write, where that is the same words said rightly and not just an example."""
    raw = raw_line(text, span.line)
    there = raw[index_of(raw, span.column) : index_of(raw, span.end)]
    number = re.match(r"[-−]?[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞][\d ½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞./]*", there)
    for said in suggested(problem.help):
        plain = said.strip()
        if plain == there or " or " in plain:
            continue
        same = number is not None and plain.startswith(number.group().strip() + " ")
        digits = re.sub(r"\D", "", there)
        respelled = bool(digits) and re.fullmatch(r"[\d.]+", plain) is not None and re.sub(r"\D", "", plain) == digits
        unsigned = there.startswith(("-", "−")) and plain == there[1:].strip()
        in_quotes = plain.endswith(f'"{there}"') and there
        edition = problem.code == "E109" and re.fullmatch(r"edition \d+", plain)
        lead = raw[: index_of(raw, span.column)].strip().casefold()
        value = plain[len(lead) :].strip() if lead and plain.casefold().startswith(f"{lead} ") else ""
        if same or respelled or unsigned or edition:
            yield _instead(span, plain)
        elif value and _same_words(there, value):
            yield _instead(span, value)
        elif in_quotes:
            yield _instead(span, f'"{there}"')


def _same_words(said: str, again: str) -> bool:
    """Whether a text is another one with its quotes, commas or a few words put right, and nothing of hers left out."""
    words, others = (re.findall(r'[^\s,;:"]+', each) for each in (said, again))
    rest = iter(others)
    return bool(words) and all(word in rest for word in words) and len(others) <= len(words) + 3


def _instead(span: Span, text: str) -> Fix:
    return Fix(f"write {text}", (Edit(span, text),))


def _inside(span: Span, text: str) -> Span:
    """A span that ends where its line does."""
    raw = raw_line(text, span.line)
    return Span(span.file, span.line, span.column, max(span.column, min(span.end, len(raw) + 1)))


def _wrong_words(problem: Problem, text: str, span: Span) -> Span | None:
    """Where the words that the message quotes stand, inside the problem's own place; without their quotes."""
    raw = raw_line(text, span.line)
    start, end = index_of(raw, span.column), index_of(raw, span.end)
    for said in re.findall(_QUOTED, problem.message):
        word = said[1:-1]
        at = raw.casefold().find(word.casefold(), start, max(end, start + len(word)))
        if word and at >= 0:
            offset = span.column + at - start
            return Span(span.file, span.line, offset, offset + len(word))
    return None
