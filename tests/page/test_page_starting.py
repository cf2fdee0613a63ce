"""The first start, a new look, a new wearer."""

from __future__ import annotations

import pytest
from desk_at import LOOK, page_of

from plaitbook.desk.page.starting import ANSWERS, MEASURES, wearer_text
from plaitbook.meaning.book import file_meaning
from plaitbook.meaning.facts import WEARER


def test_a_first_book_from_nothing(tmp_path):
    root = tmp_path / "new" / "book"
    with page_of(root) as served:
        book = served.get("book")[1]
        assert not book["started"] and len(book["looks"]) >= 8 and not root.exists(), "looking makes nothing"
        assert served.raw("GET", "/api/map?file=looks/lantern.plait")[0] == 200
        assert served.post("begin", {"wearer": {"name": ""}})[0] == 400 and not root.exists(), "nor does a form with a mistake"
        made = served.post("begin", {"wearer": {"name": "Odile", "strand": "fine", "density": "medium", "own hair": "9 in", "scalp": "healthy"}})
        assert made == (200, {"wearer": "Odile"})
        book = served.get("book")[1]
        assert book["started"] and "Odile" in book["wearers"] and book["troubles"] == []
        card = served.post("card", {"name": LOOK, "text": served.text(), "wearer": "Odile"})[1]
        assert card["problems"] == [] and "Odile" in card["parts"]["head"]["html"]
        assert served.post("begin", {"wearer": None})[0] == 200 and "Odile" in served.get("book")[1]["wearers"], "a book is never made over"


def test_every_answer_of_the_form_is_one_the_compiler_reads():
    for fact, answers in ANSWERS.items():
        assert fact in WEARER
        for answer in answers:
            name, text = wearer_text({"name": "A", fact: answer})
            assert f"{fact} {answer}" in text and not file_meaning("edition 1\n" + text, "a.plait").problems
    for fact, units in MEASURES.items():
        for unit in units:
            number = {"age": "30", "own hair": "20", "circumference": "22" if unit == "in" else "56"}[fact]
            assert f"{fact} {number} {unit}" in wearer_text({"name": "A", fact: f"{number} {unit}"})[1]


def test_what_is_left_open_is_not_written():
    assert wearer_text({"name": " Ana  Maria ", "strand": "unknown", "scalp": ""}) == ("Ana Maria", 'wearer "Ana Maria"\n')
    assert 'allergies "latex", "nickel"' in wearer_text({"name": "A", "allergies": 'latex; "nickel"'})[1]


@pytest.mark.parametrize("answers", [
    {}, {"name": ""}, {"name": "x" * 61}, {"name": 'A"\nallow L01'}, {"name": 7}, {"name": "A", "strand": "thick"},
    {"name": "A", "age": "seven"}, {"name": "A", "own hair": "9 miles"}, {"name": "A", "own hair": "9 in\ndemo"}, {"name": "A", "strand": ["fine"]},
    {"name": "A", "age": "500 years"}, {"name": "A", "own hair": "999 cm"},
])
def test_a_form_with_a_mistake_is_a_refusal(answers, writing):
    before = sorted(writing.root.rglob("*"))
    status, answer = writing.post("wearer", answers)
    assert status == 400 and answer["refused"] and answer["help"]
    assert sorted(writing.root.rglob("*")) == before


def test_a_wearer_of_ones_own_file(writing):
    assert writing.post("wearer", {"name": "Renée O", "own hair": "25,5 cm"})[1] == {"wearer": "Renée O", "file": "wearers/renée-o.plait"}
    assert 'own hair 25.5 cm' in writing.text("wearers/renée-o.plait") and 'use "wearers/renée-o.plait"' in writing.text("book.plait")
    assert "Renée O" in writing.get("book")[1]["wearers"]
    assert writing.post("wearer", {"name": "RENÉE O"})[0] == 409


@pytest.mark.parametrize("source, look", [(LOOK, "Saltmarsh"), ("looks/plain-saltmarsh.plait", None), ("looks/ebb-and-flow.plait", None)])
def test_a_look_of_ones_own(source, look, writing):
    status, made = writing.post("look", {"file": source, "look": look, "name": "My Autumn"})
    assert (status, made["look"], made["file"]) == (200, "My Autumn", "looks/my-autumn.plait")
    text = writing.text(made["file"])
    answer = writing.post("card", {"name": made["file"], "text": text, "wearer": "Noor"})[1]
    assert answer["problems"] == [] and answer["look"] == "My Autumn"
    assert not any(line.strip() == "demo" for line in text.split("\n")), "one's own look is no demo"
    assert writing.post("look", {"file": source, "look": look, "name": "My Autumn"})[1]["file"] == "looks/my-autumn-2.plait"


@pytest.mark.parametrize("name", ["", None, 'a"b', "a#b", "x" * 61])
def test_a_look_needs_a_name(name, writing):
    assert writing.post("look", {"file": LOOK, "look": "Saltmarsh", "name": name})[0] == 400
    assert writing.post("look", {"file": LOOK, "look": "Nobody", "name": "A"})[0] == 404
