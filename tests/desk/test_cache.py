"""A check remembered says what a check made anew says, and nothing on the disk can make it lie."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from shipped_book import SMALL

from plaitbook import cache
from plaitbook.desk import kept
from plaitbook.desk.command import main
from plaitbook.shipped import shipped_folder

LOOK = "looks/saltmarsh.plait"
BOOKS = {
    "a good look": LOOK,
    "one look of a file": f"{LOOK}#Saltmarsh",
    "a catalogue": "hairs.plait",
    "a bad look": "bad.plait",
    "a look that uses what isn't there": "lonely.plait",
    "a look with warnings": "heavy.plait",
    "no file": "nothing.plait",
    "a folder": "looks",
    "not text": "bytes.plait",
}

RUN = "import sys\nfrom plaitbook.desk.command import main\ncode = main(['check', sys.argv[1]])\n"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the shipped book with some files of other kinds, the working folder, an empty cache."""
    folder = tmp_path / "book"
    shutil.copytree(shipped_folder("recipes"), folder)
    (folder / "bad.plait").write_text(SMALL.replace("12 in", "12"), "utf-8")
    (folder / "lonely.plait").write_text('edition 1\nuse "gone.plait"\n' + SMALL.partition("\n")[2], "utf-8")
    (folder / "heavy.plait").write_text(SMALL.replace("½ pencil", "2 pencil").replace("Small", "Heavy"), "utf-8")
    (folder / "bytes.plait").write_bytes(b"edition 1\n\xff\xfe")
    monkeypatch.chdir(folder)
    monkeypatch.setenv("PLAITBOOK_CACHE", str(tmp_path / "cache"))
    return folder


@pytest.fixture
def checked(capsys: pytest.CaptureFixture[str]):
    """One check: (exit code, standard output, standard error)."""

    def run(*arguments: str) -> tuple[int, str, str]:
        code = main(["check", *arguments])
        out = capsys.readouterr()
        return code, out.out, out.err

    return run


