"""The plan of a day, or of a week, on paper: who comes when, what to buy, cut and prepare for them all."""

from __future__ import annotations

from typing import NamedTuple

from . import wording as words
from .card import Block, Card, Column, Para, Part, Table, Tick, Ticks
from .language import mark
from .speech import Speech, speech

CLOCK = mark("A chair is kept for as long as four sets in five take at an ordinary pace, breaks included. "
             "Nothing is kept free between two clients.")
LIST = 8
"""Things in one list of ticks: fewer than ten between two pauses."""


class Line(NamedTuple):
    """One visit."""

    clock: str
    look: str
    wearer: str
    who: str
    price: str
    care: str


class DayPaper(NamedTuple):
    """Finished words of a day plan."""

    title: str
    house: str
    demo: bool
    days: tuple[tuple[str, tuple[Line, ...]], ...]
    buys: tuple[tuple[str, str, str, str, str], ...]
    """(hair, packs used, on the shelf, to buy, left)."""
    saved: str
    cuts: tuple[tuple[str, str, str, str, str], ...]
    """(hair, cut length, width held, pieces, for whom)."""
    also: tuple[tuple[str, str], ...]
    """(ornament or product, how many)."""
    ahead: tuple[tuple[str, str], ...]
    """(what to prepare, how long)."""
    care: tuple[str, ...]
    patterns: tuple[tuple[str, str], ...] = ()
    """(so many flat lengths of a hair, the pieces each gives), where several lengths are cut from one."""
    blended: bool = False
    """Whether some pieces hold several hairs."""


def write_day(paper: DayPaper, sheet: str, say: Speech = speech()) -> Card:
    """The day as a card, printed whole."""
    parts = [
        Part(key=f"day-{n}", title=title, blocks=(_visits(lines, say),), step=False) for n, (title, lines) in enumerate(paper.days)
    ]
    parts.append(Part(key="clock", title=say("How the chairs are kept"), step=False, blocks=(Para(text=say(CLOCK), tone="small"),)))
    if paper.care:
        parts.insert(0, Part(key="care", title=say("Look at these first"), step=False,
                             blocks=tuple(Para(text=words.sentence(line), tone="strong") for line in paper.care)))
    # The other languages' words for a pack are too long for five columns in half a sheet.
    buys = Table(caption=say("Packs of hair"), rows=paper.buys, plain=True, ticks=True, wide=say.code != "en",
                 columns=(Column(heading=say("Hair")), _right(say("Used")), _right(say("On the shelf")), _right(say("Buy")), _right(say.term("packs", "Left"))))
    blocks: list[Block] = [buys]
    if paper.saved:
        blocks.append(Para(text=paper.saved, tone="small"))
    parts.append(Part(key="buy", title=say("To buy for them all"), blocks=tuple(blocks), step=False))
    if paper.also:
        parts.append(Part(key="also", title=say("Also have there"), blocks=_ticks(paper.also), step=False))
    cuts = Table(caption=say("Pieces, spare included"), plain=True, rows=paper.cuts, ticks=True, wide=True,
                 columns=(Column(heading=say("Hair")), _right(say("Cut to")), _right(say("Held")), _right(say("Pieces")), Column(heading=say("For"))))
    bench: list[Block] = [cuts, Para(text=say("Pieces are those of the cards, the house's spare included."), tone="small")]
    if paper.blended:
        bench.append(Para(text=say("Where a share stands, such as 50 % of 3.5 mm, so much of each piece is this hair; the rest is another of the list."), tone="small"))
    if paper.patterns:
        bench += [Para(text=say("Several lengths come from one flat length. The packs above are counted on cutting them so:")), *_ticks(paper.patterns)]
    parts.append(Part(key="cut", title=say("Cut, whoever it is for"), blocks=tuple(bench), step=False))
    if paper.ahead:
        parts.append(Part(key="ahead", title=say("Prepare before they come"), blocks=_ticks(paper.ahead), step=False))
    return Card(title=paper.title, subtitle=say("Day plan"), lang=say.code, paper=sheet, badge=say("Demo") if paper.demo else "",
                facts=((say("House"), paper.house),), parts=tuple(parts), foot=f"{paper.title} · {paper.house}", full=True)


def _right(heading: str) -> Column:
    return Column(heading=heading, align="right")


def _visits(lines: tuple[Line, ...], say: Speech) -> Table:
    columns = (Column(heading=say("Chair")), Column(heading=say("Look")), Column(heading=say("For")), Column(heading=say("Who")), _right(say("Price")))
    rows = tuple((line.clock, line.look, line.wearer, line.who, line.price) for line in lines)
    return Table(caption=say("Visits"), plain=True, columns=columns, rows=rows, wide=True)


def _ticks(things: tuple[tuple[str, str], ...]) -> tuple[Block, ...]:
    items = [Tick(text=text, note=note) for text, note in things]
    return tuple(Ticks(items=tuple(items[i:i + LIST])) for i in range(0, len(items), LIST))
