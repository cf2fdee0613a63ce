"""The live card, what changed, explanations, papers, completion: what the page asks while somebody writes."""

from __future__ import annotations

import json
import re
from types import SimpleNamespace

import pytest
from desk_at import LOOK
from shipped_book import shipped_looks

from plaitbook.desk.page.asking import asked, listed
from plaitbook.desk.page.showing import compared
from plaitbook.plan.model import Figure

HOSTILE = 'edition 1\nrecipe "<img src=x onerror=alert(1)>" version 1\nsummary "</section><script>alert(2)</script>"\ntechnique plait\n' \
    'wearing 18 in\nnote "\' style= onload=alert(3) {{7*7}} ${7*7}"\nhair:\n  base: "Dune" colour "driftwood", cut 48 in\nsections:\n  grid brick 1 in\n' \
    'start: extension at root, 1 piece of base ½ pencil\nfeed: pieces of base ½ pencil, hold width 7 mm\nend: heat seal 180 °C\n'


def asked_of(served, text=None, **more):
    status, answer = served.post("card", {"name": LOOK, "text": served.text() if text is None else text, **more})
    assert status == 200, answer
    return answer


@pytest.mark.parametrize("name", shipped_looks())
def test_every_look_has_a_card(name, reading):
    text = reading.text(name)
    answer = reading.post("card", {"name": name, "text": text, "wearer": "Noor"})[1]
    assert answer["problems"] == [] and answer["order"][0] == "head" and answer["order"][-1] == "foot", answer
    assert {"never", "buy", "cut", "map", "strip", "zones", "finish", "clock"} <= set(answer["order"])
    assert {"sections", "packs", "chair", "price", "load", "added"} <= {row["what"] for row in answer["totals"]}
    html = "".join(part["html"] for part in answer["parts"].values())
    assert ' style="' not in re.sub(r">[^<]*<", "><", html), "a strict policy allows no style attribute"


def test_only_what_changed_is_sent(reading):
    first = asked_of(reading)
    have = {key: part["mark"] for key, part in first["parts"].items()}
    assert asked_of(reading, have=have)["parts"] == {}
    words = asked_of(reading, reading.text().replace("loose curls down", "long curls down"), have=have)
    assert set(words["parts"]) <= {"head", "look", "foot"} and "head" in words["parts"]
    wider = asked_of(reading, reading.text().replace("width 7 mm", "width 8 mm"), have=have)
    assert "map" not in wider["parts"] and "strip" in wider["parts"]


def test_a_step_more_changes_no_part_after_it(reading):
    have = {key: part["mark"] for key, part in asked_of(reading)["parts"].items()}
    assert list(asked_of(reading, have=have, with_look=True)["parts"])[-1] == "look"


def test_what_is_in_view_comes_first_and_the_rest_is_the_same_card(reading):
    whole = asked_of(reading)
    first = asked_of(reading, first=["never", "map", "nonsense"])
    assert first["more"] and not whole["more"] and "sliders" not in first and first["totals"] == whole["totals"]
    assert set(first["parts"]) == {"head", "never", "map", "foot"}
    have = {key: part["mark"] for key, part in first["parts"].items()}
    rest = asked_of(reading, have=have)
    assert rest["order"] == whole["order"] and rest["sliders"] == whole["sliders"]
    assert {**rest["parts"], **first["parts"]} == whole["parts"]
    for wrong in ("never", [1], [["never"]], {"never": 1}, ["n"] * 101, ["\ud800"]):
        assert reading.post("card", {"name": LOOK, "text": reading.text(), "first": wrong})[0] == 400


def test_a_guess_is_worked_out_and_kept_for_the_key_that_comes(reading, monkeypatch):
    text = reading.text().replace("every 9 stitches", "every 13 stitches")
    asked_of(reading)
    assert asked_of(reading, text, ahead=True) == {}
    monkeypatch.setattr("plaitbook.desk.editing.session.compile_from_book", None)
    assert asked_of(reading, text)["totals"] != asked_of(reading)["totals"]
    assert asked_of(reading, "edition 1\nnonsense", ahead=True) == {}, "a guess with a mistake is no mistake"


def test_what_changes_is_told_against_the_saved_version(reading):
    assert all(row["moved"] == 0 for row in asked_of(reading)["totals"])
    rows = {row["what"]: row for row in asked_of(reading, reading.text().replace("every 9 stitches", "every 4 stitches"))["totals"]}
    assert rows["price"]["moved"] > 0 and rows["chair"]["moved"] > 0 and rows["chair"]["before"] != rows["chair"]["said"]
    assert rows["sections"]["moved"] == 0
    assert asked_of(reading, reading.text().replace("every 9 stitches", "every 4 stitches"))["version"] == asked_of(reading)["version"]


