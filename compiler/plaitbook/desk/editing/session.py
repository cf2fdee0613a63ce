"""A book while it is being written: its files with the unsaved texts over them, compiled on demand."""

from __future__ import annotations

import os
import sqlite3
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import RLock
from typing import Iterator

from ...compile import Compiled, Request, compile_from_book, sort_problems
from ...meaning.book import Book, Fetched, open_book
from ...meaning.inherit import inherit
from ...meaning.look import Look
from ...meaning.names import refuse_unknown_names
from ...meaning.settle import settle
from ...meaning.standing import house_or_default, unknown_wearer
from ...mistakes import all_wrong
from ...rules.read import read_rules
from ...syntax.problem import Problem
from ..learned_rates import put_in_force
from ..shelf import BOOK, CantRead, Shelf, shelf_for
from ..trying import untried

MAX_NAMES = 300
"""Files of a book that are listed; as many as a book may use."""
MAX_LOOKED_AT = 20_000
"""Entries of folders looked at while listing them: a book may lie in a large folder."""
KEPT = 64
"""Plans kept: an editor asks for one plan many times, then for the next; a file may hold many looks."""


@dataclass(frozen=True)
class _Texts:
    """A book opened for one file, with the texts it was made from."""

    book: Book
    texts: tuple[tuple[str, str], ...]


