"""What was typed and not saved yet, on disk within a second, so that a crash or a closed tab loses nothing.

A draft belongs to a file and to the tab it was typed in: two tabs never write
over each other's. It is offered back when the file is opened again, and goes
when its tab saves or when somebody sets it aside (it is kept in the history
then).
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from ..shelf import write_whole
from . import history
from .files import check_text, version_of
from .keeping import folder_of, moment, own_folder, stamp
from .places import Refused, place

MOST_OF_ONE = 20
"""Drafts kept of one file; older ones move to its history. Our own estimate."""
_TAB = re.compile(r"[a-z0-9]{8,40}")


@dataclass(frozen=True)
class Draft:
    """A text typed in a tab, on top of version ``base`` of the file."""

    tab: str
    text: str
    base: str
    when: datetime


def put(root: Path, name: str, tab: str, text: str, base: str, when: datetime) -> None:
    """Write a tab's draft of a file, whole or not at all. Raises Refused, OSError."""
    check_text(text)
    place(root, name)
    data = {"name": name, "tab": _checked(tab), "base": str(base)[:40], "when": stamp(when), "text": text}
    write_whole(_path(root, name, tab), json.dumps(data, ensure_ascii=False).encode())
    for old in found(root, name)[MOST_OF_ONE:]:
        set_aside(root, name, old.tab)


def found(root: Path, name: str, saved: str | None = None) -> tuple[Draft, ...]:
    """The drafts of a file, newest first; those that say what is ``saved`` (a version) are dropped as done."""
    place(root, name)
    drafts = []
    for path in own_folder(root, "drafts").glob(f"{folder_of(name)}-*.json"):
        draft = _read(path, name)
        if draft is None:
            continue
        if saved is not None and version_of(draft.text) == saved:
            path.unlink(missing_ok=True)
            continue
        drafts.append(draft)
    return tuple(sorted(drafts, key=lambda draft: draft.when, reverse=True))


def drop(root: Path, name: str, tab: str) -> None:
    """Forget a tab's draft: it was saved."""
    place(root, name)
    _path(root, name, tab).unlink(missing_ok=True)


def set_aside(root: Path, name: str, tab: str) -> None:
    """Move a tab's draft into the file's history."""
    draft = _read(_path(root, name, tab), name)
    if draft is not None:
        history.keep(root, name, draft.text, "draft", draft.when)
        drop(root, name, tab)


def _path(root: Path, name: str, tab: str) -> Path:
    return own_folder(root, "drafts") / f"{folder_of(name)}-{_checked(tab)}.json"


def _checked(tab: str) -> str:
    if not isinstance(tab, str) or not _TAB.fullmatch(tab):
        raise Refused("this tab has no name", "load the page again")
    return tab


def _read(path: Path, name: str) -> Draft | None:
    """A draft, or None for a file that is gone, isn't one, or is of another file."""
    try:
        data = json.loads(path.read_text("utf-8"))
        when = moment(data["when"])
        if data["name"] != name or when is None or not isinstance(data["text"], str):
            return None
        return Draft(_checked(data["tab"]), data["text"], str(data["base"]), when)
    except (OSError, ValueError, KeyError, TypeError, Refused):
        return None
