"""A parcel's round trip, what stays at home, and what happens when names clash."""

from __future__ import annotations

import io
import json
import re
import shutil
import sys
from pathlib import Path

import pytest

from plaitbook.desk.book.opened import open_looks
from plaitbook.desk.book.packing import pack
from plaitbook.desk.book.parcel import read_parcel
from plaitbook.desk.book.receiving import arrive
from plaitbook.desk.shelf import Shelf
from plaitbook.plan.seal import LOOK
from plaitbook.plan.canonical import digest

from shipped_book import shipped_looks


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text, f"{old!r} is not in {path.name}"
    path.write_text(text.replace(old, new, 1), "utf-8")


def look_of(path: Path, name: str | None = None) -> str:
    """The hash of a look in a file."""
    opened = open_looks(f"{path}#{name}" if name else str(path))
    made_of, problems = opened.made_of(opened.looks[0])
    assert made_of is not None, problems
    return digest(LOOK, made_of)


def packed(path: Path) -> str:
    opened = open_looks(str(path))
    return pack(opened, opened.looks[0])


@pytest.mark.parametrize("file", shipped_looks())
def test_the_round_trip_keeps_the_look(book: Path, tmp_path: Path, plait, file: str) -> None:
    sent = look_of(book / file)
    parcel = tmp_path / "look.parcel"
    assert plait("parcel", book / file, "-o", parcel).code == 0
    new = tmp_path / "new book"
    new.mkdir()
    (new / "book.plait").write_text("edition 1\n", "utf-8")
    got = plait("unpack", parcel, new, "--rules", "accept")
    assert got.code == 0, got.err
    assert "the look's seal is the sender's" in got.out
    files = list(new.glob("*.plait"))
    arrived = next(path for path in files if path.name != "book.plait")
    name = open_looks(str(book / file)).looks[0].name
    assert look_of(arrived, name) == sent
    # What arrived packs into the same parcel again, but for the order of what it holds.
    opened = open_looks(f"{arrived}#{name}")
    assert sorted(pack(opened, opened.looks[0]).split("\n")) == sorted(parcel.read_text("utf-8").split("\n"))


def test_a_pasted_block_is_enough(book: Path, tmp_path: Path, plait, monkeypatch: pytest.MonkeyPatch) -> None:
    """A chat program turned the quotes, dropped the indentation and ended the lines its own way."""
    text = re.sub(r"(?m)^ +", "", packed(book / "looks/pebble-bob.plait"))
    text = re.sub(r'"([^"]*)"', "\u201c\\1\u201d", text).replace("\n", "\r\n")
    new = tmp_path / "new"
    new.mkdir()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(f"\r\n\r\n{text}\r\n\r\n".encode())))
    got = plait("unpack", "-", new, "--rules", "accept")
    assert got.code == 0, got.err
    assert look_of(new / "pebble-bob.plait") == look_of(book / "looks/pebble-bob.plait")


# --- what stays at home -----------------------------------------------------------------


def test_no_client_leaves_with_a_look(book: Path) -> None:
    """Names and facts of every wearer, and a log, are beside the look; none of it is in the parcel."""
    look = book / "looks/pebble-bob.plait"
    change(look, 'recipe "Pebble Bob"', '# For Pim, 51 cm round; his mother is Marisol, tel. 0151\nrecipe "Pebble Bob"')
    look.write_text(look.read_text("utf-8") + 'expect added weight at most 900 g for wearer "Noor" in house "Harbour Chair"  # as agreed with Noor\n'
                    "expect sections at least 2\n", "utf-8")
    text = packed(look)
    for name in ("Ilse", "Noor", "Tomasz", "Adaeze", "Marisol", "Pim", "Wren", "Harbour Chair", "Zimmer", "0151", "latex", "own hair 6 in"):
        assert name not in text
    assert not re.search(r"^\s*(wearer|house|use)\b", text, re.M)
    assert text.count("#") == 5, "four lines of head and one at the end"
    assert "expect sections at least 2" in text


@pytest.mark.parametrize("line", [
    'note "As we did it for Noor in May."', 'allow L05 because "noor asked for it twice"', 'finish "NOOR\'s oil" 3 g', 'summary "The Noor."',
])
def test_a_look_that_names_a_client_is_not_packed(book: Path, plait, line: str) -> None:
    look = book / "looks/pebble-bob.plait"
    text = look.read_text("utf-8")
    if line.startswith("summary"):
        text = re.sub(r"(?m)^summary.*$", line, text)
    else:
        text += line + "\n"
    look.write_text(text, "utf-8")
    found = plait("parcel", look, "-o", book / "look.parcel")
    assert found.code == 1 and "her name would leave" in found.err and '"Noor"' in found.err
    assert not (book / "look.parcel").exists()


