"""Definition, references and rename, over all files of a book."""

from __future__ import annotations

import pytest

from plaitbook.compile import Request
from plaitbook.desk.editing.edits import apply
from plaitbook.desk.editing.finding import definition, references
from plaitbook.desk.editing.renaming import renamable, rename
from plaitbook.desk.editing.session import Session

LOOK = "looks/saltmarsh.plait"
CHILD = "looks/plain-saltmarsh.plait"


def place(session: Session, name: str, words: str, inside: int = 0) -> tuple[int, int]:
    """(line, column) of the first place of some words in a file."""
    before = session.text(name)[: session.text(name).index(words) + inside]
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def said(session: Session, span) -> str:
    return session.text(span.file).split("\n")[span.line - 1][span.column - 1 : span.end - 1]


@pytest.mark.parametrize("name,words,inside,file,line_holds", [
    (LOOK, '"Dune"', 2, "hairs.plait", 'hair "Dune"'),
    (LOOK, '"Dune Curl"', 7, "hairs.plait", 'hair "Dune Curl"'),
    (LOOK, "by size", 4, LOOK, "size: small is"),
    (LOOK, "default mid back", 10, LOOK, "length: bob"),
    (LOOK, "of base ½", 4, LOOK, 'base: "Dune"'),
    (LOOK, "cut base 32", 5, LOOK, 'base: "Dune"'),
    (CHILD, '"Saltmarsh"', 3, LOOK, 'recipe "Saltmarsh"'),
    (CHILD, "saltmarsh.plait", 3, LOOK, "# Demo look"),
    ("looks/pebble-bob.plait", '"Pim"', 2, "wearers.plait", 'wearer "Pim"'),
    ("looks/pebble-bob.plait", '"Pebble bead"', 3, "hairs.plait", 'ornament "Pebble bead"'),
    ("houses.plait", 'price "Brass cuff"', 9, "hairs.plait", 'ornament "Brass cuff"'),
])
def test_definition(session: Session, name: str, words: str, inside: int, file: str, line_holds: str) -> None:
    (found,) = definition(session, name, *place(session, name, words, inside))
    assert found.file == file and line_holds in session.text(file).split("\n")[found.line - 1]


def test_a_word_of_the_language_has_no_definition(session: Session) -> None:
    assert definition(session, LOOK, *place(session, LOOK, "strand is fine", 2)) == ()
    assert definition(session, LOOK, *place(session, LOOK, "technique", 2)) == ()


def test_references_are_in_every_file(session: Session) -> None:
    found = references(session, LOOK, *place(session, LOOK, '"Dune"', 2))
    assert found[0].file == "hairs.plait" and {said(session, span) for span in found} == {"Dune"}
    assert {span.file for span in found} == {"hairs.plait", "houses.plait", LOOK, "looks/thistledown.plait",
                                             "looks/ebb-and-flow.plait"}


def test_a_choice_that_is_taken_over_is_the_same_choice(session: Session) -> None:
    session.put(CHILD, session.text(CHILD) + "wearing by length in nape\nwhen size is small: width 4 mm\n")
    found = references(session, CHILD, *place(session, CHILD, "by length", 4))
    assert found[0].file == LOOK and {span.file for span in found} == {LOOK, CHILD}
    options = references(session, LOOK, *place(session, LOOK, "small is", 1))
    assert CHILD in {span.file for span in options}


def renamed(session: Session, name: str, words: str, inside: int, new: str) -> Session:
    """The book with a name changed everywhere."""
    edits = rename(session, name, *place(session, name, words, inside), new)
    assert not isinstance(edits, str), edits
    for file in {edit.span.file for edit in edits}:
        session.put(file, apply(session.text(file), [edit for edit in edits if edit.span.file == file]))
    return session


@pytest.mark.parametrize("name,words,inside,new", [
    (LOOK, '"Dune"', 2, "Heath & \U0001f30a"),
    (LOOK, "by size", 4, "build"),
    (LOOK, "default mid back", 10, "shoulder blade"),
    (LOOK, "of base ½", 4, "plain-hair"),
    (CHILD, '"Saltmarsh"', 3, "Salt Marsh"),
    ("looks/pebble-bob.plait", '"Pim"', 2, "Pip"),
    ("looks/pebble-bob.plait", '"Pebble bead"', 3, "River bead"),
    ("houses.plait", '"Zimmer Sieben"', 3, "Room Seven"),
    (LOOK, 'colour "driftwood"', 9, "bleached wood"),
])
def test_a_rename_changes_nothing_but_the_name(session: Session, name: str, words: str, inside: int, new: str) -> None:
    """Everything still compiles, to the same plan but for names."""
    request = Request(wearer="Ilse")
    plans = {look: session.compile(look, request) for look in (LOOK, CHILD, "looks/pebble-bob.plait")}
    renamed(session, name, words, inside, new)
    for look, before in plans.items():
        after = session.compile(look, request)
        assert after.plan is not None, after.problems
        assert after.plan.sections == before.plan.sections
        assert after.plan.timing.median_minutes == before.plan.timing.median_minutes
        assert after.plan.quote.total == before.plan.quote.total
    assert all(not session.problems(each) for each in session.names())


@pytest.mark.parametrize("name,words,inside,new,why", [
    (LOOK, '"Dune"', 2, "Kelp", "already"),
    (LOOK, '"Dune"', 2, 'a "b"', "without quotes"),
    (LOOK, '"Dune"', 2, "   ", "without quotes"),
    (LOOK, "by size", 4, "length", "already"),
    (LOOK, "small is", 1, "12 mm", "something else"),
    (LOOK, "small is", 1, "large", "already"),
    (LOOK, "of base ½", 4, "base: cut", "something else"),
    (LOOK, "technique", 2, "x", "no name"),
    (LOOK, "strand is", 2, "x", "no name"),
])
def test_a_rename_that_would_break_something_is_refused(session: Session, name: str, words: str, inside: int, new: str,
                                                        why: str) -> None:
    answer = rename(session, name, *place(session, name, words, inside), new)
    assert isinstance(answer, str) and why in answer


def test_what_can_be_renamed_is_said_beforehand(session: Session) -> None:
    found = renamable(session, LOOK, *place(session, LOOK, '"Dune Curl"', 3))
    assert found is not None and found[0] == "Dune Curl" and said(session, found[1]) == "Dune Curl"
    assert renamable(session, LOOK, *place(session, LOOK, "summary", 2)) is None
    assert renamable(session, CHILD, *place(session, CHILD, "saltmarsh.plait", 3)) is None
