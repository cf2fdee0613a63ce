"""Who may come in: the key of this run for the machine itself, a pairing code for the shop's other devices.

A code that is tried wrongly too often stops being taken for a while, and after
more tries is made anew; somebody at the desk reads the new one out.
"""

from __future__ import annotations

import hmac
import ipaddress
import secrets
import time
from typing import Callable, Literal

Role = Literal["owner", "guest"]

LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
"""What can be read aloud and typed without mistaking one for another."""
CODE_LETTERS = 8
TRIES = 5
"""Wrong tries before a pause. Our own estimate, as are the pause and the number of pauses: eight letters of
these 31 are 8 × 10¹¹ codes, and 25 tries are spent before the code is made anew."""
PAUSE_S = 60.0
PAUSES = 5
MOST_GUESTS = 64


class Doorkeeper:
    """The secrets of one run. Nothing of it is written anywhere."""

    def __init__(self, shared: bool, clock: Callable[[], float] = time.monotonic) -> None:
        self.key = secrets.token_urlsafe(32)
        self.shared = shared
        self.code = _new_code()
        self._owner = secrets.token_urlsafe(32)
        self._guests: list[str] = []
        self._clock = clock
        self._wrong = 0
        self._pauses = 0
        self._closed_until = 0.0

    def enter(self, key: str, client: str) -> str | None:
        """The owner's cookie for the key of this run, from this machine only; None otherwise."""
        if is_loopback(client) and _same(key, self.key):
            return self._owner
        return None

    def pair(self, code: str) -> str | None:
        """A device's cookie for the pairing code; None where it is wrong or not taken just now (:meth:`wait_s`)."""
        if not self.shared or self.wait_s() > 0:
            return None
        if _same("".join(code.lower().split()).replace("-", ""), self.code):
            self._wrong = 0
            cookie = secrets.token_urlsafe(32)
            self._guests = [*self._guests, cookie][-MOST_GUESTS:]
            return cookie
        self._wrong += 1
        if self._wrong >= TRIES:
            self._wrong, self._pauses = 0, self._pauses + 1
            self._closed_until = self._clock() + PAUSE_S
            if self._pauses >= PAUSES:
                self._pauses, self.code = 0, _new_code()
        return None

    def wait_s(self) -> float:
        """Seconds until a code is taken again; 0 where it is taken now."""
        return max(0.0, self._closed_until - self._clock())

    def role(self, cookie: str, client: str) -> Role | None:
        """What the holder of a cookie is. The owner's counts on this machine only."""
        if is_loopback(client) and _same(cookie, self._owner):
            return "owner"
        if self.shared and any([_same(cookie, guest) for guest in self._guests]):
            return "guest"
        return None


def is_loopback(client: str) -> bool:
    """Whether an address is the machine's own."""
    try:
        address = ipaddress.ip_address(client.split("%")[0])
    except ValueError:
        return False
    mapped = getattr(address, "ipv4_mapped", None)
    return (mapped or address).is_loopback


def _same(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode("utf-8", "replace"), wanted.encode())


def _new_code() -> str:
    return "".join(secrets.choice(LETTERS) for _ in range(CODE_LETTERS))
