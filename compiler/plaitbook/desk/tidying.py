"""``plait tidy``: lay recipes out in one way, without changing what they say."""

from __future__ import annotations

import argparse
import difflib
import sys
from pathlib import Path

from .as_data import format_argument, print_data
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
    format_argument(parser)
    parser.set_defaults(run=_tidy)


def _tidy(arguments: argparse.Namespace) -> int:
    as_json, rows = arguments.format == "json", []
    for name in arguments.files:
        row = _one(name, arguments)
        rows.append(row)
        if row.get("diff") and not as_json:
            sys.stdout.write(row["diff"])
        if row["what"] == "tidied" and not as_json:
            print(f"{name}: tidied")
        elif row["what"] in ("can't be read", "can't be written"):
            print(f"plait: {row['message']}\n  try: {row['help']}", file=sys.stderr)
        elif row["what"] == "left alone":
            print(f"{name}: left alone; {row['message']} {row['help']}", file=sys.stderr)
        elif row["what"] == "would change" and arguments.check:
            print(f"{name}: would change", file=sys.stderr)
    if as_json:
        print_data(rows)
    return GOOD if all(row["what"] in ("tidy", "tidied") for row in rows) else BAD_TEXT


def _one(name: str, arguments: argparse.Namespace) -> dict[str, str]:
    """One file's row: ``what`` became of it, and what there is to say."""
    path = Path(name)
    try:
        text = read_text(path)
    except CantRead as error:
        return {"file": name, "what": "can't be read", "message": error.message, "help": error.help}
    try:
        tidied = tidy(text)
    except WouldChange:
        return {"file": name, "what": "left alone", "message": "tidying it would have changed what it says.",
                "help": "Please report this file's text."}
    if tidied == text:
        return {"file": name, "what": "tidy"}
    if arguments.check or arguments.diff:
        diff = "".join(difflib.unified_diff(text.splitlines(keepends=True), tidied.splitlines(keepends=True), name, f"{name} (tidy)"))
        return {"file": name, "what": "would change", **({"diff": diff} if arguments.diff else {})}
    try:
        write_whole(path, tidied.encode())
    except OSError as error:
        return {"file": name, "what": "can't be written", "message": f"'{name}' can't be written: {error.strerror or error}",
                "help": "check that the file may be changed"}
    return {"file": name, "what": "tidied"}
