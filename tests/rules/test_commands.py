"""``plait why`` and ``plait explain`` as they are run, and what a finding looks like at a terminal."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from plaitbook.desk.command import main
from plaitbook.desk.messages import finding_text
from plaitbook.plan.model import Finding
from plaitbook.rules import REASON_RULES, RULES
from plaitbook.shipped import shipped_folder

LOOK = "looks/saltmarsh.plait"


@pytest.fixture
def at_the_book(monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = shipped_folder("recipes")
    monkeypatch.chdir(folder)
    return folder


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main(list(arguments))
    said = capsys.readouterr()
    assert max((len(line) for line in (said.out + said.err).splitlines()), default=0) <= 96
    return code, said.out, said.err


@pytest.mark.parametrize("code", sorted(rule.code for rule in (*RULES, *REASON_RULES)))
def test_why_prints_every_page(capsys: pytest.CaptureFixture[str], code: str) -> None:
    done, out, _ = run(capsys, "why", code.lower())
    assert done == 0 and out.startswith(f"{code}: ") and "\nSource: " in out and "\nWhat to do: " in out
    assert max(map(len, out.splitlines())) <= 80


def test_why_lists_guesses_and_knows_the_houses_own(capsys: pytest.CaptureFixture[str], at_the_book: Path) -> None:
    done, out, _ = run(capsys, "why")
    assert done == 0 and len(out.splitlines()) == len(RULES) + len(REASON_RULES)
    done, _, err = run(capsys, "why", "H0Z")
    assert done == 1 and "did you mean 'H0" in err
    done, out, _ = run(capsys, "why", "x01", LOOK)
    assert done == 0 and out.startswith("X01: ") and "added to own over 4 and strand is fine" in out
    assert run(capsys, "why", "X01")[0] == 1
    done, _, err = run(capsys, "why", "X01", "nowhere.plait")
    assert done == 1 and "there is no file" in err


def test_explain_a_code_shows_finding_condition_values_and_trees(
        capsys: pytest.CaptureFixture[str], at_the_book: Path) -> None:
    done, out, _ = run(capsys, "explain", LOOK, "X01", "--wearer", "Ilse")
    assert done == 0
    for words in ("found: More than four times her own hair", "asks: added to own over 4 and strand is fine",
                  "  added to own = ", '  strand = fine  (wearer "Ilse" line', "load.added_to_own = "):
        assert words in out
    done, out, _ = run(capsys, "explain", "looks/lantern.plait", "W04")
    assert done == 0 and "heat = " in out and "dips:" in out
    done, out, _ = run(capsys, "explain", LOOK, "G02")
    assert done == 0 and "found: nothing here" in out and "it holds for none of" in out


@pytest.mark.parametrize("code", sorted(rule.code for rule in RULES))
def test_every_code_can_be_explained(capsys: pytest.CaptureFixture[str], at_the_book: Path, code: str) -> None:
    done, out, _ = run(capsys, "explain", "looks/quayside.plait", code, "--wearer", "Pim")
    assert done == 0 and out.startswith(f"{code}: ") and "why: " in out


def test_explain_takes_the_words_of_the_rules_and_guesses(capsys: pytest.CaptureFixture[str], at_the_book: Path) -> None:
    done, out, _ = run(capsys, "explain", LOOK, "added weight")
    assert done == 0 and out.startswith("material.added_worn_g = ")
    for typo, near in (("quote.totl", "quote.total"), ("X0l", "X01"), ("added wieght", "added weight")):
        done, _, err = run(capsys, "explain", LOOK, typo)
        assert done == 1 and near in err, err


def test_what_moves_a_figure_most_is_ranked(capsys: pytest.CaptureFixture[str], at_the_book: Path) -> None:
    done, out, _ = run(capsys, "explain", "looks/pebble-bob.plait", "quote.total", "--wearer", "Ilse", "--moves")
    assert done == 0
    ranked = [line for line in out.splitlines() if line[:4].strip().rstrip(".").isdigit()]
    assert len(ranked) >= 8 and any("labour per hour" in line for line in ranked)
    assert "more numbers don't move it" in out and "%)" in out
    done, _, err = run(capsys, "explain", LOOK, "X01", "--moves")
    assert done == 1 and "about a figure" in err


def test_moves_are_what_a_changed_text_gives() -> None:
    """Ten per cent more pay an hour, written into the house, moves the total as far as the ranking says."""
    from shipped_book import SMALL, compile_in_book

    from plaitbook.desk.moves import what_moves

    text = SMALL + '\nhouse "Own"\ncurrency USD\nlabour {} USD an hour\n'
    base = compile_in_book(text.format("30.00"), house="Own")
    if base.plan is None:
        text = SMALL + '\nhouse "Own"\ncurrency USD\nlabour {} USD\n'
        base = compile_in_book(text.format("30.00"), house="Own")
    assert base.plan is not None, [p.message for p in base.problems]
    more = compile_in_book(text.format("33.00"), house="Own")
    move = next(m for m in what_moves("quote.labour", base, "looks/mine.plait") if m.name == "labour per hour")
    assert more.plan is not None and move.up.value == pytest.approx(float(more.plan.figures["quote.labour"].value), rel=1e-9)
    assert move.up.share == pytest.approx(0.1, rel=1e-2)


def test_a_finding_shows_its_line_underlined() -> None:
    finding = Finding(code="H01", severity="stop", message="sealing at 410 °F (210 °C) in every zone", reason="r",
                      source="s", fix="seal at 390 °F or less", file="looks/mine.plait", line=11)
    lines = {11: 'end: heat seal 210 °C   # too hot'}
    text = finding_text(finding, lambda file, line: lines[line], lambda file: f"book/{file}")
    assert text == (
        "book/looks/mine.plait:11: Stop H01: sealing at 410 °F (210 °C) in every zone\n"
        "   11 | end: heat seal 210 °C   # too hot\n"
        "      | ^^^^^^^^^^^^^^^^^^^^^\n"
        "  try: seal at 390 °F or less")
    assert finding_text(finding).startswith("Stop H01 (line 11): sealing")
    gone = finding_text(finding, lambda file, line: "")
    assert "^" not in gone and "try: " in gone


def test_check_shows_stops_and_warnings_with_their_lines(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    from shipped_book import SMALL

    (tmp_path / "mine.plait").write_text(
        SMALL.replace("heat seal 180 °C", "heat seal 215 °C")
        + '\nhair "Dune"\nkind plain\nfibre modacrylic\npack 80 g\nflat 48 in\nsealing 150 to 180 °C\n', "utf-8")
    code = main(["check", str(tmp_path / "mine.plait")])
    err = capsys.readouterr().err
    # A long folder name may break the line between the two words.
    assert code == 1 and "Stop H01" in " ".join(err.split()) and "| end: heat seal 215 °C" in err and "^^^^" in err
    assert os.linesep or True
