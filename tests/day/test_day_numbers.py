"""The numbers of a day: counts as on the cards, blends by their parts, what is brought and taken counted once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from icalendar import Calendar

from plaitbook.desk.command import main
from plaitbook.desk.stock.store import on_hand, stock_path

BOOK = """edition 1
hair "Dune"
kind plain
fibre modacrylic
colours "tide", "ember"
flat 48 in
pack 120 g
price 3 EUR
house "Half"
demo
currency EUR
paper half
spare 10 %
opens 10:00
braider "Juno" speed 100 %
braider "Ode" speed 90 %, arrives 12:00
wearer "Ann"
demo
brings "Dune" 2 packs
"""
LOOK = """recipe "{name}"
technique plait
wearing 12 in
hair:
base: {hair}, cut {cut}, folded in the middle
sections:
grid square 1½ in
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "my book"
    folder.mkdir()
    (folder / "book.plait").write_text(BOOK, "utf-8")
    looks = [LOOK.format(name="Long", hair='"Dune" colour "tide"', cut="30 in"), LOOK.format(name="Short", hair='"Dune" colour "tide"', cut="16 in"),
             LOOK.format(name="Mixed", hair='blend of 3 parts "Dune" colour "tide" and 1 part "Dune" colour "ember"', cut="40 in")]
    (folder / "looks.plait").write_text("edition 1\n" + "\n".join(looks), "utf-8")
    return folder


def day(book: Path, rows: str, capsys: pytest.CaptureFixture[str], *more: str) -> dict:
    (book / "list.csv").write_text("date,start,look,wearer,braiders\n" + rows, "utf-8")
    capsys.readouterr()
    main(["day", str(book / "list.csv"), "--format", "json", *more])
    return json.loads(capsys.readouterr().out)


def material(book: Path, look: str, capsys: pytest.CaptureFixture[str]) -> dict:
    main(["plan", f"{book / 'looks.plait'}#{look}"])
    return json.loads(capsys.readouterr().out)["material"]