def test_clients_of_unused_files_and_of_the_log_are_known_too(book: Path, plait) -> None:
    from plaitbook.desk.log_store import Service, add_services, store_path

    look = book / "looks/pebble-bob.plait"
    look.write_text(look.read_text("utf-8") + 'note "Never again as for Philippa, says Xenia."\n', "utf-8")
    (book / "old.plait").write_text('edition 1\nwearer "Xenia"\n', "utf-8")
    assert '"Xenia"' in plait("parcel", look, "-o", book / "look.parcel").err
    (book / "old.plait").unlink()
    (book / ".plait").mkdir(exist_ok=True)
    add_services(store_path(book), (Service("1", "2026-01-01T10:00", "Pebble Bob", "Philippa", "Harbour Chair"),))
    assert '"Philippa"' in plait("parcel", look, "-o", book / "look.parcel").err
    assert not (book / "look.parcel").exists()


# --- clashes -----------------------------------------------------------------------------


@pytest.fixture
def other(book: Path, tmp_path: Path) -> Path:
    """A second book, without the look that is sent."""
    folder = tmp_path / "other"
    shutil.copytree(book, folder)
    for name in ("saltmarsh", "plain-saltmarsh"):
        (folder / f"looks/{name}.plait").unlink()
    return folder


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_what_is_there_already_is_not_written_again(book: Path, other: Path, tmp_path: Path, plait) -> None:
    plait("parcel", book / "looks/plain-saltmarsh.plait", "-o", tmp_path / "p")
    got = plait("unpack", tmp_path / "p", other)
    assert got.code == 0, got.err
    text = (other / "looks/plain-saltmarsh.plait").read_text("utf-8")
    assert "hair \"Dune\"" not in text and "rule" not in text and text.count("recipe ") == 2
    assert look_of(other / "looks/plain-saltmarsh.plait", "Plain Saltmarsh") == look_of(book / "looks/plain-saltmarsh.plait")
    before = everything(other)
    again = plait("unpack", tmp_path / "p", other)
    assert again.code == 0 and "here already, exactly so" in again.out
    assert everything(other) == before


def test_a_base_that_is_there_is_used_where_it_lies(book: Path, other: Path, tmp_path: Path, plait) -> None:
    shutil.copy(book / "looks/saltmarsh.plait", other / "looks/marsh.plait")
    plait("parcel", book / "looks/plain-saltmarsh.plait", "-o", tmp_path / "p")
    assert plait("unpack", tmp_path / "p", other).code == 0
    text = (other / "looks/plain-saltmarsh.plait").read_text("utf-8")
    assert 'use "../looks/marsh.plait"' in text and text.count("recipe ") == 1
    assert look_of(other / "looks/plain-saltmarsh.plait") == look_of(book / "looks/plain-saltmarsh.plait")


@pytest.mark.parametrize(("file", "old", "new", "said"), [
    ("hairs.plait", "pack 80 g", "pack 85 g", 'another hair "Dune" in hairs.plait'),
    ("hairs.plait", 'hair "Dune"', 'hair "DUNE"', 'another hair "Dune" in hairs.plait'),
    ("house-rules.plait", "over 4 and", "over 5 and", "code X01 is taken"),
])
def test_a_clash_is_refused_with_what_to_write(book: Path, other: Path, tmp_path: Path, plait, file: str, old: str, new: str, said: str) -> None:
    change(other / file, old, new)
    if "DUNE" in new:
        for path in [other / "houses.plait", *other.glob("looks/*.plait")]:
            path.write_text(path.read_text("utf-8").replace('"Dune"', '"DUNE"'), "utf-8")
    plait("parcel", book / "looks/saltmarsh.plait", "-o", tmp_path / "p")
    before = everything(other)
    got = plait("unpack", tmp_path / "p", other)
    assert got.code == 1 and said in got.err and "try:" in got.err and "nothing was written" in got.err
    assert everything(other) == before


def test_a_clash_is_settled_by_another_name(book: Path, other: Path, tmp_path: Path, plait) -> None:
    change(other / "hairs.plait", "pack 80 g", "pack 85 g")
    plait("parcel", book / "looks/saltmarsh.plait", "-o", tmp_path / "p")
    got = plait("unpack", tmp_path / "p", other, "--rename", "Dune=Dune of the Quay", "--rename", "Saltmarsh=Their Saltmarsh")
    assert got.code == 0, got.err
    sent = re.search(r"[a-z]{4}(-[a-z]{4}){3}", (tmp_path / "p").read_text("utf-8")).group()
    assert f"not the sender's {sent}:" in " ".join(got.out.split()), "another name is another seal, and the sender's is the one on her parcel"
    assert '"Dune" is "Dune of the Quay" here' in got.out
    path = other / "looks/their-saltmarsh.plait"
    text = path.read_text("utf-8")
    assert 'base: "Dune of the Quay" colour "driftwood"' in text and 'hair "Dune of the Quay"' in text and '"Dune Curl"' in text
    assert plait("check", path).code == 0


