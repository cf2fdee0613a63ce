"""The card on paper: a tagged PDF/UA-1 with its fonts inside, the same on every machine."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, Literal

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

    strict, keep = False, True

    def printed(form: tuple[float, int], map_mm: float = 0.0) -> bytes:
        size, lean = form
        shown = _data(with_map(card, map_mm), strict=strict) if map_mm else data
        inputs = {"card": shown, "paper": paper, "size": str(size), "lean": str(lean), "keep": "yes" if keep else ""}
        return compiler.compile(format="pdf", pdf_standards=["ua-1"], sys_inputs=inputs)

    data = _data(card, strict=strict)
    smallest = WHOLE if card.full else FORMS[-1]
    try:
        pdf = printed(smallest)
    except typst.TypstError:
        # Words in a mix of scripts that the fonts hold but can't shape: plainer words, the same card.
        strict = True
        data = _data(card, strict=strict)
        pdf = printed(smallest)
    if card.full:
        return pdf, (*WHOLE, 0.0)
    if _pages(pdf) > SIDES:
        # No room to keep the map and its table on one side.
        keep = False
        pdf = printed(smallest)
    sides = max(SIDES, _pages(pdf))
    low, high = 0, len(FORMS) - 1
    while low < high:
        middle = (low + high) // 2
        better = printed(FORMS[middle])
        if _pages(better) <= sides:
            pdf, high = better, middle
        else:
            low = middle + 1
    form, map_mm = FORMS[high], 0.0
    if card.grid is not None and paper != "half" and card.sections <= OWN_SHEET:
        low, high, keep = 0, len(MAPS), True
        while low < high:
            middle = (low + high) // 2
            larger = printed(form, MAPS[middle])
            if _pages(larger) <= sides:
                pdf, map_mm, high = larger, MAPS[middle], middle
            else:
                low = middle + 1
    return pdf, (*form, map_mm)


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
