"""A changed hair or rule is caught by the look's seal, a changed rate by the plan's; a reformatted recipe by neither."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from plaitbook.desk.book.opened import open_looks
from plaitbook.plan.aloud import CONSONANTS, DOT_CHARACTERS, LETTERS, VOWELS, aloud, dotted
from plaitbook.plan.canonical import plain, written
from plaitbook.syntax.tidy import tidy

from shipped_book import compile_in_book, shipped_looks, shipped_text


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text, f"{old!r} is not in {path.name}"
    path.write_text(text.replace(old, new, 1), "utf-8")


def seals(book: Path, file: str = "looks/saltmarsh.plait", wearer: str = "Noor"):
    """(look, plan) of the only look of a file."""
    opened = open_looks(str(book / file), wearer)
    done = opened.compiled(opened.looks[0].name, {})
    assert not done.problems, done.problems
    return done.plan.head.seal.look, done.plan.head.seal.plan


def outside_quotes(text: str, old: str, new: str) -> str:
    """The text with something replaced wherever it doesn't stand in quotes."""
    return "\n".join('"'.join(part if n % 2 else part.replace(old, new) for n, part in enumerate(line.split('"')))
                     for line in text.split("\n"))


REFORMATTED = [
    ("a comment", lambda text: "# Made on a Tuesday.\n" + text.replace("mirrored\n", "mirrored  # both sides\n")),
    ("no indentation", lambda text: re.sub(r"(?m)^ +", "", text)),
    ("wider spaces", lambda text: outside_quotes(text, " ", "   ")),
    ("untidy, then tidied", lambda text: tidy(outside_quotes(text, " ", "  ").replace(": ", " :")).replace("# Demo look", "# A demo look")),
    ("typed on a telephone", lambda text: outside_quotes(text, " ", "\u00a0").replace('"', "\u201d").replace("\n", "\r\n")),
    ("other spellings of a measure", lambda text: text.replace("¾ in", "0.75 in").replace("48 in", "4 ft").replace("180 °C", "356 °F")),
    ("other spellings of a number", lambda text: text.replace("½ pencil", "0.5 pencil").replace("18 in", "1 1/2 ft")),
    ("statements in another order", lambda text: text.replace("  parting centre\n  mirrored\n", "  mirrored\n  parting centre\n")),
    ("words of a condition in another order", lambda text: text.replace("thin or fragile", "fragile or thin")),
    ("no empty lines", lambda text: re.sub(r"\n+", "\n", text)),
]


@pytest.mark.parametrize("rewrite", [r for _, r in REFORMATTED], ids=[n for n, _ in REFORMATTED])
def test_a_reformatted_recipe_changes_neither(book: Path, rewrite) -> None:
    before = seals(book)
    path = book / "looks/saltmarsh.plait"
    text = rewrite(path.read_text("utf-8"))
    assert text != path.read_text("utf-8")
    path.write_text(text, "utf-8", newline="")
    assert seals(book) == before


LOOK_CHANGES = [
    ("a hair's weight", "hairs.plait", "pack 80 g", "pack 85 g"),
    ("a hair's price", "hairs.plait", "price 3.20 USD", "price 3.30 USD"),
    ("a hair's heat", "hairs.plait", "styling ceiling 80 °C", "styling ceiling 90 °C"),
    ("a hair's colours", "hairs.plait", '"ember", "wet sand"', '"ember"'),
    ("a rule's limit", "house-rules.plait", "over 4 and", "over 5 and"),
    ("a rule's severity", "house-rules.plait", "severity note", "severity warn"),
    ("a rule's words", "house-rules.plait", "split it over two days", "split it over three days"),
    ("a rule's comparison", "house-rules.plait", "hairs under 60", "hairs at most 60"),
    ("the end", "looks/saltmarsh.plait", "knot 5 turns", "knot 4 turns"),
    ("an option nobody took", "looks/saltmarsh.plait", "waist is 22 in", "waist is 23 in"),
    ("an adaptation that doesn't hold", "looks/saltmarsh.plait", "when strand is coarse: width 10 mm", "when strand is coarse: width 9 mm"),
    ("a condition turned round", "looks/saltmarsh.plait", "when strand is fine:", "when strand is not fine:"),
    ("the version", "looks/saltmarsh.plait", "version 3", "version 4"),
    ("the words it prints", "looks/saltmarsh.plait", "loose curls down", "loose curls far down"),
    ("a product", "looks/saltmarsh.plait", '"light oil" 4 g', '"light oil" 5 g'),
    ("the order of two end steps", "looks/saltmarsh.plait", "leave curls loose, trim straight ends", "trim straight ends, leave curls loose"),
]