@pytest.mark.parametrize("name", ["Nothing=Else", "Dune=Dune Curl", "Dune=../Dune", "Dune=CON", "Dune=" + "x" * 90])
def test_a_bad_new_name_is_refused(book: Path, other: Path, tmp_path: Path, plait, name: str) -> None:
    plait("parcel", book / "looks/saltmarsh.plait", "-o", tmp_path / "p")
    before = everything(other)
    assert plait("unpack", tmp_path / "p", other, "--rename", name).code == 1
    assert everything(other) == before


def test_unknown_rules_are_shown_before_they_act(book: Path, tmp_path: Path, plait) -> None:
    plait("parcel", book / "looks/pebble-bob.plait", "-o", tmp_path / "p")
    new = tmp_path / "new"
    new.mkdir()
    got = plait("unpack", tmp_path / "p", new)
    assert got.code == 1 and not list(new.iterdir())
    assert "X01 (warn) if added to own over 4 and strand is fine" in got.err and "More than four times" in got.err
    assert "--rules accept" in got.err and "--rules leave" in got.err
    left = plait("unpack", tmp_path / "p", new, "--rules", "leave")
    assert left.code == 0 and "rule X01 is gone" in left.out
    assert "X01" not in (new / "pebble-bob.plait").read_text("utf-8")


def test_show_writes_nothing(book: Path, other: Path, tmp_path: Path, plait) -> None:
    plait("parcel", book / "looks/saltmarsh.plait", "-o", tmp_path / "p")
    before = everything(other)
    got = plait("unpack", tmp_path / "p", other, "--show")
    assert got.code == 0 and "would write" in got.out and everything(other) == before


def test_a_machine_reads_what_would_come_in(book: Path, other: Path, tmp_path: Path, plait) -> None:
    parcel = tmp_path / "x.parcel"
    plait("parcel", book / "looks/saltmarsh.plait", "-o", parcel)
    shown = json.loads(plait("unpack", parcel, other, "--show", "--rules", "accept", "--format", "json").out)
    assert shown["look"] == "Saltmarsh" and shown["written"] is None and shown["seal"] and not shown["here"]
    written = json.loads(plait("unpack", parcel, other, "--rules", "accept", "--format", "json").out)
    assert written["written"].endswith("saltmarsh.plait") and {**written, "written": None} == shown
    again = json.loads(plait("unpack", parcel, other, "--format", "json").out)
    assert again["here"] and again["written"] is None


def test_it_never_writes_over_a_file_nor_through_a_link(book: Path, other: Path, tmp_path: Path, plait) -> None:
    plait("parcel", book / "looks/saltmarsh.plait", "-o", tmp_path / "p")
    outside = tmp_path / "outside.plait"
    try:
        (other / "looks/Saltmarsh.plait").symlink_to(outside)
    except OSError:
        pytest.skip("this machine makes no links")
    got = plait("unpack", tmp_path / "p", other)
    assert got.code == 0, got.err
    assert not outside.exists() and (other / "looks/saltmarsh-2.plait").is_file()
    shutil.rmtree(other / "looks")
    (tmp_path / "elsewhere").mkdir()
    (other / "looks").symlink_to(tmp_path / "elsewhere", target_is_directory=True)
    got = plait("unpack", tmp_path / "p", other)
    assert got.code == 1 and "leads out of the book" in got.err and not list((tmp_path / "elsewhere").iterdir())


def test_a_broken_book_takes_nothing_in(book: Path, other: Path, tmp_path: Path, plait) -> None:
    plait("parcel", book / "looks/saltmarsh.plait", "-o", tmp_path / "p")
    change(other / "hairs.plait", "kind plain", "kind plian")
    got = plait("unpack", tmp_path / "p", other)
    assert got.code == 1 and "the book itself has mistakes" in got.err


def test_reading_a_parcel_needs_no_book(book: Path) -> None:
    parcel = read_parcel(packed(book / "looks/plain-saltmarsh.plait").encode())
    assert [look.name for look in parcel.chain] == ["Plain Saltmarsh", "Saltmarsh"]
    arrival = arrive(parcel, Shelf(book), take_rules=True)
    assert arrival.here == "looks/plain-saltmarsh.plait" and not arrival.text
