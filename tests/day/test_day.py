"""Many bookings planned together, from the list to the paper."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from icalendar import Calendar

from plaitbook.desk.command import main
from plaitbook.desk.day.bookings import SOME_DAY, read_bookings
from plaitbook.desk.stock.store import on_hand, stock_path

LIST = """date,start,look,wearer,choices,braiders
2027-03-04,09:30,Saltmarsh,Noor,size=large; length=bob,2
2027-03-04,,Plain Saltmarsh,Ilse,size=large,1
2027-03-05,10:00,Shingle Rows,Tomasz,,1
"""


@pytest.fixture
def book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    folder = tmp_path / "book"
    main(["new", str(folder)])
    (folder / "week.csv").write_text(LIST, "utf-8")
    capsys.readouterr()
    return folder


def planned(book: Path, capsys: pytest.CaptureFixture[str], *more: str) -> dict:
    main(["day", str(book / "week.csv"), "--crew", "Ana, Bo, Cleo", "--format", "json", *more])
    return json.loads(capsys.readouterr().out)


def test_the_week_is_the_sum_of_its_bookings(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = planned(book, capsys)
    assert [day["date"] for day in plan["days"]] == ["2027-03-04", "2027-03-05"]
    assert [(visit["look"], visit["wearer"]) for visit in plan["days"][0]["visits"]] == [("Plain Saltmarsh", "Ilse"), ("Saltmarsh", "Noor")]
    used: dict[str, float] = {}
    for file, wearer, picks in (("saltmarsh", "Noor", ["size=large", "length=bob"]), ("plain-saltmarsh", "Ilse", ["size=large"]), ("shingle", "Tomasz", [])):
        main(["plan", str(book / "looks" / f"{file}.plait"), "--wearer", wearer, *[part for pick in picks for part in ("--choose", pick)]])
        for line in json.loads(capsys.readouterr().out)["material"]["hair"]:
            used[line["name"]] = used.get(line["name"], 0.0) + line["packs_used"]
    assert {name: sum(buy["alone"] for buy in plan["buy"] if buy["hair"] == name) for name in used} == pytest.approx(used)
    assert all(buy["used"] <= buy["alone"] + 1e-9 for buy in plan["buy"])


def test_it_prints_and_its_calendar_parses(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["day", str(book / "week.csv"), "--crew", "Ana, Bo, Cleo", "-o", str(tmp_path / "day.pdf"), "--calendar", str(tmp_path / "day.ics")]) == 0
    assert (tmp_path / "day.pdf").read_bytes().startswith(b"%PDF")
    chairs = [event for event in Calendar.from_ical((tmp_path / "day.ics").read_bytes()).walk("VEVENT") if str(event["uid"]) and event["transp"] == "OPAQUE"]
    assert len({str(event["uid"]) for event in chairs}) == len(chairs) >= 3
    main(["day", str(book / "week.csv"), "--crew", "Ana, Bo, Cleo"])
    said = capsys.readouterr().out
    assert all(len(line) <= 80 for line in said.splitlines())
    assert "To buy for them all" in said and "Noor" in said


def test_what_else_is_laid_out_and_allergies_stand_on_the_sheet(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A braider who shares the day's sheet gloves up from it."""
    wearers = book / "wearers.plait"
    wearers.write_text(wearers.read_text("utf-8").replace("allergies none", 'allergies "latex"', 1), "utf-8")
    name = wearers.read_text("utf-8").split('allergies "latex"')[0].rpartition('wearer "')[2].split('"')[0]
    (book / "week.csv").write_text(f"date,start,look,wearer,choices,braiders\n2027-03-04,09:30,Saltmarsh,{name},size=large,1\n", "utf-8")
    main(["day", str(book / "week.csv"), "--crew", "Ana, Bo"])
    said = " ".join(capsys.readouterr().out.split())
    assert f"take care: {name} is allergic to latex" in said
    assert "setting foam, about 25 g" in said and "light oil, about 4 g" in said


