"""What the recipes expect of themselves, asked like tests."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

LINES = '''
expect sections between 10 and 300
expect packs of base at most 1 for wearer "Ilse"
expect price at most 400 USD for wearer "Nobody"
'''


@pytest.fixture
def asked(book: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = book / "looks/fernrope.plait"
    path.write_text(path.read_text("utf-8") + LINES, "utf-8")
    monkeypatch.chdir(book)
    return book


def test_the_shipped_book_meets_what_it_expects(book: Path, plait, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(book / "looks")
    found = plait("expect")
    assert found.code == 0 and "2 expected: 2 met" in found.out, found.out


def test_a_line_each_then_a_summary(asked: Path, plait) -> None:
    found = plait("expect")
    assert found.code == 1
    lines = " ".join(found.out.split())
    assert 'MISSED looks/fernrope.plait:27 Fernrope: expected packs of base at most 1 for wearer "Ilse"; found' in lines
    assert 'left out looks/fernrope.plait:28 Fernrope: expected price at most 400 usd for wearer "Nobody"; there is no wearer' in lines
    assert "5 expected: 3 met, 1 missed, 1 left out" in found.out
    assert max(map(len, found.out.splitlines())) <= 80


def test_one_file_or_one_look(asked: Path, plait) -> None:
    assert plait("expect", "looks/pebble-bob.plait").code == 0
    assert plait("expect", "looks/fernrope.plait#Fernrope").code == 1
    assert "nothing is expected" in plait("expect", "looks/lantern.plait").out


def test_what_is_inherited_is_asked_of_both(asked: Path, plait) -> None:
    path = asked / "looks/saltmarsh.plait"
    path.write_text(path.read_text("utf-8") + "expect sections between 50 and 150\n", "utf-8")
    data = json.loads(plait("expect", "looks/saltmarsh.plait", "looks/plain-saltmarsh.plait", "--format", "json").out)
    assert [(each["look"], each["state"], each["file"]) for each in data] == [
        ("Saltmarsh", "met", "looks/saltmarsh.plait"), ("Plain Saltmarsh", "met", "looks/saltmarsh.plait")]


def test_junit_is_well_formed_and_counts_right(asked: Path, plait) -> None:
    broken = asked / "looks/lantern.plait"
    broken.write_text(broken.read_text("utf-8").replace("grid diamond", "grid <dia&mond>"), "utf-8")
    assert plait("expect", "--junit", "out.xml").code == 1
    root = ElementTree.parse(asked / "out.xml").getroot()
    assert root.tag == "testsuites"
    cases = list(root.iter("testcase"))
    assert int(root.attrib["tests"]) == len(cases) == 6
    for name, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
        assert int(root.attrib[name]) == len(list(root.iter(tag))) == 1
        assert sum(int(suite.attrib[name]) for suite in root.iter("testsuite")) == 1
    for suite in root.iter("testsuite"):
        assert {"name", "tests", "failures", "errors", "skipped", "time"} <= set(suite.attrib)
        assert int(suite.attrib["tests"]) == len(list(suite.iter("testcase")))
    for case in cases:
        assert {"name", "classname", "time"} <= set(case.attrib) and float(case.attrib["time"]) >= 0
        assert len(list(case)) <= 1
    assert "<dia&mond>" in next(root.iter("error")).attrib["message"] + (next(root.iter("error")).text or "")


def test_no_recipe_is_wrong_use(tmp_path: Path, plait, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    found = plait("expect")
    assert found.code == 2 and "try:" in found.err


def test_a_missing_file_is_broken_and_told(book: Path, plait) -> None:
    found = plait("expect", book / "looks/none.plait")
    assert found.code == 1 and "BROKEN" in found.out and "there is no file" in " ".join(found.out.split())
