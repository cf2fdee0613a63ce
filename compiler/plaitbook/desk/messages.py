"""Problems and findings for a person at a terminal, 80 columns wide, or as data."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any, Callable

from ..syntax.problem import Problem, Span

if TYPE_CHECKING:
    from ..plan.model import Finding

WIDTH = 80
_LABEL = {"stop": "Stop", "warn": "Warning", "note": "Note", "ask": "Ask"}


def problem_text(problem: Problem, line_of: Callable[[str, int], str], place: Callable[[str], str]) -> str:
    """One problem: where, what, the line with the words underlined, what to do."""
    span = problem.span
    if span.end == span.column:  # no one line made this mistake
        out = [f"{place(span.file)}: {problem.message} [{problem.code}]"]
    else:
        out = [f"{place(span.file)}:{span.line}:{span.column}: {problem.message} [{problem.code}]"]
        out += _underlined(span, line_of(span.file, span.line))
    for label, other in problem.others:
        out.append(f"  {place(other.file)}:{other.line}: {label}")
        out += _underlined(other, line_of(other.file, other.line))
    if problem.help:
        out += _wrapped(f"try: {problem.help}", "  ")
    return "\n".join(out)


def _underlined(span: Span, line: str) -> list[str]:
    """The line of the file and marks under the words; long lines are cut to the place."""
    if not line.strip():
        return []
    line = line.replace("\t", " ").rstrip()
    start = max(span.column - 1, len(line) - len(line.lstrip()) if span.end > len(line) + 1 else 0)
    end = max(min(span.end - 1, len(line)), start + 1)
    room = WIDTH - 8
    left = max(0, min(start - 20, len(line) - room)) if len(line) > room else 0
    shown = line[left : left + room]
    marks = max(1, min(end, left + room) - start)
    number = f"{span.line:>5} "
    return [f"{number}| {shown.rstrip()}", f"{' ' * len(number)}| {' ' * (start - left)}{'^' * marks}"]


def finding_text(finding: "Finding", line_of: Callable[[str, int], str] | None = None,
                 place: Callable[[str], str] = str) -> str:
    """One finding in full sentences, with the line it is about where that can be read.

    A finding knows its line and not its words, so the whole statement is underlined.
    """
    where = f"{place(finding.file)}:{finding.line}: " if finding.file and finding.line else ""
    head = where if line_of is not None else ""
    tail = f" (line {finding.line})" if finding.line and line_of is None else ""
    out = _wrapped(f"{head}{_LABEL[finding.severity]} {finding.code}{tail}: {finding.message}", "")
    if line_of is not None and where:
        line = line_of(finding.file, finding.line)
        said = line.partition("#")[0].rstrip() if '"' not in line.partition("#")[2] else line.rstrip()
        start = len(said) - len(said.lstrip())
        out += _underlined(Span(finding.file, finding.line, start + 1, len(said) + 1), line)
    if finding.allowed_because:
        out += _wrapped(f"allowed because: {finding.allowed_because}", "  ")
    elif finding.fix:
        out += _wrapped(f"try: {finding.fix}", "  ")
    return "\n".join(out)


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ",
                         break_long_words=True, break_on_hyphens=False)


def problem_data(problem: Problem) -> dict[str, Any]:
    """A problem as plain data."""
    span = problem.span
    return {
        "code": problem.code, "message": problem.message, "help": problem.help, "file": span.file,
        "line": span.line, "column": span.column, "end_column": span.end,
        "others": [{"label": label, "file": s.file, "line": s.line, "column": s.column}
                   for label, s in problem.others],
    }


class Lines:
    """Lines of the files of a book, read again only to show them in a message."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.files: dict[str, list[str]] = {}

    def __call__(self, file: str, line: int) -> str:
        if file not in self.files:
            try:
                text = (self.root / file).read_text("utf-8-sig", errors="replace")
            except OSError:
                text = ""
            self.files[file] = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        lines = self.files[file]
        return lines[line - 1][:4000] if 0 < line <= len(lines) else ""
