"""Half-typed text: shipped files cut off or broken anywhere, and everything asked of them. Nothing may raise."""

from __future__ import annotations

import random
from functools import lru_cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plaitbook.compile import Request
from plaitbook.desk.editing.completing import complete
from plaitbook.desk.editing.edits import apply
from plaitbook.desk.editing.finding import definition, references
from plaitbook.desk.editing.findings import findings
from plaitbook.desk.editing.fixes import fixes
from plaitbook.desk.editing.hints import hints
from plaitbook.desk.editing.hovering import hover
from plaitbook.desk.editing.outline import folding, symbols, tidied
from plaitbook.desk.editing.renaming import renamable, rename
from plaitbook.desk.editing.session import Session
from plaitbook.shipped import shipped_folder
from plaitbook.syntax.normalise import plain_lines

ODD = ('"', "“", ",", ";", "(", ")", ":", "½", "18", " in ", "#", "\U0001f9b0", "\u200d", "\u00ad", "\r", "\u2028", "\t", "when ",
       "by ", "hair:\n", 'recipe "', "1/0 in", "-", "–", "\0", "é", "́", "9" * 30)


@lru_cache(maxsize=1)
def book() -> Session:
    return Session(shipped_folder("recipes"))


def ask_everything(session: Session, name: str, line: int, column: int) -> None:
    request = Request(wearer="Ilse", picks={"size": "small"})
    text = session.text(name)
    for offer in complete(session, name, line, column, request):
        assert offer.label and offer.span.line == line and offer.span.column <= offer.span.end
    hover(session, name, line, column, request)
    definition(session, name, line, column)
    references(session, name, line, column)
    renamable(session, name, line, column)
    edits = rename(session, name, line, column, "tideline")
    if not isinstance(edits, str):
        for edit in edits:
            assert edit.span.line >= 1
    symbols(text, name)
    folding(text)
    tidied(text)
    hints(session, name, request)
    findings(session, name, request)
    for problem in session.problems(name):
        for fix in fixes(problem, text):
            apply(text, fix.edits)


@settings(max_examples=70, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(book().names()), st.floats(0, 1), st.floats(0, 1), st.booleans(), st.sampled_from(ODD), st.integers(0, 10**6))
def test_nothing_raises_wherever_a_file_is_cut(name: str, cut: float, where: float, keep: bool, odd: str, seed: int) -> None:
    session = book()
    whole = session.text(name)
    at = int(cut * len(whole))
    text = whole[:at] + (odd if seed % 2 else "") + (whole[at + seed % 7 :] if keep else "")
    session.put(name, text)
    try:
        lines = plain_lines(text)
        # where the cut is, as someone typing has it, and anywhere else
        here = plain_lines(text[: at + len(odd) * (seed % 2)])
        ask_everything(session, name, len(here), len(here[-1]) + 1)
        line = random.Random(seed).randrange(len(lines))
        ask_everything(session, name, line + 1, int(where * (len(lines[line]) + 2)) + 1)
    finally:
        session.drop(name)


@pytest.mark.parametrize("text", ["", "\n", "\ufeff", '"', "edition", 'recipe "', 'recipe "x"\nhair:\n', "a" * 3000, "\n" * 20_050])
@pytest.mark.parametrize("line,column", [(1, 1), (0, 0), (3, 7), (10**6, 10**6), (-1, -5)])
def test_odd_texts_and_places(text: str, line: int, column: int) -> None:
    session = book()
    session.put("odd.plait", text)
    try:
        ask_everything(session, "odd.plait", line, column)
    finally:
        session.drop("odd.plait")


def test_a_name_that_is_no_file_is_an_empty_text() -> None:
    ask_everything(book(), "nowhere.plait", 1, 1)
    ask_everything(book(), "../outside.plait", 1, 1)
    ask_everything(book(), "\0", 1, 1)