@pytest.mark.parametrize(("file", "old", "new"), [c[1:] for c in LOOK_CHANGES], ids=[c[0] for c in LOOK_CHANGES])
def test_a_changed_hair_rule_or_statement_changes_both(book: Path, file: str, old: str, new: str) -> None:
    look, plan = seals(book)
    change(book / file, old, new)
    now = seals(book)
    assert now[0] != look
    assert now[1] != plan


PLAN_CHANGES = [
    ("a rate", "houses.plait", "opens 09:00", 'opens 09:00\nrate "stitch" 5 s'),
    ("a rate's spread", "houses.plait", "opens 09:00", 'opens 09:00\nrate "feed in" 5 s, spread 30 %'),
    ("a wage", "houses.plait", "labour 34 USD", "labour 35 USD"),
    ("a house's own price", "houses.plait", "opens 09:00", 'opens 09:00\nprice "Dune" 2.00 USD'),
    ("a fact of the wearer", "wearers.plait", "age 27 years", "age 28 years"),
    ("the wearer's scalp", "wearers.plait", "ear to ear 33 cm", "ear to ear 34 cm"),
]


@pytest.mark.parametrize(("file", "old", "new"), [c[1:] for c in PLAN_CHANGES], ids=[c[0] for c in PLAN_CHANGES])
def test_a_changed_rate_house_or_wearer_changes_the_plan_only(book: Path, file: str, old: str, new: str) -> None:
    look, plan = seals(book)
    change(book / file, old, new)
    now = seals(book)
    assert now[0] == look
    assert now[1] != plan


def test_learning_moves_the_plan_and_not_the_look(book: Path) -> None:
    from plaitbook.desk.log_store import Learned, keep_lesson, store_path

    look, plan = seals(book)
    opened = open_looks(str(book / "looks/saltmarsh.plait"))
    from plaitbook.passes.rates import rates_for

    base = rates_for(opened.book.houses["Harbour Chair"])["knot"].seconds
    (book / ".plait").mkdir(exist_ok=True)
    keep_lesson(store_path(book), "Harbour Chair", "2026-01-01T10:00", 5, (Learned("knot", base, base, base * 1.1),))
    assert seals(book)[0] == look
    assert seals(book)[1] != plan


def test_a_hair_the_look_does_not_use_changes_nothing(book: Path) -> None:
    before = seals(book)
    change(book / "hairs.plait", "pack 165 g", "pack 170 g")
    assert seals(book) == before


def test_the_look_is_the_same_for_every_wearer_and_house() -> None:
    text = shipped_text("looks/saltmarsh.plait")
    made = [compile_in_book(text, "looks/saltmarsh.plait", wearer=w, house=h).plan.head.seal
            for w in ("Noor", "Ilse", None) for h in ("Harbour Chair", "Zimmer Sieben")]
    assert len({seal.look for seal in made}) == 1
    assert len({seal.plan for seal in made}) == len(made)


def test_a_changed_base_changes_the_look_built_on_it(book: Path) -> None:
    before = seals(book, "looks/plain-saltmarsh.plait")
    change(book / "looks/saltmarsh.plait", "width 5 mm", "width 6 mm")
    assert seals(book, "looks/plain-saltmarsh.plait")[0] != before[0]


