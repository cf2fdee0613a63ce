"""A file's outline: its declarations with what they say, what folds away, and how it looks tidied."""

from __future__ import annotations

from dataclasses import dataclass

from ...meaning.book import file_meaning
from ...syntax import tidy as formatter
from ...syntax.lines import declaration_kind, logical_lines, starts_anew
from ...syntax.normalise import plain_lines
from ...syntax.problem import Span
from ...syntax.tree import Declaration, Statement

_LONGEST = 60


@dataclass(frozen=True)
class Symbol:
    """One entry of the outline. ``span`` is what names it; it reaches over ``lines`` (first, last)."""

    name: str
    kind: str
    """A declaration's kind, or the statement's leading word."""
    detail: str
    span: Span
    lines: tuple[int, int]
    children: tuple["Symbol", ...] = ()


@dataclass(frozen=True)
class Fold:
    """Lines that fold away behind their first."""

    first: int
    last: int
    comment: bool = False


def symbols(text: str, name: str) -> tuple[Symbol, ...]:
    """Every declaration of a file with its statements."""
    declarations = file_meaning(text, name).tree.declarations
    last = _last_line(text)
    ends = [following.line - 1 for following in declarations[1:]] + [last]
    return tuple(_declaration(each, max(each.line, _trimmed(text, end))) for each, end in zip(declarations, ends))


def _declaration(declaration: Declaration, end: int) -> Symbol:
    name = declaration.head.node.first("string")
    return Symbol(
        declaration.name or declaration.kind, declaration.kind, "", declaration.head.span(name),
        (declaration.line, end), tuple(_statement(each) for each in declaration.statements),
    )


def _statement(statement: Statement) -> Symbol:
    said = " ".join(statement.text.split())
    last = statement.segments[-1].line
    return Symbol(statement.word, statement.word, said if len(said) <= _LONGEST else f"{said[:_LONGEST - 1]}…",
                  statement.span(), (statement.line, last))


def folding(text: str) -> tuple[Fold, ...]:
    """Declarations, blocks, lines that go on, and runs of comments and of ``use``."""
    lines, comments, _ = logical_lines(text, "")
    last = _last_line(text)
    found: list[Fold] = []
    heads = [line.line for line in lines if declaration_kind(line.text) is not None]
    found += [Fold(first, _trimmed(text, end)) for first, end in zip(heads, [*(h - 1 for h in heads[1:]), last])]
    for at, line in enumerate(lines):
        if line.text.rstrip().endswith(":") and starts_anew(line.text):
            end = next((each.line - 1 for each in lines[at + 1 :] if starts_anew(each.text)), last)
            found.append(Fold(line.line, _trimmed(text, end)))
        found.append(Fold(line.line, line.segments[-1].line))
    found += _runs([line.line for line in lines if line.first_word() == "use"], False)
    coded = {segment.line for line in lines for segment in line.segments}
    found += _runs([comment.line for comment in comments if comment.line not in coded], True)
    return tuple(sorted({fold for fold in found if fold.last > fold.first}, key=lambda f: (f.first, -f.last)))


def tidied(text: str) -> str | None:
    """The text laid out by ``plait tidy``; None where it is so already, or can't be."""
    try:
        after = formatter.tidy(text)
    except formatter.WouldChange:
        return None
    return None if after == text else after


def _runs(numbers: list[int], comment: bool) -> list[Fold]:
    found: list[Fold] = []
    for number in numbers:
        if found and found[-1].last == number - 1:
            found[-1] = Fold(found[-1].first, number, comment)
        else:
            found.append(Fold(number, number, comment))
    return found


def _last_line(text: str) -> int:
    return len(plain_lines(text))


def _trimmed(text: str, end: int) -> int:
    """The last line up to ``end`` that isn't empty."""
    lines = plain_lines(text)
    while end > 1 and not lines[end - 1].strip():
        end -= 1
    return end
