"""Which names are one thing: the looks' families, and every place of a name in all files of a book."""

from __future__ import annotations

from dataclasses import dataclass

from ...meaning.book import file_meaning
from .session import Session
from .spots import Spot, spots

OF_A_LOOK = ("choice", "option", "role")
MAX_CHAIN = 32


@dataclass(frozen=True)
class Key:
    """What a name stands for: two spots with one key are the same thing."""

    kind: str
    name: str
    owner: str = ""
    choice: str = ""


class Scope:
    """All names of a book's files, as they stand now."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.spots: dict[str, tuple[Spot, ...]] = {name: spots(session.text(name), name) for name in session.names()}
        self._base: dict[str, str] = {}
        for name in self.spots:
            for look in file_meaning(session.text(name), name).looks:
                if look.based_on:
                    self._base.setdefault(look.name, look.based_on[0][0])
        self._declared = {(spot.kind, spot.name, spot.owner, spot.choice)
                          for each in self.spots.values() for spot in each if spot.declares}

    def chain(self, look: str) -> tuple[str, ...]:
        """A look and those it is based on, nearest first."""
        names = [look]
        while names[-1] in self._base and self._base[names[-1]] not in names and len(names) < MAX_CHAIN:
            names.append(self._base[names[-1]])
        return tuple(names)

    def key(self, spot: Spot) -> Key | None:
        """What a spot names; None for a fact of the wearer, and for what nothing declares."""
        kind, name = spot.kind, spot.name
        if kind == "goods":
            kind = "hair" if ("hair", name, "", "") in self._declared else "ornament"
        if kind in OF_A_LOOK:
            owners = [look for look in self.chain(spot.owner) if (kind, name, look, spot.choice) in self._declared]
            return Key(kind, name, owners[-1], spot.choice) if owners else None
        return Key(kind, name, spot.owner)

    def at(self, name: str, line: int, column: int) -> Spot | None:
        """The name a cursor stands on, or just behind."""
        for spot in self.spots.get(name, ()):
            if spot.span.line == line and spot.span.column <= column <= spot.span.end:
                return spot
        return None

    def all(self, key: Key) -> tuple[Spot, ...]:
        """Every spot of a thing in every file, where it is declared first."""
        found = [spot for each in self.spots.values() for spot in each if self.key(spot) == key]
        return tuple(sorted(found, key=lambda spot: not spot.declares))

    def names(self, kind: str, look: str = "", choice: str = "") -> tuple[str, ...]:
        """Names of a kind that are declared; of a look, also those it takes over."""
        owners = set(self.chain(look)) if kind in OF_A_LOOK else None
        return tuple(dict.fromkeys(
            spot.name for each in self.spots.values() for spot in each
            if spot.declares and spot.kind == kind and (owners is None or spot.owner in owners)
            and (kind != "option" or spot.choice == choice)))
