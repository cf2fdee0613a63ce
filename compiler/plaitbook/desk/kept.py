"""What a check found, kept on disk by content: an unchanged book is not compiled twice.

What a check finds follows from the compiler and the texts it reads, and from
nothing else. An entry is named for a digest of the compiler, the file and its
``book.plait``; in it stand the other files that were asked for, each with a
digest of what came back, even where that was a refusal. All are asked for
again before the entry is believed.
"""

from __future__ import annotations

import json
import os
import sys
from functools import lru_cache
from hashlib import sha256
from importlib.util import find_spec
from typing import Any, NamedTuple

from .. import cache
from ..meaning.fetched import Fetched
from ..shipped import shipped_folder
from ..syntax.problem import Problem, Span
from .job import Job

PART = "checks"
_LIBRARIES = ("lark", "pydantic", "pydantic_core")
_WHOLE = ("syntax", "meaning", "plan", "passes", "rules")
"""Folders of the package that count with all that lies in them; of others only the files at their top."""
_FINDING = {"code": str, "severity": str, "message": str, "fix": str, "file": str, "line": int,
            "allowed_because": (str, type(None))}
"""What a finding's lines on the screen are made of."""


class Found(NamedTuple):
    """What one file's check found, as plain data."""

    problems: tuple[Problem, ...]
    findings: tuple[dict[str, Any], ...]
    """Stops and warnings, by the names of a finding's fields."""
    said: str
    """What the file holds, in words."""


class Asked(NamedTuple):
    """A file that was asked for by ``use``, and a digest of what came back."""

    asking: str
    wanted: str
    digest: str


class Recorder:
    """A job's fetch that remembers what it was asked and what it gave."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.asked: list[Asked] = []

    def __call__(self, asking: str, wanted: str) -> Fetched:
        got = self.job.shelf.fetch(asking, wanted)
        self.asked.append(Asked(asking, wanted, _digest(got)))
        return got


def recall(job: Job) -> Found | None:
    """What the same check found before, if every file is as it was."""
    name = _entry(job)
    data = cache.read(PART, name) if name is not None else None
    if data is None:
        return None
    try:
        for asking, wanted, digest in data["asked"]:
            if _digest(job.shelf.fetch(_text(asking), _text(wanted))) != digest:
                return None
        return Found(tuple(map(_problem, data["problems"])), tuple(map(_finding, data["findings"])), _text(data["said"]))
    except (ValueError, TypeError, KeyError):
        return None


def keep(job: Job, asked: list[Asked], found: Found) -> None:
    """Keep what a check found."""
    name = _entry(job)
    if name is not None:
        cache.write(PART, name, {"asked": asked, **found._asdict()})


def _entry(job: Job) -> str | None:
    """The name of the entry of a job."""
    compiler = _compiler()
    return None if compiler is None else _digest((compiler, job.name, job.look, job.text, job.beside))


@lru_cache(maxsize=1)
def _compiler() -> str | None:
    """A digest that changes with the compiler, its grammar, its libraries or Python. None where they can't be seen."""
    try:
        libraries = [_stamp(os.stat(spec.origin)) for spec in map(find_spec, _LIBRARIES) if spec and spec.origin]
        return _digest((sys.version, libraries, compiler_files()))
    except (OSError, ValueError):
        return None


def compiler_files() -> list[tuple[str, int, int]]:
    """Every file that what a check finds may follow from: its path, its size, when it was written.

    Size and time stand for what is in it: they change when a package is
    installed anew and whenever a source file is saved. Raises OSError.
    """
    desk = os.path.dirname(os.path.abspath(__file__))
    package = os.path.dirname(desk)
    found = _files(package, False) + _files(desk, False)
    for folder in _WHOLE:
        found += _files(os.path.join(package, folder), True)
    return found + _files(str(shipped_folder("grammar")), False)


def _files(folder: str, deep: bool) -> list[tuple[str, int, int]]:
    found: list[tuple[str, int, int]] = []
    with os.scandir(folder) as entries:
        for entry in sorted(entries, key=lambda entry: entry.name):
            if entry.name.endswith((".py", ".lark", ".txt")):
                found.append((entry.path, *_stamp(entry.stat())))
            elif deep and entry.is_dir():
                found += _files(entry.path, True)
    return found


def _stamp(seen: os.stat_result) -> tuple[int, int]:
    return seen.st_size, seen.st_mtime_ns


def _digest(value: object) -> str:
    return sha256(json.dumps(value).encode()).hexdigest()


def _problem(data: Any) -> Problem:
    code, message, help, span, others = data
    return Problem(_text(code), _text(message), _text(help), _span(span),
                   tuple((_text(label), _span(other)) for label, other in others))


def _span(data: Any) -> Span:
    file, line, column, end = data
    if not all(type(number) is int for number in (line, column, end)):
        raise TypeError("not a span")
    return Span(_text(file), line, column, end)


def _finding(data: Any) -> dict[str, Any]:
    if not all(isinstance(data[name], kind) for name, kind in _FINDING.items()):
        raise TypeError("not a finding")
    return data


def _text(value: Any) -> str:
    if type(value) is not str:
        raise TypeError("not a text")
    return value
