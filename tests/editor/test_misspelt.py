"""Every word of the shipped book misspelt in turn: the fix that is offered puts that very word right, and nothing else."""

from __future__ import annotations

import re

import pytest
from shipped_book import BOOK_FILES, shipped_looks, shipped_text

from plaitbook.desk.editing.edits import apply
from plaitbook.desk.editing.fixes import fixes
from plaitbook.desk.editing.session import Session
from plaitbook.syntax.normalise import plain_line

_NAME = re.compile(r'"[^"]*"')
_WORD = re.compile(r"[^\W\d_][\w'-]{2,}")


def _misspelt(word: str) -> str:
    """A word with two of its letters changed over, or one said twice where that would change nothing."""
    at = max(0, len(word) // 2 - 1)
    swapped = word[:at] + word[at : at + 2][::-1] + word[at + 2 :]
    return swapped if swapped != word else word[: at + 1] + word[at:]


def _places(text: str, seen: set[tuple[str, str]]) -> list[tuple[int, int]]:
    """Each name in quotes and each word outside them, once for every statement word it stands after."""
    found, begins = [], 0
    for row in text.split("\n"):
        line = plain_line(row)
        code = row if line.comment is None else row[: row.rindex(line.comment)]
        lead = (_WORD.search(code) or [""])[0]
        names = list(_NAME.finditer(code))
        places = [(n.start() + 1, n.end() - 1) for n in names if len(n.group()) < 30]
        places += [m.span() for m in _WORD.finditer(code) if not any(n.start() < m.start() < n.end() for n in names)]
        for start, end in places:
            if (lead, code[start:end]) not in seen and end - start > 2:
                seen.add((lead, code[start:end]))
                found.append((begins + start, begins + end))
        begins += len(row) + 1
    return found


_SEEN: set[tuple[str, str]] = set()
_PLACES = {file: _places(shipped_text(file), _SEEN) for file in (*shipped_looks(), *BOOK_FILES)}


@pytest.mark.parametrize("file", _PLACES)
def test_a_fix_mends_the_very_word(session: Session, file: str) -> None:
    right = shipped_text(file)
    wrong, broken, mended = [], 0, 0
    for start, end in _PLACES[file]:
        slip = _misspelt(right[start:end])
        text = right[:start] + slip + right[end:]
        session.put(file, text)
        problems = session.problems(file)
        broken += bool(problems)
        mended += any(apply(text, fix.edits) == right for problem in problems if problem.span.file == file for fix in fixes(problem, text))
        for problem in problems:
            if problem.span.file != file:
                continue
            for fix in fixes(problem, text):
                after = apply(text, fix.edits)
                if after == right:
                    continue
                session.put(file, after)
                left = session.problems(file)
                places = {(p.code, p.span.line) for p in problems}
                if len(left) >= len(problems) or any((p.code, p.span.line) not in places for p in left):
                    row = right[: start].count("\n")
                    wrong.append((text.split("\n")[row], problem.message, problem.help, fix.title, after.split("\n")[row], [p.message for p in left]))
    assert not wrong, "\n".join(map(str, wrong))
    assert mended >= broken * 0.75, (mended, broken)
