"""Give something another name, everywhere in the book at once."""

from __future__ import annotations

from ...syntax.problem import Span
from .edits import Edit, apply
from .scope import Key, Scope
from .session import Session
from .spots import Spot, spots

RENAMED = ("look", "hair", "ornament", "goods", "colour", "wearer", "house", "choice", "option", "role")
_SAID = {"look": "look", "hair": "hair", "ornament": "ornament", "colour": "colour", "wearer": "wearer",
         "house": "house", "choice": "choice", "option": "option", "role": "hair of this look"}
_QUOTES = "\"\u201c\u201d\u201e\u201f\u00ab\u00bb\uff02"


def renamable(session: Session, name: str, line: int, column: int) -> tuple[str, Span] | None:
    """The name under the cursor and its place, where it is one that can be changed."""
    scope = Scope(session)
    spot = scope.at(name, line, column)
    if spot is None or spot.kind not in RENAMED:
        return None
    key = scope.key(spot)
    if key is None or not any(each.declares for each in scope.all(key)):
        return None
    return spot.name, spot.span


def rename(session: Session, name: str, line: int, column: int, new: str) -> tuple[Edit, ...] | str:
    """The edits in every file of the book that give the name under the cursor another; or why not, in words."""
    scope = Scope(session)
    spot = scope.at(name, line, column)
    key = scope.key(spot) if spot is not None and spot.kind in RENAMED else None
    if spot is None or key is None:
        return "there is no name here that can be changed"
    found = scope.all(key)
    if not any(each.declares for each in found):
        return f"'{key.name}' is declared in no file of this book"
    new = " ".join(new.split())
    if not new or any(mark in new for mark in _QUOTES):
        return "write a name without quotes"
    if new == key.name:
        return ()
    if any(_same(scope.key(each), key, new) for each_file in scope.spots.values() for each in each_file if each.declares):
        return f"there is a {_SAID[key.kind]} '{new}' already"
    edits = tuple(Edit(each.span, new) for each in found)
    for file in {edit.span.file for edit in edits}:
        after = apply(session.text(file), [edit for edit in edits if edit.span.file == file])
        if not _only_renamed(scope, scope.spots[file], spots(after, file), key, new):
            return f"'{new}' would be read as something else here: choose another word"
    return edits


def _same(key: Key | None, renamed: Key, new: str) -> bool:
    return key is not None and (key.kind, key.owner, key.choice, key.name.casefold()) == (
        renamed.kind, renamed.owner, renamed.choice, new.casefold())


def _only_renamed(scope: Scope, before: tuple[Spot, ...], after: tuple[Spot, ...], key: Key, new: str) -> bool:
    """Whether the changed text names the same things in the same order, with this one name changed."""
    wanted = [(spot.kind, new if scope.key(spot) == key else spot.name) for spot in before]
    return wanted == [(spot.kind, spot.name) for spot in after]
