"""Lists as spreadsheets really write them, and files that mustn't be written over."""

from __future__ import annotations

import io
import json
from datetime import date
from pathlib import Path

import pytest

from plaitbook.desk.command import main
from plaitbook.desk.day.bookings import SOME_DAY, read_bookings

ROW = "2027-03-04,10:00,Shingle Rows,,"


@pytest.fixture
def book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    folder = tmp_path / "book"
    main(["new", str(folder)])
    (folder / "week.csv").write_text(f"date,start,look,wearer,choices\n{ROW}\n", "utf-8")
    capsys.readouterr()
    return folder


@pytest.mark.parametrize("text", [
    "date;start;look\n2027-03-04;09:30;A\n",
    "sep=;\r\ndate;start;look;;\r\n04.03.2027;9:30:00;A;;\r\n;;;;\r\n",
    "date\tstart\tlook\n2027/3/4\t9:30 AM\tA\n",
    "date,start,look\r4.3.2027,9.30,A\r",
    '\ufeffdate,start,look,choices\r2027-03-04,09:30 am,A,"a=b;c=d;e=f;g=h"\r',
    "# our week; with; many; marks\ndate,start,look,,\n2027-03-04,9h30,A,,,,\n",
])
def test_what_spreadsheets_write_is_read(text: str) -> None:
    bookings, mistakes = read_bookings(text)
    assert not mistakes
    assert [(booking.day, booking.start, booking.look) for booking in bookings] == [(date(2027, 3, 4), 570, "A")]


@pytest.mark.parametrize(("written", "minutes"), [("12:05 AM", 5), ("12:00 pm", 720), ("2:30 p.m.", 870), ("13:00 pm", None), ("0:30 am", None), ("24:00", None), ("٩:30", None),
    ("9am", 540), ("9 am", 540), ("9:30 pm", 1290), ("9.30", 570), ("0930", 570), ("1415", 855), ("12am", 0), ("9", None), ("9.3", None), ("2560", None)])
def test_clocks_of_twelve_hours(written: str, minutes: int | None) -> None:
    bookings, mistakes = read_bookings(f"date,start,look\n2027-03-04,{written},A\n")
    assert [booking.start for booking in bookings] == [minutes] and bool(mistakes) == (minutes is None)


@pytest.mark.parametrize(("text", "said"), [
    ("date,look\n3/4/2027,A\n", "'3/4/2027' is not a date"),  # the third of April, or the fourth of March
    ('date,look\n2027-03-04,"A\n2027-03-05,B\n', "a quotation mark"),
    ("date,,look\n2027-03-04,x,A\n", "a column has no heading"),
])
def test_what_could_mean_two_things_is_asked(text: str, said: str) -> None:
    bookings, mistakes = read_bookings(text)
    assert [said in mistake.message for mistake in mistakes] == [True] and all(booking.day == SOME_DAY for booking in bookings)


def test_an_open_quotation_names_its_line() -> None:
    assert read_bookings('date,look\n2027-03-04,A\n2027-03-04,"A\n2027-03-05,B\n')[1][0].line == 3


@pytest.mark.parametrize("coding", ["latin-1", "utf-16"])
def test_another_coding_says_how_to_save(book: Path, coding: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    data = "date,look\n2027-03-04,Café\n".encode(coding)
    (book / "week.csv").write_bytes(data)
    assert main(["day", str(book / "week.csv")]) == 1
    assert "CSV UTF-8" in capsys.readouterr().err
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(data), "utf-8"))
    assert main(["day", "-", "--book", str(book)]) == 1
    assert "CSV UTF-8" in capsys.readouterr().err


