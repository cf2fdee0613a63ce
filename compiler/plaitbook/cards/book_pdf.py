"""A whole book of looks as one tagged PDF: contents, every card, an index of looks and hairs."""

from __future__ import annotations

import json
from typing import NamedTuple

from ..plan.model import Head
from . import wording as words
from .card import Card
from .glyphs import FONTS
from .language import Code, language
from .pdf import TEMPLATE, Form, Paper, best_form, card_data, fitted
from .pictures import with_map

BOOK_TEMPLATE = TEMPLATE.with_name("book.typ")


class BookCard(NamedTuple):
    """One look of a book: its card, and the hairs by which the index finds it."""

    card: Card
    hairs: tuple[str, ...]


def book_about(code: Code, looks: int, head: Head) -> str:
    """The line under a book's title."""
    say = language(code)
    return " ".join((say.many("{n} look.", "{n} looks.", looks), say("Wearer: {wearer}.", wearer=say.term("wearer", words.name(head.wearer))),
                     say("House: {house}.", house=words.name(head.house))))


def render_book(title: str, about: tuple[str, ...], cards: tuple[BookCard, ...], paper: Paper) -> bytes:
    """The cards in this order, each in the form in which it prints by itself, as one PDF.

    ``about`` are lines under the title. Raises ValueError for a book without a card.
    """
    import typst

    if not cards:
        raise ValueError("a book without a card")
    forms = [best_form(one.card, paper)[1] for one in cards]
    compiler = typst.Compiler(BOOK_TEMPLATE, root=TEMPLATE.parent, font_paths=[FONTS], ignore_system_fonts=True, sys_inputs={})

    def printed(strict: bool) -> bytes:
        data = _data(title, about, cards, forms, strict)
        return compiler.compile(format="pdf", pdf_standards=["ua-1"], sys_inputs={"book": data, "paper": paper})

    try:
        return printed(strict=False)
    except typst.TypstError:
        return printed(strict=True)


def _data(title: str, about: tuple[str, ...], cards: tuple[BookCard, ...], forms: list[Form], strict: bool) -> str:
    name = words.clean(title, 120)
    say = language(cards[0].card.lang)
    ours = {"contents": say("Contents"), "index": say("Index"), "looks": say("Looks"), "hairs": say("Hairs")}
    book = {
        "title": name, "about": [words.clean(line) for line in about], "lang": cards[0].card.lang, "words": ours, "foot": name,
        "looks": sorted(range(len(cards)), key=lambda i: cards[i].card.title.casefold()),
        "hairs": [{"name": hair, "looks": looks} for hair, looks in hair_index(cards)],
    }
    whole = fitted(book, strict=strict) | {"cards": [
        {"card": card_data(with_map(one.card, map_mm) if map_mm else one.card, strict=strict), "size": size, "lean": lean}
        for one, (size, lean, map_mm) in zip(cards, forms)]}
    return json.dumps(whole, ensure_ascii=False)


def hair_index(cards: tuple[BookCard, ...]) -> list[tuple[str, list[int]]]:
    """Each hair with the places of its looks in the book, by name."""
    found: dict[str, list[int]] = {}
    for i, one in enumerate(cards):
        for hair in dict.fromkeys(map(words.name, one.hairs)):
            found.setdefault(hair, []).append(i)
    return sorted(found.items(), key=lambda item: item[0].casefold())
