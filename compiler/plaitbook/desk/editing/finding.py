"""Where a name is declared, and everywhere it is used."""

from __future__ import annotations

from ...syntax.problem import Span, whole_file
from .scope import OF_A_LOOK, Scope
from .session import Session


def definition(session: Session, name: str, line: int, column: int) -> tuple[Span, ...]:
    """Where the name under the cursor is declared; the file that a ``use`` brings in."""
    scope = Scope(session)
    spot = scope.at(name, line, column)
    if spot is None:
        return ()
    if spot.kind == "file":
        target = session.inside(name, spot.name)
        return (whole_file(target),) if target is not None and target in scope.spots else ()
    key = scope.key(spot)
    if key is None:
        return ()
    found = [each for each in scope.all(key) if each.declares]
    if spot.kind in OF_A_LOOK:  # the nearest look that says it counts
        chain = scope.chain(spot.owner)
        found.sort(key=lambda each: chain.index(each.owner) if each.owner in chain else len(chain))
    return tuple(each.span for each in found[:1] if found)


def references(session: Session, name: str, line: int, column: int) -> tuple[Span, ...]:
    """Every place of the name under the cursor in the book's files, where it is declared first."""
    scope = Scope(session)
    spot = scope.at(name, line, column)
    if spot is None:
        return ()
    if spot.kind == "file":
        target = session.inside(name, spot.name)
        return tuple(each.span for file, found in scope.spots.items() for each in found
                     if each.kind == "file" and target is not None and session.inside(file, each.name) == target)
    key = scope.key(spot)
    return () if key is None else tuple(each.span for each in scope.all(key))