def test_a_new_hair_has_no_before():
    rows = compared([{"key": "a", "value": 2.0, "said": "2"}, {"key": "b", "value": 1.0, "said": "1"}], [{"key": "a", "value": 1.0, "said": "1"}])
    assert [(row["before"], row["moved"]) for row in rows] == [("1", 1.0), ("", None)]


def test_choices_and_picks(reading):
    answer = asked_of(reading)
    assert [one["name"] for one in answer["choices"]] == ["size", "length"]
    assert answer["choices"][0]["options"] == ["small", "medium", "large"] and answer["picked"] == {"size": "medium", "length": "mid back"}
    small = asked_of(reading, picks={"size": "small"})
    assert small["picked"]["size"] == "small"
    assert {r["what"]: r["value"] for r in small["totals"]}["sections"] > {r["what"]: r["value"] for r in answer["totals"]}["sections"]
    inherited = reading.post("card", {"name": "looks/plain-saltmarsh.plait", "text": reading.text("looks/plain-saltmarsh.plait")})[1]
    assert [one["name"] for one in inherited["choices"]] == ["size", "length"], "what a look inherits can be picked too"


def test_a_choice_that_her_own_line_overrules_is_not_offered(reading):
    text = 'edition 1\nuse "saltmarsh.plait"\n\nrecipe "Kid" version 1 based on "Saltmarsh"\nwearing 14 in\n'
    answer = reading.post("card", {"name": "looks/kid.plait", "text": text})[1]
    assert [one["name"] for one in answer["choices"]] == ["size"] and answer["picked"] == {"size": "medium"} and not answer["problems"]
    assert "mid back" not in re.sub(r"<svg.*?</svg>", "", answer["parts"]["head"]["html"])
    late = reading.post("card", {"name": "looks/kid.plait", "text": text, "picks": {"length": "waist"}})[1]
    assert ["'wearing 14 in' itself (looks/kid.plait:5)" in one["message"] for one in late["problems"]] == [True] and "order" not in late


def test_a_mistake_is_marked_with_its_fix(reading):
    answer = asked_of(reading, reading.text().replace("technique plait", "tecnique plait"))
    assert "order" not in answer and answer["sliders"]
    problem = answer["problems"][0]
    assert (problem["line"], problem["column"]) == (8, 1) and problem["fixes"][0]["edits"][0]["text"] == "technique"


def test_a_mistake_elsewhere_names_its_file(writing):
    path = writing.root / "hairs.plait"
    path.write_text(path.read_text("utf-8").replace("fibre modacrylic", "fibre modacrilic", 1), "utf-8")
    answer = asked_of(writing)
    assert answer["problems"][0]["file"] == "hairs.plait" and answer["problems"][0]["fixes"] == []


@pytest.mark.parametrize("text", ["", "\0", "recipe", 'edition 1\nrecipe "A"', "a" * 3000, '"' * 500, "(" * 500, "edition 1\n" * 50, "\u202e\ufeff", HOSTILE[:80]])
def test_any_text_has_an_answer(text, reading):
    assert "problems" in asked_of(reading, text)
    assert reading.post("complete", {"name": LOOK, "text": text, "line": 1, "column": 1})[0] == 200
    assert reading.post("hover", {"name": LOOK, "text": text, "line": 999, "column": -5})[0] == 200


def test_hostile_words_stay_words(reading):
    answer = asked_of(reading, HOSTILE)
    html = "".join(part["html"] for part in answer["parts"].values())
    assert not answer["problems"] and "&lt;img src=x" in html
    assert "<img" not in html and "<script" not in html and "49" not in answer["parts"]["head"]["html"]
    assert not re.search(r"<[^<>]*\son\w+\s*=", html)
    made = reading.post("station", {"name": LOOK, "text": HOSTILE})[1]
    _, headers, page = reading.raw("GET", made["address"])
    assert b"<img" not in page and page.count(b"<script") <= 2 and b"alert(2)</script>" not in page
    assert "script-src 'sha256-" in headers["content-security-policy"] and "frame-ancestors 'none'" in headers["content-security-policy"]


def test_completion_and_hover_come_from_the_compiler(reading):
    text = reading.text()
    line = next(n for n, words in enumerate(text.split("\n"), 1) if words.startswith("wearing"))
    offers = reading.post("complete", {"name": LOOK, "text": text.replace("wearing by length", "wea"), "line": line, "column": 4})[1]["offers"]
    assert "wearing" in [offer["label"] for offer in offers]
    hover = reading.post("hover", {"name": LOOK, "text": text, "line": line, "column": 2})[1]
    assert hover["text"] and hover["line"] == line


