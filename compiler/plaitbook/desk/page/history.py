"""Every version of a file that was saved or set aside, each as a file that any program can read."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from ..shelf import CantRead, read_text, write_whole
from .files import version_of
from .keeping import moment, own_folder, stamp
from .places import Refused, place

MOST_KEPT = 200
"""Versions kept of one file, the newest; our own estimate: a year of a saving every other day."""

_NAME = re.compile(r"(\d{8}T\d{6}\.\d{6}Z)-(saved|before|draft)-([0-9a-f]{20})\.plait")


@dataclass(frozen=True)
class Kept:
    """One version: its name in the history, when it was kept, and why: ``saved``, ``before`` or ``draft``."""

    id: str
    when: datetime
    why: str
    version: str


def keep(root: Path, name: str, text: str, why: str, when: datetime) -> None:
    """Put a version into the history of a file. One that is the newest already is not put twice."""
    place(root, name)
    version = version_of(text)
    before = kept(root, name)
    if before and before[0].version == version and not (before[0].why == "draft" and why == "saved"):
        return
    folder = own_folder(root, "history", name)
    write_whole(folder / f"{stamp(when)}-{why}-{version}.plait", text.encode("utf-8", "replace"))
    for old in before[MOST_KEPT - 1 :]:
        (folder / old.id).unlink(missing_ok=True)


def kept(root: Path, name: str) -> tuple[Kept, ...]:
    """The history of a file, newest first. Raises Refused for a name that is none."""
    place(root, name)
    found = []
    for path in own_folder(root, "history", name).iterdir():
        match = _NAME.fullmatch(path.name)
        when = moment(match.group(1)) if match else None
        if match and when:
            found.append(Kept(path.name, when, match.group(2), match.group(3)))
    return tuple(sorted(found, key=lambda one: one.id, reverse=True))


def text_of(root: Path, name: str, id: str) -> str:
    """The text of one version. Raises Refused for one that isn't there."""
    place(root, name)
    if not isinstance(id, str) or not _NAME.fullmatch(id):
        raise Refused("there is no such version", "choose one of the list", 404)
    try:
        return read_text(own_folder(root, "history", name) / id)
    except CantRead:
        raise Refused("that version is no longer kept", "choose another of the list", 404) from None
