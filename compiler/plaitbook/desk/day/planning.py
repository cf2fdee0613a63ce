"""A list of bookings compiled and put together: the plan of a day, or of a week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from datetime import date
from math import ceil
from pathlib import Path
from typing import NamedTuple
from unicodedata import category, normalize

from ...compile import Compiled, Request, compile_from_book
from ...meaning.book import Book
from ...meaning.model import House
from ...passes.material import piece_demands
from ...passes.shelf import credited
from ...plan.model import Plan
from ..survey.cells import Texts, opened
from .bookings import Booking, Mistake
from .rota import Placed, Slot, make_rota
from .sharing import Buy, Cut, Wanted, share_cuts, shopping, with_spare

ROUND_MIN = 5
"""Chairs are kept in steps of so many minutes; common practice, no source."""
OPENS = 9 * 60
"""When a house begins that doesn't say; our own estimate."""


class Visit(NamedTuple):
    """One booking with its plan and its place in the day."""

    booking: Booking
    plan: Plan
    done: Compiled
    placed: Placed


class Day(NamedTuple):
    """One date's visits, by the clock, and who is there."""

    day: date
    visits: tuple[Visit, ...]


class DayPlan(NamedTuple):
    """All the bookings of a list, put together."""

    house: House
    crew: tuple[str, ...]
    days: tuple[Day, ...]
    cuts: tuple[Cut, ...]
    """What to cut, spare included."""
    buys: tuple[Buy, ...]
    numbered: bool = False
    """Whether nobody is named, neither in the list of who is there nor in the house."""


Shelf = dict[tuple[str, str | None], float]


def plan_days(
    texts: Texts, bookings: tuple[Booking, ...], house: str | None, crew: tuple[str, ...], shelf_of: Callable[[House], Shelf],
) -> tuple[DayPlan | None, tuple[Mistake, ...]]:
    """The plan of all bookings, or what is wrong with them, line by line.

    ``crew`` names who is there; empty: the house's own braiders. ``shelf_of`` says what the house has on its shelf.
    """
    mistakes: list[Mistake] = []
    compiled = [(booking, _compiled(texts, booking, house, mistakes)) for booking in bookings]
    made = [(booking, done) for booking, done in compiled if done is not None]
    if mistakes or len(made) < len(bookings) or not made:
        return None, tuple(mistakes)
    own = made[0][1].house
    assert own is not None
    crew = crew or tuple(braider.name for braider in own.crew)
    numbered = not crew
    crew = crew or tuple(f"Braider {n + 1}" for n in range(max(own.braiders, 1)))
    days = _days(made, crew, own, mistakes)
    if mistakes:
        return None, tuple(mistakes)
    wanted, brought = _wanted(days)
    return DayPlan(own, crew, days, share_cuts(with_spare(wanted)), shopping(wanted, share_cuts(wanted), brought, shelf_of(own), own), numbered), ()


def cant_be_made(texts: Texts, bookings: tuple[Booking, ...], house: str | None) -> tuple[Mistake, ...]:
    """What is wrong with the looks, clients and choices of some bookings, line by line."""
    mistakes: list[Mistake] = []
    for booking in bookings:
        _compiled(texts, booking, house, mistakes)
    return tuple(mistakes)


def whom(visit_day: date, booking: Booking, plan: Plan) -> str:
    """Who a piece is for, as the lists name it: the wearer, or the look where nobody is named."""
    return f"{plan.head.wearer if booking.wearer else plan.head.recipe} ({visit_day.day} {visit_day:%b}, line {booking.line})"


def _compiled(texts: Texts, booking: Booking, house: str | None, mistakes: list[Mistake]) -> Compiled | None:
    found = _find(texts, booking.look)
    if isinstance(found, str):
        mistakes.append(Mistake(booking.line, f'there is no look "{booking.look}" in this book', found))
        return None
    file, look, book = found
    if book.problems:
        problem = book.problems[0]
        mistakes.append(Mistake(booking.line, f'"{look}" can\'t be made: {problem.span.file}:{problem.span.line}: {problem.message}', problem.help))
        return None
    houses = list(book.houses.values())
    at = next((h for h in houses if h.name.casefold() == house.casefold()), None) if house else (houses[0] if houses else None)
    if at is not None:
        # Whoever is booked at this head, at an ordinary speed: the names are shared out over the day later.
        book.houses[at.name] = at.model_copy(update={"braiders": booking.braiders, "crew": (), "start_clock": None})
    who = booking.wearer
    if who is not None and who not in book.wearers:
        who = next((name for name in book.wearers if _alike(name) == _alike(who)), who)
    done = compile_from_book(book, file, Request(look, who, house, dict(booking.picks)))
    if at is not None:
        book.houses[at.name] = at
    told = {mistake.message for mistake in mistakes}
    for problem in done.problems[:3]:
        # What is wrong in the book is said once, with its place; what is wrong with a booking, for each.
        message = problem.message if problem.span.line <= 1 else f"{problem.span.file}:{problem.span.line}: {problem.message}"
        if message == problem.message or message not in told:
            mistakes.append(Mistake(booking.line, message, problem.help))
    return None if done.problems else Compiled((), done.plan, done.recipe, done.wearer, at or done.house)


