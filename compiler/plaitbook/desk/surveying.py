"""``plait survey BOOK``: every look of a book for every wearer on all cores, one row of figures each, as CSV."""

from __future__ import annotations

import argparse
import csv
import os
import sys
import time
from collections import deque
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .command import BAD_TEXT, GOOD, WRONG_USE, cant_read, shown_path
from .commands import HELP

if TYPE_CHECKING:
    from ..meaning.model import House
    from .survey.cells import Cell, Texts

TOGETHER = 24
"""Compiles that a process takes at a time: about half a second's work, so little is lost when it is stopped."""
AHEAD = 3
"""Lots that wait for each process. More would only fill memory."""


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("survey", help=HELP["survey"], epilog="Stopped in the middle, it goes on from there when run again.")
    parser.add_argument("book", metavar="BOOK", help="the book's folder")
    parser.add_argument("--wearer", metavar="W", action="append", default=[], help="only this wearer; may be given again")
    parser.add_argument("--house", metavar="H", action="append", default=[], help="in this house; may be given again")
    parser.add_argument("--every-choice", action="store_true", help="every way of taking each look's choices, not only the ordinary one")
    parser.add_argument("--cards", metavar="FOLDER", help="write each card there too, as HTML")
    parser.add_argument("--processes", metavar="N", type=int, default=os.cpu_count() or 1, help="default: one for each core")
    parser.add_argument("-o", "--out", metavar="OUT", default="survey.csv", help="the .csv file to write; default: survey.csv")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Compile the whole book; 1 if a look can't be made or something says stop."""
    from .shelf import CantRead
    from .survey.cells import cells, read_book

    folder = Path(arguments.book)
    if not folder.is_dir() or arguments.processes < 1:
        print(f"plait: '{arguments.book}' is not a folder\n  try: plait survey mybook" if not folder.is_dir()
              else "plait: --processes takes a number from 1 up\n  try: leave it out", file=sys.stderr)
        return WRONG_USE
    try:
        texts = read_book(folder)
        learned = _learned(texts, folder)
        asked = [arguments.wearer, arguments.house, arguments.every_choice]
        todo = tuple(cells(texts, tuple(arguments.wearer), tuple(arguments.house), arguments.every_choice))
        if arguments.cards:
            Path(arguments.cards).mkdir(parents=True, exist_ok=True)
    except CantRead as error:
        return cant_read(error, as_json=False)
    return _survey(arguments, texts, learned, todo, asked)


def _survey(arguments: argparse.Namespace, texts: "Texts", learned: "dict[str, House]", todo: "tuple[Cell, ...]", asked: list[Any]) -> int:
    from ..compile import VERSION
    from .survey.cells import fingerprint
    from .survey.rows import HEADINGS

    out = Path(arguments.out)
    part = out.with_name(out.name + ".part")
    rates = [house.model_dump_json() for house in learned.values()]
    mark = f"# survey of {fingerprint(texts, VERSION, [asked, rates, arguments.cards])}\r\n"
    done = _done(part, mark)
    if done:
        print(f"going on after {done:,} of {len(todo):,}", file=sys.stderr)
    try:
        with part.open("a" if done else "w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\r\n")
            if not done:
                file.write(mark)
                writer.writerow(HEADINGS)
            for rows in _progress(_lots(todo[done:], done, texts, learned, arguments), done, len(todo)):
                writer.writerows(rows)
                file.flush()
    except KeyboardInterrupt:
        print(f"stopped; what is done lies in {shown_path(part)}: run it again to go on", file=sys.stderr)
        return 130
    return _finish(part, out, mark)


def _lots(todo: "tuple[Cell, ...]", first: int, texts: "Texts", learned: "dict[str, House]", arguments: argparse.Namespace) -> Iterator[list[tuple[str, ...]]]:
    """The rows, in order, lot by lot; never more than a few lots wait."""
    from .survey.rows import begin, work

    lots = [(first + i, todo[i:i + TOGETHER]) for i in range(0, len(todo), TOGETHER)]
    if arguments.processes == 1 or len(lots) < 2:
        begin(texts, learned, arguments.cards)
        for lot in lots:
            yield work(*lot)
        return
    from concurrent.futures import Future, ProcessPoolExecutor

    with ProcessPoolExecutor(arguments.processes, initializer=begin, initargs=(texts, learned, arguments.cards)) as pool:
        waiting: deque[Future[list[tuple[str, ...]]]] = deque()
        for lot in lots:
            waiting.append(pool.submit(work, *lot))
            if len(waiting) > AHEAD * arguments.processes:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()


def _progress(lots: Iterator[list[tuple[str, ...]]], done: int, whole: int) -> Iterator[list[tuple[str, ...]]]:
    """The lots, with a line about them on a terminal."""
    began, first = time.monotonic(), done
    shown = sys.stderr is not None and sys.stderr.isatty()
    for rows in lots:
        yield rows
        done += len(rows)
        if shown:
            speed = (done - first) / max(time.monotonic() - began, 1e-6)
            print(f"\r{done:,} of {whole:,}, {speed:.0f} a second, {(whole - done) / max(speed, 1e-6):.0f} s left   ", end="", file=sys.stderr, flush=True)
    if shown:
        print(file=sys.stderr)


def _done(part: Path, mark: str) -> int:
    """Rows that an interrupted run of this same survey has written; a line cut short is taken off."""
    try:
        with part.open("rb+") as file:
            data = file.read()
            if not data.startswith(mark.encode()):
                return 0
            whole = data.rfind(b"\r\n") + 2
            file.truncate(whole)
    except OSError:
        return 0
    return max(0, sum(1 for _ in csv.reader(data[:whole].decode("utf-8").splitlines())) - 2)


def _finish(part: Path, out: Path, mark: str) -> int:
    """Put the finished file in its place, and say what was found."""
    from .shelf import write_whole

    data = part.read_bytes()[len(mark.encode()):]
    write_whole(out, data)
    part.unlink()
    rows = list(csv.DictReader(data.decode("utf-8").splitlines()))
    failed, stops = sum(1 for row in rows if row["mistakes"]), sum(1 for row in rows if row["stops"])
    print(f"wrote {shown_path(out)}: {len(rows):,} rows, {failed:,} that can't be made, {stops:,} that stop", file=sys.stderr)
    for row in [row for row in rows if row["mistakes"]][:5]:
        print(f"  {row['look']} for {row['wearer'] or 'nobody'}: {row['mistakes'][:200]}", file=sys.stderr)
    return BAD_TEXT if failed or stops else GOOD


def _learned(texts: "Texts", folder: Path) -> "dict[str, House]":
    """The houses with the rates that the book's log has taught them."""
    import sqlite3

    from .learned_rates import put_in_force
    from .shelf import CantRead
    from .survey.cells import opened

    store = folder / ".plait" / "log.db"
    if not store.is_file():
        return {}
    houses = {name: house for file in texts.looks for name, house in opened(texts, file).houses.items()}
    before = dict(houses)
    try:
        put_in_force(houses, store)
    except (sqlite3.Error, OSError) as error:
        raise CantRead(f"the book's log {store} can't be read: {error}", "move the file away to go on without what was learned") from None
    return {name: house for name, house in houses.items() if house is not before[name]}
