"""``plait survey BOOK``: every look of a book for every wearer on all cores, one row of figures each, as CSV."""

from __future__ import annotations

import argparse
import csv
import io
import os
import sys
import time
from collections import deque
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from .as_data import format_argument, print_data
from .command import BAD_TEXT, GOOD, WRONG_USE, cant_read, shown_path
from .commands import HELP

if TYPE_CHECKING:
    from .survey.cells import Cell, Texts

TOGETHER = 24
"""Compiles that a process takes at a time: about half a second's work, so little is lost when it is stopped."""
AHEAD = 3
"""Lots that wait for each process. More would only fill memory."""
MOST_PROCESSES = 60
"""Windows waits for 63 things at a time, of which the pool takes some for itself (Python's documentation of ProcessPoolExecutor)."""


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
    format_argument(parser)
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
    out = Path(arguments.out)
    if out.is_dir() or out.suffix.lower() == ".plait" or arguments.out == "-":
        what = "is a folder" if out.is_dir() else "is standard output, and a survey goes on from its file" if arguments.out == "-" else "is a recipe's name"
        print(f"plait: '{arguments.out}' {what}\n  try: name a .csv file: -o survey.csv", file=sys.stderr)
        return WRONG_USE
    try:
        texts = read_book(folder)
        _known(texts, arguments.wearer, arguments.house)
        todo = tuple(cells(texts, tuple(arguments.wearer), tuple(arguments.house), arguments.every_choice))
        if arguments.cards:
            _make_folder(Path(arguments.cards))
    except CantRead as error:
        return cant_read(error, as_json=arguments.format == "json")
    return _survey(arguments, texts, todo)


def _known(texts: "Texts", wearers: list[str], houses: list[str]) -> None:
    """Raises CantRead for a name that no look of the book has in scope."""
    from ..syntax.suggest import did_you_mean
    from .shelf import CantRead
    from .survey.cells import opened

    books = [opened(texts, file) for file in texts.looks] if wearers or houses else []
    for kind, named, there in (("wearer", wearers, [name for book in books for name in book.wearers]),
                               ("house", houses, [name for book in books for name in book.houses])):
        for name in named:
            if name.casefold() not in {other.casefold() for other in there}:
                raise CantRead(f'there is no {kind} "{name}" in this book', did_you_mean(name, tuple(dict.fromkeys(there))) or f'declare it: {kind} "{name}"')


def _make_folder(folder: Path) -> None:
    from .shelf import CantRead

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CantRead(f"the folder '{folder}' for the cards can't be made: {error.strerror or error}", "name another: --cards cards") from None


def _survey(arguments: argparse.Namespace, texts: "Texts", todo: "tuple[Cell, ...]") -> int:
    from concurrent.futures.process import BrokenProcessPool

    from ..compile import VERSION
    from .shelf import write_whole
    from .survey.cells import fingerprint
    from .held import Busy, held
    from .survey.rows import HEADINGS

    out = Path(arguments.out)
    part = out.with_name(out.name + ".part")
    rates = [house.model_dump_json() for house in texts.learned]
    asked = [arguments.wearer, arguments.house, arguments.every_choice, rates, arguments.cards]
    mark = f"# survey of {fingerprint(texts, VERSION, asked)}\r\n"
    try:
        with held(part) as file:
            done = _done(file, mark)
            if done:
                print(f"going on after {done:,} of {len(todo):,}", file=sys.stderr)
            else:
                file.truncate(0)
                file.write(mark.encode() + _lines([HEADINGS]))
            for rows in _progress(_lots(todo[done:], done, texts, arguments), done, len(todo)):
                file.write(_lines(rows))
                file.flush()
            file.seek(len(mark.encode()))
            data = file.read()
        write_whole(out, data)
        part.unlink(missing_ok=True)
    except KeyboardInterrupt:
        print(f"stopped; what is done lies in {shown_path(part)}: run it again to go on", file=sys.stderr)
        return 130
    except Busy:
        print(f"plait: another survey is writing {shown_path(out)} right now\n  try: wait for it, or write elsewhere: -o other.csv", file=sys.stderr)
        return BAD_TEXT
    except BrokenProcessPool:
        print(f"plait: a process of the survey was ended from outside, or memory ran out; what is done lies in {shown_path(part)}\n"
              "  try: run it again to go on, with fewer --processes if memory is short", file=sys.stderr)
        return BAD_TEXT
    except OSError as error:
        print(f"plait: {shown_path(out)} can't be written: {error.strerror or error}\n"
              "  try: a folder that exists, with room on the disk; run again, it goes on from what is done", file=sys.stderr)
        return BAD_TEXT
    return _summed(out, data, arguments.format == "json")


def _lots(todo: "tuple[Cell, ...]", first: int, texts: "Texts", arguments: argparse.Namespace) -> Iterator[list[tuple[str, ...]]]:
    """The rows, in order, lot by lot; never more than a few lots wait."""
    from .survey.rows import begin, work

    lots = [(first + i, todo[i:i + TOGETHER]) for i in range(0, len(todo), TOGETHER)]
    if arguments.processes == 1 or len(lots) < 2:
        begin(texts, arguments.cards)
        for lot in lots:
            yield work(*lot)
        return
    from concurrent.futures import Future, ProcessPoolExecutor

    processes = min(arguments.processes, len(lots), MOST_PROCESSES)
    with ProcessPoolExecutor(processes, initializer=begin, initargs=(texts, arguments.cards)) as pool:
        waiting: deque[Future[list[tuple[str, ...]]]] = deque()
        for lot in lots:
            waiting.append(pool.submit(work, *lot))
            if len(waiting) > AHEAD * processes:
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


def _done(file: BinaryIO, mark: str) -> int:
    """Rows that an interrupted run of this same survey has written; a line cut short is taken off."""
    file.seek(0)
    data = file.read()
    if not data.startswith(mark.encode()):
        return 0
    whole = data.rfind(b"\r\n") + 2
    file.truncate(whole)
    try:
        return max(0, len(_rows(data[:whole])) - 2)
    except (ValueError, csv.Error):  # no longer what was written
        return 0


def _lines(rows: Iterable[tuple[str, ...]]) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue().encode()


def _rows(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline="")))


def _summed(out: Path, data: bytes, as_json: bool) -> int:
    """Say what was found; the exit code."""
    headings, *rows = _rows(data)
    mistake, stop = headings.index("mistakes"), headings.index("stops")
    failed, stops = [row for row in rows if row[mistake]], sum(1 for row in rows if row[stop])
    if as_json:
        print_data({"written": shown_path(out), "rows": len(rows), "stops": stops,
                    "failed": [{"look": row[0], "wearer": row[2], "mistakes": row[mistake]} for row in failed]})
        return BAD_TEXT if failed or stops else GOOD
    print(f"wrote {shown_path(out)}: {len(rows):,} rows, {len(failed):,} that can't be made, {stops:,} whose card says stop", file=sys.stderr)
    for row in failed[:5]:
        print(f"  {row[0]} for {row[2] or 'nobody'}: {row[mistake][:200]}", file=sys.stderr)
    return BAD_TEXT if failed or stops else GOOD
