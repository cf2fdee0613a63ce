"""Who stands in when nobody is named: which look, which wearer, which house."""

from __future__ import annotations

from decimal import Decimal
from typing import TypeVar

from ..syntax.problem import Problem, Span, whole_file
from ..syntax.suggest import did_you_mean, spoken_list
from . import tables
from .book import Book
from .look import Look
from .model import House, Wearer
from .values import Origin, default

NOBODY = "not named"


def pick_one(book: Book, file: str, name: str | None, problems: list[Problem]) -> Look | None:
    """The look that is asked for: by name, or the only one in the file."""
    here = book.files[file].looks
    if name is not None:
        for look in here:
            if look.name == name:
                return look
        problems.append(Problem("E210", f'there is no look "{name}" in this file',
                                did_you_mean(name, [look.name for look in here]), whole_file(file)))
        return None
    if len(here) == 1:
        return here[0]
    if not here:
        problems.append(Problem("E211", "this file holds no look",
                                'begin one with recipe "Name"', whole_file(file)))
        return None
    names = spoken_list([f'"{look.name}"' for look in here])
    problems.append(Problem("E212", f"this file holds {len(here)} looks: {names}",
                            f"say which: {file}#{here[0].name}", Span(file, here[1].span.line, 1, 2)))
    return None


def wearer_or_default(book: Book, name: str | None, file: str, problems: list[Problem]) -> Wearer | None:
    """A wearer of the book; without a name, a wearer of whom nothing is known."""
    if name is None:
        return unknown_wearer()
    found = book.wearers.get(name) or _same_but_capitals(name, book.wearers)
    if found is None:
        problems.append(Problem("E213", f'there is no wearer "{name}" in this book',
                                did_you_mean(name, book.wearers) or f'declare her: wearer "{name}"',
                                whole_file(file)))
    return found


def house_or_default(book: Book, name: str | None, file: str, problems: list[Problem]) -> House | None:
    """A house of the book; without a name its first, or a plain one."""
    if name is None:
        return next(iter(book.houses.values()), None) or plain_house()
    found = book.houses.get(name) or _same_but_capitals(name, book.houses)
    if found is None:
        problems.append(Problem("E214", f'there is no house "{name}" in this book',
                                did_you_mean(name, book.houses) or f'declare it: house "{name}"',
                                whole_file(file)))
    return found


_Named = TypeVar("_Named")


def _same_but_capitals(name: str, shelf: dict[str, _Named]) -> _Named | None:
    """The one item whose name differs in its capitals only."""
    alike = [item for other, item in shelf.items() if other.casefold() == name.casefold()]
    return alike[0] if len(alike) == 1 else None


def unknown_wearer() -> Wearer:
    """Medium strand, medium density, 20 cm of own hair; every safety fact unknown."""
    strand, density = tables.STRAND_UM["medium"], tables.DENSITY_CM2["medium"]
    layers = tables.OWN_HAIR_MM * tables.LAYERS_SHARE
    return Wearer(
        name=NOBODY, strand_um=default(strand, f"{strand:g} µm", "strand unknown, taken as medium"),
        density_cm2=default(density, f"{density:g} hairs/cm²", "density unknown, taken as medium"),
        own_mm=default(tables.OWN_HAIR_MM, "20 cm", "own hair unknown, our own estimate"),
        layers_mm=default(layers, f"{layers / 10:g} cm", "layers unknown: a quarter of the own length, our own estimate"),
        origin=Origin(kind="default", where="no wearer was named"),
    )


def plain_house() -> House:
    """A house that has stated nothing: metric, A4, no prices."""
    return House(
        name=NOBODY, labour_per_hour=Decimal(0),
        pencil_mm=default(tables.PENCIL_MM, "7 mm", "common practice, no source"),
        break_s=default(tables.BREAK_S, "15 min", "common practice, no source"),
        break_every_s=default(tables.BREAK_EVERY_S, "2 h", "common practice, no source"),
        origin=Origin(kind="default", where="no house was named"),
    )
