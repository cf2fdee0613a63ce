"""A file that one process at a time may go on writing. The system lets go of it when the process ends, however it ends."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

FAR = 1 << 40
"""Windows locks bytes against reading too: one that no file reaches is locked."""


class Busy(Exception):
    """Another process is writing the file."""


@contextmanager
def held(path: Path) -> Iterator[BinaryIO]:
    """The file opened to read and to write at its end, and nobody else's until this ends. Raises Busy, OSError.

    Do all with this one: where another handle of the same file is closed, POSIX lets go of the lock.
    """
    while True:
        with path.open("a+b") as file:
            if not _lock(file.fileno()):
                raise Busy
            if _still_there(file, path):
                yield file
                return


def _lock(number: int) -> bool:
    if sys.platform == "win32":
        import msvcrt

        os.lseek(number, FAR, os.SEEK_SET)
        try:
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        os.lseek(number, 0, os.SEEK_END)
        return True
    import fcntl

    try:
        fcntl.lockf(number, fcntl.LOCK_EX | fcntl.LOCK_NB)  # of this process alone: its children don't keep it
    except OSError as error:
        return error.errno not in (errno.EACCES, errno.EAGAIN)  # anything else: a disk that knows no locks
    return True


def _still_there(file: BinaryIO, path: Path) -> bool:
    """Whether it wasn't put away by the one before between being opened and being locked."""
    try:
        return os.path.samestat(os.fstat(file.fileno()), path.stat())
    except FileNotFoundError:
        return False
