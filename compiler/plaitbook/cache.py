"""Results kept between runs, in a folder of this person's own.

An entry is data (JSON under a digest of itself), written whole or not at all.
What is not whole, not well formed or not ours is not there; what can't be
written is not missed. The oldest entries go when there are too many.

``PLAITBOOK_CACHE`` names another folder; empty, it turns keeping off.
"""

from __future__ import annotations

import json
import os
import stat
import sys
from hashlib import sha256
from typing import Any

MAX_ENTRY, MAX_ENTRIES, MAX_BYTES = 1024 * 1024, 1000, 16 * 1024 * 1024
"""Bytes of one entry; entries of one part, and their bytes together. Our own estimates."""
_BINARY = getattr(os, "O_BINARY", 0)


def read(part: str, name: str) -> Any:
    """The data of an entry; None where there is none to be had."""
    folder = _folder(part)
    if folder is None:
        return None
    try:
        seal, _, body = _bytes(os.path.join(folder, name)).partition(b"\n")
        return json.loads(body) if seal == _seal(body) else None
    except (OSError, ValueError, RecursionError):
        return None


def write(part: str, name: str, data: Any) -> None:
    """Keep data, which JSON must be able to say, under a name that digests what it follows from."""
    body = json.dumps(data).encode()
    folder = _folder(part)
    if folder is None or len(body) > MAX_ENTRY:
        return
    path = os.path.join(folder, name)
    scrap = f"{path}.{os.getpid()}"
    try:
        with os.fdopen(os.open(scrap, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, 0o600), "wb") as out:
            out.write(_seal(body) + b"\n" + body)
        os.replace(scrap, path)
        _drop_oldest(folder)
    except OSError:
        _remove(scrap)


def _folder(part: str) -> str | None:
    """The folder of one kind of entry, made if need be; None where nothing can or may be kept."""
    base = _base()
    if base is None:
        return None
    folder = os.path.join(base, part)
    try:
        for each in (base, folder):
            os.makedirs(each, mode=0o700, exist_ok=True)
        return folder if _ours(base) and _ours(folder) else None
    except (OSError, ValueError):
        return None


def _base() -> str | None:
    named = os.environ.get("PLAITBOOK_CACHE")
    if named is not None:
        return os.path.abspath(named) if named else None
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        caches = os.environ.get("LOCALAPPDATA") or os.path.join(home, "AppData", "Local")
    elif sys.platform == "darwin":
        caches = os.path.join(home, "Library", "Caches")
    else:
        stated = os.environ.get("XDG_CACHE_HOME", "")
        caches = stated if os.path.isabs(stated) else os.path.join(home, ".cache")
    return os.path.join(caches, "plaitbook") if os.path.isabs(caches) else None


def _ours(folder: str) -> bool:
    """Whether nobody else can put anything into the folder."""
    if os.name != "posix":
        return True
    seen = os.stat(folder)
    return stat.S_ISDIR(seen.st_mode) and seen.st_uid == os.getuid() and not seen.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


def _seal(body: bytes) -> bytes:
    return sha256(body).hexdigest().encode()


def _bytes(path: str) -> bytes:
    """The bytes of an entry. Raises OSError, also for what is not a plain file of an entry's size."""
    flags = os.O_RDONLY | _BINARY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    with os.fdopen(os.open(path, flags), "rb") as file:
        seen = os.fstat(file.fileno())
        if not stat.S_ISREG(seen.st_mode) or seen.st_size > 2 * MAX_ENTRY:
            raise OSError("not an entry")
        return file.read(2 * MAX_ENTRY)


def _drop_oldest(folder: str) -> None:
    with os.scandir(folder) as entries:
        seen = [(entry.stat(follow_symlinks=False), entry.path) for entry in entries]
    total = 0
    for place, (entry, path) in enumerate(sorted(seen, key=lambda each: -each[0].st_mtime_ns)):
        total += entry.st_size
        if place >= MAX_ENTRIES or total > MAX_BYTES:
            _remove(path)


def _remove(path: str) -> None:
    try:
        os.unlink(path)
    except OSError:
        pass  # another run was quicker, or has it open
