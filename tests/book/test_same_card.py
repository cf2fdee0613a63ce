"""A second person, with only the sealed book and a wearer, makes the same card byte for byte.

Two installs of the package in two places, two processes that share nothing: other hash seeds, time zones, languages,
homes, working folders, book paths and file names.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

import plaitbook
from plaitbook.shipped import shipped_folder

NOOR = '''edition 1
wearer "Noor"
demo
age 27 years
strand medium
density dense
texture coily
own hair 8 in
circumference 56 cm
scalp healthy
patch test clear
arrives unwashed
'''
ASKED = ("looks/saltmarsh.plait", "looks/shingle.plait", "looks/fernrope.plait")


@dataclass(frozen=True)
class Person:
    """Somebody with an install, a book and a wearer of her own."""

    install: Path
    book: Path
    wearer: Path
    stands_in: Path
    environment: dict[str, str]

    def plait(self, *tasks: list[str]) -> subprocess.CompletedProcess[bytes]:
        code = (f"import sys; sys.path.insert(0, {str(self.install)!r})\n"
                "import json, plaitbook\nfrom plaitbook.desk.command import main\n"
                f"if not plaitbook.__file__.startswith({str(self.install)!r}): sys.exit(plaitbook.__file__)\n"
                "sys.exit(max(main(task) for task in json.loads(sys.argv[1])))")
        return subprocess.run([sys.executable, "-c", code, json.dumps(tasks)], cwd=self.stands_in, capture_output=True,
                              env=self.environment, timeout=300)


def _install(folder: Path) -> Path:
    package = Path(plaitbook.__file__).parent
    shutil.copytree(package, folder / "plaitbook", ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("grammar", "recipes"):
        if not (folder / "plaitbook" / name).exists():
            shutil.copytree(shipped_folder(name), folder / "plaitbook" / name)
    return folder


def _environment(home: Path, **more: str) -> dict[str, str]:
    home.mkdir(parents=True)
    kept = {k: v for k, v in os.environ.items() if k.upper() in ("PATH", "SYSTEMROOT", "TEMP", "TMP", "LD_LIBRARY_PATH")}
    return {**kept, "HOME": str(home), "USERPROFILE": str(home), "PLAITBOOK_CACHE": str(home / "kept"), **more}


@pytest.fixture(scope="module")
def people(tmp_path_factory: pytest.TempPathFactory) -> tuple[Person, Person]:
    """The first person has the whole book and seals it; the second gets it sealed and without a client."""
    here, there = tmp_path_factory.mktemp("here"), tmp_path_factory.mktemp("somewhere else, with spaces")
    first_book = here / "book"
    shutil.copytree(shipped_folder("recipes"), first_book, ignore=shutil.ignore_patterns("__pycache__", ".*"))
    (here / "clients").mkdir()
    (here / "clients" / "noor.plait").write_text(NOOR, "utf-8")
    # The clients stay at home with the first person from the beginning.
    (first_book / "wearers.plait").unlink()
    main_file = first_book / "book.plait"
    main_file.write_text(main_file.read_text("utf-8").replace('use "wearers.plait"\n', ""), "utf-8")
    first = Person(_install(here / "site"), first_book, here / "clients" / "noor.plait", here, _environment(
        here / "home", PYTHONHASHSEED="1", TZ="Pacific/Auckland", LC_ALL="C.UTF-8", LANG="C.UTF-8", COLUMNS="80"))
    sealed = first.plait(["seal", *(str(first_book / look) for look in ASKED)])
    assert sealed.returncode == 0, sealed.stderr.decode()

    second_book = there / "deep" / "er" / "Bücher"
    shutil.copytree(first_book, second_book, ignore=shutil.ignore_patterns(".plait"))
    (there / "n.plait").write_text(NOOR, "utf-8")
    second = Person(_install(there / "lib"), second_book, there / "n.plait", second_book / "looks", _environment(
        there / "heim", PYTHONHASHSEED="4242", TZ="America/St_Johns", LC_ALL="tr_TR.UTF-8", LANG="de_DE.ISO-8859-1",
        LANGUAGE="de", COLUMNS="200", PYTHONOPTIMIZE="1"))
    return first, second


FORMS = ("json", "html", "text", "pdf")
COMPARED = ("json", "html", "text")


@pytest.fixture(scope="module")
def made(people: tuple[Person, Person], tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A folder for each of them with all that they made, each in one process."""
    folders = []
    for number, person in enumerate(people):
        out = tmp_path_factory.mktemp(f"made by {number}")
        named = [str(person.book / look) if number == 0 else os.path.relpath(person.book / look, person.stands_in) for look in ASKED]
        who = ["--wearer", str(person.wearer), "--house", "Harbour Chair"]
        tasks = [["card", file, *who, "--format", form, "-o", str(out / f"{n}.{form}")] for n, file in enumerate(named) for form in FORMS]
        tasks += [["compare", named[0], named[1], *who, "--format", form, "-o", str(out / f"compared.{form}")] for form in COMPARED]
        tasks += [["seal", named[0], "-o", str(out / "book.seal")], ["parcel", named[0], "-o", str(out / "look.parcel")]]
        done = person.plait(*tasks)
        assert {path.name for path in out.iterdir()} >= {Path(task[-1]).name for task in tasks}, done.stderr.decode()
        folders.append(out)
    return folders[0], folders[1]


@pytest.mark.parametrize("name", [*(f"{n}.{form}" for n in range(len(ASKED)) for form in FORMS),
                                  *(f"compared.{form}" for form in COMPARED), "book.seal", "look.parcel"])
def test_both_make_the_same(people: tuple[Person, Person], made: tuple[Path, Path], name: str) -> None:
    first, second = ((folder / name).read_bytes() for folder in made)
    assert first == second
    for private in (str(people[0].stands_in), "noor.plait", str(people[1].stands_in)):
        assert private.encode() not in first


def test_the_second_can_prove_that_the_book_is_as_it_was_sealed(people: tuple[Person, Person]) -> None:
    _, second = people
    found = second.plait(["check", "--sealed", *(str(second.book / look) for look in ASKED)])
    assert found.returncode == 0, found.stdout.decode()
    assert found.stdout.decode().count("exactly as sealed") == len(ASKED)
