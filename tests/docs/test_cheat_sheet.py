"""Every line of the cheat sheet does what it says, and the sheet is one page for A4 and Letter."""

from __future__ import annotations

import io
import shlex
from pathlib import Path

import pytest
from cheat_sheet import DOCS, parts, render
from shipped_book import compile_in_book
from test_language_examples import in_a_recipe

from plaitbook.desk.command import main
from plaitbook.meaning.book import file_meaning
from plaitbook.syntax import vocabulary
from plaitbook.syntax.parse import parse


def lines(*places: str) -> list:
    return [pytest.param(part.place, part.title, code, id=code[:50]) for part in parts() for code, _ in part.lines if part.place in places]


COMPANIONS = {
    "size: small": "sections:\ngrid brick by size\nfeed: pieces of base ½ pencil, hold width by size\n",
    "length: bob": "wearing by length\n",
    "technique scalp rows": "technique plait\nsections:\ngrid square 1 in\ngrid scalp rows straight back, 8 rows in top, temples\n",
    "grid scalp rows": "sections:\ngrid square 1 in\ntechnique plait\ntechnique scalp rows in top\n",
}
"""What a line needs beside it to mean something."""


@pytest.mark.parametrize(("place", "title", "line"), lines("recipe"))
def test_a_line_of_a_look_compiles(place: str, title: str, line: str) -> None:
    if line.startswith("recipe "):
        use = 'use "saltmarsh.plait"\n' if "based on" in line else ""
        text = in_a_recipe("").replace('recipe "Carrier"', line) if not use else f"edition 1\n{use}{line}\n"
    else:
        heading = title.strip() if title.strip() in {f"{block}:" for block in vocabulary.RECIPE_BLOCKS} else ""
        beside = next((more for begins, more in COMPANIONS.items() if line.startswith(begins)), "")
        text = in_a_recipe(f"{beside}{heading}\n{line}\n")
    done = compile_in_book(text, "looks/swash.plait", wearer="Ilse")
    assert done.plan is not None, [(p.span.line, p.message) for p in done.problems]


@pytest.mark.parametrize(("place", "title", "line"), lines("wearer", "hair", "house"))
def test_a_line_of_a_declaration_is_understood(place: str, title: str, line: str) -> None:
    needed = {"hair": ["kind plain", "fibre modacrylic", "pack 80 g", "flat 48 in"]}.get(place, [])
    kept = [each for each in needed if each.split()[0] != line.split()[0]]
    body = f"{line}\n" if line.startswith(f'{place} "') else f'{place} "X"\n{line}\n'
    meaning = file_meaning(f"edition 1\n{body}" + "\n".join(kept) + "\n", "x.plait")
    assert meaning.problems == ()


@pytest.mark.parametrize(("place", "title", "line"), lines("file"))
def test_a_line_of_any_file_is_read(place: str, title: str, line: str) -> None:
    assert parse(line + "\n", "x.plait")[1] == ()


def test_the_commands_run_in_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for part in parts():
        for code, _ in part.lines if part.place == "command" else ():
            words = shlex.split(code)
            assert words[0] == "plait" and main(words[1:]) == 0, code


def test_the_sheet_is_one_page_that_fits_both_papers() -> None:
    import pikepdf

    for data in (render(), (DOCS / "cheat-sheet.pdf").read_bytes()):
        with pikepdf.open(io.BytesIO(data)) as pdf:
            assert len(pdf.pages) == 1
            _, _, wide, high = (float(edge) for edge in pdf.pages[0].MediaBox)
            assert wide <= 595.4 and high <= 792.1


def test_every_kind_of_line_of_a_look_is_on_the_sheet() -> None:
    text = "\n".join(code + part.title for part in parts() for code, _ in part.lines)
    words = {*vocabulary.RECIPE_BLOCKS, *vocabulary.RECIPE_STATEMENTS, *vocabulary.SECTION_WORDS} - {"adapt", "demo", "based", "not"}
    assert [word for word in words if word not in text] == []
