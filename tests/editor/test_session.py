"""The session reads the book and nothing else, and notices every change that matters."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from plaitbook.compile import Request
from plaitbook.desk.editing.outline import Fold, folding, symbols, tidied
from plaitbook.desk.editing.session import MAX_NAMES, Session, session_for

LOOK = "looks/saltmarsh.plait"


def test_unsaved_text_stands_over_the_file(session: Session) -> None:
    saved = session.text(LOOK)
    session.put(LOOK, "edition 1\n")
    assert session.text(LOOK) == "edition 1\n"
    session.drop(LOOK)
    assert session.text(LOOK) == saved


def test_a_change_in_any_file_that_matters_is_seen(session: Session, book: Path) -> None:
    before = session.compile(LOOK, Request(wearer="Ilse"))
    assert session.compile(LOOK, Request(wearer="Ilse")) is before
    hairs = book / "hairs.plait"
    hairs.write_text(hairs.read_text("utf-8").replace("price 3.20 USD", "price 33.20 USD"), "utf-8")
    after = session.compile(LOOK, Request(wearer="Ilse"))
    assert before.plan and after.plan and after.plan.quote.total > before.plan.quote.total
    session.put("hairs.plait", hairs.read_text("utf-8").replace("price 33.20 USD", "price 3.20 USD"))
    again = session.compile(LOOK, Request(wearer="Ilse"))
    assert again.plan and again.plan.quote.total == before.plan.quote.total


def test_a_file_that_does_not_matter_changes_nothing(session: Session) -> None:
    before = session.compile(LOOK)
    session.put("looks/lantern.plait", "edition 1\n")
    assert session.compile(LOOK) is before


def test_it_says_what_the_command_line_says(session: Session) -> None:
    from plaitbook.desk.job import open_job
    from plaitbook.desk.service import compile_job

    job = open_job(str(session.root / LOOK))
    there = compile_job(job, "Ilse", None, {"size": "small"})
    here = session.compile(LOOK, Request(wearer="Ilse", picks={"size": "small"}))
    assert there.plan == here.plan


def test_problems_of_one_file_and_of_all(session: Session) -> None:
    session.put("hairs.plait", session.text("hairs.plait").replace("kind plain", "kind plian", 1))
    assert session.problems(LOOK) == ()
    assert {p.span.file for p in session.all_problems(LOOK)} == {"hairs.plait"}
    assert session.compile(LOOK).plan is None


def test_an_option_that_is_not_taken_is_tried_too(session: Session) -> None:
    session.put(LOOK, session.text(LOOK).replace("small is grid ¾ in, width 5 mm", "small is grid ¾ in, cut bsae 5 in"))
    assert any("bsae" in p.message for p in session.problems(LOOK))
    assert all(p in session.all_problems(LOOK) for p in session.all_problems(LOOK, planned=False))


@pytest.mark.skipif(os.name != "posix", reason="links need a right on Windows")
def test_nothing_outside_the_book_is_read(session: Session, book: Path) -> None:
    secret = book.parent / "secret.plait"
    secret.write_text('edition 1\nhair "Secret"\n', "utf-8")
    (book / "link.plait").symlink_to(secret)
    (book / "out").symlink_to(book.parent)
    assert session.text("link.plait") == "" and session.text("../secret.plait") == "" and session.text("out/secret.plait") == ""
    assert not {"link.plait", "out/secret.plait"} & set(session.names())
    session.put(LOOK, 'edition 1\nuse "../link.plait"\nuse "../../secret.plait"\n')
    assert "Secret" not in session.book(LOOK).hairs


def test_names_are_bounded_and_pass_hidden_folders_by(session: Session, book: Path) -> None:
    (book / ".plait").mkdir()
    (book / ".plait" / "hidden.plait").write_text("", "utf-8")
    for n in range(MAX_NAMES + 20):
        (book / f"n{n:04}.plait").write_text("", "utf-8")
    names = session.names()
    assert len(names) == MAX_NAMES and not any("hidden" in name for name in names)


def test_a_vanished_file_is_an_empty_one(session: Session, book: Path) -> None:
    assert session.text(LOOK)
    (book / LOOK).unlink()
    assert session.text(LOOK) == "" and session.problems(LOOK) == ()


def test_the_book_of_a_file_is_found_upwards(book: Path) -> None:
    session, name = session_for(book / "looks" / "not-yet.plait")
    assert session.root == book.resolve() and name == "looks/not-yet.plait"
    assert "Ilse" in session.people()[0] and "Harbour Chair" in session.people()[1]


def test_outline(session: Session) -> None:
    text = session.text("hairs.plait")
    found = symbols(text, "hairs.plait")
    assert [each.name for each in found][:3] == ["Dune", "Kelp", "Dune Curl"]
    assert found[0].lines[1] < found[1].lines[0] and "colours" in {child.name for child in found[0].children}
    assert Fold(*found[0].lines) in folding(text)
    look = session.text(LOOK)
    lines = look.split("\n")
    sections = next(n for n, line in enumerate(lines, 1) if line == "sections:")
    assert any(f.first == sections and lines[f.last - 1].strip() == "order nape up" for f in folding(look))
    assert tidied(look) is None and tidied(look.replace("  grid", "grid")) == look


def edits(text: str) -> list[str]:
    """What somebody writes one after the other: words, a number and back, a note, a line more, a comment."""
    quoted = re.search(r'summary "[^"]*', text)
    assert quoted
    worded = text.replace(quoted.group(), quoted.group() + " and light", 1)
    wider = worded.replace("width 7 mm", "width 8 mm")
    noted = worded.replace("\nhair:", '\nnote "Ask first."\nhair:', 1)
    return [text, worded, wider, worded, noted, noted.replace("Ask first", "Ask"), f"# mine\n{noted}", f"# mine, all of it\n{noted}", text]


@pytest.mark.parametrize("wearer", ["Ilse", "Pim"])
def test_what_is_taken_over_from_the_last_plan_is_what_a_new_one_holds(session: Session, book: Path, wearer: str) -> None:
    for name in ("looks/saltmarsh.plait", "looks/plain-saltmarsh.plait"):
        before = session.text(name)
        for text in edits(before):
            session.put(name, text)
            fresh = Session(book)
            fresh.put(name, text)
            asked = Request(None, wearer)
            assert session.compile(name, asked) == fresh.compile(name, asked), text
        session.drop(name)


def test_a_changed_word_costs_no_pass(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    name, asked = "looks/saltmarsh.plait", Request(None, "Ilse")
    first, worded, wider, *_ = edits(session.text(name))
    done = session.compile(name, asked)
    monkeypatch.setattr("plaitbook.compile.plan_settled", None)
    session.put(name, worded)
    again = session.compile(name, asked)
    assert again.plan.timing is done.plan.timing and again.plan.head.summary.endswith("and light")
    session.put(name, wider)
    with pytest.raises(TypeError):
        session.compile(name, asked)
