"""The texts an editor has open, each in the session of its book, and for whom they are compiled."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any

from ...compile import Request
from ...meaning.inherit import inherit
from ..editing.session import Session
from ..shelf import shelf_for
from .places import path_of, uri_of

SETTINGS = "plaitbook"
"""The section of an editor's settings that is ours."""


@dataclass(frozen=True)
class Open:
    """One text that is open: its book, its name there, and its URI as the editor writes it."""

    session: Session
    name: str
    uri: str


@dataclass
class Desk:
    """Everything one editor has open. One session for each book, shared by all its files."""

    folder: Path = field(default_factory=Path.cwd)
    """Where texts that were never saved are taken to lie."""
    request: Request = Request()
    sessions: dict[Path, Session] = field(default_factory=dict)
    texts: dict[str, Open] = field(default_factory=dict)

    def open(self, uri: str, text: str) -> Open:
        """Lay an editor's text over its file."""
        found = self.at(uri)
        self.texts[uri] = found
        found.session.put(found.name, text)
        return found

    def close(self, uri: str) -> None:
        found = self.texts.pop(uri, None)
        if found is not None:
            found.session.drop(found.name)

    def at(self, uri: str) -> Open:
        """A text by its URI, whether it is open or not."""
        known = self.texts.get(uri)
        if known is not None:
            return known
        path = path_of(uri)
        if path is None:
            return Open(self._session(self.folder), PurePosixPath(uri.replace(":", "/")).name or "new.plait", uri)
        try:
            shelf = shelf_for(path)
            return Open(self._session(shelf.root), shelf.inside(path), uri)
        except (OSError, ValueError, RuntimeError):
            return Open(self._session(self.folder), path.name, uri)

    def uri(self, session: Session, name: str) -> str:
        """The URI of a file of a book, as the editor writes it where it has it open."""
        for each in self.texts.values():
            if each.session is session and each.name == name:
                return each.uri
        return uri_of(session.root / name)

    def of_book(self, session: Session) -> list[Open]:
        return [each for each in self.texts.values() if each.session is session]

    def settle(self, settings: Any) -> bool:
        """Take over an editor's settings; whether they changed anything. What isn't understood is left alone."""
        if not isinstance(settings, dict):
            return False
        choices = settings.get("choices")
        picks = {str(k).lower(): str(v).lower() for k, v in choices.items()} if isinstance(choices, dict) else {}
        wanted = Request(None, _name(settings.get("wearer")), _name(settings.get("house")), picks)
        changed, self.request = wanted != self.request, wanted
        return changed

    def request_for(self, at: Open) -> Request:
        """The request for one file: a wearer or a house that its book doesn't have is left out, and a pick that its looks can't take."""
        book = at.session.book(at.name)
        wearer = self.request.wearer if _known(self.request.wearer, book.wearers) else None
        house = self.request.house if _known(self.request.house, book.houses) else None
        looks = book.files[at.name].looks if at.name in book.files else ()
        choices = {choice.name: {option for option, _ in choice.options}
                   for look in looks for choice in (inherit(look, book.looks, []) or look).choices}
        picks = {name: option for name, option in self.request.picks.items() if option in choices.get(name, ())}
        return Request(None, wearer, house, picks)

    def _session(self, root: Path) -> Session:
        root = root.resolve()
        if root not in self.sessions:
            self.sessions[root] = Session(root)
        return self.sessions[root]


def _name(setting: Any) -> str | None:
    return setting.strip() or None if isinstance(setting, str) else None


def _known(name: str | None, shelf: dict[str, Any]) -> bool:
    return name is not None and any(name.casefold() == other.casefold() for other in shelf)
