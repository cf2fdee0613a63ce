"""The card on paper: a tagged PDF/UA-1 with its fonts inside, the same on every machine."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Literal, TypeVar

from .card import Card
from .glyphs import FONTS, drawable, printable
from .language import language
from .pictures import OWN_SHEET, with_map

Paper = Literal["letter", "a4", "half"]

TEMPLATE = Path(__file__).parent / "templates" / "card.typ"
FORMS = ((12.0, 0), (11.0, 0), (10.0, 0), (11.0, 1), (10.0, 1), (11.0, 2), (10.0, 2), (10.0, 3), (10.0, 4))
"""(body type in points, leanness), from the best to the smallest: 12 points preferred, 10 the least
(UK CAA CAP 676, 2006, ch. 7). A lean card leaves out what it says twice: at 1 the pictures whose
words stand beside them and the reasons of remarks; at 2 the stitch table, the list of stages and the
lines of the quote; at 3 it only stands closer; at 4 steps follow each other on one line."""
WHOLE = (11.0, 0)
"""The form of a card that is printed whole."""
USUAL = FORMS.index((10.0, 2))
"""The form that most cards come out in: looked at first, because every look costs a tenth of a second."""
MAPS = (86.0, 72.0, 60.0, 50.0)
"""Widths in mm of one view of the section map where it is printed in two rows of two, the largest first: as large as
the space that is left lets it be. Our own estimate of steps that are worth a look."""
Form = tuple[float, int, float]
"""(body type in points, leanness, width of one view of the map in mm or 0 for four in a row)."""
SIDES = 2
"""Sides that a card may fill before its type is made smaller."""


def render_pdf(card: Card, paper: Paper | None = None) -> bytes:
    """The card as PDF on the house's paper or on ``paper``.

    The type is the largest that keeps the card to two sides, or, where even the
    smallest needs more, the largest that needs no more than that. Pictures that
    only repeat what is written are given up before a third side is. A card that is
    to be printed whole (``full``) takes the sides it takes.
    """
    return best_form(card, paper or card.paper)[0]


def best_form(card: Card, paper: Paper) -> tuple[bytes, Form]:
    """The PDF, and the form in which it came out best: one of :data:`FORMS`, with the largest map that costs no side."""
    import typst

    compiler = typst.Compiler(
        TEMPLATE, root=TEMPLATE.parent, font_paths=[FONTS], ignore_system_fonts=True, sys_inputs={},
    )

    data, strict, keep = _data(card, strict=False), False, True

    def printed(form: tuple[float, int], map_mm: float = 0.0) -> bytes:
        nonlocal data, strict
        size, lean = form
        shown = _data(with_map(card, map_mm), strict=strict) if map_mm else data
        inputs = {"card": shown, "paper": paper, "size": str(size), "lean": str(lean), "keep": "yes" if keep else ""}
        try:
            return compiler.compile(format="pdf", pdf_standards=["ua-1"], sys_inputs=inputs)
        except typst.TypstError:
            if strict:
                raise
            # Words in a mix of scripts that the fonts hold but can't shape: plainer words, the same card.
            data, strict = _data(card, strict=True), True
            return printed(form, map_mm)

    if card.full:
        return printed(WHOLE), (*WHOLE, 0.0)
    sides = SIDES
    found = _first_that_fits(printed, FORMS, sides, USUAL) if card.sections <= OWN_SHEET else None
    if found is None:
        pdf = printed(FORMS[-1])
        if _pages(pdf) > SIDES:
            # No room to keep the map and its table on one side.
            keep = False
            pdf = printed(FORMS[-1])
        sides = max(SIDES, _pages(pdf))
        found = _first_that_fits(printed, FORMS[:-1], sides, len(FORMS) // 2) or (pdf, FORMS[-1])
    pdf, form = found
    if card.grid is not None and paper != "half" and card.sections <= OWN_SHEET:
        keep = True
        larger = _first_that_fits(lambda map_mm: printed(form, map_mm), MAPS, sides, len(MAPS) - 1)
        if larger is not None:
            return larger[0], (*form, larger[1])
    return pdf, (*form, 0.0)


_Step = TypeVar("_Step")


def _first_that_fits(printed: Callable[[_Step], bytes], steps: Sequence[_Step], sides: int, likely: int) -> tuple[bytes, _Step] | None:
    """The first step whose print takes no more sides than that, with its print; None where none does.

    Steps grow smaller, so all after one that fits fit too: half of what is left is tried, the ``likely`` step first.
    """
    low, high, best = 0, len(steps), None
    middle = likely
    while low < high:
        pdf = printed(steps[middle])
        if _pages(pdf) <= sides:
            best, high = (pdf, steps[middle]), middle
        else:
            low = middle + 1
        middle = (low + high) // 2
    return best


_COUNT = re.compile(rb"/Type\s*/Pages\s*/Count (\d+)")


def _pages(pdf: bytes) -> int:
    """Sides of a PDF that typst wrote (its page tree is never compressed); 1 if it can't be told."""
    found = _COUNT.search(pdf)
    return int(found.group(1)) if found else 1


def _data(card: Card, *, strict: bool) -> str:
    """The card as JSON, every word fit for the shipped fonts."""
    return json.dumps(card_data(card, strict=strict), ensure_ascii=False)


def card_data(card: Card, *, strict: bool) -> Any:
    """The card as plain data, every word fit for the shipped fonts."""
    say = language(card.lang)
    words = {"do": say("Do:"), "why": say("Why:"), "source": say("Source:"), "going": say("Going on because:"),
             "colon": say("{heading}:", heading="")}
    return fitted(card.model_dump(mode="json") | {"words": words}, strict=strict)


def fitted(data: Any, *, strict: bool) -> Any:
    """Plain data with every word in it fit for the shipped fonts."""
    return _fit(data, "", strict)


def _fit(value: Any, key: str, strict: bool) -> Any:
    if isinstance(value, str):
        return drawable(value, strict=strict) if key == "svg" else printable(value, strict=strict)
    if isinstance(value, dict):
        return {k: _fit(v, k, strict) for k, v in value.items()}
    if isinstance(value, list):
        return [_fit(v, "", strict) for v in value]
    return value
