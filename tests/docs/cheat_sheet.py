"""Make the cheat sheet: ``python tests/docs/cheat_sheet.py`` writes docs/cheat-sheet.pdf from its text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import NamedTuple

import plaitbook

DOCS = Path(__file__).resolve().parents[2] / "docs"
FONTS = Path(plaitbook.__file__).parent / "cards" / "fonts"


class Part(NamedTuple):
    """Lines that stand in one place."""

    place: str
    title: str
    lines: tuple[tuple[str, str], ...]
    """(code, meaning)."""


def parts() -> tuple[Part, ...]:
    found: list[Part] = []
    for row in (DOCS / "cheat-sheet.txt").read_text("utf-8").split("\n"):
        left, bar, right = (half.strip() for half in row.partition(" | "))
        if row.startswith("== "):
            found.append(Part(left[3:], right, ()))
        elif bar and found:
            found[-1] = found[-1]._replace(lines=(*found[-1].lines, (left, right)))
    return tuple(found)


def render() -> bytes:
    """The sheet as PDF."""
    import typst

    sheet = json.dumps([{"title": part.title, "lines": part.lines} for part in parts()])
    return typst.compile(str(DOCS / "cheat-sheet.typ"), font_paths=[str(FONTS)], ignore_system_fonts=True,
                         sys_inputs={"sheet": sheet}, pdf_standards=["ua-1"])


if __name__ == "__main__":
    (DOCS / "cheat-sheet.pdf").write_bytes(render())
