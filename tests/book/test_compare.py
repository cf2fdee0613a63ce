"""Two looks or plans side by side: for the braider, the purse, the clock and safety; and one look across wearers."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path

import pytest

from plaitbook.plan.comparison import compare
from plaitbook.plan.differences import Difference, differences

from shipped_book import compile_in_book, shipped_looks, shipped_text


def plan_of(file: str, **request):
    done = compile_in_book(shipped_text(file), file, **request)
    assert done.plan is not None, done.problems
    return done.plan


@pytest.mark.parametrize("file", shipped_looks()[::2])
def test_a_plan_beside_itself_differs_in_nothing(file: str) -> None:
    plan = plan_of(file, wearer="Noor")
    compared = compare(plan, plan)
    assert compared.rows and not compared.gained and not compared.lost and not compared.reworded
    assert all(row.change is not None and row.change.value == 0 for row in compared.rows)


def test_every_change_is_b_minus_a_of_figures_that_exist() -> None:
    a, b = plan_of("looks/saltmarsh.plait", wearer="Noor"), plan_of("looks/plain-saltmarsh.plait", wearer="Noor")
    compared = compare(a, b)
    for row in compared.rows:
        if row.change is None:
            assert row.a is None or row.b is None
            continue
        given = {name: each.value for name, each in row.change.inputs.items()}
        assert row.change.formula == "b - a"
        assert float(row.change.value) == pytest.approx(float(given["b"]) - float(given["a"]))
        assert row.a == given["a"] and row.b == given["b"]
    for row in compared.rows:
        if row.part in ("purse", "safety", "clock"):
            for plan, value in ((a, row.a), (b, row.b)):
                if value is not None:
                    assert row.key in plan.figures, row.key
                    assert float(plan.figures[row.key].value) == pytest.approx(float(value)), row.key
    assert {row.part for row in compared.rows} == {"braider", "purse", "clock", "safety"}


def test_it_finds_what_the_curls_cost() -> None:
    compared = compare(plan_of("looks/plain-saltmarsh.plait", wearer="Noor"), plan_of("looks/saltmarsh.plait", wearer="Noor"))
    rows = {row.label: row for row in compared.rows}
    assert rows["pieces of curls"].a is None and rows["pieces of curls"].b > 0
    assert rows["price"].change.value > 0 and isinstance(rows["price"].b, Decimal)
    assert rows["chair time, median"].change.value > 0
    assert rows["load on one own hair, worst, wet"].change.value > 0
    assert rows["sections"].change.value == 0


def test_findings_gained_and_lost_are_told() -> None:
    file = "looks/saltmarsh.plait"
    ilse, noor = plan_of(file, wearer="Wren"), plan_of(file, wearer="Noor")
    compared = compare(noor, ilse)
    codes = {(f.code, f.severity) for f in noor.findings}
    assert {(f.code, f.severity) for f in compared.gained} == {(f.code, f.severity) for f in ilse.findings} - codes
    assert {(f.code, f.severity) for f in compared.lost} == codes - {(f.code, f.severity) for f in ilse.findings}
    assert any(f.severity == "stop" for f in compared.gained)
    for each in compared.reworded:
        assert each.a or each.b


def test_money_of_two_currencies_is_not_subtracted(book: Path, plait) -> None:
    found = plait("compare", book / "looks/saltmarsh.plait", "--house-b", "Zimmer Sieben", "--format", "json")
    price = next(row for row in json.loads(found.out)["rows"] if row["key"] == "quote.total")
    assert price["a"] != price["b"] and price["change"] is None


@pytest.mark.parametrize("form", ["text", "html", "json"])
def test_card_against_card_across_versions(book: Path, plait, form: str) -> None:
    look, old, new = book / "looks/saltmarsh.plait", book / "old.json", book / "new.json"
    plait("plan", look, "--wearer", "Noor", "-o", old)
    text = look.read_text("utf-8")
    look.write_text(text.replace("version 3", "version 4").replace("every 9 stitches", "every 6 stitches"), "utf-8")
    plait("plan", look, "--wearer", "Noor", "-o", new)
    found = plait("compare", old, new, "--format", form)
    assert found.code == 0, found.err
    assert "version 3" in found.out and "version 4" in found.out or form == "json" and '"version": 4' in found.out
    assert "pieces of curls" in found.out


def test_two_seals_tell_what_the_look_said(book: Path, plait) -> None:
    look = book / "looks/saltmarsh.plait"
    plait("seal", look, "-o", book / "old.seal")
    look.write_text(look.read_text("utf-8").replace("every 9 stitches", "every 6 stitches"), "utf-8")
    plait("seal", look, "-o", book / "new.seal")
    found = plait("compare", f"{book / 'old.seal'}#Saltmarsh", f"{book / 'new.seal'}#Saltmarsh")
    assert found.code == 0 and found.out == "accents: every was 9, is 6\n"


def test_the_text_is_eighty_columns_and_never_calls_a_load_safe(book: Path, plait) -> None:
    for arguments in ((book / "looks/saltmarsh.plait", book / "looks/lantern.plait", "--wearer", "Noor"),
                      (book / "looks/saltmarsh.plait", "--all-wearers")):
        found = plait("compare", *arguments)
        assert found.code == 0, found.err
        assert max(map(len, found.out.splitlines())) <= 80
        assert not re.search(r"\bis safe\b|\bsafer\b|\bsafe load\b(?! limit)", found.out.replace("No safe limit", "").replace("not a safe", ""))
        assert "local codes and licensed practice" in " ".join(found.out.split())


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tables = 0

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tables += tag == "table"
        if tag not in ("meta", "br", "input", "link", "img", "path"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass


def test_the_page_is_whole(book: Path, plait) -> None:
    out = book / "compared.html"
    assert plait("compare", book / "looks/saltmarsh.plait", book / "looks/lantern.plait", "-o", out).code == 0
    page = _Tags()
    page.feed(out.read_text("utf-8"))
    assert page.tables >= 4 and not page.open


@pytest.mark.parametrize("name", ["compared.pdf", "compared.json", "compared.html", "compared.txt", "compared"])
def test_the_form_follows_the_name(book: Path, plait, name: str) -> None:
    out = book / name
    assert plait("compare", book / "looks/quayside.plait", book / "looks/lantern.plait", "-o", out).code == 0
    begins = {"compared.pdf": b"%PDF", "compared.json": b"{", "compared.html": b"<!DOCTYPE"}.get(name, b"Quayside and Lantern")
    assert out.read_bytes().startswith(begins)


def test_one_look_across_all_wearers(book: Path, plait) -> None:
    rows = json.loads(plait("compare", book / "looks/saltmarsh.plait", "--all-wearers", "--format", "json").out)
    assert [row["wearer"] for row in rows] == ["Ilse", "Noor", "Tomasz", "Adaeze", "Marisol", "Pim", "Wren"]
    assert len({row["seal"]["look"] for row in rows}) == 1 and len({row["seal"]["plan"] for row in rows}) == 7
    one = plan_of("looks/saltmarsh.plait", wearer="Tomasz", house="Harbour Chair")
    tomasz = next(row for row in rows if row["wearer"] == "Tomasz")
    assert tomasz["sections"] == one.sections.count and Decimal(tomasz["price"]) == one.quote.total


@pytest.mark.parametrize(("arguments", "code", "said"), [
    (("looks/saltmarsh.plait",), 2, "nothing to compare with"),
    (("looks/saltmarsh.plait", "looks/lantern.plait", "--all-wearers"), 2, "takes one look"),
    (("looks/saltmarsh.plait", "looks/none.plait"), 1, "there is no file"),
    (("looks/saltmarsh.plait", "hairs.plait"), 1, "no looks"),
    (("looks/saltmarsh.plait", "looks/lantern.plait", "--wearer", "Nor"), 1, "Noor"),
    (("book.json", "book.json"), 1, "no saved plan"),
    (("book.seal#Saltmarsh", "looks/saltmarsh.plait"), 1, "no seal file"),
])
def test_slips_are_told(book: Path, plait, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], code: int, said: str) -> None:
    monkeypatch.chdir(book)
    (book / "book.json").write_text('{"head": {}}', "utf-8")
    found = plait("compare", *arguments)
    assert found.code == code and said in found.err and "Traceback" not in found.err


def test_differences_are_told_in_words() -> None:
    before = {'hair "Dune"': {"pack_g": "80", "price": "3.2"}, "rule X01": {"code": "X01"}, "order": "nape up"}
    after = {'hair "Dune"': {"pack_g": "80", "price": "3.3"}, "order": "front back", "wearing": "457.2"}
    found = [each.sentence() for each in differences(before, after)]
    assert found == ['hair "Dune": price was 3.2, is 3.3', 'order was "nape up", is "front back"', "rule X01 is gone; it was code X01",
                     "wearing is new: 457.2 mm"]
    assert differences(before, before) == ()
    assert Difference("rate stitch").sentence() == "rate stitch is not the same"
