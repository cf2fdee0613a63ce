"""The stock: conserved, never below nothing, all or nothing, whole after a crash."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plaitbook.desk.command import main
from plaitbook.desk.stock.store import Movement, NotThere, move, movements, on_hand, set_points, stock_path
from plaitbook.desk.stocking import packs
from plaitbook.shipped import shipped_folder

MOVES = st.lists(st.tuples(st.sampled_from(("receive", "use", "count")), st.sampled_from(("Dune", "Kelp")), st.sampled_from(("", "tide")),
                           st.integers(0, 9000)), max_size=12)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(MOVES)
def test_what_is_there_is_the_sum_of_what_moved(tmp_path_factory: pytest.TempPathFactory, moves) -> None:
    path = stock_path(tmp_path_factory.mktemp("book"))
    there: dict[tuple[str, str], int] = {}
    for kind, hair, colour, milli in moves:
        before = there.get((hair, colour), 0)
        after = milli if kind == "count" else before + (milli if kind == "receive" else -milli)
        if after < 0:
            with pytest.raises(NotThere):
                move(path, "2027", (Movement("receive", "Other", "", 5), Movement(kind, hair, colour, milli)))
        else:
            move(path, "2027", (Movement(kind, hair, colour, milli),))
            there[hair, colour] = after
    assert {(line.hair, line.colour): line.milli for line in on_hand(path)} == there  # and nothing of what was refused
    assert all(after >= 0 for *_, after in movements(path))


def test_at_the_point_it_says_order(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "book"
    main(["new", str(book)])
    capsys.readouterr()
    assert main(["stock", str(book), "receive", "dune, Driftwood=12", "Kelp=3⅓"]) == 0
    assert main(["stock", str(book), "point", "Dune, driftwood=4"]) == 0
    assert "ORDER" not in capsys.readouterr().out
    assert main(["stock", str(book), "use", "Dune, driftwood=8"]) == 0
    said = capsys.readouterr().out
    assert "Dune, driftwood   4 packs   order at 4 packs: ORDER" in said and "3⅓ packs" in said
    assert main(["stock", str(book), "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)[0] == {"hair": "Dune", "colour": "driftwood", "packs": 4.0, "order at": 4.0, "order": True}
    assert main(["stock", str(book), "history"]) == 0
    assert capsys.readouterr().out.count("Dune, driftwood") == 2


@pytest.mark.parametrize(("wrong", "said"), [
    (["use", "Dune, driftwood=1"], "can't be used: 0 packs there"),
    (["receive", "Dunee=1"], "did you mean 'Dune'"),
    (["receive", "Dune, drift wood=1"], "doesn't come in 'drift wood'"),
    (["receive", "Dune"], "is not a hair and its packs"),
    (["receive", "Dune=-1"], "is not a hair and its packs"),
    (["receive"], "needs a hair"),
    (["show", "Dune=1"], "takes no hair"),
])
def test_a_mistake_says_what_to_write(wrong: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = tmp_path / "book"
    main(["new", str(book)])
    assert main(["stock", str(book), *wrong]) in (1, 2)
    assert said in capsys.readouterr().err
    assert on_hand(stock_path(book)) == ()


@pytest.mark.parametrize(("milli", "said"), [(0, "0 packs"), (333, "⅓ pack"), (1000, "1 pack"), (1333, "1⅓ packs"), (9350, "9.35 packs"), (12500, "12½ packs")])
def test_packs_in_words(milli: int, said: str) -> None:
    assert packs(milli) == said


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is POSIX")
def test_killed_in_the_middle_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    path = stock_path(tmp_path)
    code = ("import sys; from pathlib import Path; from plaitbook.desk.stock.store import Movement, move\n"
            "for n in range(10000):\n"
            " move(Path(sys.argv[1]), '2027', (Movement('receive', 'Dune', 'tide', 1000), Movement('receive', 'Kelp', '', 1000)))\n"
            " print(n + 1, flush=True)\n")
    for _ in range(5):
        before = len(movements(path))
        child = subprocess.Popen([sys.executable, "-c", code, str(path)], stdout=subprocess.PIPE, text=True)
        assert child.stdout is not None
        child.stdout.readline()
        time.sleep(0.02)
        child.send_signal(signal.SIGKILL)
        confirmed = [line for line in child.stdout.read().split("\n") if line]
        child.wait()
        kept = len(movements(path)) - before
        assert kept % 2 == 0 and kept // 2 >= (int(confirmed[-1]) if confirmed else 1)
    assert {line.milli for line in on_hand(path)} == {len(movements(path)) // 2 * 1000}


def test_two_writers_at_once(tmp_path: Path) -> None:
    path = stock_path(tmp_path)
    code = ("import sys; from pathlib import Path; from plaitbook.desk.stock.store import Movement, move\n"
            "for n in range(20): move(Path(sys.argv[1]), '2027', (Movement('receive', 'Dune', '', 1000),))")
    both = [subprocess.Popen([sys.executable, "-c", code, str(path)]) for _ in range(2)]
    assert [child.wait() for child in both] == [0, 0]
    assert on_hand(path)[0].milli == 40_000


def test_a_point_is_set_anew(tmp_path: Path) -> None:
    path = stock_path(tmp_path)
    set_points(path, ((("Dune", ""), 1000),))
    set_points(path, ((("Dune", ""), 2000),))
    assert [(line.milli, line.point, line.to_order) for line in on_hand(path)] == [(0, 2000, True)]


def test_the_shipped_hairs_can_all_be_stocked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from plaitbook.meaning.book import file_meaning

    text = (shipped_folder("recipes") / "hairs.plait").read_text("utf-8")
    book = tmp_path / "book"
    main(["new", str(book)])
    named = [f"{hair.name}, {colour}=1" for hair in file_meaning(text, "hairs.plait").hairs for colour in hair.colours]
    assert main(["stock", str(book), "count", *named]) == 0
    assert len(on_hand(stock_path(book))) == len(named)
