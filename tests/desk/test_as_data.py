"""``--format json``: one valid document on standard output, whichever way a command ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from plaitbook.desk.command import main
from plaitbook.desk.commands import COMMANDS

LOOK, BAD, NONE = "{book}/looks/saltmarsh.plait", "{book}/looks/bad.plait", "{book}/looks/none.plait"

GOOD = [
    ["check", LOOK], ["plan", LOOK], ["card", LOOK, "-o", "-"], ["explain", LOOK], ["explain", LOOK, "added weight"], ["explain", LOOK, "L05"],
    ["explain", LOOK, "material.base.grams", "--moves"], ["why"], ["why", "H02"], ["why", "X01", LOOK], ["quote", LOOK], ["quote", LOOK, "--house-view", "--refresh"],
    ["fit", LOOK, "--within", "20 h"], ["tidy", "--check", LOOK], ["tidy", LOOK], ["log", LOOK, "--list"], ["log", LOOK, "--took", "5 h"],
    ["learn", LOOK, "--dry-run"], ["learn", LOOK, "--undo"], ["replan", LOOK, "--done", "20", "--elapsed", "2 h"],
    ["stock", "{book}"], ["expect", LOOK], ["compare", LOOK, "{book}/looks/quayside.plait"], ["seal", LOOK, "--wearer", "Ilse"],
]
WRONG = [
    *([command, path] for command in ("check", "plan", "card", "explain", "quote", "fit", "log", "learn", "tidy", "replan", "expect", "compare") for path in (NONE, "{book}")), ["stock", NONE],
    *([command, BAD] for command in ("check", "plan", "card", "explain", "quote")),
    ["fit", BAD, "--within", "5 h"], ["fit", LOOK], ["fit", LOOK, "--within", "soon"], ["fit", LOOK, "--packs", "0.01"],
    ["why", "ZZZ"], ["why", "X01", BAD], ["explain", LOOK, "nothing like it"], ["explain", LOOK, "L05", "--moves"],
    ["quote", LOOK, "--choose", "size"], ["quote", LOOK, "--choose", "size=huge"], ["quote", LOOK, "--wearer", "Nobody"],
    ["log", LOOK], ["log", LOOK, "--took", "soon"], ["log", LOOK, "--took", "5 h", "--packs", "Dnue=1"], ["log", LOOK, "--braiders", "99"],
    ["card", LOOK, "-o", "{book}/no/such/folder/card.json"], ["nosuchcommand"], ["check"], ["check", LOOK, "--nonsense"], ["check", BAD, NONE, LOOK],
    ["tidy", BAD, NONE], ["tidy", "--check", "{book}/looks/untidy.plait"], ["seal", NONE], ["seal", BAD], ["seal", LOOK, "--wearer", "Nobody"],
    ["survey", NONE], ["survey", "{book}", "--wearer", "Nobody"], ["survey", "{book}", "--wearer", "Ilse", "-o", "{book}/survey.csv"],
    ["unpack", NONE, "{book}"], ["unpack", LOOK, "{book}"],
]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("data") / "book"
    assert main(["new", str(folder)]) == 0
    (folder / "looks" / "bad.plait").write_text('edition 1\nrecipe "Bad"\nwearing 12\ntecnique plait\n', "utf-8")
    (folder / "looks" / "untidy.plait").write_text('edition 1\nrecipe   "Untidy"\n', "utf-8")
    return folder


def run(command: list[str], book: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, object]:
    capsys.readouterr()
    code = main([*(word.format(book=book) for word in command), "--format", "json"])
    said = capsys.readouterr()
    assert "Traceback" not in said.err
    return code, json.loads(said.out)


@pytest.mark.parametrize("command", GOOD, ids=" ".join)
def test_what_is_said_is_data_too(command: list[str], book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, data = run(command, book, capsys)
    assert data not in (None, {}) and code == 0, data


@pytest.mark.parametrize("command", WRONG, ids=" ".join)
def test_what_is_wrong_is_data_too(command: list[str], book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, data = run(command, book, capsys)
    assert code in (1, 2)
    rows = [data] if isinstance(data, dict) else data
    assert isinstance(rows, list) and rows
    told = [problem for row in rows for problem in row.get("problems", [])]
    assert all(problem["message"] for problem in told)
    assert told or any({"what", "state", "wanted", "failed"} & set(row) for row in rows), data


def test_each_command_that_a_machine_may_read_gives_data() -> None:
    """Left out: what makes files, pages and scripts, or talks to a program of its own."""
    makers = {"new", "open", "print", "station", "picture", "calendar", "parcel", "unpack", "book", "editor", "watch", "completion", "schema",
              "day", "survey", "seal"}
    assert {name for name, _, _ in COMMANDS} - makers <= {command[0] for command in GOOD}