@pytest.mark.parametrize("more", [["-o", "week.csv"], ["--calendar", "week.csv"], ["-o", "hairs.plait"], ["--calendar", "-"], ["-o", "x.ics", "--calendar", "./x.ics"]])
def test_no_list_and_no_recipe_is_written_over(book: Path, more: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(book)
    before = {path: path.read_bytes() for path in book.rglob("*") if path.is_file()}
    assert main(["day", "week.csv", *more]) == 1
    assert "try:" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in book.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("crew", ["Ana, ana", " , ", ""])
def test_a_crew_is_named_once_each(book: Path, crew: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["day", str(book / "week.csv"), "--crew", crew]) == 1
    assert "name each braider once" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [
    ["day", "{book}/week.csv"], ["day", "{book}/none.csv"], ["day", "{book}"], ["day", "{book}/empty.csv"], ["day", "{book}/head.csv"],
    ["day", "{book}/week.csv", "--crew", "A,A"], ["day", "{book}/week.csv", "--house", "None"], ["day", "{book}/week.csv", "--take"],
    ["day", "{book}/week.csv", "-o", "{book}/none/x.json"], ["stock", "{book}"], ["stock", "{book}", "history"], ["stock", "{book}", "count"],
    ["stock", "{book}", "use", "Dune=1"], ["stock", "{book}", "receive", "Dune=3"], ["stock", "{book}", "point", "Dune=3"], ["stock", "{book}", "count", "Nope=1"],
    ["stock", "{book}/none"], ["stock", "{book}", "dance"],
])
def test_the_data_is_one_document_on_every_way_out(book: Path, arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    (book / "empty.csv").write_text("", "utf-8")
    (book / "head.csv").write_text("date,look\n", "utf-8")
    try:
        main([part.format(book=book) for part in arguments] + ["--format", "json"])
    except SystemExit:
        pass
    json.loads(capsys.readouterr().out)


@pytest.mark.parametrize(("spoil", "said"), [(b"no database at all, but words" * 9, "is damaged"), (None, "another version")])
def test_a_stock_that_cant_be_used_says_why(book: Path, spoil: bytes | None, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    import sqlite3

    path = book / ".plait" / "stock.db"
    path.parent.mkdir(exist_ok=True)
    if spoil is not None:
        path.write_bytes(spoil)
    else:
        connection = sqlite3.connect(path)
        connection.executescript("CREATE TABLE movement (id INTEGER PRIMARY KEY, hair TEXT, colour TEXT); CREATE TABLE point (hair TEXT, colour TEXT, milli INT);")
        connection.close()
    before = path.read_bytes()
    assert main(["stock", str(book), "count", "Dune=3"]) == 1 and said in capsys.readouterr().err
    assert main(["day", str(book / "week.csv"), "--take"]) == 1 and "try:" in capsys.readouterr().err
    assert spoil is None or path.read_bytes() == before


@pytest.mark.parametrize(("written", "milli"), [("9,5", 9500), ("1/3", 333), ("1 1/3", 1333), ("2½ packs", 2500), ("1000", 1_000_000), ("1,000", None), ("1e30", None),
                                                 ("nan", None), ("1001", None), ("-½", None)])
def test_packs_as_they_are_written(book: Path, written: str, milli: int | None, capsys: pytest.CaptureFixture[str]) -> None:
    from plaitbook.desk.stock.store import on_hand, stock_path

    assert main(["stock", str(book), "count", f"Dune, driftwood={written}"]) == (2 if milli is None else 0)
    assert [line.milli for line in on_hand(stock_path(book))] == ([] if milli is None else [milli])


def test_a_hair_named_twice_and_a_comma_left_out_are_told(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stock", str(book), "count", "Dune, ember=1", "dune, Ember=2"]) == 2
    assert "named twice" in capsys.readouterr().err
    assert main(["stock", str(book), "count", "Dune ember=1"]) == 2
    assert '"Dune, ember=1"' in capsys.readouterr().err


def test_a_folder_inside_the_book_is_the_book(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stock", str(book / "looks"), "count", "Dune, ember=1"]) == 0
    assert (book / ".plait" / "stock.db").is_file() and not (book / "looks" / ".plait").exists()
    assert main(["print", str(book / "looks"), "menu", "--format", "text"]) == 0