def _alike(name: str) -> str:
    """A name as it is compared: another keyboard may write its letters in another way, or leave marks that don't show."""
    return "".join(c for c in normalize("NFC", name) if category(c) != "Cf").casefold()


def _find(texts: Texts, look: str) -> tuple[str, str, Book] | str:
    """(file, name, its book) of a look; else what to write instead."""
    from ...syntax.suggest import did_you_mean

    named: list[str] = []
    alike: list[tuple[str, str, Book]] = []
    for file in texts.looks:
        book = opened(texts, file)
        for one in book.files[file].looks:
            if one.name == look:
                return file, one.name, book
            if _alike(one.name) == _alike(look):
                alike.append((file, one.name, book))
            named.append(one.name)
    if len(alike) > 1:
        return f'write its capitals as the book does: {" or ".join(dict.fromkeys(name for _, name, _ in alike))}'
    return alike[0] if alike else did_you_mean(look, named) or "name a look of the book"


def _days(made: list[tuple[Booking, Compiled]], crew: tuple[str, ...], house: House, mistakes: list[Mistake]) -> tuple[Day, ...]:
    by_day: dict[date, list[tuple[Booking, Compiled]]] = defaultdict(list)
    for booking, done in made:
        by_day[booking.day].append((booking, done))
    opens = OPENS if house.start_clock is None else _minute(house.start_clock)
    comes = {braider.name.casefold(): _minute(braider.arrives_clock) for braider in house.crew if braider.arrives_clock}
    arrive = tuple(comes.get(name.casefold(), 0) for name in crew)
    days = []
    for day, those in sorted(by_day.items()):
        slots = tuple(Slot(n, booking.start, _minutes(done), booking.braiders, done.plan.head.wearer if done.plan and booking.wearer else "")
                      for n, (booking, done) in enumerate(those))
        try:
            rota = make_rota(slots, len(crew), opens, arrive)
        except ValueError as error:
            booking = those[error.args[0]][0]
            mistakes.append(Mistake(booking.line, f"this booking wants {booking.braiders} braiders, and {len(crew)} {'is' if len(crew) == 1 else 'are'} there",
                                    "book fewer, or name more with --crew"))
            continue
        visits = [Visit(booking, done.plan, done, placed) for (booking, done), placed in zip(those, rota) if done.plan is not None]
        days.append(Day(day, tuple(sorted(visits, key=lambda visit: (visit.placed.start, visit.booking.line)))))
    return tuple(days)


def _minute(clock: str) -> int:
    return int(clock[:2]) * 60 + int(clock[3:])


def _minutes(done: Compiled) -> int:
    """How long the chair is kept: the time that four sets in five are done within, to the next five minutes."""
    assert done.plan is not None
    return ceil(done.plan.timing.p80_minutes / ROUND_MIN) * ROUND_MIN


def _wanted(days: tuple[Day, ...]) -> tuple[tuple[Wanted, ...], Shelf]:
    """What all visits want cut, and what their wearers bring."""
    wanted: list[Wanted] = []
    uses: dict[str, Shelf] = {}
    brings: dict[str, dict[str, float]] = {}
    for day in days:
        for visit in day.visits:
            done = visit.done
            assert done.recipe and done.wearer and done.house
            packs = {(line.name, line.colour): line for line in visit.plan.material.hair}
            name = whom(day.day, visit.booking, visit.plan)
            for demand in piece_demands(done.recipe, done.wearer, done.house, visit.plan.strand_kinds):
                wanted.append(Wanted(name, demand, packs[demand.hair, demand.colour].pack_g))
            own = uses.setdefault(done.wearer.name, defaultdict(float))
            brings[done.wearer.name] = dict(done.wearer.brings)
            for key, line in packs.items():
                own[key] += line.packs_used
    brought: Shelf = defaultdict(float)
    for name, own in uses.items():
        # Brought once, however often she comes; what is beyond her own need isn't the house's.
        for key, count in credited(own, brings[name]).items():
            brought[key] += min(count, own[key])
    return tuple(wanted), dict(brought)


def shelf_from(store: Path, house: House) -> Shelf:
    """What the book's stock says is there; where none is kept, what the house file says (without colours)."""
    from ..stock.store import on_hand

    kept = on_hand(store)
    if kept:
        return {(line.hair, line.colour or None): line.milli / 1000 for line in kept}
    return {(hair, None): packs for hair, packs in house.stock}
