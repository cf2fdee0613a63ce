"""A value written down in one way only, by what it means: for hashing, and for saying what differs.

Where a value stands in a file and how its author spelled it are left out:
``¾ in`` and ``0.75 in`` are the same length. So are fields that hold their
default, so that a field added to a model later leaves older seals as they are.

Numbers are written with :data:`DIGITS` significant digits: enough to tell any two
measures apart that a person could write, and few enough that two machines whose
mathematics differ in the last bit write the same.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from hashlib import sha256
from typing import Any

from pydantic import BaseModel

from ..meaning.look import By, Pencils
from ..meaning.values import Measure, Origin
from ..syntax.problem import Span
from ..syntax.tree import Node, Statement

DIGITS = 10
"""Our own choice: a double holds 15 to 17."""

Plain = Any
"""None, a word, a whole number, a list or a dictionary of these; other numbers are words."""

_WORDING = frozenset(("text", "asked", "span", "origin", "statement", "node", "depth"))
"""Fields that say where or how something was written, not what it means. How far back a line was inherited
(``depth``) decides what wins; a look's ingredients list it once, apart (:mod:`.seal`)."""
_AS_THEY_ARE = (str, int, bool, type(None))
_NOTHING = object()
MOST_KEPT = 2000
_KEPT: dict[int, tuple[Any, Any]] = {}
"""id of a frozen value -> the value itself, so that its id isn't given to another, and what it says."""


def plain(value: Any) -> Plain:
    """The value as plain data that says only what it means."""
    found = _plain(value)
    return None if found is _NOTHING else found


def kept(value: Any) -> Plain:
    """The same for something that lasts while a recipe is edited: a hair, a rule, a house, a rate. Written down once.

    With it the seals of a recompiled card take 0.5 ms, without it 0.9."""
    found = _KEPT.get(id(value))
    if found is not None and found[0] is value:
        return found[1]
    if len(_KEPT) >= MOST_KEPT:
        _KEPT.clear()
    said = plain(value)
    _KEPT[id(value)] = (value, said)
    return said


def written(value: Plain) -> str:
    """Plain data in its only spelling: keys in order, no spare space."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def digest(kind: str, value: Plain) -> str:
    """SHA-256 of plain data as 64 hexadecimal digits; ``kind`` keeps equal data of two kinds apart."""
    return sha256(f"{kind}\n{written(value)}".encode()).hexdigest()


def number(value: float) -> str:
    """A number with :data:`DIGITS` significant digits and no idle zeros."""
    return "0" if value == 0 else f"{value:.{DIGITS}g}"


def _plain(value: Any) -> Any:
    kind = type(value)
    return value if kind in _AS_THEY_ARE else _way(kind)(value)


@lru_cache(maxsize=None)
def _way(kind: type) -> Callable[[Any], Any]:
    """How values of a kind are written down."""
    return next((way for kinds, way in _WAYS.items() if issubclass(kind, kinds)), _fields)


def _listed(value: Iterable[Any]) -> list[Any]:
    return [found for item in value if (found := _plain(item)) is not _NOTHING]


_WAYS: dict[tuple[type, ...], Callable[[Any], Any]] = {
    (float,): number,
    (Measure,): lambda value: number(value.value),
    (Origin, Span, Node, Statement): lambda value: _NOTHING,
    (Decimal,): lambda value: format(value.normalize(), "f"),
    (Fraction,): str,
    (Pencils,): lambda value: f"{value.count} pencil",
    (By,): lambda value: f"by {value.name}",
    (tuple, list): _listed,
    (dict,): lambda value: {str(key): _plain(item) for key, item in value.items()},
}


def _fields(value: Any) -> dict[str, Any]:
    said: dict[str, Any] = {}
    for name, usual in _told(type(value)):
        item = getattr(value, name)
        if item is usual or item == usual:
            continue
        found = _plain(item)
        if found is not _NOTHING:
            said[name] = found
    if is_dataclass(value):
        said["is"] = type(value).__name__
    return said


@lru_cache(maxsize=None)
def _told(kind: type) -> tuple[tuple[str, Any], ...]:
    """(field, its default) of a model or dataclass, those left out that only say where or how."""
    if issubclass(kind, BaseModel):
        return tuple((name, field.get_default(call_default_factory=True) if not field.is_required() else _NOTHING)
                     for name, field in kind.model_fields.items() if name not in _WORDING)
    if not is_dataclass(kind):
        raise TypeError(f"{kind.__name__} can't be written down")
    return tuple((field.name, field.default if field.default is not MISSING else _NOTHING)
                 for field in fields(kind) if field.name not in _WORDING)