def test_pieces_are_those_that_the_cards_say(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = day(book, "2027-03-04,,Long,,\n2027-03-04,,Short,,\n", capsys)
    pieces = {share["cut_mm"]: share["pieces"] for cut in plan["cuts"] for share in cut["shares"]}
    for look in ("Long", "Short"):
        (line,) = material(book, look, capsys)["cuts"]
        assert pieces[line["cut_mm"]] == line["pieces"]
    main(["day", str(book / "list.csv")])
    said = capsys.readouterr().out.replace("\u00a0", " ")
    assert "flat length" in said and "1 × 76 cm + 1 × 40.5 cm" in said  # how the lengths share is on the paper too


def test_a_blended_piece_is_cut_by_its_parts(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = day(book, "2027-03-04,,Mixed,,\n", capsys)
    assert {cut["colour"]: {share["part"] for share in cut["shares"]} for cut in plan["cuts"]} == {"tide": {0.75}, "ember": {0.25}}
    main(["day", str(book / "list.csv")])
    said = capsys.readouterr().out.replace("\u00a0", " ")
    assert "75 % of 3.5 mm" in said and "25 % of 3.5 mm" in said


def test_what_a_wearer_brings_counts_once_however_often_she_comes(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = day(book, "2027-03-04,,Long,Ann,\n2027-03-05,,Long,Ann,\n2027-03-06,,Long,Ann,\n", capsys)
    assert sum(buy["brought"] for buy in plan["buy"]) == pytest.approx(min(2.0, sum(buy["used"] for buy in plan["buy"])))


def test_hair_of_the_house_doesnt_make_what_she_brings_vanish(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plenty = BOOK.replace("opens 10:00", 'opens 10:00\nstock "Dune" 40 packs')
    (book / "book.plait").write_text(plenty, "utf-8")
    plan = day(book, "2027-03-04,,Long,Ann,\n", capsys)
    assert sum(buy["brought"] for buy in plan["buy"]) > 0.5


def test_what_has_no_colour_in_the_stock_is_taken_too(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = day(book, "2027-03-04,,Long,,\n2027-03-04,,Mixed,,\n", capsys)
    used = {buy["colour"]: buy["used"] for buy in plan["buy"]}
    main(["stock", str(book), "count", "Dune, tide=¼", "Dune=40"])
    capsys.readouterr()
    assert main(["day", str(book / "list.csv"), "--take"]) == 0
    there = {line.colour: line.milli / 1000 for line in on_hand(stock_path(book))}
    assert there["tide"] == 0
    assert sum(there.values()) == pytest.approx(40.25 - sum(used.values()), abs=0.003)


def test_a_list_is_taken_once(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    day(book, "2027-03-04,,Long,,\n", capsys)
    main(["stock", str(book), "count", "Dune, tide=40"])
    assert main(["day", str(book / "list.csv"), "--take"]) == 0
    before = on_hand(stock_path(book))
    assert main(["day", str(book / "list.csv"), "--take"]) == 1
    assert "was taken from the stock already" in capsys.readouterr().err
    assert on_hand(stock_path(book)) == before


def test_a_braider_who_comes_later_isnt_planned_before(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = day(book, "2027-03-04,,Long,,\n2027-03-04,,Long,,\n", capsys)
    starts = {visit["braiders"][0]: visit["start"] for visit in plan["days"][0]["visits"]}
    assert starts["Juno"] == 600 and starts.get("Ode", 720) >= 720


def test_nobody_is_put_in_two_chairs_at_once(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = day(book, "2027-03-04,12:00,Long,Ann,\n2027-03-04,,Short,Ann,\n", capsys, "--crew", "A, B, C")
    first, second = plan["days"][0]["visits"]
    assert first["end"] <= second["start"] or second["end"] <= first["start"]
    day(book, "2027-03-04,12:00,Long,Ann,\n2027-03-04,12:30,Short,Ann,\n", capsys)
    assert main(["day", str(book / "list.csv"), "--crew", "A, B, C"]) == 1
    assert "the same wearer still sits for Long" in capsys.readouterr().out.replace("\n  ", " ")


def test_what_has_no_room_in_the_day_is_told(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    day(book, "2027-03-04,,Long,,\n" * 12, capsys)
    assert main(["day", str(book / "list.csv"), "--crew", "A"]) == 1
    said = capsys.readouterr().out
    assert "there is no room for it that day" in said.replace("\n  ", " ") and "(+1 d)" in said


def test_alike_bookings_are_events_of_their_own(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    day(book, "2027-03-04,10:00,Long,,\n2027-03-04,10:00,Long,,\n", capsys, "--crew", "A,B", "--calendar", str(tmp_path / "day.ics"))
    names = [str(event["uid"]) for event in Calendar.from_ical((tmp_path / "day.ics").read_bytes()).walk("VEVENT")]
    assert len(names) == len(set(names)) >= 2


def test_a_house_is_found_whatever_its_capitals(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = "2027-03-04,10:00,Long,,2\n"
    assert day(book, rows, capsys, "--house", "HALF")["days"] == day(book, rows, capsys, "--house", "Half")["days"]


def test_looks_that_differ_in_capitals_only_are_told_apart(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (book / "more.plait").write_text("edition 1\n" + LOOK.format(name="LONG", hair='"Dune" colour "ember"', cut="30 in"), "utf-8")
    for look, colour in (("Long", "tide"), ("LONG", "ember")):
        assert [buy["colour"] for buy in day(book, f"2027-03-04,,{look},,\n", capsys)["buy"]] == [colour]
    assert "capitals" in day(book, "2027-03-04,,long,,\n", capsys)["problems"][0]["help"]


@pytest.mark.parametrize("form", ["text", "html", "pdf"])
def test_odd_names_print_as_text(book: Path, form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    odd = 'Li, <b>{{7*7}} \u202eשלום 🦀'
    (book / "odd.plait").write_text("edition 1\n" + LOOK.format(name=odd, hair='"Dune" colour "tide"', cut="30 in"), "utf-8")
    (book / "list.csv").write_text(f'date,look\n2027-03-04,"{odd}"\n', "utf-8")
    out = tmp_path / f"out.{form}"
    assert main(["day", str(book / "list.csv"), "--crew", "<i>Zoë", "--format", form, "-o", str(out)]) == 0, capsys.readouterr().err
    data = out.read_bytes()
    assert b"\xe2\x80\xae" not in data and (form == "text" or b"<b>" not in data or form == "pdf") and b"<i>Zo" not in data[: len(data) * (form == "html")]


def test_the_learned_rates_are_in_force(book: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    from plaitbook.desk import learned_rates
    from plaitbook.meaning.model import House

    before = day(book, "2027-03-04,10:00,Long,,\n", capsys)["days"][0]["visits"][0]
    (book / ".plait").mkdir(exist_ok=True)
    (book / ".plait" / "log.db").write_bytes(b"")

    def slower(houses: dict[str, House], store: Path) -> None:
        for name, house in houses.items():
            houses[name] = house.model_copy(update={"rates": tuple(rate.model_copy(update={"seconds": rate.seconds * 3}) for rate in RATES(house))})

    from plaitbook.passes.rates import rates_for

    RATES = lambda house: rates_for(house).values()  # noqa: E731
    monkeypatch.setattr(learned_rates, "put_in_force", slower)
    after = day(book, "2027-03-04,10:00,Long,,\n", capsys)["days"][0]["visits"][0]
    assert after["end"] > before["end"] + 60
