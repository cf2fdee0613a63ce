"""``plait expect [FILES]``: what the recipes expect of themselves, asked like tests."""

from __future__ import annotations

import argparse
import json
import os
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .command import BAD_TEXT, GOOD, WRONG_USE
from .commands import HELP
from .shelf import CantRead, write_whole

if TYPE_CHECKING:
    from .book.expectations import Told

_MARKS = {"met": "met     ", "missed": "MISSED  ", "left out": "left out", "broken": "BROKEN  "}


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("expect", help=HELP["expect"],
        epilog="exit code: 0 all met; 1 one was missed, or a recipe can't be planned; 2 wrong use")
    parser.add_argument("files", nargs="*", metavar="FILE", help="default: every recipe of the book one stands in")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--junit", metavar="XML", help="also write the results as JUnit XML, for a build server")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Ask every expectation; a line each, then a summary."""
    from time import perf_counter

    from .book.expectations import Told, ask_file, book_files, junit

    begun = perf_counter()
    told: list[Told] = []
    try:
        files = arguments.files or [os.path.relpath(path) for path in book_files(Path.cwd())]
    except CantRead as error:
        print(f"plait: {error.message}\n  try: {error.help}", file=sys.stderr)
        return WRONG_USE
    seen: set[tuple[str, int, str]] = set()
    for name in files:
        try:
            found = list(ask_file(name))
        except CantRead as error:
            found = [Told("broken", name, 0, "", "a file that can be read", f"{error.message}; {error.help}")]
        # A look and one based on it both ask an inherited line; the same line of the same look is asked once.
        fresh = [each for each in found if (each.file, each.line, each.look) not in seen]
        seen |= {(each.file, each.line, each.look) for each in fresh}
        if arguments.format == "text":
            for each in fresh:
                print(_line(each))
        told += fresh
    took = perf_counter() - begun
    if arguments.format == "json":
        print(json.dumps([_data(each) for each in told], ensure_ascii=False, indent=2))
    else:
        print(_summary(told))
    if arguments.junit:
        try:
            write_whole(Path(arguments.junit), junit(told, took))
        except OSError as error:
            print(f"plait: '{arguments.junit}' can't be written: {error.strerror or error}\n"
                  "  try: name a folder that exists and may be written: --junit expect.xml", file=sys.stderr)
            return BAD_TEXT
    return BAD_TEXT if any(each.state in ("missed", "broken") for each in told) else GOOD


def _data(told: "Told") -> dict[str, Any]:
    """One answer as data; where nothing could be asked, with the problem as every command tells it."""
    broken = {"problems": [{"message": told.words, "file": told.file, "line": told.line}]} if told.state == "broken" else {}
    return {**told._asdict(), **broken}


def _line(told: "Told") -> str:
    where = f"{told.file}:{told.line}" if told.line else told.file
    look = f" {told.look}:" if told.look else ""
    text = f"{_MARKS[told.state]} {where}{look} expected {told.expectation}; {told.words}"
    return textwrap.fill(text, 80, subsequent_indent=" " * 9, break_on_hyphens=False)


def _summary(told: "list[Told]") -> str:
    if not told:
        return "nothing is expected; write a line such as: expect sections between 60 and 130"
    counted = [(sum(each.state == state for each in told), word) for state, word in (
        ("met", "met"), ("missed", "missed"), ("broken", "broken"), ("left out", "left out"))]
    return f"\n{len(told)} expected: " + ", ".join(f"{n} {word}" for n, word in counted if n)
