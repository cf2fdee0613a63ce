"""The one thread in which recipes are compiled, and the session it keeps warm.

Compiling is the work of a moment and shares everything it remembers, so one
thread does it, in the order of asking. A tab that has asked again does not
get its older question answered: the answer would be thrown away.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Callable, TypeVar

from ..editing.session import Session
from .sharing import lay_blanks

Answer = TypeVar("Answer")

MOST_TABS = 4096
"""Tabs whose last question is remembered; our own estimate, far more than a shop has."""


class Superseded(Exception):
    """The tab has asked again since."""


class Bench:
    """A book on the bench. ``shared`` is the book as another device sees it: without its wearers."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.session = Session(root)
        self.shared = Session(root)
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="bench")
        self._newest: OrderedDict[str, int] = OrderedDict()

    async def ask(self, work: Callable[[Session], Answer], *, guest: bool = False, tab: str = "", turn: int = 0) -> Answer:
        """What ``work`` makes of the session, in its turn. Raises Superseded where the tab asked again meanwhile."""
        if tab:
            self._newest[tab] = max(turn, self._newest.get(tab, 0))
            self._newest.move_to_end(tab)
            while len(self._newest) > MOST_TABS:
                self._newest.popitem(last=False)

        def do() -> Answer:
            if tab and self._newest.get(tab, 0) > turn:
                raise Superseded
            if guest:
                lay_blanks(self.shared)
            return work(self.shared if guest else self.session)

        return await asyncio.get_running_loop().run_in_executor(self._pool, do)

    def close(self) -> None:
        """Finish what is begun and start nothing more."""
        self._pool.shutdown(wait=False, cancel_futures=True)


def with_text(session: Session, name: str, text: str, work: Callable[[], Answer]) -> Answer:
    """What ``work`` gives while an unsaved text lies over a file; afterwards the file counts again."""
    session.put(name, text)
    try:
        return work()
    finally:
        session.drop(name)