class Session:
    """One book's folder and the unsaved texts over it. Safe to share between threads."""

    def __init__(self, root: Path, beside: tuple[str, ...] = ()) -> None:
        """``beside`` are files in scope without being asked for, besides ``book.plait``."""
        self.shelf = Shelf(root.resolve())
        self.beside = beside
        self._unsaved: dict[str, str] = {}
        self._read: dict[str, tuple[tuple[int, ...], str]] = {}
        self._plans: OrderedDict[object, Compiled] = OrderedDict()
        self._last: OrderedDict[object, Compiled] = OrderedDict()
        self._mistakes: OrderedDict[object, tuple[Problem, ...]] = OrderedDict()
        self._lock = RLock()

    @property
    def root(self) -> Path:
        return self.shelf.root

    # --- texts

    def put(self, name: str, text: str) -> None:
        """Lay an unsaved text over a file of the book."""
        self._unsaved[name] = text

    def drop(self, name: str) -> None:
        """Forget the unsaved text: the file on disk counts again."""
        self._unsaved.pop(name, None)

    def text(self, name: str) -> str:
        """The text of a file as it stands now; nothing where it can't be read."""
        try:
            return self._text(name)
        except CantRead:
            return ""

    def names(self) -> tuple[str, ...]:
        """The book's .plait files and unsaved ones, in order; at most 300."""
        found = set(self._unsaved)
        for name in _plait_files(self.root):
            if len(found) >= MAX_NAMES:
                break
            found.add(name)
        return tuple(sorted(found))

    def _text(self, name: str) -> str:
        """Raises CantRead; a file outside the book's folder is never read."""
        unsaved = self._unsaved.get(name)
        if unsaved is not None:
            return unsaved
        try:
            stat = os.stat(os.path.join(self.root, name))
        except (OSError, ValueError):
            self._read.pop(name, None)
            return self._fetched_text(name)  # says what is wrong
        state = (stat.st_mtime_ns, stat.st_size, stat.st_ino, stat.st_dev)
        known = self._read.get(name)
        if known is None or known[0] != state:
            known = self._read[name] = (state, self._fetched_text(name))
        return known[1]

    def _fetched_text(self, name: str) -> str:
        got = self.shelf.fetch(BOOK, name)  # as asked for from the top of the folder
        if got.refused:
            raise CantRead(got.refused, got.help)
        return got.text

    def _fetch(self, asking: str, wanted: str) -> Fetched:
        """As :meth:`Shelf.fetch`, with unsaved texts before the disk's and a file read once."""
        name = self.inside(asking, wanted)
        if name is None:
            return self.shelf.fetch(asking, wanted)
        try:
            return Fetched(name, self._text(name))
        except CantRead:
            return self.shelf.fetch(asking, wanted)

    def inside(self, asking: str, wanted: str) -> str | None:
        """The name in the book of what a file asks for; None where it isn't in the book."""
        written = wanted.replace("\\", "/")
        if written.startswith("/") or written[1:2] == ":" or "\0" in written:
            return None
        root = os.path.join(self.root, "")
        try:
            target = os.path.realpath(os.path.join(root, os.path.dirname(asking), written))
        except (ValueError, OSError):
            return None
        if not os.path.normcase(target).startswith(os.path.normcase(root)):
            return None
        return target[len(root):].replace(os.sep, "/")

    # --- what they mean

    def book(self, name: str) -> Book:
        """All names in scope of a file, and what is wrong with any file that is brought in."""
        return self._open(name).book

    def texts(self, name: str) -> tuple[tuple[str, str], ...]:
        """(name, text) of a file and of every file that is brought in with it: the same as long as nothing changes."""
        return self._open(name).texts

    def _open(self, name: str) -> _Texts:
        seen: dict[str, str] = {name: self.text(name)}
        for other in (BOOK, *self.beside):
            if other not in seen:
                try:
                    seen[other] = self._text(other)
                except CantRead:
                    pass
        given = list(seen.items())

        def fetch(asking: str, wanted: str) -> Fetched:
            got = self._fetch(asking, wanted)
            seen[got.path] = got.text if not got.refused else got.refused
            return got

        book = open_book(given, fetch)
        return _Texts(book, tuple(seen.items()))

    def problems(self, name: str) -> tuple[Problem, ...]:
        """Every mistake of one file in its book: of form, of meaning, and of every look's plan."""
        return tuple(problem for problem in self.all_problems(name) if problem.span.file == name)

    def all_problems(self, name: str, planned: bool = True) -> tuple[Problem, ...]:
        """Every mistake of a file and of the files that are brought in with it.

        Without ``planned``, the looks are settled and not planned, only as they stand, and only where the book
        itself has no mistake: quicker, and it misses what only a plan shows (a piece too short for its strand).
        """
        opened = self._open(name)
        with self._lock:
            return _kept(self._mistakes, (name, opened.texts, planned), lambda: self._judged(name, opened, planned))

    def _judged(self, name: str, opened: _Texts, planned: bool) -> tuple[Problem, ...]:
        book = opened.book
        if book.problems:
            return all_wrong(book, name) if planned else sort_problems(book.problems)
        problems: list[Problem] = []
        read_rules(tuple(book.rules.values()), problems)
        for look in book.files[name].looks:
            problems += self._tried(name, opened, look) if planned else _settled(book, look)
        return sort_problems(problems)

    def _tried(self, name: str, opened: _Texts, look: Look) -> tuple[Problem, ...]:
        """What is wrong with one look's plan, and with the options it doesn't take."""
        def tried() -> tuple[Problem, ...]:
            done = self._plan(name, opened, Request(look.name))
            return (*done.problems, *untried(opened.book, look))

        return _kept(self._mistakes, (name, opened.texts, look.name, look.span), tried)

    def steps(self, name: str, request: Request = Request()) -> Iterator[None]:
        """Does what :meth:`all_problems` and the plans of a file's looks need, a bit at a time, so that whoever
        has something more urgent can do it in between. Ends early when a text changes."""
        opened = self._open(name)
        if opened.book.problems:
            return
        for look in opened.book.files[name].looks:
            for work in (lambda: self._tried(name, opened, look),
                         lambda: self._plan(name, opened, Request(look.name, request.wearer, request.house, request.picks))):
                with self._lock:
                    work()
                yield
                if self.texts(name) != opened.texts:
                    return

    def compile(self, name: str, request: Request = Request()) -> Compiled:
        """The plan of one look for one wearer in one house, at the rates the house has learned."""
        opened = self._open(name)
        if opened.book.problems:
            with self._lock:
                return Compiled(_kept(self._mistakes, (name, opened.texts, "compile", request.look), lambda: all_wrong(opened.book, name, request.look)))
        return self._plan(name, opened, request)

    def _plan(self, name: str, opened: _Texts, request: Request) -> Compiled:
        store = self.root / ".plait" / "log.db"
        try:
            learned = store.stat().st_mtime_ns
        except OSError:
            learned = 0
        asked = (name, request.look, request.wearer, request.house, tuple(request.picks.items()), tuple(request.swaps.items()))

        def plan() -> Compiled:
            if learned:
                try:
                    put_in_force(opened.book.houses, store)
                except (sqlite3.Error, OSError):
                    pass  # `plait card` says so; an editor goes on with the house's own rates
            return compile_from_book(opened.book, name, request, self._last.get(asked))

        with self._lock:
            done = _kept(self._plans, (asked, opened.texts, learned), plan)
            if done.plan is not None:
                _keep(self._last, asked, done)
            return done

    def people(self, name: str = BOOK) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Names of the wearers and of the houses that a card of this file can be made for; by default, of the book."""
        book = self.book(name)
        return tuple(book.wearers), tuple(book.houses)


def _settled(book: Book, look: Look) -> list[Problem]:
    """What is wrong with a look as it stands, before any plan."""
    problems: list[Problem] = []
    whole = inherit(look, book.looks, problems)
    house = house_or_default(book, None, look.span.file, problems)
    if whole is not None and house is not None:
        refuse_unknown_names(book, whole, unknown_wearer(), house, problems)
        settle(whole, unknown_wearer(), house, book.hairs, book.ornaments, {}, problems)
    return problems


def session_for(path: Path) -> tuple[Session, str]:
    """A session of the book a file lies in, and the file's name there. The file need not exist yet."""
    shelf = shelf_for(path)
    return Session(shelf.root), shelf.inside(path)


def _kept(shelf, key, make):  # type: ignore[no-untyped-def]
    """The value of a key, made once; the ones not asked for lately are let go."""
    if key in shelf:
        shelf.move_to_end(key)
        return shelf[key]
    return _keep(shelf, key, make())


def _keep(shelf, key, value):  # type: ignore[no-untyped-def]
    """The value, kept under a key as the latest."""
    shelf[key] = value
    shelf.move_to_end(key)
    while len(shelf) > KEPT:
        shelf.popitem(last=False)
    return value


def _plait_files(root: Path) -> Iterator[str]:
    """Names of the .plait files under a folder, nearest first; hidden folders and links are passed by."""
    waiting = [root]
    looked_at = 0
    while waiting:
        folder = waiting.pop(0)
        try:
            entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
        except OSError:
            continue
        for entry in entries:
            looked_at += 1
            if looked_at > MAX_LOOKED_AT:
                return
            if entry.name.startswith(".") or entry.is_symlink():
                continue
            if entry.is_dir(follow_symlinks=False):
                if entry.name != "node_modules":
                    waiting.append(Path(entry.path))
            elif entry.name.endswith(".plait"):
                yield Path(entry.path).relative_to(root).as_posix()