def test_picking_what_would_be_taken_anyway_is_another_plan() -> None:
    text = shipped_text("looks/saltmarsh.plait")
    plans = [compile_in_book(text, "looks/saltmarsh.plait", wearer="Noor", picks=picks).plan for picks in ({}, {"size": "medium"})]
    assert plans[0].head.choices == plans[1].head.choices
    assert plans[0].head.seal.look == plans[1].head.seal.look
    assert plans[0].head.seal.plan != plans[1].head.seal.plan  # it undoes an adaptation


# --- the lock file -------------------------------------------------------------------


def test_check_says_which_hair_rule_and_statement(book: Path, plait) -> None:
    look = book / "looks/saltmarsh.plait"
    assert plait("seal", look, "--wearer", "Noor").code == 0
    good = plait("check", "--sealed", look)
    assert good.code == 0 and "exactly as sealed" in good.out
    change(book / "hairs.plait", "pack 80 g", "pack 85 g")
    change(book / "house-rules.plait", "over 4 and", "over 5 and")
    change(look, "knot 5 turns", "knot 4 turns")
    bad = plait("check", "--sealed", look)
    assert bad.code == 1
    for words in ('hair "Dune": pack was 80 g, is 85 g', "rule X01", "end: turns was 5, is 4"):
        assert words in bad.out, bad.out
    assert max(map(len, bad.out.splitlines())) <= 80


def test_check_says_that_a_rate_moved_and_the_look_did_not(book: Path, plait) -> None:
    look = book / "looks/saltmarsh.plait"
    plait("seal", look, "--wearer", "Noor")
    change(book / "houses.plait", "opens 09:00", 'opens 09:00\nrate "stitch" 5 s')
    found = plait("check", "--sealed", look, "--format", "json")
    assert found.code == 1
    first, second = json.loads(found.out)[:2]
    assert first["holds"] and not second["holds"]
    assert second["differs"] == ["rate stitch is not the same"]


def test_the_lock_holds_no_facts_of_a_wearer(book: Path, plait) -> None:
    plait("seal", *sorted((book / "looks").glob("*.plait")), "--wearer", "Tomasz")
    text = (book / "book.seal").read_text("utf-8")
    assert "latex" not in text and "receding" not in text and "41" not in re.findall(r'"age_years": "(.*?)"', text)
    lock = json.loads(text)
    assert set(lock["looks"]) == {"Saltmarsh", "Plain Saltmarsh", "Quayside", "Fernrope", "Lantern", "Pebble Bob", "Shingle Rows",
                                  "Thistledown", "Ebb and Flow"}


@pytest.mark.parametrize(("old", "new"), [
    ('"seal": 1', '"seal": 9'), ('"seal": 1', '"seal": "1"'), ('"pack_g": "80"', '"pack_g": "81"'), ('{', '[', ), ('"looks"', '"lokos"'),
    ('"version": 3', '"version": "three"'),
], ids=["another form", "a word for a form", "changed by hand", "no JSON", "an unknown field", "a wrong type"])
def test_a_lock_that_was_tampered_with_is_refused(book: Path, plait, old: str, new: str) -> None:
    look = book / "looks/saltmarsh.plait"
    plait("seal", look)
    change(book / "book.seal", old, new)
    for command in (("check", "--sealed"), ("seal",)):
        found = plait(*command, look)
        assert found.code == 1
        assert "book.seal" in found.out + found.err and "Traceback" not in found.err


def test_a_look_that_is_not_sealed_does_not_pass(book: Path, plait) -> None:
    found = plait("check", "--sealed", book / "looks/saltmarsh.plait")
    assert found.code == 1 and "not sealed yet" in found.out


def test_sealing_again_says_what_became_of_it(book: Path, plait) -> None:
    look = book / "looks/saltmarsh.plait"
    plait("seal", look, "--wearer", "Noor")
    assert "as sealed before" in plait("seal", look).out
    change(look, "knot 5 turns", "knot 4 turns")
    again = plait("seal", look)
    assert "raise the version" in again.out and "dropped" in again.out
    assert plait("check", "--sealed", look).code == 0


