"""Every ``expect`` of a book, asked of its plan: met, missed, or for somebody who isn't here."""

from __future__ import annotations

from pathlib import Path
from typing import Iterator, Literal, NamedTuple

from ...meaning.inherit import inherit
from ...meaning.look import ExpectSaid
from ...meaning.model import Expectation
from ...rules.expectations import missed, spoken
from ...rules.names import figure_name
from ...rules.scene import Parts, Scene
from ..shelf import BOOK, CantRead, shelf_for
from .opened import Opened, open_looks

MOST_FILES = 2000
"""Recipe files of one book: far more than a book has."""

State = Literal["met", "missed", "left out", "broken"]


class Told(NamedTuple):
    """What became of one expectation."""

    state: State
    file: str
    line: int
    look: str
    expectation: str
    """As written."""
    words: str
    """What was found, or why it wasn't asked."""
    seconds: float = 0.0


def book_files(folder: Path) -> list[Path]:
    """Every recipe file of the book that a folder lies in. Raises CantRead."""
    root = shelf_for(folder / BOOK).root
    found = root.rglob("*.plait") if (root / BOOK).is_file() else root.glob("*.plait")
    files = [path for path in sorted(found) if not any(part.startswith(".") for part in path.relative_to(root).parts)]
    if not files:
        raise CantRead(f"there is no recipe in {root.name or root}", "name files, or go to the book's folder")
    if len(files) > MOST_FILES:
        raise CantRead(f"there are {len(files)} recipe files under {root.name or root}", "name the files to ask")
    return files


def ask_file(recipe: str) -> Iterator[Told]:
    """The expectations of every look of ``FILE`` or ``FILE#Look``, inherited ones included. Raises CantRead."""
    opened = open_looks(recipe)
    if opened.problems:
        first = opened.problems[0]
        yield Told("broken", first.span.file, first.span.line, "", "a file that can be read", f"{first.message}; {first.help}")
        return
    for look in opened.looks:
        whole = inherit(look, opened.book.looks, [])
        made: dict[tuple[str | None, str | None], Scene | str] = {}
        for said in whole.expects if whole is not None else look.expects:
            yield _ask(opened, look.name, said, made)


def _ask(opened: Opened, look: str, said: ExpectSaid, made: dict[tuple[str | None, str | None], Scene | str]) -> Told:
    from time import perf_counter

    def told(state: State, words: str, seconds: float = 0.0) -> Told:
        return Told(state, said.origin.file, said.origin.line, look, said.text, words, seconds)

    for kind, name, shelf in (("wearer", said.wearer, opened.book.wearers), ("house", said.house, opened.book.houses)):
        if name is not None and name not in shelf:
            return told("left out", f'there is no {kind} "{name}" in this book')
    begun = perf_counter()
    who = said.wearer, said.house
    if who not in made:
        done = opened.compiled(look, {}, *who)
        if done.plan is None:
            made[who] = "; ".join(f"{p.message} ({p.span.file}:{p.span.line})" for p in done.problems)
        else:
            plan = done.plan
            parts = Parts(plan.sections, plan.strand_kinds, plan.strands, plan.material, plan.load, plan.timing, plan.quote)
            made[who] = Scene(done.recipe, done.wearer, done.house, parts)  # type: ignore[arg-type]
    scene = made[who]
    took = perf_counter() - begun
    if isinstance(scene, str):
        return told("broken", f"it can't be planned: {scene}", took)
    asked = next((each for each in scene.recipe.expects if each.origin == said.origin and each.text == said.text), None)
    if asked is None:
        return told("broken", "it was lost on the way to the plan", took)
    sentence = missed(asked, scene)
    if sentence is not None:
        return told("missed", sentence.removeprefix(f"expected {asked.text}, ").removeprefix("but "), took)
    return told("met", f"found {_found(asked, scene)}", took)


def _found(asked: Expectation, scene: Scene) -> str:
    entry = figure_name(asked.figure)
    value = entry.read(scene) if entry is not None else None
    return "nothing" if entry is None or value is None else spoken(value, entry.unit)


def junit(told: list[Told], seconds: float) -> bytes:
    """The results as JUnit XML: a suite for each file, a case for each expectation."""
    from xml.etree import ElementTree as Tree

    counted = {"missed": "failures", "broken": "errors", "left out": "skipped"}

    def counts(items: list[Told]) -> dict[str, str]:
        rows = {"tests": str(len(items)), **dict.fromkeys(counted.values(), "0")}
        for state, name in counted.items():
            rows[name] = str(sum(each.state == state for each in items))
        return rows

    root = Tree.Element("testsuites", {"name": "plait expect", **counts(told), "time": f"{seconds:.3f}"})
    for file in dict.fromkeys(each.file for each in told):
        mine = [each for each in told if each.file == file]
        suite = Tree.SubElement(root, "testsuite", {"name": _xml(file), **counts(mine), "time": f"{sum(e.seconds for e in mine):.3f}"})
        for each in mine:
            case = Tree.SubElement(suite, "testcase", {
                "classname": _xml(each.look or file), "name": _xml(each.expectation), "file": _xml(file),
                "line": str(each.line), "time": f"{each.seconds:.3f}"})
            tag = {"missed": "failure", "broken": "error", "left out": "skipped"}.get(each.state)
            if tag is not None:
                found = Tree.SubElement(case, tag, {"message": _xml(each.words)})
                found.text = None if tag == "skipped" else _xml(f"{file}:{each.line}: {each.expectation}\n{each.words}")
    return Tree.tostring(root, encoding="utf-8", xml_declaration=True) + b"\n"


def _xml(text: str) -> str:
    """The text without the signs that XML 1.0 can't hold."""
    return "".join(c if c in "\t\n\r" or " " <= c <= "\ud7ff" or "\ue000" <= c <= "\ufffd" or c >= "\U00010000" else "?" for c in text)

