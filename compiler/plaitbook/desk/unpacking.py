"""``plait unpack FILE BOOK``: bring a parcel into a book. One new file is written, whole, or nothing."""

from __future__ import annotations

import argparse
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .as_data import format_argument, print_data
from .command import BAD_TEXT, GOOD, WRONG_USE, _pairs, cant_read, shown_path
from .commands import HELP
from .shelf import CantRead, Shelf, write_whole

if TYPE_CHECKING:
    from .book.parcel import Parcel
    from .book.receiving import Arrival


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("unpack", help=HELP["unpack"],
        epilog="paste a parcel with: plait unpack - BOOK, then the text, then the end-of-file key")
    parser.add_argument("parcel", metavar="FILE", help="the parcel; - for standard input")
    parser.add_argument("book", metavar="BOOK", help="the book's folder")
    parser.add_argument("--rename", metavar="OLD=NEW", action="append", default=[], help="give something in the parcel another name")
    parser.add_argument("--rules", choices=("accept", "leave"), help="let the parcel's unknown rules judge its look, or leave them behind")
    parser.add_argument("--show", action="store_true", help="say what would happen, and write nothing")
    format_argument(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Read, check, show, and write one file."""
    from .book.parcel import Refused, read_parcel
    from .book.receiving import arrive, renamed

    names = _pairs(arguments.rename, "an old and a new name", '--rename "Dune=Dune of the Quay"')
    if names is None:
        return WRONG_USE
    try:
        shelf = _book(Path(arguments.book))
        parcel = read_parcel(_bytes(arguments.parcel))
        if names:
            parcel = renamed(parcel, names)
        arrival = arrive(parcel, shelf, take_rules=arguments.rules != "leave")
        while arrival.clashes and arguments.format == "text" and sys.stdin is not None and sys.stdin.isatty():
            answer = _asked(arrival)
            if answer is None:
                break
            parcel = renamed(parcel, answer)
            arrival = arrive(parcel, shelf, take_rules=arguments.rules != "leave")
    except Refused as refused:
        print(f"plait: the parcel is refused: {refused.message}\n  try: {refused.help}", file=sys.stderr)
        return BAD_TEXT
    except CantRead as error:
        return cant_read(error, as_json=arguments.format == "json")
    return _settled(arguments, parcel, arrival, shelf)


def _settled(arguments: argparse.Namespace, parcel: "Parcel", arrival: "Arrival", shelf: Shelf) -> int:
    """Say what stands in the way, or write the file."""
    as_json = arguments.format == "json"
    if arrival.here:
        if as_json:
            print_data(_data(arrival, parcel, None))
            return GOOD
        print(f'"{arrival.look}" is here already, exactly so, in {arrival.here}; nothing was written')
        return GOOD
    if arrival.clashes:
        for clash in arrival.clashes:
            print(f"plait: {clash.sentence()}", file=sys.stderr)
        said = " ".join(f'--rename "{c.name}={c.name} 2"' for c in arrival.clashes if c.kind != "rule")
        rules = " --rules leave" if any(c.kind == "rule" for c in arrival.clashes) else ""
        print(f"  nothing was written\n  try: {said}{rules}", file=sys.stderr)
        return BAD_TEXT
    if arrival.rules and arguments.rules is None:
        print(_rules(arrival), file=sys.stderr)
        print("  nothing was written\n  try: --rules accept to let them judge this look, or --rules leave to leave them behind", file=sys.stderr)
        return BAD_TEXT
    if not as_json:
        _tell(arguments, parcel, arrival)
    if arguments.show:
        if as_json:
            print_data(_data(arrival, parcel, None))
        else:
            print(f"would write {shown_path(shelf.root / arrival.file)}; nothing was written")
        return GOOD
    path = shelf.root / arrival.file
    try:
        write_whole(path, arrival.text.encode())
    except OSError as error:
        print(f"plait: '{shown_path(path)}' can't be written: {error.strerror or error}\n"
              "  try: check that the book's folder may be changed", file=sys.stderr)
        return BAD_TEXT
    if as_json:
        print_data(_data(arrival, parcel, shown_path(path)))
    print(f"wrote {shown_path(path)}", file=sys.stderr)
    return GOOD


def _tell(arguments: argparse.Namespace, parcel: "Parcel", arrival: "Arrival") -> None:
    """What comes into the book, in words."""
    from ..plan.aloud import aloud

    print(f'look "{arrival.look}" version {parcel.look.version}, {len(parcel.chain)} recipe{"s" if len(parcel.chain) != 1 else ""}')
    if arrival.known:
        print(textwrap.fill(f"here already, exactly so: {', '.join(arrival.known)}", 80, subsequent_indent="  "))
    if arrival.rules and arguments.rules == "accept":
        print(_rules(arrival))
    others = [f'"{old}" is "{new}" here' for old, new in parcel.renamed]
    if not arrival.changed and not others:
        print(f"the look's seal is the sender's, {aloud(arrival.sha256)}")
    else:
        print(textwrap.fill(f"in this book the look's seal is {aloud(arrival.sha256)}, not the sender's {aloud(parcel.sent or parcel.sha256)}:", 80,
                            break_on_hyphens=False))
        for line in (*others, *arrival.changed):
            print(textwrap.fill(line, 80, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False))


def _data(arrival: "Arrival", parcel: "Parcel", written: str | None) -> dict[str, Any]:
    """The same as data; ``written`` is the new file, or None where none was written."""
    from ..plan.aloud import aloud

    return {
        "look": arrival.look, "version": parcel.look.version, "recipes": len(parcel.chain), "here": arrival.here or None,
        "known": list(arrival.known), "seal": aloud(arrival.sha256), "sender_seal": aloud(parcel.sent or parcel.sha256), "changed": list(arrival.changed), "renamed": dict(parcel.renamed),
        "rules": [{"code": rule.code, "severity": rule.severity, "if": rule.asked, "says": rule.message, "why": rule.reason} for rule in arrival.rules],
        "written": written,
    }


def _rules(arrival: "Arrival") -> str:
    """The rules that would begin to act, in full."""
    count = len(arrival.rules)
    lines = [f"{count} rule{'s' if count != 1 else ''} that this book doesn't have would judge this look:"]
    for rule in arrival.rules:
        lines.append(textwrap.fill(f"{rule.code} ({rule.severity}) if {rule.asked}", 80, initial_indent="  ", subsequent_indent="    "))
        lines.append(textwrap.fill(f"says: {rule.message}", 80, initial_indent="    ", subsequent_indent="      "))
        if rule.reason:
            lines.append(textwrap.fill(f"why: {rule.reason}", 80, initial_indent="    ", subsequent_indent="      "))
    return "\n".join(lines)


def _asked(arrival: "Arrival") -> dict[str, str] | None:
    """New names for what clashes, asked one by one; None where one was not given."""
    names = {}
    for clash in arrival.clashes:
        if clash.kind == "rule":
            return None
        try:
            answer = input(f"{clash.sentence()}.\nA new name for the parcel's (nothing to stop): ").strip()
        except EOFError:
            return None
        if not answer:
            return None
        names[clash.name] = answer
    return names


def _book(folder: Path) -> Shelf:
    """The book to unpack into. Raises CantRead."""
    if not folder.is_dir():
        raise CantRead(f"there is no folder '{folder}'", f"make a book first: plait new {folder}")
    return Shelf(folder.resolve())


def _bytes(name: str) -> bytes:
    """The parcel's bytes, one more than allowed at most. Raises CantRead."""
    from .book.parcel import MAX_BYTES

    if name == "-":
        if sys.stdin is None:
            raise CantRead("standard input is closed", "name the parcel's file")
        return sys.stdin.buffer.read(MAX_BYTES + 1)
    path = Path(name)
    if path.is_dir():
        raise CantRead(f"'{path.name or path}' is a folder", "name the parcel's file")
    if path.exists() and not path.is_file():
        raise CantRead(f"'{path.name}' is a device or a pipe, not a file", "name the parcel's file, or - for standard input")
    try:
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise CantRead(f"there is no file '{path.name}'", "check the name and the folder") from None
    except OSError as error:
        raise CantRead(f"'{path.name}' can't be read: {error.strerror or error}", "check that the file may be opened") from None
