"""Hostile files and texts: each ends in a message or a plan, soon, in bounded memory, with nothing half written."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hardening_checks import check_compiling, check_reading
from shipped_book import SMALL, compile_in_book, shipped_text

from plaitbook import Request, compile_recipe
from plaitbook.desk.command import main
from plaitbook.desk.shelf import CantRead, read_text, write_whole
from plaitbook.meaning.book import MAX_FILES, Fetched
from plaitbook.shipped import shipped_folder
from plaitbook.syntax.lines import MAX_LINES
from plaitbook.syntax.parse import parse

posix = pytest.mark.skipif(os.name != "posix", reason="needs a POSIX system")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    assert main(["new", str(folder)]) == 0
    return folder


def messages(capsys: pytest.CaptureFixture[str]) -> str:
    err = capsys.readouterr().err
    assert "Traceback" not in err
    return err


# --- texts ---------------------------------------------------------------------------


@pytest.mark.parametrize("number", ["1" + "0" * 400, "1e999", "9" * 1000, "0." + "0" * 300 + "1", "1/" + "9" * 400, "-" + "9" * 17, "9" * 18, "1/0", "٣" * 40])
@pytest.mark.parametrize("line", ["wearing {} in", "grid square {} sections", "feed: every {} stitches: 1 piece of base ½ pencil",
                                  "accents: every 2 stitches from stitch {}: {} beads of \"Pebble bead\"", "end: knot {} turns", "grid brick {} in by {} in",
                                  "when age over {} years: width {} mm", "start: own hair {} mm first, then {} pieces of base {} pencils"])
def test_no_number_is_too_much(line: str, number: str) -> None:
    text = SMALL + line.replace("{}", number) + "\n"
    check_reading(text)
    assert not check_compiling(text)


@pytest.mark.parametrize("text", [
    "when " + "(" * 1000 + "strand is fine" + ")" * 1000 + ": width 5 mm", "when " + "not " * 400 + "strand is fine: width 5 mm",
    "when strand is fine" + " or fien" * 200 + ": width 5 mm", "end: " + "band, " * 300 + "band", "hair: base: \"Dune\"" + ", cut 40 in" * 150,
    "(" * 1900, '"' * 1999, ":" * 1999, "a" * 1999, "½" * 1999, "\0" * 1999, "\u202e" * 1999, "when if use edition recipe hair: : , ;",
])
def test_deep_and_long_lines_end_in_a_message(text: str) -> None:
    whole = SMALL + text + "\n"
    check_reading(whole)
    assert not check_compiling(whole) or text in ("\u202e" * 1999, "\0" * 1999)


def test_a_million_lines_are_cut_off_with_one_message() -> None:
    _, problems = parse("\n" * 2_000_000, "long.plait")
    assert [p.code for p in problems] == ["E107"]
    text = SMALL + "wearing 12 in in nape\n" * (MAX_LINES + 5)
    done = compile_in_book(text)
    assert {p.code for p in done.problems} == {"E107", "E410", "E434"} or {p.code for p in done.problems} == {"E107", "E410"}
    assert len(done.problems) < 10


def test_many_mistakes_are_told_in_bounded_room() -> None:
    tree, problems = parse('recipe "X"\n' + "wearng 12\n" * 5000, "x.plait")
    assert tree.declarations and len(problems) <= 5000


def test_looks_based_on_a_long_row_of_looks_are_refused_at_the_limit() -> None:
    looks = [SMALL.replace('"Small"', '"L0"')] + [f'recipe "L{n}" based on "L{n - 1}"\n' for n in range(1, 200)]
    done = compile_in_book("".join(looks), look="L199")
    assert [p.code for p in done.problems] == ["E433"]


def test_files_that_use_each_other_twofold_are_each_read_once() -> None:
    asked: list[str] = []

    def fetch(asking: str, wanted: str) -> Fetched:
        asked.append(wanted)
        number = int(wanted[1:-6])
        uses = f'use "f{number + 1}.plait"\nuse "f{number + 1}.plait"\n' if number < 60 else ""
        return Fetched(wanted, f'edition 1\n{uses}hair "H{number}"\nkind plain\nfibre modacrylic\npack 80 g\nflat 48 in\n')

    done = compile_recipe('edition 1\nuse "f1.plait"\nuse "f1.plait"\n' + SMALL.replace("edition 1\n", "").replace("Dune", "H7"),
                          "looks/x.plait", Request(), fetch=fetch)
    assert done.plan is not None
    assert len(asked) < 200


def test_a_book_of_endless_files_stops_at_its_limit() -> None:
    def fetch(asking: str, wanted: str) -> Fetched:
        number = int(wanted[1:-6])
        return Fetched(wanted, "edition 1\n" + "".join(f'use "f{number * 10 + digit}.plait"\n' for digit in range(10)))

    done = compile_recipe(SMALL + 'use "f1.plait"\n', "looks/x.plait", Request(), fetch=fetch)
    assert "E202" in {p.code for p in done.problems}
    assert str(MAX_FILES) in next(p.message for p in done.problems if p.code == "E202")


@pytest.mark.skipif(sys.platform != "linux", reason="the address space is bounded with setrlimit")
def test_hostile_texts_fit_in_bounded_memory() -> None:
    code = (
        "import resource, sys\nresource.setrlimit(resource.RLIMIT_AS, (600 * 2**20,) * 2)\n"
        "from plaitbook import compile_recipe\n"
        "for text in ['recipe \"X\"\\n' + 'wearing 12\\n' * 1_000_000, 'x' * 15_000_000, '(' * 5_000_000, '\\n' * 15_000_000,\n"
        "             'recipe \"X\"\\nchoices:\\n' + 'size: ' + 'a is 3 in; ' * 100_000, '\"' * 3_000_000]:\n"
        "    assert compile_recipe(text).problems\nprint('done')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout.strip() == "done", done.stderr[-600:]


# --- files ----------------------------------------------------------------------------


@pytest.mark.parametrize(("data", "said"), [
    (b"edition 1\nrecipe \"\xff\xfe\"\n", "not plain UTF-8"), ('edition 1\nrecipe "Å"\n'.encode("utf-16"), "not plain UTF-8"),
    (b"\xef\xbb\xbfedition 1\n", "holds no look"), (b"edition 1\0\nrecipe \0\"X\0\"\n", "does not say"), (b"", "holds no look"), (b"\x80" * 100, "not plain UTF-8"),
])
def test_bytes_that_are_no_text(book: Path, capsys: pytest.CaptureFixture[str], data: bytes, said: str) -> None:
    path = book / "looks" / "odd.plait"
    path.write_bytes(data)
    assert main(["card", str(path)]) == 1
    assert said in messages(capsys)


def test_a_folder_named_like_a_recipe(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (book / "looks" / "x.plait").mkdir()
    assert main(["check", str(book / "looks" / "x.plait")]) == 1
    assert "is a folder" in messages(capsys)
    (book / "looks" / "mine.plait").write_text(SMALL + 'use "x.plait"\n', "utf-8")
    assert main(["check", str(book / "looks" / "mine.plait")]) == 1
    assert "is a folder" in messages(capsys)


def test_a_file_that_is_too_large_is_refused_unread(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = book / "looks" / "large.plait"
    with path.open("wb") as file:
        file.truncate(40 * 1024 * 1024)
    assert main(["check", str(path)]) == 1
    assert "too large" in messages(capsys)


@posix
def test_links_out_of_the_book_are_not_followed(book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "outside.plait").write_text('edition 1\nwearer "Secret"\n', "utf-8")
    (book / "link.plait").symlink_to(tmp_path / "outside.plait")
    (book / "folder").symlink_to(tmp_path)
    for wanted in ("../link.plait", "../folder/outside.plait", "../../outside.plait", "/etc/passwd", "..\\..\\outside.plait", "\\0"):
        (book / "looks" / "mine.plait").write_text(SMALL + f'use "{wanted}"\n', "utf-8")
        assert main(["check", str(book / "looks" / "mine.plait")]) == 1
        err = messages(capsys)
        assert "Secret" not in err and "root:" not in err


@posix
def test_a_ring_of_links_and_a_link_to_nothing(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (book / "a.plait").symlink_to(book / "b.plait")
    (book / "b.plait").symlink_to(book / "a.plait")
    (book / "c.plait").symlink_to(book / "nothing.plait")
    for name in ("a.plait", "c.plait"):
        assert main(["check", str(book / name)]) == 1
        messages(capsys)
        (book / "looks" / "mine.plait").write_text(SMALL + f'use "../{name}"\n', "utf-8")
        assert main(["check", str(book / "looks" / "mine.plait")]) == 1
        messages(capsys)


@posix
def test_pipes_and_devices_are_not_read(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    os.mkfifo(book / "looks" / "pipe.plait")
    assert main(["check", str(book / "looks" / "pipe.plait")]) == 1
    assert "is not a file" in messages(capsys)
    assert main(["check", "/dev/zero"]) == 1
    messages(capsys)
    assert main(["card", str(book / "looks" / "saltmarsh.plait"), "--wearer", "Nobody"]) == 1  # looks into every file of the folder
    assert 'no wearer "Nobody"' in messages(capsys)


def _refusing(number: int):  # type: ignore[no-untyped-def]
    def refuse(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    return refuse


@pytest.mark.parametrize("number", [errno.EACCES, errno.EIO, errno.ENOENT, errno.ESTALE if hasattr(errno, "ESTALE") else errno.EIO])
def test_a_file_that_can_not_be_opened_or_vanishes(book: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    path = book / "hairs.plait"
    monkeypatch.setattr(Path, "open", _refusing(number))
    with pytest.raises(CantRead):
        read_text(path)


def test_a_file_that_vanishes_under_a_check(book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    real = Path.open

    def sometimes(self: Path, *args, **kwargs):  # type: ignore[no-untyped-def]
        if self.name == "hairs.plait":
            raise FileNotFoundError(errno.ENOENT, "gone", str(self))
        return real(self, *args, **kwargs)

    monkeypatch.setenv("PLAITBOOK_CACHE", "")
    monkeypatch.setattr(Path, "open", sometimes)
    assert main(["check", str(book / "looks" / "saltmarsh.plait")]) == 1
    assert "hairs.plait" in messages(capsys)


def test_a_full_disk_leaves_the_old_file_and_no_scraps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "card.html"
    path.write_text("old", "utf-8")
    monkeypatch.setattr(os, "fsync", _refusing(errno.ENOSPC))
    with pytest.raises(OSError):
        write_whole(path, b"new" * 1000)
    assert path.read_text("utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["card.html"]


@pytest.mark.parametrize("command", [["card", "{look}", "--wearer", "Noor", "-o", "{out}/card.html"], ["plan", "{look}", "-o", "{out}/plan.json"],
                                     ["tidy", "{look}"], ["print", "{look}", "shopping", "-o", "{out}/s.html"], ["station", "{look}", "-o", "{out}/station.html"]])
def test_every_command_that_writes_survives_a_full_disk(book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                                        capsys: pytest.CaptureFixture[str], command: list[str]) -> None:
    look = book / "looks" / "saltmarsh.plait"
    look.write_text(look.read_text("utf-8").replace("technique plait", "technique   plait"), "utf-8")
    before = look.read_bytes()
    out = tmp_path / "out"
    out.mkdir()
    monkeypatch.setenv("PLAITBOOK_CACHE", "")
    monkeypatch.setattr(os, "fsync", _refusing(errno.ENOSPC))
    assert main([word.format(look=look, out=out) for word in command]) == 1
    assert "No space left" in messages(capsys)
    assert look.read_bytes() == before and list(out.iterdir()) == []
    assert [p.name for p in look.parent.iterdir() if p.name.startswith(".")] == []


@posix
def test_a_full_standard_output(book: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full here")
    with open("/dev/full", "wb") as full:
        code = "import sys; from plaitbook.desk.command import main; sys.exit(main())"
        done = subprocess.run([sys.executable, "-c", code, "plan", str(book / "looks" / "quayside.plait")],
                              stdout=full, stderr=subprocess.PIPE, text=True)
    assert done.returncode == 1 and "Traceback" not in done.stderr


def test_the_shipped_book_is_itself_well(tmp_path: Path) -> None:
    assert "Dune" in shipped_text("hairs.plait") and shipped_folder("grammar").is_dir()
