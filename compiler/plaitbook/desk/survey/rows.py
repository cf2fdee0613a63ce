"""One compile of a survey as a row of figures. Runs in a process of its own, which opens each file once."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable
from functools import lru_cache
from multiprocessing import parent_process
from pathlib import Path
from threading import Thread

from ...cards.lists import cell as shown
from ...compile import Compiled, Request, compile_from_book
from ...meaning.book import Book
from ...plan.model import Plan
from .cells import Cell, Texts, opened

FIGURES: tuple[tuple[str, Callable[[Plan], object]], ...] = (
    ("version", lambda p: p.head.version),
    ("sections", lambda p: p.sections.count),
    ("stitches", lambda p: sum(kind.stitches * len(kind.sections) for kind in p.strand_kinds)),
    ("packs used", lambda p: sum(line.packs_used for line in p.material.hair)),
    ("packs to buy", lambda p: sum(line.packs_to_buy for line in p.material.hair)),
    ("added g", lambda p: p.material.added_worn_g),
    ("own g", lambda p: p.material.own_g),
    ("worst load mN per hair", lambda p: p.load.worst[0].dry_mn if p.load.worst else None),
    ("ahead min", lambda p: p.timing.ahead_minutes),
    ("chair min", lambda p: p.timing.median_minutes),
    ("chair min at 80 %", lambda p: p.timing.p80_minutes),
    ("chair min at 95 %", lambda p: p.timing.p95_minutes),
    ("braiders", lambda p: p.timing.braiders),
    ("currency", lambda p: p.quote.currency),
    ("total", lambda p: p.quote.total),
    ("stops", lambda p: " ".join(f.code for f in p.findings if f.severity == "stop")),
    ("warnings", lambda p: " ".join(f.code for f in p.findings if f.severity == "warn")),
)
"""Heading -> what stands under it, in the units of the heading."""
HEADINGS = ("look", "file", "wearer", "house", "choices", *(name for name, _ in FIGURES), "mistakes")


class Worker:
    """What a process keeps between rows: the texts, and the books it has opened of them."""

    def __init__(self, texts: Texts, cards: str | None) -> None:
        self.texts = texts
        self.cards = cards
        self.book: Callable[[str], Book] = lru_cache(maxsize=8)(lambda file: opened(texts, file))

    def row(self, number: int, cell: Cell) -> tuple[str, ...]:
        """The row of one cell; a look that can't be made for a wearer says why in its last column."""
        book = self.book(cell.file)
        done = Compiled(tuple(book.problems)) if book.problems else compile_from_book(
            book, cell.file, Request(cell.look, cell.wearer, cell.house, dict(cell.picks)))
        names = (cell.look, cell.file, cell.wearer or "", cell.house or (done.house.name if done.house else ""),
                 "; ".join(f"{choice} {option}" for choice, option in cell.picks))
        plan = done.plan
        if plan is None:
            said = "; ".join(f"{p.span.file}:{p.span.line}: {p.message} [{p.code}]" for p in done.problems[:3])
            return (*map(shown, names), *([""] * len(FIGURES)), shown(said))
        if self.cards is not None:
            self._write_card(number, cell, done)
        return (*map(shown, names), *(shown(read(plan)) for _, read in FIGURES), "")

    def _write_card(self, number: int, cell: Cell, done: Compiled) -> None:
        from ...cards.build import write_card
        from ...cards.html import render_html
        from ..command import _slug
        from ..shelf import write_whole

        assert self.cards is not None and done.plan and done.recipe and done.wearer and done.house
        card = write_card(done.plan, done.recipe, done.wearer, done.house)
        name = f"{number + 1:05d}-{_slug(cell.look)}-{_slug(cell.wearer or 'nobody')}.html"
        write_whole(Path(self.cards) / name, render_html(card).encode(), lasting=False)


_worker: Worker | None = None


def begin(texts: Texts, cards: str | None) -> None:
    """Make this process ready for rows."""
    global _worker
    _worker = Worker(texts, cards)
    gc.set_threshold(100_000, 50, 50)  # as in every command; a process that is begun anew doesn't have it from there
    parent = parent_process()
    if parent is not None:  # nobody is left to work for when it is ended from outside
        Thread(target=lambda: (parent.join(), os._exit(1)), daemon=True).start()


def work(first: int, some: tuple[Cell, ...]) -> list[tuple[str, ...]]:
    """The rows of some neighbouring cells; ``first`` is the number of the first of them."""
    assert _worker is not None
    return [_worker.row(first + i, cell) for i, cell in enumerate(some)]
