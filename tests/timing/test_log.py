"""The log: nothing confirmed is lost, nothing half-written is kept, two can write at once, CSV goes both ways."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

import plaitbook
from visit_book import demo_book, run
from plaitbook.desk.log_csv import BadCsv, from_csv, to_csv
from plaitbook.desk.log_store import PacksUsed, Service, StageTime, add_services, read_services, store_path

KILLS = 50

WRITER = """
import sys
from pathlib import Path
from plaitbook.desk.log_store import PacksUsed, Service, StageTime, add_services
store, name = Path(sys.argv[1]), sys.argv[2]
for number in range(int(sys.argv[3])):
    uid = f"{name}-{number}"
    service = Service(uid, "2027-01-01", "Saltmarsh", "Ilse", "Harbour", minutes=300.0,
                      stages=tuple(StageTime(f"stage {n}", 10.0, 12.0) for n in range(5)), packs=(PacksUsed("Dune", 1.5),))
    add_services(store, (service,))
    print(uid, flush=True)
"""


def writer(store: Path, name: str, count: int) -> subprocess.Popen:
    source = str(Path(plaitbook.__file__).parents[1])
    environment = os.environ | {"PYTHONPATH": os.pathsep.join((source, os.environ.get("PYTHONPATH", "")))}
    return subprocess.Popen([sys.executable, "-c", WRITER, str(store), name, str(count)], stdout=subprocess.PIPE,
                            text=True, env=environment)


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX signal")
def test_fifty_kills_in_mid_write_lose_nothing_and_leave_nothing_half(tmp_path: Path) -> None:
    """Every uid that was confirmed on standard output is there, whole; nothing that is there is partial."""
    store, chance, confirmed = store_path(tmp_path), random.Random(9), []
    for kill in range(KILLS):
        child = writer(store, f"run {kill}", 100000)
        assert child.stdout is not None
        confirmed.append(child.stdout.readline().strip())
        time.sleep(chance.uniform(0, 0.012))  # somewhere within the next few writes
        os.kill(child.pid, signal.SIGKILL)
        # A last line cut short by the kill was no confirmation.
        confirmed += [line.strip() for line in child.stdout.read().splitlines(keepends=True) if line.endswith("\n")]
        child.wait()
        child.stdout.close()
    services = {service.uid: service for _, service in read_services(store)}
    assert set(confirmed) <= set(services) and len(confirmed) >= KILLS
    assert all(len(s.stages) == 5 and len(s.packs) == 1 for s in services.values())
    with sqlite3.connect(store) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX signal")
def test_the_command_itself_killed_at_any_moment(tmp_path: Path) -> None:
    """A service is in the log if the command confirmed it, and is whole if it is there at all."""
    look, chance, confirmed = demo_book(tmp_path), random.Random(4), 0
    store = store_path(tmp_path / "book")
    source = str(Path(plaitbook.__file__).parents[1])
    environment = os.environ | {"PYTHONPATH": os.pathsep.join((source, os.environ.get("PYTHONPATH", "")))}
    code = "import sys\nfrom plaitbook.desk.command import main\nsys.exit(main(sys.argv[1:]))"
    for _ in range(6):
        child = subprocess.Popen([sys.executable, "-c", code, "log", str(look), "--wearer", "Ilse", "--took", "5 h",
                                  "--stage", "braiding=4 h", "--packs", "Dune=1"], stdout=subprocess.PIPE,
                                 stderr=subprocess.DEVNULL, text=True, env=environment)
        time.sleep(chance.uniform(0.3, 1.2))
        child.kill()
        confirmed += "logged service" in child.communicate()[0]
    services = [service for _, service in read_services(store)]
    assert len(services) >= confirmed
    assert all(len(s.stages) == 2 and len(s.packs) == 1 for s in services)


def test_two_writers_at_once_both_write_everything(tmp_path: Path) -> None:
    store = store_path(tmp_path)
    children = [writer(store, name, 40) for name in ("left", "right")]
    said = [child.communicate(timeout=60)[0].split("\n") for child in children]
    assert [child.returncode for child in children] == [0, 0]
    assert len(read_services(store)) == 80 == sum(len([line for line in lines if line]) for lines in said)


SERVICES = (
    Service("a", "2027-01-01T10:00:00+00:00", "Saltmarsh", "Ilse", "Harbour", 2, 54, 300.5, 280.25, 310.0, 330.1, 'said "ouch", twice',
            (StageTime("braiding", 200.0, 180.123456789),), (PacksUsed("Dune", 4 / 3, 1.2), PacksUsed("Kelp", 2.0)),
            (("stitch", 4021.0), ("feed in", 190.5))),
    Service("b", "2027-01-02T10:00:00+00:00", "Saltmarsh", "Noor", "Harbour", notes="ünd\nzwei Zeilen"),
)


def test_csv_goes_out_and_comes_back_the_same(tmp_path: Path) -> None:
    assert from_csv(to_csv(SERVICES)) == SERVICES
    store = store_path(tmp_path)
    assert add_services(store, SERVICES) == (1, 2)
    assert add_services(store, from_csv(to_csv(SERVICES))) == ()
    assert tuple(s for _, s in read_services(store)) == SERVICES
    assert [s.uid for _, s in read_services(store, "Nowhere")] == []


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", to_csv(SERVICES).replace("300.5", "soon"),
                                  to_csv(SERVICES).replace("180.123456789", "-1"), to_csv(SERVICES).replace("180.123456789", "nan"),
                                  "\r\n".join(line for line in to_csv(SERVICES).split("\r\n") if not line.startswith("a,2027"))])
def test_a_csv_that_is_no_log_is_refused_whole(text: str) -> None:
    with pytest.raises(BadCsv) as caught:
        from_csv(text)
    assert caught.value.help


def test_log_and_list_and_export_on_the_command_line(tmp_path: Path, capsys) -> None:
    look = demo_book(tmp_path)
    code, out, _ = run(capsys, "log", look, "--wearer", "Ilse", "--took", "5 h 20", "--stage", "braiding=4 h", "--packs", "Dune=1⅓",
                       "--note", "hair slipped")
    assert code == 0 and out == "logged service 1: Saltmarsh for Ilse\n"
    _, service = read_services(store_path(tmp_path / "book"))[0]
    assert service.minutes == 320 and service.median_minutes and service.p80_minutes
    assert {s.name for s in service.stages} == {"braiding", "chair"} and all(s.expected > 0 for s in service.stages)
    assert service.packs[0].packs == pytest.approx(4 / 3)
    code, out, _ = run(capsys, "log", look, "--list")
    assert code == 0 and "hair slipped" in out and "5 h 20 min" in out
    assert run(capsys, "log", look, "--export", tmp_path / "log.csv")[0] == 0
    code, out, _ = run(capsys, "log", look, "--import", tmp_path / "log.csv")
    assert code == 0 and out.startswith("brought in 0 of 1")


@pytest.mark.parametrize("wrong, said", [
    (["--took", "soon"], "'soon'"), ([], "nothing to log"), (["--stage", "braidng=1 h"], "did you mean 'braiding'"),
    (["--took", "4 h", "--packs", "Dun=1"], "did you mean 'Dune'"), (["--took", "4 h", "--packs", "Dune=lots"], "'lots'"),
])
def test_what_cannot_be_logged_says_why(tmp_path: Path, capsys, wrong: list[str], said: str) -> None:
    code, out, err = run(capsys, "log", demo_book(tmp_path), "--wearer", "Ilse", *wrong)
    assert code == 2 and not out and said in err
    assert not store_path(tmp_path / "book").exists()


def test_stages_answer_to_everyday_words_and_are_listed_when_unknown(tmp_path: Path, capsys) -> None:
    look = demo_book(tmp_path)
    code, _, err = run(capsys, "log", look, "--wearer", "Ilse", "--stage", "humming=10 min")
    assert code == 2 and all(word in err for word in ("part the sections", "finish the ends", "braiding", "finishing", "prep"))
    code, _, err = run(capsys, "log", look, "--wearer", "Ilse", "--stage", "Parting=40 min", "--stage", "finishing=1 h",
                       "--stage", "braid=4 h", "--stage", "prep=2 h")
    assert code == 0, err
    service, = (s for _, s in read_services(store_path(look.parents[1])))
    assert {s.name for s in service.stages} == {"part the sections", "finishing", "braiding", "preparation"}
    assert {"stitch", "knot"} <= dict(service.operations).keys() and "wash" not in dict(service.operations)


def test_a_time_without_its_unit_says_to_write_it(tmp_path: Path, capsys) -> None:
    look = demo_book(tmp_path)
    for wrong in (["--took", "190"], ["--stage", "braiding=190"]):
        code, _, err = run(capsys, "log", look, "--wearer", "Ilse", *wrong)
        assert code == 2 and 'write its unit: "190 min"' in err


def test_a_log_from_before_operations_were_kept_is_read_and_written_on(tmp_path: Path) -> None:
    store = store_path(tmp_path)
    add_services(store, SERVICES[1:])
    with sqlite3.connect(store) as connection:
        connection.execute("DROP TABLE used")
    assert add_services(store, SERVICES[:1]) == (2,)
    assert [s.operations for _, s in read_services(store)] == [(), SERVICES[0].operations]


def test_no_cell_of_an_export_runs_as_a_formula_and_it_comes_back_the_same() -> None:
    from plaitbook.desk.log_csv import from_csv, to_csv
    from plaitbook.desk.log_store import PacksUsed, Service

    service = Service("u1", "2027-03-04T09:00:00", "=HYPERLINK(1)", "@SUM(1)", "-x", 1, 60, 300.0, 290.0, 310.0, 330.0,
                      "+1+cmd|calc", (), (PacksUsed("=1+1", 1.0, None),))
    text = to_csv((service,))
    cells = [cell for line in text.splitlines() for cell in line.split(",")]
    assert not [cell for cell in cells if cell[:1] in "=+-@" and cell]
    assert from_csv(text) == (service,)


def test_a_log_from_before_gets_the_column_it_lacks(tmp_path):
    import sqlite3

    path = store_path(tmp_path)
    path.parent.mkdir()
    old = sqlite3.connect(path)
    old.execute("CREATE TABLE service (id INTEGER PRIMARY KEY AUTOINCREMENT, uid TEXT NOT NULL UNIQUE, logged_at TEXT NOT NULL,"
                " recipe TEXT NOT NULL, wearer TEXT NOT NULL, house TEXT NOT NULL, braiders INTEGER NOT NULL, sections INTEGER, minutes REAL,"
                " median_minutes REAL, p80_minutes REAL, p95_minutes REAL, notes TEXT NOT NULL DEFAULT '')")
    old.execute("INSERT INTO service VALUES (1, 'a', '2027-01-01', 'Look', 'Ann', 'House', 1, 60, 200, 190, 210, 230, 'kept')")
    old.commit()
    old.close()
    add_services(path, (Service("b", "2027-01-02", "Look", "Bo", "House", braider="Ana"),))
    assert [(service.uid, service.notes, service.braider) for _, service in read_services(path)] == [("a", "kept", ""), ("b", "", "Ana")]
