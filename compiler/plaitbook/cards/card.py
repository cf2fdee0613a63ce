"""The card as a document: the one thing that text, HTML and PDF all print.

A card is a row of parts in the order of the work, and a part is a row of
blocks. Blocks hold finished words, never numbers to format and never markup,
so the three renderers can't disagree. Every picture carries its description
and its text equivalent.

Paper is dear: a block may say from which leanness on (1 the first, 4 the last)
it is left out of the print. HTML and text always hold everything.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, PrivateAttr

from ..meaning.values import Frozen
from ..plan.model import Sections
from .language import Code

Severity = Literal["stop", "warn", "note", "ask"]
Leanness = Literal[0, 1, 2, 3, 4]
"""Of a block: the leanness of print from which it is left out, because another place says the same or it
isn't needed at the chair. 0: always printed."""


class Para(Frozen):
    """A paragraph. ``caution`` is the line that stands on every card; ``strong`` must not be missed;
    ``sum`` is as strong but no warning."""

    block: Literal["para"] = "para"
    text: str
    tone: Literal["plain", "strong", "sum", "caution", "small"] = "plain"
    until: Leanness = 0


class Alert(Frozen):
    """A finding: what, why, what to do, who says so."""

    block: Literal["alert"] = "alert"
    severity: Severity
    label: str
    """The severity in words: "Stop", "Take care"."""
    text: str
    code: str = ""
    reason: str = ""
    fix: str = ""
    source: str = ""
    allowed: str = ""
    """The written reason for going on in spite of a stop."""


class Tick(Frozen):
    """One thing to do or to have, with a box in front."""

    text: str
    note: str = ""
    why: str = ""
    """The reason, for someone who is learning: only the trainee's handout prints it."""


class Ticks(Frozen):
    """A list with tick boxes, short enough to be done between two pauses."""

    block: Literal["ticks"] = "ticks"
    title: str = ""
    note: str = ""
    """What goes for every item."""
    items: tuple[Tick, ...]
    numbered: bool = False
    first: int = 1
    """The number of the first item, where a list goes on from the one before."""
    run_in: bool = False
    """In the leanest print its items follow each other on one line, each with its box."""


class Ask(Frozen):
    """One question of a form: boxes to choose from, a line to write on, or both."""

    text: str
    note: str = ""
    options: tuple[str, ...] = ()
    blank: bool = False
    """A line to write on, after the boxes."""


class Form(Frozen):
    """Questions to be answered by hand."""

    block: Literal["form"] = "form"
    title: str = ""
    items: tuple[Ask, ...]
    wide: bool = False
    """Over the whole sheet rather than in a column of it."""
    until: Leanness = 0


class Column(Frozen):
    """A table column. The first column of a table heads its row."""

    heading: str
    align: Literal["left", "right"] = "left"


class Table(Frozen):
    """A table; ``ticks`` puts a tick box before each row."""

    block: Literal["table"] = "table"
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    ticks: bool = False
    plain: bool = False
    """The part's own heading says it all; the caption need not be seen."""
    wide: bool = False
    """Over the whole sheet rather than in a column of it."""
    roomy: bool = False
    """Written into by hand: its rows are high, its columns fill the sheet."""
    until: Leanness = 0


class Picture(Frozen):
    """One drawing. ``alt`` says what it shows; sizes are of the printed drawing."""

    svg: str
    alt: str
    width_mm: float
    height_mm: float
    label: str = ""


class Figure(Frozen):
    """Pictures that belong together, their caption and what they say in words.

    ``true_scale`` pictures are printed at exactly their size; others may be
    scaled to the sheet.
    """

    block: Literal["figure"] = "figure"
    caption: str
    pictures: tuple[Picture, ...]
    text: tuple[str, ...] = ()
    """The text equivalent, a line each."""
    told: bool = False
    """The blocks beside it say all of ``text``; a renderer that shows no picture leaves the figure out."""
    true_scale: bool = False
    plain: bool = False
    """The part's own heading says it all; the caption need not be seen."""
    wide: bool = False
    """Over the whole sheet rather than in a column of it."""
    until: Leanness = 0


Block = Annotated[Para | Alert | Ticks | Form | Table | Figure, Field(discriminator="block")]


class Part(Frozen):
    """One step of the order of the work, under its heading."""

    key: str
    """Of the prep card: never, buy, cut, map, look, strip, zones, finish, clock, quote, know, aftercare.
    Unlike any other of the same card."""
    title: str
    blocks: tuple[Block, ...]
    slip: bool = False
    """Cut off along a dashed line and handed over."""
    step: bool = True
    """Numbered as a step of the work."""
    sheet: bool = False
    """Begins on a sheet of its own."""


class Card(Frozen):
    """A finished card. ``facts`` stand in the head beside the title."""

    title: str
    subtitle: str = ""
    lang: Code = "en"
    paper: Literal["letter", "a4", "half"] = "a4"
    badge: str = ""
    """A word that must not be overlooked: "Demo"."""
    summary: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    parts: tuple[Part, ...]
    foot: str = ""
    """Which look, version, wearer and compiler: on every side."""
    sections: int = 0
    """How many sections the map shows; beyond 120 it takes its own sheet."""
    full: bool = False
    """Printed whole, on as many sides as that takes, rather than made to fit two."""
    logo: Picture | None = None
    """The house's own, in the head; its ``alt`` is the house's name."""
    seal: Picture | None = None
    """The square of dots in the head; ``foot`` says in words what it holds."""
    _grid: Sections | None = PrivateAttr(default=None)

    @property
    def grid(self) -> Sections | None:
        """What the map is drawn from, for a print that has room for a larger one; not part of the card's data."""
        return self._grid

    def over(self, grid: Sections) -> Card:
        """The same card, its map to be drawn from ``grid`` where there is room for more."""
        card = self.model_copy()
        card._grid = grid
        return card

    def part(self, key: str) -> Part:
        """One part of the card. Raises KeyError for a key the card doesn't have."""
        for part in self.parts:
            if part.key == key:
                return part
        raise KeyError(key)
