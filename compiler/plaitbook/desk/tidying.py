"""``plait tidy``: lay recipes out in one way, without changing what they say."""

from __future__ import annotations

import argparse
import difflib
import sys
from pathlib import Path

from .commands import HELP
from ..syntax.tidy import WouldChange, tidy
from .shelf import CantRead, read_text, write_whole

GOOD, BAD_TEXT = 0, 1


def register(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the command line."""
    parser = commands.add_parser("tidy", help=HELP["tidy"])
    parser.add_argument("files", nargs="+", metavar="FILE")
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 if a file would change")
    parser.add_argument("--diff", action="store_true", help="write nothing; show what would change")
    parser.set_defaults(run=_tidy)


def _tidy(arguments: argparse.Namespace) -> int:
    worst = GOOD
    for name in arguments.files:
        path = Path(name)
        try:
            text = read_text(path)
        except CantRead as error:
            print(f"plait: {error.message}\n  try: {error.help}", file=sys.stderr)
            worst = BAD_TEXT
            continue
        try:
            tidied = tidy(text)
        except WouldChange:
            print(f"{name}: left alone; tidying it would have changed what it says. "
                  "Please report this file's text.", file=sys.stderr)
            worst = BAD_TEXT
            continue
        if tidied == text:
            continue
        if arguments.diff:
            sys.stdout.writelines(difflib.unified_diff(
                text.splitlines(keepends=True), tidied.splitlines(keepends=True), name, f"{name} (tidy)"))
        if arguments.check:
            print(f"{name}: would change", file=sys.stderr)
        if arguments.check or arguments.diff:
            worst = BAD_TEXT
            continue
        try:
            write_whole(path, tidied.encode())
        except OSError as error:
            print(f"plait: '{name}' can't be written: {error.strerror or error}\n"
                  "  try: check that the file may be changed", file=sys.stderr)
            worst = BAD_TEXT
            continue
        print(f"{name}: tidied")
    return worst
