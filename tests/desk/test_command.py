"""The command line as a person uses it: in a fresh process, on files."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from shipped_book import SMALL, shipped_looks

from plaitbook.desk.command import main
from plaitbook.shipped import shipped_folder

LIMIT_S = 60
"""Only a guard against a hang; speed is measured by the benchmark."""


def plait(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(
        [sys.executable, "-c", "import sys; from plaitbook.desk.command import main; sys.exit(main())", *arguments],
        cwd=cwd, capture_output=True, text=True, encoding="utf-8", timeout=LIMIT_S, env=environment,
    )


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A new book made by the command itself."""
    done = plait("new", "mybook", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    return tmp_path / "mybook"


def put(book: Path, text: str, name: str = "mine.plait") -> str:
    (book / "looks" / name).write_text(text, "utf-8")
    return f"looks/{name}"


def test_a_new_book_compiles_at_once(book: Path) -> None:
    done = plait("check", *shipped_looks(), cwd=book)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count(": good") == len(shipped_looks())


def test_new_refuses_a_folder_that_holds_something(book: Path) -> None:
    before = sorted(p.name for p in book.rglob("*"))
    done = plait("new", str(book), cwd=book.parent)
    assert done.returncode == 1 and "already there" in done.stderr
    assert sorted(p.name for p in book.rglob("*")) == before


def test_card_writes_the_file_it_names(book: Path) -> None:
    done = plait("card", "looks/saltmarsh.plait", "--wearer", "Noor", "-o", "card.pdf", cwd=book)
    assert done.returncode == 0, done.stderr
    assert (book / "card.pdf").read_bytes().startswith(b"%PDF-")
    done = plait("card", "looks/saltmarsh.plait", "--wearer", "Noor", cwd=book)
    assert (book / "saltmarsh-noor.pdf").is_file(), done.stderr


@pytest.mark.parametrize(("form", "begins"), [("html", "<!doctype html>"), ("text", "Saltmarsh"), ("json", "{")])
def test_card_in_each_format_on_standard_output(book: Path, form: str, begins: str) -> None:
    done = plait("card", "looks/saltmarsh.plait", "--wearer", "Noor", "--format", form, "-o", "-", cwd=book)
    assert done.returncode == 0, done.stderr
    assert done.stdout.lower().lstrip().startswith(begins.lower())


def test_a_look_of_several_is_named_after_a_hash(book: Path) -> None:
    name = put(book, SMALL + '\nrecipe "Other" based on "Small"\nwearing 10 in\n')
    done = plait("card", name, "--format", "text", cwd=book)
    assert done.returncode == 1 and "Small" in done.stderr and "Other" in done.stderr
    done = plait("card", f"{name}#Other", "--format", "text", cwd=book)
    assert done.returncode == 0 and done.stdout.startswith("Other")


def test_choices_are_picked_and_wrong_ones_explained(book: Path) -> None:
    done = plait("plan", "looks/saltmarsh.plait", "--choose", "size=small", cwd=book)
    assert json.loads(done.stdout)["head"]["choices"][0] == ["size", "small"]
    done = plait("plan", "looks/saltmarsh.plait", "--choose", "size=smal", cwd=book)
    assert done.returncode == 1 and "'small'" in done.stderr
    assert json.loads(done.stdout)["problems"][0]["code"] == "E602"


def test_house_and_wearer_may_be_files(book: Path, tmp_path: Path) -> None:
    wearer = tmp_path / "ana.plait"
    wearer.write_text('edition 1\nwearer "Ana"\nstrand coarse\n', "utf-8")
    done = plait("plan", "looks/quayside.plait", "--wearer", str(wearer), "--house", "Zimmer Sieben", cwd=book)
    plan = json.loads(done.stdout)
    assert (plan["head"]["wearer"], plan["quote"]["currency"]) == ("Ana", "EUR"), done.stderr


def test_wrong_use_is_exit_2(book: Path) -> None:
    assert plait("crad", "x", cwd=book).returncode == 2
    assert "card" in plait("crad", "x", cwd=book).stderr
    assert plait("card", "looks/saltmarsh.plait", "--choose", "small", cwd=book).returncode == 2
    assert plait(cwd=book).returncode == 2


def test_a_stop_is_exit_1_and_the_card_still_says_why(book: Path) -> None:
    name = put(book, SMALL + '\nwearer "Sore"\nscalp sore\n')
    done = plait("card", name, "--wearer", "Sore", "--format", "text", "-o", "-", cwd=book)
    assert done.returncode == 1
    assert "Stop" in done.stderr and "clinician" in (done.stdout + done.stderr)


def test_a_look_that_stops_is_not_called_good(book: Path) -> None:
    text = (book / "looks/saltmarsh.plait").read_text("utf-8").replace("medium is grid 1 in", "medium is grid 1 cm")
    (book / "looks/tiny.plait").write_text(text.replace('"Saltmarsh"', '"Tiny"'), "utf-8")
    done = plait("check", "looks/tiny.plait", cwd=book)
    assert done.returncode == 1 and "stop" in done.stdout.splitlines()[0] and "good" not in done.stdout
    (book / "looks/tiny.plait").unlink()


def test_an_argument_that_means_nothing_is_told_by_its_command(book: Path) -> None:
    done = plait("card", "looks/saltmarsh.plait", "--papper", "a4", cwd=book)
    assert done.returncode == 2 and "did you mean '--paper'?" in done.stderr and "try: plait card --help" in done.stderr
    done = plait("why", "L05", "looks/saltmarsh.plait", "--wearer", "Ilse", cwd=book)
    assert done.returncode == 2 and "usage: plait why" in done.stderr and "'--wearer' means nothing here" in done.stderr


def test_explain_prints_a_tree_with_sources(book: Path) -> None:
    done = plait("explain", "looks/saltmarsh.plait", "material.base.grams", "--wearer", "Ilse", cwd=book)
    listing = plait("explain", "looks/saltmarsh.plait", "--wearer", "Ilse", cwd=book).stdout
    assert "sections.count" in listing
    assert done.returncode == 0 or "there is no figure" in done.stderr
    done = plait("explain", "looks/saltmarsh.plait", "sections.count", "--wearer", "Ilse", cwd=book)
    assert done.returncode == 0 and "section" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert plait("explain", "looks/saltmarsh.plait", "sections.cuont", cwd=book).returncode == 1
    for asked in ("time in the chair", "Chair time"):
        assert "timing.median_minutes" in plait("explain", "looks/saltmarsh.plait", asked, cwd=book).stdout


def test_every_shipped_plan_fits_the_published_schema(book: Path) -> None:
    schema = json.loads(plait("schema", cwd=book).stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for name in shipped_looks():
        done = plait("plan", name, "--wearer", "Marisol", cwd=book)
        plan = json.loads(done.stdout)
        validator.validate(plan)
        assert plan["sections"]["count"] == len(plan["sections"]["items"]) == len(plan["strands"])
        assert {"number", "zone", "area_cm2", "hairs"} <= plan["sections"]["items"][0].keys()
        assert {"stitches", "width_mm", "feed_ins", "accents"} <= plan["strands"][0].keys()
        assert {"name", "pieces", "grams", "packs_used", "packs_to_buy"} <= plan["material"]["hair"][0].keys()
        assert {"median_minutes", "p80_minutes", "checkpoints"} <= plan["timing"].keys()
        assert {"total", "currency", "lines"} <= plan["quote"].keys()
        assert all({"code", "severity", "message", "line"} <= f.keys() for f in plan["findings"])


BAD = {
    "an unknown word": SMALL.replace("technique plait", "tecnique plait"),
    "a wrong unit": SMALL.replace("12 in", "12 °C"),
    "an unclosed quote": SMALL.replace('"Dune"', '"Dune'),
    "every 0 stitches": SMALL + 'accents: every 0 stitches: 1 piece of base ¼ pencil\n',
    "an unknown hair": SMALL.replace('"Dune"', '"Duen"'),
    "a negative length": SMALL.replace("12 in", "-12 in"),
    "a billion sections": SMALL.replace("1½ in", "1000000000 sections"),
    "a ring of bases": SMALL.replace('"Small"', '"Small" based on "Small"'),
    "a path out of the book": SMALL + 'use "../../../etc/passwd"\n',
    "a line of 5 MB": SMALL + 'summary "' + "x" * 5_000_000 + '"\n',
}


@pytest.mark.parametrize("what", BAD)
def test_bad_recipes_point_at_the_line_and_write_nothing(book: Path, what: str) -> None:
    name = put(book, BAD[what])
    before = sorted(p.name for p in book.rglob("*"))
    done = plait("card", name, "--wearer", "Ilse", "-o", "out.pdf", cwd=book)
    assert done.returncode == 1
    first = done.stderr.splitlines()[0]
    assert first.startswith("looks/mine.plait:") or first.startswith("looks\\mine.plait:"), done.stderr
    line, column = first.split(":")[1:3]
    assert int(line) > 0 and int(column) > 0
    assert "try: " in done.stderr and "Traceback" not in done.stderr
    assert max(map(len, done.stderr.splitlines())) < 200
    assert sorted(p.name for p in book.rglob("*")) == before


@pytest.mark.skipif(sys.platform != "linux", reason="peak memory is read as Linux reports it")
@pytest.mark.parametrize("what", BAD)
def test_bad_recipes_stay_small(book: Path, what: str) -> None:
    name = put(book, BAD[what])
    code = (
        "import re\nfrom plaitbook.desk.command import main\n"
        f"main(['card', {name!r}, '--wearer', 'Ilse', '-o', 'out.pdf'])\n"
        # VmHWM, not ru_maxrss: the latter starts at the size of the process that forked.
        "print(re.search(r'VmHWM:\\s+(\\d+) kB', open('/proc/self/status').read()).group(1))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=book, capture_output=True, text=True, timeout=LIMIT_S)
    assert int(done.stdout.splitlines()[-1]) < 300 * 1024


def test_files_that_cannot_be_had(book: Path) -> None:
    for recipe in ("nowhere.plait", "looks", "looks/nowhere.plait"):
        done = plait("card", recipe, cwd=book)
        assert done.returncode == 1 and "try: " in done.stderr and "Traceback" not in done.stderr
    (book / "looks" / "binary.plait").write_bytes(b"\xff\xfe\x00\x01")
    done = plait("card", "looks/binary.plait", cwd=book)
    assert done.returncode == 1 and "UTF-8" in done.stderr


def test_an_output_that_cannot_be_written_loses_nothing(book: Path) -> None:
    done = plait("card", "looks/saltmarsh.plait", "-o", "no-such-folder/card.pdf", cwd=book)
    assert done.returncode == 1 and "can't be written" in done.stderr


@pytest.mark.skipif(os.name != "posix", reason="symbolic links")
def test_a_link_out_of_the_book_is_refused(book: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.plait"
    outside.write_text("edition 1\n", "utf-8")
    (book / "looks" / "inside.plait").symlink_to(outside)
    name = put(book, SMALL + 'use "inside.plait"\n')
    done = plait("card", name, cwd=book)
    assert done.returncode == 1 and "leads out of the book" in done.stderr


def test_checking_as_data_is_one_document(book: Path) -> None:
    put(book, SMALL.replace("12 in", "12"))
    done = plait("check", "looks/mine.plait", "looks/saltmarsh.plait", "nowhere.plait", "--format", "json", cwd=book)
    data = json.loads(done.stdout)
    assert done.returncode == 1
    assert [len(each["problems"]) for each in data] == [1, 0, 1]
    assert data[0]["problems"][0]["line"] == 4


def test_shipped_folder_is_found() -> None:
    assert (shipped_folder("recipes") / "book.plait").is_file()


def test_check_tries_every_option_and_adaptation(book: Path) -> None:
    text = SMALL.replace("grid square 1½ in", "grid square by size").replace(
        "hair:\n", "choices:\nsize: big is grid 2 in; odd is width 9 mm; default big\nhair:\n")
    name = put(book, text + "when strand is coarse: every 6 stitches\n")
    done = plait("check", name, cwd=book)
    assert done.returncode == 1
    assert "'odd' of 'size' sets no grid" in done.stderr and "every 6 stitches" in done.stderr, done.stderr


def test_a_client_in_a_file_that_is_not_used_is_found_for_you(book: Path) -> None:
    (book / "mine.plait").write_text('edition 1\nwearer "Bea"\nstrand fine\n', "utf-8")
    done = plait("card", "looks/saltmarsh.plait", "--wearer", "Bea", cwd=book)
    assert done.returncode == 1
    assert 'use "mine.plait"' in done.stderr and "^" not in done.stderr
    (book / "book.plait").write_text((book / "book.plait").read_text("utf-8") + 'use "mine.plait"\n', "utf-8")
    assert plait("card", "looks/saltmarsh.plait", "--wearer", "bea", cwd=book).returncode == 0


@pytest.mark.skipif(sys.platform != "linux", reason="a device that is always full")
def test_a_device_is_written_to_and_never_replaced(book: Path, tmp_path: Path) -> None:
    done = plait("card", "looks/pebble-bob.plait", "--format", "text", "-o", "/dev/null", cwd=book)
    assert done.returncode == 0 and Path("/dev/null").is_char_device()
    done = plait("card", "looks/pebble-bob.plait", "--format", "text", "-o", "/dev/full", cwd=book)
    assert done.returncode == 1 and "Traceback" not in done.stderr and Path("/dev/full").is_char_device()
    target = tmp_path / "real.txt"
    target.write_text("old")
    (book / "link.txt").symlink_to(target)
    assert plait("card", "looks/pebble-bob.plait", "-o", "link.txt", cwd=book).returncode == 0
    assert (book / "link.txt").is_symlink() and "Pebble Bob" in target.read_text("utf-8")


def test_names_too_long_are_said_in_one_line(book: Path) -> None:
    done = plait("card", "b" * 300 + ".plait", cwd=book)
    assert done.returncode == 1 and "Traceback" not in done.stderr and "try: " in done.stderr


@pytest.mark.skipif(os.name != "posix", reason="named pipes")
def test_a_pipe_is_not_a_file_of_the_book(book: Path) -> None:
    os.mkfifo(book / "looks" / "fifo.plait")
    done = plait("card", put(book, SMALL + 'use "fifo.plait"\n'), cwd=book)
    assert done.returncode == 1 and "is not a file" in done.stderr


def test_more_lines_than_a_look_needs_are_refused_quickly(book: Path) -> None:
    many = "".join(f"feed: every 3 stitches from stitch {n % 9 + 1}: 1 piece of base ¼ pencil\n" for n in range(5000))
    done = plait("check", put(book, SMALL + many), cwd=book)
    assert done.returncode == 1 and "more than 40 lines of 'feed'" in done.stderr


def test_a_recipe_is_never_written_over(tmp_path, capsys):
    book = tmp_path / "book"
    main(["new", str(book)])
    look = book / "looks" / "saltmarsh.plait"
    before = look.read_bytes()
    assert main(["card", str(look), "--format", "text", "-o", str(book / "looks" / "quayside.plait")]) == 2
    assert main(["print", str(look), "shopping", "--format", "csv", "-o", str(look)]) == 2
    assert look.read_bytes() == before and "is a recipe" in capsys.readouterr().err
