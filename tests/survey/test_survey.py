"""A survey of a book: the same figures as one card each, the same file however it was made, nothing lost when stopped."""

from __future__ import annotations

import csv
import io
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from plaitbook import Request, compile_recipe
from plaitbook.desk.command import main
from plaitbook.desk.survey.cells import cells, read_book

BOOK = '''edition 1
hair "Dune"
kind plain
fibre modacrylic
flat 48 in
pack 120 g
wearer "Ann"
demo
strand fine
wearer "Bo"
demo
density dense
'''
LOOK = '''edition 1
recipe "{name}"
technique plait
wearing 12 in
choices:
size: small is grid 1½ in; large is grid 2 in; default small
hair:
base: "Dune", cut 40 in
sections:
grid square by size
start: extension at root, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
'''


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "book.plait").write_text(BOOK, "utf-8")
    for name in ("First", "Second", "Third"):
        (folder / f"{name.lower()}.plait").write_text(LOOK.format(name=name), "utf-8")
    return folder


def surveyed(book: Path, out: Path, *more: str) -> bytes:
    main(["survey", str(book), "-o", str(out), *more])
    return out.read_bytes()


def rows_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))


def test_every_look_for_every_wearer_with_its_own_figures(book: Path, tmp_path: Path) -> None:
    rows = rows_of(surveyed(book, tmp_path / "out.csv", "--processes", "1"))
    assert [(row["look"], row["wearer"]) for row in rows] == [(look, wearer) for look in ("First", "Second", "Third") for wearer in ("Ann", "Bo")]
    plan = compile_recipe((book / "second.plait").read_text("utf-8"), "second.plait", Request(wearer="Bo"),
                          beside=(("book.plait", BOOK),)).plan
    assert plan is not None
    row = rows[3]
    assert int(row["sections"]) == plan.sections.count
    assert float(row["chair min"]) == pytest.approx(plan.timing.median_minutes, rel=1e-5)
    assert float(row["added g"]) == pytest.approx(plan.material.added_worn_g, rel=1e-5)
    assert int(row["packs to buy"]) == sum(line.packs_to_buy for line in plan.material.hair)