@pytest.fixture
def tries(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that were compiled, as they are compiled."""
    from plaitbook.desk import trying

    names: list[str] = []
    real = trying.try_file

    def counted(job, fetch):
        names.append(job.name)
        return real(job, fetch)

    monkeypatch.setattr(trying, "try_file", counted)
    return names


@pytest.mark.parametrize("form", ["text", "json"])
@pytest.mark.parametrize("file", BOOKS.values(), ids=BOOKS)
def test_remembered_and_made_anew_say_the_same(book: Path, checked, tries: list[str], file: str, form: str, monkeypatch) -> None:
    arguments = (file, "--format", form)
    with monkeypatch.context() as off:
        off.setenv("PLAITBOOK_CACHE", "")
        alone = checked(*arguments)
    first, again = checked(*arguments), checked(*arguments)
    assert alone == first == again
    readable = file not in ("nothing.plait", "looks", "bytes.plait")
    assert len(tries) == (2 if readable else 0)
    if form == "json":
        json.loads(again[1])


def test_both_forms_and_another_folder_share_an_entry(book: Path, checked, tries: list[str], monkeypatch) -> None:
    checked(LOOK)
    checked(LOOK, "--format", "json")
    monkeypatch.chdir(book / "looks")
    assert "saltmarsh.plait: good" in checked("saltmarsh.plait")[1]
    assert len(tries) == 1


def changed(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


CHANGES = {
    "the file": lambda book: changed(book / LOOK, "wearing by length", "wearing by lenght"),
    "book.plait": lambda book: changed(book / "book.plait", "hairs.plait", "hair.plait"),
    "a file that is used": lambda book: changed(book / "hairs.plait", 'hair "Dune"', 'hair "Dunes"'),
    "a used file goes": lambda book: (book / "hairs.plait").unlink(),
    "a used file becomes unreadable": lambda book: (book / "hairs.plait").write_bytes(b"\xff\xfe"),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_change_in_what_was_read_is_seen(book: Path, checked, change) -> None:
    before = checked(LOOK)
    assert before[0] == 0
    change(book)
    after = checked(LOOK)
    assert after[0] == 1 and after[1:] != before[1:]


def test_a_file_that_appears_is_seen(book: Path, checked) -> None:
    (book / "gone.plait").unlink(missing_ok=True)
    missing = checked("lonely.plait")
    assert missing[0] == 1 and "gone.plait" in missing[2]
    (book / "gone.plait").write_text('edition 1\nhair "Dune"\n', "utf-8")
    appeared = checked("lonely.plait")
    assert "there is no file" not in appeared[2] and appeared != missing


def test_a_book_that_appears_above_is_seen(tmp_path: Path, book: Path, checked) -> None:
    (tmp_path / "alone").mkdir()
    lone = tmp_path / "alone" / "small.plait"
    lone.write_text(SMALL, "utf-8")
    assert checked(str(lone))[0] == 1  # no hair "Dune" is known here
    shutil.copy(book / "hairs.plait", tmp_path / "alone" / "book.plait")
    assert checked(str(lone))[0] == 0


def test_a_change_undone_is_remembered(book: Path, checked, tries: list[str]) -> None:
    text = (book / LOOK).read_text("utf-8")
    before = checked(LOOK)
    changed(book / LOOK, "wearing by length", "wearing by lenght")
    checked(LOOK)
    (book / LOOK).write_text(text, "utf-8")
    assert checked(LOOK) == before and len(tries) == 2


def test_another_compiler_is_seen(tmp_path: Path) -> None:
    folder = tmp_path / "passes"
    (folder / "__pycache__").mkdir(parents=True)
    source = folder / "rates.py"
    source.write_text("SECONDS = 2\n")
    seen = kept._files(str(tmp_path), True)
    (folder / "__pycache__" / "rates.pyc").write_bytes(b"anything")
    assert kept._files(str(tmp_path), True) == seen
    os.utime(source, (1, 1))
    assert kept._files(str(tmp_path), True) != seen
    (folder / "new.py").write_text("")
    assert len(kept._files(str(tmp_path), True)) == len(seen) + 1


def test_every_file_that_a_check_runs_counts(book: Path) -> None:
    code = RUN + "print('\\n'.join(m.__file__ for n, m in list(sys.modules.items()) if n.startswith('plaitbook') and m.__file__))"
    done = subprocess.run([sys.executable, "-c", code, LOOK], capture_output=True, text=True, encoding="utf-8", check=True)
    ran = {Path(line) for line in done.stdout.splitlines()[1:]}
    counted = {Path(path) for path, _, _ in kept.compiler_files()}
    assert len(ran) > 50 and ran <= counted
    assert shipped_folder("grammar") / "plaitbook.lark" in counted


def test_the_compiler_is_in_the_name(book: Path, checked, tries: list[str], monkeypatch) -> None:
    checked(LOOK)
    monkeypatch.setattr(kept, "_compiler", lambda: "another")
    checked(LOOK)
    monkeypatch.setattr(kept, "_compiler", lambda: None)
    checked(LOOK)
    assert len(tries) == 3


def entries(tmp_path: Path) -> list[Path]:
    return [path for path in (tmp_path / "cache" / "checks").iterdir()]


def sealed(body: bytes) -> bytes:
    return cache._seal(body) + b"\n" + body


SPOILED = {
    "empty": lambda whole: b"",
    "cut short": lambda whole: whole[:-40],
    "one letter changed": lambda whole: whole.replace(b"1 look", b"9 look"),
    "no seal": lambda whole: whole.partition(b"\n")[2],
    "not JSON": lambda whole: sealed(b"import os"),
    "not UTF-8": lambda whole: sealed(b'"\xff"'),
    "another shape": lambda whole: sealed(b'["asked"]'),
    "nothing in it": lambda whole: sealed(b"{}"),
    "numbers for words": lambda whole: sealed(b'{"asked": [], "problems": [], "findings": [], "said": 5}'),
    "a problem of nothing": lambda whole: sealed(b'{"asked": [], "problems": [[]], "findings": [], "said": ""}'),
    "a finding of nothing": lambda whole: sealed(b'{"asked": [], "problems": [], "findings": [{}], "said": ""}'),
    "asks of another shape": lambda whole: sealed(b'{"asked": [1], "problems": [], "findings": [], "said": ""}'),
    "very deep": lambda whole: sealed(b"[" * 100_000),
    "very long": lambda whole: b"x" * (3 * cache.MAX_ENTRY),
}


@pytest.mark.parametrize("spoil", SPOILED.values(), ids=SPOILED)
def test_a_spoiled_entry_is_no_entry(book: Path, tmp_path: Path, checked, spoil) -> None:
    before = checked(LOOK)
    (entry,) = entries(tmp_path)
    whole = entry.read_bytes()
    entry.write_bytes(spoil(whole))
    assert checked(LOOK) == before
    assert entry.read_bytes() == whole


@pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")
@pytest.mark.parametrize("kind", ["a link", "a pipe", "a folder"])
def test_an_entry_that_is_no_plain_file(book: Path, tmp_path: Path, checked, kind: str) -> None:
    before = checked(LOOK)
    (entry,) = entries(tmp_path)
    mine = tmp_path / "mine.txt"
    mine.write_bytes(entry.read_bytes())
    entry.unlink()
    {"a link": lambda: entry.symlink_to(mine), "a pipe": lambda: os.mkfifo(entry), "a folder": entry.mkdir}[kind]()
    kept_bytes = mine.read_bytes()
    assert checked(LOOK) == before
    assert mine.read_bytes() == kept_bytes
    assert not [path for path in entries(tmp_path) if path != entry]


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
def test_a_folder_others_may_write_is_not_believed(book: Path, tmp_path: Path, checked, tries: list[str]) -> None:
    before = checked(LOOK)
    (tmp_path / "cache" / "checks").chmod(0o777)
    assert checked(LOOK) == before and len(tries) == 2


def test_without_a_place_to_keep_anything(book: Path, tmp_path: Path, checked, monkeypatch) -> None:
    before = checked(LOOK)
    (tmp_path / "file").write_text("")
    for place in ("", str(tmp_path / "file"), str(tmp_path / "file" / "in it")):
        monkeypatch.setenv("PLAITBOOK_CACHE", place)
        assert checked(LOOK) == before


def test_a_full_disk_is_not_the_checks_trouble(book: Path, tmp_path: Path, checked, monkeypatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    first = checked(LOOK)
    assert first[0] == 0 and "No space" not in first[2] and not entries(tmp_path)


def test_the_oldest_go(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv("PLAITBOOK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(cache, "MAX_ENTRIES", 5)
    for n in range(9):
        cache.write("checks", f"entry{n}", n)
        os.utime(tmp_path / "cache" / "checks" / f"entry{n}", (n, n))
    assert sorted(path.name for path in entries(tmp_path)) == [f"entry{n}" for n in range(4, 9)]
    assert cache.read("checks", "entry8") == 8 and cache.read("checks", "entry3") is None
    monkeypatch.setattr(cache, "MAX_BYTES", 150)
    cache.write("checks", "last", 9)
    assert cache.read("checks", "last") == 9 and sum(path.stat().st_size for path in entries(tmp_path)) <= 150


def test_the_place_is_the_platforms_own(monkeypatch, tmp_path: Path) -> None:
    monkeypatch.delenv("PLAITBOOK_CACHE")
    home = str(tmp_path)
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, home)
    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    places = {"linux": (".cache",), "darwin": ("Library", "Caches"), "win32": ("AppData", "Local")}
    for platform, place in places.items():
        monkeypatch.setattr(sys, "platform", platform)
        assert cache._base() == os.path.join(home, *place, "plaitbook")
    monkeypatch.setenv("LOCALAPPDATA", os.path.join(home, "local"))
    assert cache._base() == os.path.join(home, "local", "plaitbook")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", "here")  # a relative path is to be passed over
    assert cache._base() == os.path.join(home, ".cache", "plaitbook")


def test_remembering_imports_no_language_and_no_models(book: Path) -> None:
    run = [sys.executable, "-c", RUN + "print(*sorted({'lark', 'pydantic', 'plaitbook.compile'} & set(sys.modules)))", LOOK]
    first = subprocess.run(run, capture_output=True, text=True, encoding="utf-8", check=True).stdout.splitlines()
    assert first[0].endswith("good, 1 look") and first[1] == "lark plaitbook.compile pydantic"
    for _ in range(3):  # more than once only where a source file of the compiler is saved meanwhile
        again = subprocess.run(run, capture_output=True, text=True, encoding="utf-8", check=True).stdout.splitlines()
        assert first[0] == again[0]
        if not again[1]:
            return
    raise AssertionError(f"a check remembered imports {again[1]}")


def test_two_processes_at_once(book: Path, tmp_path: Path) -> None:
    run = [sys.executable, "-c", RUN + "sys.exit(code)", LOOK]
    both = [subprocess.Popen(run, stdout=subprocess.PIPE, stderr=subprocess.PIPE) for _ in range(2)]
    said = [process.communicate() for process in both]
    assert said[0] == said[1] and [process.returncode for process in both] == [0, 0]
    assert len(entries(tmp_path)) == 1


def test_grammar_tables_that_are_spoiled_are_made_again(book: Path, tmp_path: Path) -> None:
    run = [sys.executable, "-c", RUN + "sys.exit(code)", LOOK]
    first = subprocess.run(run, capture_output=True)
    (tables,) = (tmp_path / "cache" / "grammar").iterdir()
    body = json.loads(tables.read_bytes().partition(b"\n")[2])
    body[0]["parser"]["parser"]["states"] = {"0": 1}
    tables.write_bytes(sealed(json.dumps(body).encode()))
    shutil.rmtree(tmp_path / "cache" / "checks")
    again = subprocess.run(run, capture_output=True)
    assert (first.returncode, first.stdout, first.stderr) == (again.returncode, again.stdout, again.stderr)
