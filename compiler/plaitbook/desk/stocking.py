"""``plait stock BOOK``: what hair is on the shelf; receive, use or count some, say when to order again."""

from __future__ import annotations

import argparse
import json
import re
import sys
from datetime import datetime, timezone
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .command import BAD_TEXT, GOOD, WRONG_USE, cant_read
from .commands import HELP

if TYPE_CHECKING:
    from ..meaning.model import Hair
    from .stock.store import Key, OnHand

ACTS = ("show", "receive", "use", "count", "point", "history")


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("stock", help=HELP["stock"],
                                 epilog='examples:\n  plait stock mybook receive "Dune, driftwood=12"\n  plait stock mybook count "Dune, driftwood=9⅓"\n'
                                        '  plait stock mybook point "Dune, driftwood=4"', formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("book", metavar="BOOK", help="the book's folder")
    parser.add_argument("act", choices=ACTS, nargs="?", default="show", help="default: show; point is the number of packs at which to order again")
    parser.add_argument("packs", nargs="*", metavar="HAIR, COLOUR=PACKS", help='such as "Dune, driftwood=12"')
    parser.add_argument("--note", default="", metavar="TEXT")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Do one thing with the stock; all of what was named, or nothing."""
    import sqlite3

    from .shelf import CantRead
    from .stock.store import Movement, NotThere, move, on_hand, set_points, stock_path
    from .survey.cells import book_root

    if not Path(arguments.book).is_dir():
        print(f"plait: '{arguments.book}' is not a folder\n  try: plait stock mybook", file=sys.stderr)
        return WRONG_USE
    folder = book_root(Path(arguments.book))
    asks = arguments.act not in ("show", "history")
    if asks != bool(arguments.packs):
        print(f"plait: '{arguments.act}' " + ("needs a hair and its packs" if asks else "takes no hair")
              + f'\n  try: plait stock {arguments.book} receive "Dune, driftwood=12"', file=sys.stderr)
        return WRONG_USE
    path = stock_path(folder)
    try:
        named = _named(arguments.packs, _catalogue(folder))
        if named is None:
            return WRONG_USE
        if arguments.act == "point":
            set_points(path, tuple(named))
        elif asks:
            at = datetime.now(timezone.utc).isoformat(timespec="seconds")
            move(path, at, tuple(Movement(arguments.act, *key, milli, arguments.note) for key, milli in named))
        return _history(path, arguments.format == "json") if arguments.act == "history" else _show(on_hand(path), arguments.format == "json")
    except NotThere as error:
        what = _hair_words((error.movement.hair, error.movement.colour))
        print(f"plait: {packs(error.movement.milli)} of {what} can't be used: {packs(error.milli)} there\n"
              "  try: receive what came in first, or count what is there", file=sys.stderr)
        return BAD_TEXT
    except CantRead as error:
        return cant_read(error, as_json=arguments.format == "json")
    except sqlite3.Error as error:
        print(store_trouble(path, error), file=sys.stderr)
        return BAD_TEXT


def store_trouble(path: Path, error: Exception) -> str:
    """What is wrong with the stock's file, and what to do; never to move it away where it may be whole."""
    said = str(error)
    if "locked" in said:
        return "plait: another plait is writing the book's stock\n  try: again in a moment"
    if "readonly" in said or "unable to open" in said or "disk" in said or "full" in said:
        return f"plait: the book's stock {path} can't be written or opened: {said}\n  try: see that the folder may be written and the disk has room"
    if "no such" in said or "has no column" in said:
        return f"plait: the book's stock {path} was made by another version of plait: {said}\n  try: the version that made it, or move the file away and count anew"
    return f"plait: the book's stock {path} is damaged: {said}\n  try: put a copy of it back, or move the file away and count anew"


def packs(milli: int) -> str:
    """``9⅓ packs``, ``1 pack``, from thousandths; ``9.35 packs`` where no fraction says it."""
    from ..cards.words import mixed

    whole = milli / 1000
    said = mixed(whole, (3, 4)) if abs(whole * 12 - round(whole * 12)) < 0.013 else f"{whole:.3f}".rstrip("0").rstrip(".")
    return f"{said} pack{'' if 0 < milli <= 1000 else 's'}"


def _catalogue(folder: Path) -> "dict[str, Hair]":
    """Every hair of the book by its name in small letters."""
    from ..meaning.book import file_meaning
    from .shelf import read_text
    from .survey.cells import plait_files

    found: dict[str, Hair] = {}
    for path in plait_files(folder):
        for hair in file_meaning(read_text(path), path.relative_to(folder).as_posix()).hairs:
            found.setdefault(hair.name.casefold(), hair)
    return found


def _named(written: list[str], hairs: "dict[str, Hair]") -> "list[tuple[Key, int]] | None":
    """(hair and colour, thousandths of packs) of each argument; None after saying which one is wrong."""
    from ..syntax.suggest import did_you_mean
    from .durations import packs_of

    found: list[tuple[Key, int]] = []
    for each in written:
        what, sign, amount = each.partition("=")
        name, _, colour = (part.strip() for part in what.partition(","))
        # "9,5" is nine and a half where a comma is the decimal sign; "1,000" may be a thousand, and is not guessed at.
        count = packs_of(re.sub(r"^(\d+),(\d{1,2})(?!\d)", r"\1.\2", amount.strip())) if sign else None
        if not name or count is None:
            print(f"plait: '{each}' is not a hair and its packs, 0 to 1000\n  try: \"Dune, driftwood=12\"", file=sys.stderr)
            return None
        hair = hairs.get(name.casefold())
        if hair is None:
            begins = next((h for h in hairs.values() if not colour and any(name.casefold() == f"{h.name} {shade}".casefold() for shade in h.colours)), None)
            help = (f'a comma before the colour: "{begins.name}, {name[len(begins.name):].strip()}={amount.strip()}"' if begins
                    else did_you_mean(name, [h.name for h in hairs.values()]) or "declare it in hairs.plait")
            print(f'plait: there is no hair "{name}" in this book\n  try: {help}', file=sys.stderr)
            return None
        shades = {shade.casefold(): shade for shade in hair.colours}
        if colour and shades and colour.casefold() not in shades:
            print(f"plait: \"{hair.name}\" doesn't come in '{colour}'\n  try: {did_you_mean(colour, hair.colours)}", file=sys.stderr)
            return None
        key = (hair.name, shades.get(colour.casefold(), colour))
        if key in {before for before, _ in found}:
            print(f"plait: {_hair_words(key)} is named twice\n  try: name it once, with all its packs", file=sys.stderr)
            return None
        found.append((key, round(count * 1000)))
    return found


def _hair_words(key: "Key") -> str:
    return f"{key[0]}, {key[1]}" if key[1] else key[0]


def _show(lines: "tuple[OnHand, ...]", as_json: bool) -> int:
    if as_json:
        print(json.dumps([{"hair": line.hair, "colour": line.colour or None, "packs": line.milli / 1000,
                           "order at": None if line.point is None else line.point / 1000, "order": line.to_order} for line in lines],
                         ensure_ascii=False, indent=2))
        return GOOD
    if not lines:
        print('nothing kept yet; begin with a count: plait stock BOOK count "Dune, driftwood=9"')
        return GOOD
    wide = max(len(_hair_words((line.hair, line.colour))) for line in lines)
    for line in lines:
        point = "" if line.point is None else f"   order at {packs(line.point)}{': ORDER' if line.to_order else ''}"
        print(f"{_hair_words((line.hair, line.colour)):<{wide}}   {packs(line.milli)}{point}")
    return GOOD


def _history(path: Path, as_json: bool) -> int:
    from .stock.store import movements

    if as_json:
        print(json.dumps([{"at": at, "kind": movement.kind, "hair": movement.hair, "colour": movement.colour or None, "packs": movement.milli / 1000,
                           "packs after": after / 1000, "note": movement.note} for _, at, movement, after in movements(path)], ensure_ascii=False, indent=2))
        return GOOD
    for _, at, movement, after in movements(path):
        sign = {"receive": "+", "use": "−", "count": "="}[movement.kind]
        print(f"{at[:10]}  {sign}{packs(movement.milli)}  {_hair_words((movement.hair, movement.colour))}  "
              f"({packs(after)} there){'  ' + movement.note if movement.note else ''}")
    return GOOD