def test_a_total_is_explained_down_to_its_inputs(reading):
    why = reading.post("explain", {"name": LOOK, "text": reading.text(), "wearer": "Ilse", "key": "quote.total"})[1]["why"]
    root = why["nodes"]["quote.total"]
    assert root["formula"] and root["inputs"]
    leaves = [i for node in why["nodes"].values() for i in node["inputs"] if not i["key"]]
    assert any(leaf["line"] and leaf["file"] for leaf in leaves), "some input is a line of the book"


def test_a_number_of_the_card_leads_to_its_figure(reading):
    plan_of = {"name": LOOK, "text": reading.text(), "wearer": "Ilse"}
    totals = {row["what"]: row for row in asked_of(reading, wearer="Ilse")["totals"]}
    for what, part in (("chair", "head"), ("sections", "head"), ("packs", "buy"), ("price", "quote"), ("added", "know")):
        row = totals[what]
        answer = reading.post("explain", {**plan_of, "number": row["said"], "part": part, "beside": f"{row['about']} {what} uses total"})[1]
        assert row["key"] in [one["key"] for one in answer["found"]], (what, row["said"], answer.get("found"))
    assert reading.post("explain", {**plan_of, "number": "123456789"})[1] == {"found": []}
    assert len(reading.post("explain", plan_of)[1]["figures"]) > 100
    assert reading.post("explain", {**plan_of, "key": "no.such"})[0] == 404


def test_every_number_that_is_a_figure_of_the_card_can_be_asked(reading):
    """The share of the numbers in the buying table and the clock's table that lead to a figure."""
    answer = asked_of(reading, wearer="Ilse")
    numbers = re.findall(r'<td role="cell" class="r">([^<]*\d[^<]*)</td>', answer["parts"]["buy"]["html"] + answer["parts"]["quote"]["html"])
    assert len(numbers) >= 6
    hit = [bool(reading.post("explain", {"name": LOOK, "text": reading.text(), "wearer": "Ilse", "number": number, "part": "buy"})[1]["found"])
           for number in numbers]
    assert sum(hit) >= 0.8 * len(hit), [n for n, yes in zip(numbers, hit) if not yes]


def test_figures_are_found_by_every_way_they_print():
    figures = {"a.length": Figure(key="a.length", label="length", value=457.2, unit="mm", formula="x", how="words"),
               "a.time": Figure(key="a.time", label="time", value=469.7, unit="min", formula="x", how="words")}

    done = SimpleNamespace(plan=SimpleNamespace(figures=figures), house=SimpleNamespace(language="english", units="inch"))
    for number, key in (("18 in", "a.length"), ("45.7 cm", "a.length"), ("7 h 50", "a.time")):
        assert [row["key"] for row in asked(done, "head", number, "")] == [key], number
    assert [row["key"] for row in asked(done, "head", "45,7", "", "fr")] == ["a.length"], "a French card prints a comma"
    assert {row["key"] for row in listed(done.plan)} == set(figures)


def test_the_card_speaks_its_own_language(reading):
    english, french = asked_of(reading), asked_of(reading, card_language="fr", language="fr")
    assert "Section map" in english["parts"]["map"]["html"] and "Section map" not in french["parts"]["map"]["html"]
    assert reading.post("card", {"name": LOOK, "text": "", "card_language": "xx"})[0] == 400


@pytest.mark.parametrize("what", ["card", "shopping", "aftercare"])
def test_papers_are_pdf(what, reading):
    status, headers, body = reading.raw("POST", "/api/paper", json.dumps(
        {"name": LOOK, "text": reading.text(), "what": what, "paper": "a4", "wearer": "Noor"}).encode())
    assert status == 200 and body.startswith(b"%PDF") and headers["content-disposition"].endswith('.pdf"')


def test_papers_there_are_not(reading):
    question = {"name": LOOK, "text": reading.text()}
    assert reading.post("paper", {**question, "what": "../x"})[0] == 400
    assert reading.post("paper", {**question, "paper": "a3"})[0] == 400
    assert reading.post("paper", {**question, "text": "edition 1\n"})[0] == 409


def test_a_file_without_looks_is_only_checked(reading):
    answer = reading.post("card", {"name": "hairs.plait", "text": reading.text("hairs.plait").replace("fibre", "fiber plastik #", 1)})[1]
    assert answer["looks"] == [] and answer["problems"] and answer["problems"][0]["file"] == "hairs.plait"


def test_the_map_of_a_look(reading):
    status, headers, body = reading.raw("GET", "/api/map?file=looks/lantern.plait&look=Lantern")
    assert status == 200 and headers["content-type"].startswith("image/svg+xml") and body.startswith(b"<svg")
    assert "default-src 'none'" in headers["content-security-policy"]
    for bad in ("file=wearers.plait", "file=../x.plait", "", "file=looks/lantern.plait&look=Nobody"):
        assert reading.raw("GET", f"/api/map?{bad}")[0] == 404
