"""A fix is the change that the help offers, and it puts the mistake right."""

from __future__ import annotations

import pytest

from plaitbook.desk.editing.edits import Edit, apply
from plaitbook.desk.editing.fixes import fixes
from plaitbook.desk.editing.session import Session
from plaitbook.syntax.problem import Span

RIGHT = '''edition 1
recipe "X"
technique plait
wearing 12.5 in
hair:
base: "Dune", cut 40 in
sections:
grid square 1½ in
start: extension at root, 1 piece of base ½ pencil
end: heat seal 180 °C
when strand is fine: width 5 mm
feed: pieces of base ½ pencil, hold width 8 mm
'''


@pytest.mark.parametrize("right,wrong", [
    ("technique plait", "technique plaitt"), ("technique plait", "techniqe plait"), ("12.5 in", "12,5 in"), ("12.5 in", "-12.5 in"),
    ("12.5 in", "12.5"), ("12.5 in", "12.5 inn"), ("grid square", "grid sqare"), ("sections:", "sectoins:"), ('"Dune"', '"Dunne"'),
    ("of base", "of bse"), ('recipe "X"', "recipe X"), ("edition 1", "edition 4"), ("start:", "start"), ("180 °C", "180"),
    ("is fine", "is fien"), ("hold width", "hold widht"), ("extension at root", "extention at root"), ("strand is", "strnad is"),
])
@pytest.mark.parametrize("comment", ["", "  # \U0001f469\u200d\U0001f9b0 as last time"])
def test_a_slip_is_put_right(session: Session, right: str, wrong: str, comment: str) -> None:
    text = RIGHT.replace(right, wrong, 1).replace("\n", f"{comment}\n")
    session.put("looks/x.plait", text)
    problems = session.problems("looks/x.plait")
    assert problems
    offered = [fix for problem in problems for fix in fixes(problem, text)]
    after = [apply(text, fix.edits) for fix in offered]
    assert RIGHT.replace("\n", f"{comment}\n").replace('"X"', '"X"') in after, (problems, after)


def test_a_missing_line_is_added(session: Session) -> None:
    text = 'edition 1\nhair "Q"\nkind plain\nfibre nylon\nflat 30 in\n'
    session.put("q.plait", text)
    (problem,) = session.problems("q.plait")
    (fix,) = fixes(problem, text)
    session.put("q.plait", apply(text, fix.edits))
    assert not session.problems("q.plait")


def test_an_unclosed_quote_is_closed(session: Session) -> None:
    text = RIGHT.replace('"Dune", cut 40 in', '"Dune')
    session.put("x.plait", text)
    problem = next(p for p in session.problems("x.plait") if p.code == "E102")
    (fix,) = fixes(problem, text)
    assert 'base: "Dune"\n' in apply(text, fix.edits)


def test_an_example_is_not_a_fix(session: Session) -> None:
    """Help that only shows how such a line looks must not be put in its place."""
    text = RIGHT.replace("end: heat seal 180 °C", "end: heat")
    session.put("x.plait", text)
    assert [fix for problem in session.problems("x.plait") for fix in fixes(problem, text)] == []


def test_edits_are_made_from_the_end() -> None:
    edits = [Edit(Span("", 1, 1, 2), "aa"), Edit(Span("", 1, 3, 3), "-"), Edit(Span("", 2, 1, 4), "")]
    assert apply("abc\r\ndef\n", edits) == "aab-c\n\n"
    assert apply('"\U0001f469\u200d\U0001f9b0b"', [Edit(Span("", 1, 4, 5), "c")]) == '"\U0001f469\u200d\U0001f9b0c"'
