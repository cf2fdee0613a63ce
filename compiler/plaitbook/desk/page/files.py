"""Reading and saving a book's files. Each text has a version, and a save names the version it began from.

Two tabs, or the page and another program, may hold one file. Whoever saves
second is told, and shown both texts; nothing is overwritten unseen.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from ..held import Busy, held
from ..shelf import CantRead, read_text, write_whole
from .keeping import own_folder
from .places import Refused, place

MOST_LETTERS = 400_000
"""Letters of one file that the page edits; our own estimate, a hundred times a long recipe."""

PATIENCE_S = 5.0
"""How long a save waits for another desk's; our own estimate, a hundred times what one takes."""

_saving = threading.Lock()


@dataclass(frozen=True)
class Text:
    """A file's text with its version; the version of a file that isn't there is empty."""

    text: str
    version: str


@dataclass(frozen=True)
class Conflict:
    """The file is not what the save began from; what lies there now."""

    now: Text


def version_of(text: str) -> str:
    """A short name of a text's exact letters; line endings don't count."""
    return sha256(_plain(text).encode("utf-8", "surrogatepass")).hexdigest()[:20]


def read(root: Path, name: str) -> Text:
    """A file of the book, its lines ended by a newline. Raises Refused."""
    path = place(root, name)
    try:
        text = _plain(read_text(path))
    except CantRead as error:
        raise Refused(error.message, error.help, 404) from None
    return Text(text, version_of(text))


def version_on_disk(root: Path, name: str) -> str:
    """The version that lies on the disk; empty where there is no such file or it can't be read."""
    try:
        return read(root, name).version
    except Refused:
        return ""


def save(root: Path, name: str, text: str, base: str) -> Text | Conflict:
    """Put a text in its file, whole or not at all, if the file is still at ``base`` (empty: not there yet).

    A file that was written with CR LF keeps it. Saving what already lies there is no conflict. Raises Refused.
    """
    check_text(text)
    path = place(root, name)
    text = _plain(text)
    with _alone(root):
        there = path.exists()
        now = read(root, name) if there else Text("", "")
        version = version_of(text)
        if there and now.version == version:
            return now
        if now.version != base:
            return Conflict(now)
        data = text.encode()
        if there and b"\r\n" in path.read_bytes()[:4096]:
            data = data.replace(b"\n", b"\r\n")
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data)
        except OSError as error:
            raise Refused(f"'{name}' can't be written: {error.strerror or error}",
                          "check that the folder may be written and the disk isn't full", 507) from None
    return Text(text, version)


@contextmanager
def _alone(root: Path) -> Iterator[None]:
    """Looking at a file's version and replacing it are one act: of this desk, and of another that is open on the same
    book. Raises Refused."""
    with _saving:
        until = time.monotonic() + PATIENCE_S
        while True:
            try:
                with held(own_folder(root, "saving") / "lock"):
                    yield
                    return
            except Busy:
                if time.monotonic() > until:
                    raise Refused("another desk is saving in this book", "save again in a moment", 503) from None
                time.sleep(0.02)
            except OSError as error:
                raise Refused(f"this book's folder can't be written: {error.strerror or error}",
                              "check that the folder may be written and the disk isn't full", 507) from None


def check_text(text: object) -> None:
    """Raises Refused for what is no text of a sensible size."""
    if not isinstance(text, str):
        raise Refused("no text was sent", "send the recipe's text")
    if len(text) > MOST_LETTERS:
        raise Refused(f"this text has {len(text):,} letters, more than {MOST_LETTERS:,}", "split it into several files", 413)
    try:
        text.encode()
    except UnicodeEncodeError:
        raise Refused("this text holds half a character", "delete the odd sign and type it again") from None


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")