def test_two_processes_write_what_one_does(book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("plaitbook.desk.surveying.TOGETHER", 1)
    assert surveyed(book, tmp_path / "one.csv", "--processes", "1") == surveyed(book, tmp_path / "two.csv", "--processes", "2")


def test_every_choice_is_every_way_of_taking_them(book: Path, tmp_path: Path) -> None:
    rows = rows_of(surveyed(book, tmp_path / "out.csv", "--every-choice", "--wearer", "Ann", "--processes", "1"))
    assert [row["choices"] for row in rows] == ["size small", "size large"] * 3


@pytest.mark.parametrize("cut", [0, 1, 7, 60])
def test_a_stopped_survey_goes_on_where_it_stopped(book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cut: int) -> None:
    monkeypatch.setattr("plaitbook.desk.surveying.TOGETHER", 1)
    whole = surveyed(book, tmp_path / "whole.csv", "--processes", "1")
    from plaitbook.desk.survey import rows as survey_rows

    work, calls = survey_rows.work, []

    def stopping(first: int, some: tuple) -> list:
        calls.append(first)
        if len(calls) == 4:
            raise KeyboardInterrupt
        return work(first, some)

    monkeypatch.setattr(survey_rows, "work", stopping)
    out, part = tmp_path / "out.csv", tmp_path / "out.csv.part"
    assert main(["survey", str(book), "-o", str(out), "--processes", "1"]) == 130
    assert not out.exists()
    part.write_bytes(part.read_bytes()[: len(part.read_bytes()) - cut])  # as a crash in mid-write leaves it
    assert surveyed(book, out, "--processes", "1") == whole
    assert len(calls) == 4 + (6 - 3) + (0 if cut == 0 else 1)
    assert not part.exists()


def test_a_changed_book_is_surveyed_anew(book: Path, tmp_path: Path) -> None:
    out, part = tmp_path / "out.csv", tmp_path / "out.csv.part"
    first = surveyed(book, out, "--processes", "1")
    part.write_bytes(b"# survey of something else\r\n" + first)
    (book / "third.plait").unlink()
    assert len(rows_of(surveyed(book, out, "--processes", "1"))) == 4


def test_a_look_that_cant_be_made_says_why_and_stops_nothing(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (book / "second.plait").read_text("utf-8")
    (book / "second.plait").write_text(text.replace("width 8 mm", "width 8 kg"), "utf-8")
    out = tmp_path / "out.csv"
    assert main(["survey", str(book), "-o", str(out), "--processes", "1"]) == 1
    rows = rows_of(out.read_bytes())
    assert [bool(row["mistakes"]) for row in rows] == [False, False, True, True, False, False]
    assert "second.plait:12" in rows[2]["mistakes"]
    assert "2 that can't be made" in capsys.readouterr().err


def test_cards_are_written_too(book: Path, tmp_path: Path) -> None:
    surveyed(book, tmp_path / "out.csv", "--cards", str(tmp_path / "cards"), "--processes", "1", "--wearer", "Ann")
    assert sorted(p.name for p in (tmp_path / "cards").iterdir()) == ["00001-first-ann.html", "00002-second-ann.html", "00003-third-ann.html"]


def test_somebodys_words_are_never_run_as_a_formula(book: Path, tmp_path: Path) -> None:
    (book / "first.plait").write_text(LOOK.format(name="=1+1"), "utf-8")
    assert rows_of(surveyed(book, tmp_path / "out.csv", "--processes", "1"))[0]["look"] == "'=1+1"


def test_the_order_never_changes(book: Path) -> None:
    texts = read_book(book)
    assert list(cells(texts, (), (), True)) == list(cells(read_book(book), (), (), True))


@pytest.mark.parametrize("wrong", [["survey", "nowhere"], ["survey", ".", "--processes", "0"]])
def test_wrong_use_says_what_to_write(wrong: list[str], capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(wrong) == 2
    assert "try:" in capsys.readouterr().err


@pytest.mark.parametrize("out", ["{book}", "{book}/first.plait", "-"])
def test_nothing_of_the_book_is_written_over(book: Path, out: str, capsys: pytest.CaptureFixture[str]) -> None:
    before = {path: path.read_bytes() for path in book.rglob("*")}
    assert main(["survey", str(book), "-o", out.format(book=book)]) == 2
    assert "name a .csv file" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in book.rglob("*")} == before


@pytest.mark.parametrize("asked", [["--wearer", "Annn"], ["--house", "Nowhere"]])
def test_a_name_that_isnt_there_is_told_before_anything_is_made(book: Path, tmp_path: Path, asked: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["survey", str(book), "-o", str(tmp_path / "out.csv"), *asked]) == 1
    assert "in this book" in capsys.readouterr().err and not list(tmp_path.glob("out.csv*"))


def test_two_surveys_dont_write_one_file(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code = ("import sys; from pathlib import Path; from plaitbook.desk.held import held\n"
            "with held(Path(sys.argv[1])): print('held', flush=True); sys.stdin.read()")
    out = tmp_path / "out.csv"
    with subprocess.Popen([sys.executable, "-c", code, str(tmp_path / "out.csv.part")], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None and other.stdout.readline() == "held\n"
        assert main(["survey", str(book), "-o", str(out), "--processes", "1"]) == 1
        assert "another survey is writing" in capsys.readouterr().err and not out.exists()
        other.kill()  # the system lets go of the file, whatever became of its writer
    assert len(rows_of(surveyed(book, out, "--processes", "1"))) == 6


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is POSIX")
def test_killed_in_the_middle_it_goes_on_and_leaves_no_process(book: Path, tmp_path: Path) -> None:
    whole = surveyed(book, tmp_path / "whole.csv", "--processes", "1")
    code = ("import sys, time; from plaitbook.desk import surveying; from plaitbook.desk.command import main\n"
            "surveying.TOGETHER = 1\n"
            "progress = surveying._progress\n"
            "def slow(*all):\n"
            " for n, rows in enumerate(progress(*all)):\n"
            "  yield rows\n"
            "  if n == 2: print('three', flush=True); time.sleep(60)\n"
            "surveying._progress = slow\n"
            "main(['survey', sys.argv[1], '-o', sys.argv[2], '--processes', '2'])")
    out = tmp_path / "out.csv"
    with subprocess.Popen([sys.executable, "-c", code, str(book), str(out)], stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None and child.stdout.readline() == "three\n"
        child.send_signal(signal.SIGKILL)
        child.stdout.read()  # ends when the last of its processes has let go of it
    assert surveyed(book, out, "--processes", "1") == whole
    assert not (tmp_path / "out.csv.part").exists()


def test_a_part_that_is_no_longer_what_was_written_begins_anew(book: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"
    whole = surveyed(book, out, "--processes", "1")
    for scrap in (b"\xff\xfe\r\n", b"# survey of nothing\r\n", bytes(4000)):
        (tmp_path / "out.csv.part").write_bytes(scrap)
        assert surveyed(book, out, "--processes", "1") == whole