def test_a_look_with_mistakes_seals_nothing(book: Path, plait) -> None:
    change(book / "looks/saltmarsh.plait", "grid brick", "grid brik")
    found = plait("seal", book / "looks/pebble-bob.plait", book / "looks/saltmarsh.plait")
    assert found.code == 1 and not (book / "book.seal").exists()


@pytest.mark.parametrize("form", ["json", "html", "txt", "pdf"])
def test_a_card_is_held_to_the_seal(book: Path, plait, form: str) -> None:
    look, card = book / "looks/pebble-bob.plait", book / f"card.{form}"
    plait("seal", look)
    plait("card", look, "--wearer", "Pim", "-o", card)
    good = plait("check", "--sealed", card)
    assert good.code == 0 and "Pebble Bob" in good.out, good.out
    change(look, "until width 6 mm", "until width 7 mm")
    plait("card", look, "--wearer", "Pim", "-o", card)
    assert plait("check", "--sealed", card).code == 1


def test_a_json_card_with_one_figure_changed_is_found_out(book: Path, plait) -> None:
    look, card = book / "looks/pebble-bob.plait", book / "card.json"
    plait("seal", look)
    plait("card", look, "--wearer", "Pim", "-o", card)
    data = json.loads(card.read_text("utf-8"))
    data["figures"]["sections.count"]["value"] += 1
    card.write_text(json.dumps(data), "utf-8")
    found = plait("check", "--sealed", card)
    assert found.code == 1 and "sections.count" in found.out


def test_a_json_card_with_picks_and_a_stand_in_is_made_again(book: Path, plait) -> None:
    look, card = book / "looks/saltmarsh.plait", book / "card.json"
    plait("seal", look)
    plait("card", look, "--wearer", "Noor", "--choose", "size=medium", "--instead", "Dune=Kelp", "-o", card)
    found = plait("check", "--sealed", card)
    assert found.code == 0 and "exactly what" in found.out, found.out


# --- hashes as words -------------------------------------------------------------------


@given(st.binary(min_size=32, max_size=32), st.binary(min_size=32, max_size=32))
def test_hashes_read_aloud(one: bytes, other: bytes) -> None:
    said = aloud(one.hex())
    assert re.fullmatch(rf"(?:[{CONSONANTS}][{VOWELS}]){{2}}(?:-(?:[{CONSONANTS}][{VOWELS}]){{2}}){{3}}", said)
    assert (aloud(other.hex()) == said) == (int.from_bytes(one) % 80**8 == int.from_bytes(other) % 80**8)
    dots = dotted(one.hex(), other.hex())
    assert re.fullmatch(rf"[{LETTERS} 1]+", dots) and len(dots) <= 90, "90 letters fit a square of version 4, level M"
    assert len(dots.split()[4]) == DOT_CHARACTERS


def test_the_dots_hold_the_beginning_of_the_hash() -> None:
    from base64 import b32encode

    hexadecimal = "496099c1c2c62f0f54cf5b5801bfbc533184639dc8ca2fbd58ec5474079d3568"
    assert dotted(hexadecimal, hexadecimal).split()[4] == b32encode(bytes.fromhex(hexadecimal)).decode()[:DOT_CHARACTERS]


@pytest.mark.parametrize("file", shipped_looks())
def test_every_shipped_look_is_written_down_without_places(file: str) -> None:
    opened = open_looks(str(Path(shipped_file(file))))
    made_of, problems = opened.made_of(opened.looks[0])
    assert made_of is not None and not problems
    text = written(plain(made_of))
    assert ".plait" not in text and '"line"' not in text and '"origin"' not in text and '"text"' not in text


def shipped_file(name: str) -> Path:
    from plaitbook.shipped import shipped_folder

    return shipped_folder("recipes") / name
