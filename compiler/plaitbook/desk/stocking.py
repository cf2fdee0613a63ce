"""``plait stock BOOK``: what hair is on the shelf; receive, use or count some, say when to order again."""

from __future__ import annotations

import argparse
import json
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
    from .stock.store import Movement, NotThere, move, on_hand, set_point, stock_path

    folder = Path(arguments.book)
    if not folder.is_dir():
        print(f"plait: '{arguments.book}' is not a folder\n  try: plait stock mybook", file=sys.stderr)
        return WRONG_USE
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
            for key, milli in named:
                set_point(path, key, milli)
        elif asks:
            at = datetime.now(timezone.utc).isoformat(timespec="seconds")
            move(path, at, tuple(Movement(arguments.act, *key, milli, arguments.note) for key, milli in named))
        return _history(path) if arguments.act == "history" else _show(on_hand(path), arguments.format == "json")
    except NotThere as error:
        what = _hair_words((error.movement.hair, error.movement.colour))
        print(f"plait: {packs(error.movement.milli)} of {what} can't be used: {packs(error.milli)} there\n"
              "  try: receive what came in first, or count what is there", file=sys.stderr)
        return BAD_TEXT
    except CantRead as error:
        return cant_read(error, as_json=arguments.format == "json")
    except sqlite3.Error as error:
        print(f"plait: the book's stock {path} can't be used: {error}\n  try: move the file away to begin anew", file=sys.stderr)
        return BAD_TEXT


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

    found: dict[str, Hair] = {}
    for path in sorted(folder.rglob("*.plait")):
        if path.is_file() and not any(part.startswith(".") for part in path.relative_to(folder).parts):
            for hair in file_meaning(read_text(path), path.relative_to(folder).as_posix()).hairs:
                found.setdefault(hair.name.casefold(), hair)
    return found


def _named(written: list[str], hairs: "dict[str, Hair]") -> "list[tuple[Key, int]] | None":
    """(hair and colour, thousandths of packs) of each argument; None after saying which one is wrong."""
    from ..syntax.suggest import did_you_mean
    from .durations import packs_of

    found = []
    for each in written:
        what, sign, amount = each.partition("=")
        name, _, colour = (part.strip() for part in what.partition(","))
        count = packs_of(amount) if sign else None
        if not name or count is None:
            print(f"plait: '{each}' is not a hair and its packs\n  try: \"Dune, driftwood=12\"", file=sys.stderr)
            return None
        hair = hairs.get(name.casefold())
        if hair is None:
            print(f"plait: there is no hair \"{name}\" in this book\n  try: {did_you_mean(name, [h.name for h in hairs.values()]) or 'declare it in hairs.plait'}",
                  file=sys.stderr)
            return None
        shades = {shade.casefold(): shade for shade in hair.colours}
        if colour and shades and colour.casefold() not in shades:
            print(f"plait: \"{hair.name}\" doesn't come in '{colour}'\n  try: {did_you_mean(colour, hair.colours)}", file=sys.stderr)
            return None
        found.append(((hair.name, shades.get(colour.casefold(), colour)), round(count * 1000)))
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


def _history(path: Path) -> int:
    from .stock.store import movements

    for _, at, movement, after in movements(path):
        sign = {"receive": "+", "use": "−", "count": "="}[movement.kind]
        print(f"{at[:10]}  {sign}{packs(movement.milli)}  {_hair_words((movement.hair, movement.colour))}  "
              f"({packs(after)} there){'  ' + movement.note if movement.note else ''}")
    return GOOD