def test_stock_is_counted_and_taken(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = planned(book, capsys)
    dune = next(buy for buy in before["buy"] if buy["hair"] == "Dune")
    main(["stock", str(book), "count", *[f"{buy['hair']}, {buy['colour']}={buy['to_buy'] + 2}" for buy in before["buy"]]])
    capsys.readouterr()
    after = planned(book, capsys, "--take")
    assert [buy["to_buy"] for buy in after["buy"]] == [0] * len(before["buy"])
    there = next(line for line in on_hand(stock_path(book)) if line.hair == "Dune")
    assert there.milli == pytest.approx(1000 * (dune["to_buy"] + 2 - dune["used"]), abs=1)


def test_what_isnt_there_is_not_taken(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["stock", str(book), "count", "Kelp, copper wire=9"])
    assert main(["day", str(book / "week.csv"), "--crew", "Ana, Bo, Cleo", "--take"]) == 1
    assert "can't be taken" in capsys.readouterr().err
    assert [line.milli for line in on_hand(stock_path(book))] == [9000]


@pytest.mark.parametrize(("line", "said"), [
    ("2027-13-04,,Saltmarsh,,,", "'2027-13-04' is not a date"),
    ("2027-03-04,9 o'clock,Saltmarsh,,,", "is not a time of day"),
    ("2027-03-04,,Saltmarch,,,", "did you mean 'Saltmarsh'"),
    ("2027-03-04,,Saltmarsh,Nor,,", "there is no wearer \"Nor\""),
    ("2027-03-04,,Saltmarsh,,size,", "'size' is not a choice"),
    ("2027-03-04,,Saltmarsh,,size=tiny,", "tiny"),
    ("2027-03-04,,Saltmarsh,,,many", "'many' is not a number of braiders"),
    ("2027-03-04,,Saltmarsh,,,4", "wants 4 braiders, and 3 are there"),
    ("2027-03-04,,,,,", "names no look"),
])
def test_a_wrong_line_is_named_and_nothing_is_written(book: Path, line: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    (book / "week.csv").write_text(LIST + line + "\n", "utf-8")
    assert main(["day", str(book / "week.csv"), "--crew", "Ana, Bo, Cleo", "-o", str(book / "out.html")]) == 1
    err = capsys.readouterr().err
    assert said in err and "week.csv:5:" in err and "try:" in err
    assert not (book / "out.html").exists()


def test_all_that_is_wrong_with_a_list_is_said_in_one_run(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (book / "week.csv").write_text(LIST + "2027-03-04,9 o'clock,Saltmarch,Noor,,1\n04/03,,Saltmarsh,Nor,size=tiny,many\n2027-03-04,,Lanturn,,,1\n", "utf-8")
    assert main(["day", str(book / "week.csv"), "--crew", "Ana, Bo, Cleo"]) == 1
    err = capsys.readouterr().err
    for said in ("week.csv:5: '9 o'clock' is not a time of day", "week.csv:5: there is no look \"Saltmarch\"", "week.csv:6: '04/03' is not a date",
                 "week.csv:6: there is no wearer \"Nor\"", "week.csv:6: 'many' is not a number", "week.csv:7: there is no look \"Lanturn\""):
        assert said in " ".join(err.split()), (said, err)
    lines = [int(line.split("week.csv:")[1].split(":")[0]) for line in err.splitlines() if "week.csv:" in line]
    assert lines == sorted(lines)


@pytest.mark.parametrize(("text", "said"), [
    ("", "empty"), ("when,what\n", "'when' is no heading"), ("date,start\n", "no column 'look'"), ("date,look,look\n", "twice"),
    ("date,look\n2027-03-04,A,B\n", "more cells"), ('date,look\n"2027', "quotation mark"),
])
def test_a_list_that_is_none_says_so(text: str, said: str) -> None:
    bookings, mistakes = read_bookings(text)
    assert any(said in mistake.message for mistake in mistakes) and all(booking.day == SOME_DAY for booking in bookings)


def test_semicolons_and_a_byte_order_mark_are_read() -> None:
    bookings, mistakes = read_bookings("\ufeffdate;look;choices\r\n2027-03-04;Saltmarsh;\"size=small; length=bob\"\r\n")
    assert not mistakes and bookings[0].picks == (("size", "small"), ("length", "bob"))


def test_two_fixed_times_with_too_few_hands_are_told(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (book / "week.csv").write_text("date,start,look\n2027-03-04,10:00,Shingle Rows\n2027-03-04,10:30,Shingle Rows\n", "utf-8")
    assert main(["day", str(book / "week.csv"), "--crew", "Ana"]) == 1
    assert "it wants 1 braider, and nobody is free then" in capsys.readouterr().out.replace("\n  ", " ")
