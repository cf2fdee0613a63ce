"""A request's JSON, read strictly: what is missing, misnamed or of the wrong kind is said, never guessed."""

from __future__ import annotations

import json
from typing import Any

from starlette.requests import Request

from ...compile import Request as Wanted
from .files import check_text
from .places import Refused

PAPERS = ("letter", "a4", "half")
LANGUAGES = ("en", "fr", "es", "pt")
LONGEST_NAME = 300


async def fields(request: Request) -> dict[str, Any]:
    """The fields of a request's body. Raises Refused."""
    try:
        data = json.loads(await request.body() or b"{}")
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        raise Refused("that is not what the page sends", "load the page again")
    return data


def words(data: dict[str, Any], name: str, default: str | None = None, most: int = LONGEST_NAME) -> str:
    """A field that is a text. Raises Refused."""
    value = data.get(name, default)
    if not isinstance(value, str) or len(value) > most or not _whole_letters(value):
        raise Refused(f"'{name}' is missing or no text", "load the page again")
    return value


def maybe(data: dict[str, Any], name: str) -> str | None:
    """A field that is a text or not there. Raises Refused."""
    return None if data.get(name) in (None, "") else words(data, name)


def whole(data: dict[str, Any], name: str) -> int:
    """A field that is a whole number, or 0 where it isn't there. Raises Refused."""
    value = data.get(name, 0)
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > 2**53:
        raise Refused(f"'{name}' is no whole number", "load the page again")
    return value


def text(data: dict[str, Any]) -> str:
    """The text of the file in hand. Raises Refused."""
    value = data.get("text")
    check_text(value)
    return str(value)


def pairs(data: dict[str, Any], name: str) -> dict[str, str]:
    """A field of names and values, such as the choices. Raises Refused."""
    value = data.get(name, {})
    if not isinstance(value, dict) or len(value) > 100 or not all(
            isinstance(v, str) and len(k) <= LONGEST_NAME and len(v) <= LONGEST_NAME and _whole_letters(k + v)
            for k, v in value.items()):
        raise Refused(f"'{name}' is not a list of names and values", "load the page again")
    return dict(value)


def names(data: dict[str, Any], name: str) -> frozenset[str] | None:
    """A field that is a list of names, or None where it isn't there. Raises Refused."""
    value = data.get(name)
    if value is None:
        return None
    if not isinstance(value, list) or len(value) > 100 or not all(
            isinstance(one, str) and len(one) <= LONGEST_NAME and _whole_letters(one) for one in value):
        raise Refused(f"'{name}' is not a list of names", "load the page again")
    return frozenset(value)


def wanted(data: dict[str, Any]) -> Wanted:
    """Which look, for whom, where, and what is picked. Raises Refused."""
    return Wanted(maybe(data, "look"), maybe(data, "wearer"), maybe(data, "house"), pairs(data, "picks"))


def paper(data: dict[str, Any]) -> str | None:
    """The paper, or None for the house's own. Raises Refused."""
    value = maybe(data, "paper")
    if value is not None and value not in PAPERS:
        raise Refused(f"there is no paper '{value}'", f"the papers are {', '.join(PAPERS)}")
    return value


def language(data: dict[str, Any], name: str) -> str | None:
    """One of the card's languages, or None for the house's own. Raises Refused."""
    value = maybe(data, name)
    if value is not None and value not in LANGUAGES:
        raise Refused(f"there is no language '{value}'", f"the languages are {', '.join(LANGUAGES)}")
    return value


def _whole_letters(value: str) -> bool:
    """Whether a text can be written as UTF-8: JSON can smuggle in halves of a character."""
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True
