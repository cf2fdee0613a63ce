"""What ``use "…"`` brings in: the one question that a book asks the world."""

from __future__ import annotations

from typing import Callable, NamedTuple


class Fetched(NamedTuple):
    """A file brought in by ``use``: its name and text, or why it was refused and what to do."""

    path: str
    text: str
    refused: str = ""
    help: str = ""


Fetch = Callable[[str, str], Fetched]
"""(file that asks, path as written) -> what it gets. Only the desk touches the disk."""
