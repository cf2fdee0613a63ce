"""Names inside the book, and nothing else, lead to a file."""

from __future__ import annotations

import os

import pytest
from desk_at import LOOK, copied_book, page_of
from hypothesis import given
from hypothesis import strategies as st

from plaitbook.desk.page.places import Refused, names, place, slug

OUTSIDE = [
    "../secret.plait", "looks/../../secret.plait", "/etc/passwd", "/etc/secret.plait", "C:\\secret.plait", "C:/secret.plait",
    "..\\secret.plait", "looks\\saltmarsh.plait", "looks//saltmarsh.plait", "./book.plait", "looks/./saltmarsh.plait", "",
    "book.plait\0.txt", "book\0.plait", "book.plait/", ".plait", ".hidden.plait", ".plait/page/x.plait", "looks/.git/config.plait",
    "con.plait", "NUL.plait", "nul.x.plait", "looks/aux.plait", "COM1.plait", "com¹.plait", "LPT9.plait", "conin$.plait", "con .plait",
    "a./b.plait", "a /b.plait", "book.plait:stream", "x:y.plait", "a\nb.plait", "\u202egnp.plait", "a*.plait", "a?.plait", 'a".plait',
    "a<b.plait", "a|b.plait", "x" * 300 + ".plait", "book.txt", "book.plait.exe", "~/x.plait/../..", "%2e%2e/secret.txt",
]


@pytest.mark.parametrize("name", OUTSIDE)
def test_no_name_leads_out(name, tmp_path):
    (tmp_path / "secret.plait").write_text("secret")
    book = tmp_path / "book"
    book.mkdir()
    with pytest.raises(Refused):
        place(book, name)


@pytest.fixture(scope="module")
def outside(tmp_path_factory):
    with page_of(copied_book(tmp_path_factory.mktemp("outside") / "book")) as served:
        yield served


@pytest.mark.parametrize("name", OUTSIDE)
def test_nor_over_the_wire(name, outside):
    writing = outside
    before = {path: path.read_bytes() for path in writing.root.parent.rglob("*") if path.is_file()}
    for path, data in (("open", {}), ("save", {"text": "x", "base": "", "tab": "tabaaaaaaaa1"}), ("draft", {"text": "x", "base": "", "tab": "tabaaaaaaaa1"}),
                       ("history", {}), ("card", {"text": "edition 1\n"}), ("look", {"file": name})):
        status, answer = writing.post(path, {"name": name, **data})
        assert status in (400, 403, 404) and "refused" in answer, (path, status, answer)
        assert "secret" not in str(answer).replace(name, "")
    after = {path: path.read_bytes() for path in writing.root.parent.rglob("*") if path.is_file()}
    assert after == before, "nothing was written anywhere"


@pytest.mark.parametrize("path", ["/page/../app.py", "/page/%2e%2e/app.py", "/page/..%2fapp.py", "/page//etc/passwd", "/page/app.py", "/page/LICENCES.txt",
                                  "/page/shell.html", "/page/%00", "/station/../api/book", "/station/x"])
def test_the_pages_own_files_are_all_that_is_served(path, reading):
    status, _, body = reading.raw("GET", path, cookie=reading.cookie)
    assert status == 404 and b"import" not in body and b"root:" not in body


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_a_link_out_of_the_book_is_no_file_of_it(tmp_path):
    book = tmp_path / "book"
    book.mkdir()
    secret = tmp_path / "secret.plait"
    secret.write_text("secret")
    (tmp_path / "far").mkdir()
    try:
        (book / "link.plait").symlink_to(secret)
        (book / "looks").symlink_to(tmp_path / "far")
        (book / "ring.plait").symlink_to(book / "ring.plait")
    except OSError:
        pytest.skip("links may not be made here")
    (tmp_path / "far" / "look.plait").write_text("x")
    for name in ("link.plait", "looks/look.plait", "looks/new.plait", "ring.plait"):
        with pytest.raises(Refused):
            place(book, name)
    assert names(book) == ()


@given(st.text(max_size=40), st.sampled_from(["", "looks/", "../", "a/../"]))
def test_whatever_is_let_through_lies_inside(tmp_path_factory, text, folder):
    book = tmp_path_factory.getbasetemp() / "anybook"
    try:
        path = place(book, f"{folder}{text}.plait")
    except Refused:
        return
    assert path.resolve().is_relative_to(book.resolve()) and not any(part.startswith(".") for part in path.relative_to(book).parts)


@given(st.text(max_size=80))
def test_a_slug_is_a_name_that_is_taken(tmp_path_factory, words):
    place(tmp_path_factory.getbasetemp(), f"looks/{slug(words)}.plait")


def test_what_may_be_named(tmp_path):
    for name in (LOOK, "Mes coiffures/été.plait", "結び.plait", "a-b_c (2).plait", "console.plait"):
        assert place(tmp_path, name) == tmp_path / name
