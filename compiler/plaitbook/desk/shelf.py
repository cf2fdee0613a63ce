"""The desk's side of the disk: reading a book's files, never outside it; writing whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path
from typing import NamedTuple

from ..meaning.fetched import Fetched

MAX_FILE = 16 * 1024 * 1024
"""Bytes; a longer file is refused before it is read."""
BOOK = "book.plait"


class CantRead(Exception):
    """A file that can't be had; ``message`` and ``help`` are for the person who asked for it."""

    def __init__(self, message: str, help: str) -> None:
        super().__init__(message)
        self.message = message
        self.help = help


class Shelf(NamedTuple):
    """A book's folder. Paths inside it are written with ``/``, from the folder."""

    root: Path

    def inside(self, path: Path) -> str:
        """The name of a file of this book: from the book's folder, with forward slashes."""
        return path.resolve().relative_to(self.root).as_posix()

    def fetch(self, asking: str, wanted: str) -> Fetched:
        """What ``use "…"`` in one file brings in; refused outside the book's folder."""
        written = wanted.replace("\\", "/")
        if written.startswith("/") or (len(written) > 1 and written[1] == ":") or "\0" in written:
            return Fetched(wanted, "", f'"{wanted}" is not a path from this file',
                           'write where the file lies from here: use "hairs.plait"')
        try:
            target = (self.root / asking).parent.joinpath(written).resolve()
            name = target.relative_to(self.root).as_posix()
        except (ValueError, OSError, RuntimeError):
            return Fetched(wanted, "", f'"{wanted}" leads out of the book\'s folder',
                           "copy the file into the book and use that")
        try:
            return Fetched(name, read_text(target))
        except CantRead as error:
            return Fetched(wanted, "", error.message, error.help)

    def book_file(self) -> tuple[str, str] | None:
        """The (name, text) of ``book.plait``, if the folder has one."""
        path = self.root / BOOK
        return (BOOK, read_text(path)) if path.is_file() else None


def shelf_for(path: Path) -> Shelf:
    """The book a file lies in: the nearest folder upwards with a ``book.plait``, else its own."""
    folder = path.resolve().parent
    for candidate in (folder, *folder.parents):
        if (candidate / BOOK).is_file():
            return Shelf(candidate)
    return Shelf(folder)


def read_text(path: Path) -> str:
    """The text of a file. Raises CantRead with the reason in plain words."""
    try:
        if path.is_dir():
            raise CantRead(f"'{path.name or path}' is a folder", "name a .plait file in it")
        size = path.stat().st_size
        if not path.is_file():
            raise CantRead(f"'{path.name}' is not a file", "name a .plait file")
        if size > MAX_FILE:
            raise CantRead(f"'{path.name}' is {size // 1048576} MB, too large for a recipe",
                           "split it into smaller files")
        with path.open("rb") as file:
            data = file.read(MAX_FILE + 1)
    except FileNotFoundError:
        if path.is_symlink():
            raise CantRead(f"'{path.name}' is a link to a file that isn't there", "copy the file in its place") from None
        near = _near(path)
        raise CantRead(f"there is no file '{path.name}' in {path.parent.name or path.parent}",
                       f"did you mean '{near}'?" if near else "check the name and the folder") from None
    except OSError as error:
        raise CantRead(f"'{path.name}' can't be read: {error.strerror or error}",
                       "check that the file may be opened") from None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise CantRead(f"'{path.name}' is not plain UTF-8 text (line {line})",
                       "save it as plain text, UTF-8") from None


def _near(path: Path) -> str:
    from ..syntax.suggest import nearest

    try:
        names = [p.name for p in path.parent.iterdir() if p.suffix == ".plait"][:500]
    except OSError:
        return ""
    return next(iter(nearest(path.name, names, 1)), "")


def write_whole(path: Path, data: bytes, *, lasting: bool = True) -> None:
    """Write a file so that it is there whole or not at all. Raises OSError; leaves no scraps.

    What is not ``lasting`` can be made again and may be lost with the power; that is several times faster.

    A link is followed to the file it names; a device or a pipe is written to, never replaced.
    """
    import tempfile  # costs more than the rest of this module, and a check writes nothing

    path = path.resolve()
    if path.exists() and not path.is_file():
        if path.is_dir():
            raise IsADirectoryError(21, "it is a folder")
        with path.open("wb") as device:
            device.write(data)
        return
    folder = path.parent
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=folder)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            if lasting:
                out.flush()
                os.fsync(out.fileno())
        if os.name == "posix":
            mask = os.umask(0)
            os.umask(mask)
            os.chmod(temporary, 0o666 & ~mask)
        os.replace(temporary, path)
    except BaseException:
        if os.path.exists(temporary):
            os.unlink(temporary)
        raise
