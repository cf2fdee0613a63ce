"""Hover, hints and findings say what the plan says; meanings keep up with the vocabulary."""

from __future__ import annotations

import pytest

from plaitbook.compile import Request
from plaitbook.desk.editing.findings import findings
from plaitbook.desk.editing.hints import hints
from plaitbook.desk.editing.hovering import hover
from plaitbook.desk.editing.meanings import MEANINGS, meaning_of
from plaitbook.desk.editing.session import Session
from plaitbook.syntax import vocabulary

LOOK = "looks/saltmarsh.plait"
ILSE = Request(wearer="Ilse")


def at(session: Session, name: str, words: str, inside: int = 0, request: Request = ILSE) -> str:
    before = session.text(name)[: session.text(name).index(words) + inside]
    found = hover(session, name, before.count("\n") + 1, len(before) - before.rfind("\n"), request)
    return "" if found is None else found.text.replace("\u00a0", " ")


def test_every_leading_word_has_a_meaning() -> None:
    for word in (*vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS):
        assert meaning_of("recipe", word), word
    for kind, words in (("rule", vocabulary.RULE_STATEMENTS), *vocabulary.FACTS.items()):
        for word in words:
            assert MEANINGS[kind].get(word), (kind, word)
    for word in (*vocabulary.DECLARATIONS, "edition", "use"):
        assert meaning_of("", word), word


@pytest.mark.parametrize("line,words,wanted", [
    ("wearing 18 in", "18", "45.7 cm"), ("wearing 45 cm", "45", "17¾ in"), ("wearing 16 to 18 in", "16", "40.6 cm to 45.7 cm"),
    ("end: heat seal 180 °C", "180", "356 °F"), ("end: heat seal 350 °F", "350", "177 °C"),
    ("finish \"x\" 20 g", "20", "0.71 oz"), ("finish \"x\" 2 oz", "2 oz", "56.7 g"),
    ("start: extension at root, 1 piece of base ½ pencil", "½", "3.5 mm"), ("when age over 18 months: width 5 mm", "18", "78.3 weeks"),
    ("end: dip 80 °C for 90 s", "90", "2 min"), ("grid brick 1\"", "1", "25.4 mm"),
])
def test_a_quantity_is_shown_in_the_other_system(session: Session, line: str, words: str, wanted: str) -> None:
    session.put(LOOK, f'edition 1\nrecipe "A"\nhair: base: "Dune", cut 40 in\n{line}\n')
    assert wanted in at(session, LOOK, line, line.index(words))


def test_names_are_told_by_their_facts(session: Session) -> None:
    assert "modacrylic" in at(session, LOOK, '"Dune"', 2) and "ember" in at(session, LOOK, '"Dune"', 2)
    choice = at(session, LOOK, "by size", 4)
    assert "medium (taken): grid 1 in" in choice and "small: grid ¾ in" in choice
    assert "small (taken)" in at(session, LOOK, "by size", 4, Request(picks={"size": "small"}))
    assert "Ilse: fine" in at(session, LOOK, "strand is fine", 2)
    assert "Thistledown" not in at(session, LOOK, "summary", 2)


def test_a_rules_reason_is_shown_where_its_code_stands(session: Session) -> None:
    session.put(LOOK, session.text(LOOK) + '\nallow H02 because "we checked it twice"\nallow X02 because "she knows it"\n')
    assert "*Why.*" in at(session, LOOK, "H02", 1)
    assert "Offer to split it over two days" in at(session, LOOK, "X02", 1)


def test_hover_and_hints_say_what_the_plan_says(session: Session) -> None:
    plan = session.compile(LOOK, ILSE).plan
    assert plan is not None
    found = {hint.line: hint for hint in hints(session, LOOK, ILSE)}
    lines = session.text(LOOK).split("\n")

    def beside(words: str) -> str:
        number = next(n for n, line in enumerate(lines, 1) if words in line)
        return found[number].text.replace("\u00a0", " ")

    parted = sum(zone.sections for zone in plan.sections.zones if zone.zone != "hairline")
    assert beside("grid brick by size") == f"≈ {parted} sections"
    curls = next(line for line in plan.material.hair if "curls" in line.roles)
    assert str(int(curls.packs_used)) in beside('curls: "Dune Curl"') and beside('curls: "Dune Curl"').endswith("packs")
    assert beside("accents: every 9") == f"{plan.figures['material.curls.pieces'].value:.0f} in all"
    assert beside("wearing by length") == f"{plan.strand_kinds[0].stitches} stitches"
    assert beside("when strand is fine") == "holds for Ilse"
    assert str(plan.sections.count - parted) in at(session, LOOK, "hairline brick")
    assert f"buy {curls.packs_to_buy}" in at(session, LOOK, 'curls: "Dune Curl"', 2)


def test_a_measured_head_has_no_about(session: Session) -> None:
    texts = [hint.text for hint in hints(session, LOOK, Request(wearer="Noor"))]
    assert any("sections" in text for text in texts) and not any(text.startswith("≈") for text in texts)


def test_an_expectation_is_told_for_whom_it_is_meant(session: Session) -> None:
    name = "looks/pebble-bob.plait"
    assert not any(h.text.startswith("now") for h in hints(session, name, ILSE))
    assert any(h.text.startswith("now") and h.text.endswith("g") for h in hints(session, name, Request(wearer="Pim")))


def test_hints_stand_behind_the_words_and_before_the_comment(session: Session) -> None:
    session.put(LOOK, session.text(LOOK).replace("hairline brick ¾ in", "hairline brick ¾ in   # small"))
    line = next(n for n, text in enumerate(session.text(LOOK).split("\n"), 1) if "# small" in text)
    (hint,) = [each for each in hints(session, LOOK, ILSE) if each.line == line]
    assert hint.column == len("  hairline brick ¾ in") + 1


def test_a_text_with_a_mistake_has_no_hints(session: Session) -> None:
    session.put(LOOK, session.text(LOOK).replace("technique", "techniqu"))
    assert hints(session, LOOK, ILSE) == () and findings(session, LOOK, ILSE) == ()


def test_findings_stand_in_the_file_that_is_asked_about(session: Session) -> None:
    found = findings(session, LOOK, ILSE)
    assert {each.span.file for each in found} == {LOOK}
    own = next(each for each in found if each.finding.code == "X01")
    assert own.elsewhere is not None and own.elsewhere.file == "house-rules.plait"
    hairline = next(each for each in found if each.finding.code == "L05")
    assert session.text(LOOK).split("\n")[hairline.span.line - 1].strip().startswith("hairline")
