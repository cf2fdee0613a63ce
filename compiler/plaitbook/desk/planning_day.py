"""``plait day BOOKINGS``: many bookings together: what to buy, cut and prepare, and who stands at which head when."""

from __future__ import annotations

import argparse
import json
import sys
from datetime import datetime, time, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .command import BAD_TEXT, GOOD, _deliver, _format_of, cant_read, language_argument, shown_path
from .commands import HELP

if TYPE_CHECKING:
    from ..cards.speech import Speech
    from .day.bookings import Booking
    from .day.planning import DayPlan, Visit


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("day", help=HELP["day"], formatter_class=argparse.RawDescriptionHelpFormatter,
        epilog="BOOKINGS is a CSV with the headings date, start, look, wearer, choices, braiders:\n  date,start,look,wearer,choices,braiders\n"
               "  2027-03-04,09:30,Saltmarsh,Noor,size=medium; length=bob,2\nDate and look must be there. A booking without a start is given one.")
    parser.add_argument("bookings", metavar="BOOKINGS", help="the list, a .csv file; - for standard input")
    parser.add_argument("--book", metavar="BOOK", help="the book's folder; default: the one the list lies in")
    parser.add_argument("--house", metavar="H", help="a name in the book; default: its first")
    parser.add_argument("--crew", metavar="NAMES", help='who is there: "Ana, Bo"; default: the braiders of the house')
    parser.add_argument("--format", choices=("text", "html", "pdf", "json"), help="default: from OUT's ending, else text")
    parser.add_argument("--paper", choices=("letter", "a4"), help="default: the house's paper")
    language_argument(parser)
    parser.add_argument("--calendar", metavar="ICS", help="write the bookings as a calendar file too")
    parser.add_argument("--take", action="store_true", help="take what is used from the book's stock")
    parser.add_argument("-o", "--out", metavar="OUT", help="the file to write; default: standard output")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Plan the bookings; 1 where a line is wrong, a look can't be made, or something says stop."""
    import sqlite3

    from ..cards.language import NAMES
    from ..cards.speech import speech
    from .day.bookings import Mistake, read_bookings
    from .day.paper import care_of
    from .day.planning import cant_be_made, plan_days, shelf_from
    from .shelf import BOOK, CantRead, shelf_for
    from .stock.store import stock_path
    from .survey.cells import book_root, read_book

    form = arguments.format or (_format_of(arguments.out) if arguments.out else "text")
    try:
        _writes_elsewhere(arguments)
        listed = _listed(arguments.bookings)
        folder = book_root(Path(arguments.book)) if arguments.book else shelf_for(Path.cwd() / BOOK if arguments.bookings == "-" else Path(arguments.bookings)).root
        if arguments.book and not Path(arguments.book).is_dir():
            raise CantRead(f"'{arguments.book}' is not a folder", "name the book's folder: --book mybook")
        crew = _crew(arguments.crew)
        bookings, mistakes = read_bookings(listed)
        plan = None
        texts = read_book(folder) if bookings else None
        if texts is not None and mistakes:
            mistakes = tuple(sorted((*mistakes, *cant_be_made(texts, bookings, arguments.house))))
        elif texts is not None:
            plan, mistakes = plan_days(texts, bookings, arguments.house, crew, lambda house: shelf_from(stock_path(folder), house))
        if plan is None:
            mistakes = mistakes or (Mistake(1, "there are headings, and no booking under them", "write one booking a line"),)
            return _wrong(arguments.bookings, mistakes, form == "json")
        say = speech(arguments.language or NAMES[plan.house.language], plan.house.units)
        code = _deliver(_written(plan, form, arguments.paper, say), arguments.out)
        if arguments.calendar and not code:
            code = _deliver(_calendar(plan), arguments.calendar)
        if arguments.take and not code:
            code = _take(plan, bookings, stock_path(folder))
    except CantRead as error:
        return cant_read(error, as_json=form == "json")
    except sqlite3.Error as error:
        from .stocking import store_trouble

        print(store_trouble(stock_path(folder), error), file=sys.stderr)
        return BAD_TEXT
    return code or (BAD_TEXT if care_of(plan, say) else GOOD)


def _writes_elsewhere(arguments: argparse.Namespace) -> None:
    """Raises CantRead where one of the files to write is the list itself, a recipe, or the other file."""
    from .shelf import CantRead

    named = [(option, Path(out)) for option, out in (("-o", arguments.out), ("--calendar", arguments.calendar)) if out and out != "-"]
    for option, out in named:
        if out.suffix.lower() == ".plait":
            raise CantRead(f"'{out}' is a recipe's name", f"write to another file: {option} {'week.ics' if option == '--calendar' else 'week.pdf'}")
        if arguments.bookings != "-" and out.resolve() == Path(arguments.bookings).resolve():
            raise CantRead(f"'{out}' is the list of bookings itself", f"write to another file: {option} {'week.ics' if option == '--calendar' else 'week.pdf'}")
    to_screen = arguments.calendar == "-" and arguments.out in (None, "-")
    if to_screen or len({out.resolve() for _, out in named}) < len(named):
        raise CantRead("the plan and the calendar can't go into one file", "give each its own: -o week.pdf --calendar week.ics")


def _listed(name: str) -> str:
    """The text of the list. Raises CantRead, in words for a list."""
    from .shelf import MAX_FILE, CantRead, read_text

    if name != "-":
        if Path(name).is_dir():
            raise CantRead(f"'{name}' is a folder", "name the list of bookings in it, such as week.csv")
        try:
            return read_text(Path(name))
        except CantRead as error:
            if "UTF-8" not in error.message:
                raise
            raise CantRead(error.message, "in the spreadsheet save it as 'CSV UTF-8'") from None
    if sys.stdin is None:
        raise CantRead("there is no standard input to read the list from", "name a .csv file")
    data = sys.stdin.buffer.read(MAX_FILE + 1)
    if len(data) > MAX_FILE:
        raise CantRead("the list is too long to be bookings", "split it by week")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise CantRead("the list is not plain UTF-8 text", "in the spreadsheet save it as 'CSV UTF-8'") from None


def _crew(said: str | None) -> tuple[str, ...]:
    """The names of who is there. Raises CantRead where there is none, or one twice: nobody stands at two heads."""
    from .shelf import CantRead

    if said is None:
        return ()
    crew = tuple(name.strip() for name in said.split(",") if name.strip())
    twice = next((name for n, name in enumerate(crew) if name.casefold() in {other.casefold() for other in crew[:n]}), None)
    if not crew or twice:
        raise CantRead(f"'{twice}' is named twice in the crew" if twice else f"'{said}' names nobody", 'name each braider once: --crew "Ana, Bo"')
    return crew


def _wrong(name: str, mistakes: Any, as_json: bool) -> int:
    if as_json:
        print(json.dumps({"problems": [{"code": "E901", **mistake._asdict()} for mistake in mistakes]}, ensure_ascii=False, indent=2))
    for mistake in mistakes:
        print(f"{name}:{mistake.line}: {mistake.message}\n  try: {mistake.help}", file=sys.stderr)
    print(f"\n{len(mistakes)} mistake{'s' if len(mistakes) != 1 else ''}; nothing was written.", file=sys.stderr)
    return BAD_TEXT


def _written(plan: "DayPlan", form: str, paper: str | None, say: "Speech") -> bytes:
    if form == "json":
        return (json.dumps(_data(plan), ensure_ascii=False, indent=2) + "\n").encode()
    from ..cards.day import write_day
    from .day.paper import paper_of

    card = write_day(paper_of(plan, say), paper or ("letter" if plan.house.paper == "letter" else "a4"), say)
    if form == "html":
        from ..cards.html import render_html

        return render_html(card).encode()
    if form == "pdf":
        from ..cards.pdf import render_pdf

        return render_pdf(card)
    from ..cards.text import render_text

    return render_text(card).encode()


def _data(plan: "DayPlan") -> dict[str, Any]:
    """The day as data; minutes after midnight, packs, millimetres."""
    return {
        "house": plan.house.name, "crew": list(plan.crew),
        "days": [{"date": day.day.isoformat(), "visits": [_visit(visit, plan) for visit in day.visits]} for day in plan.days],
        "buy": [{**buy._asdict(), "left": buy.left} for buy in plan.buys],
        "cuts": [{"hair": cut.hair, "colour": cut.colour, "flat_mm": cut.flat_mm, "lengths_mm": list(cut.plan.lengths),
                  "patterns": [{"pieces": list(pattern), "flats": times} for pattern, times in cut.plan.patterns], "flats": cut.plan.flats,
                  "shares": [{"for": share.whom, "cut_mm": share.cut_mm, "pieces": share.pieces, "held_mm": share.held_mm, "part": share.part}
                             for share in cut.shares]} for cut in plan.cuts],
    }


def _visit(visit: "Visit", plan: "DayPlan") -> dict[str, Any]:
    head = visit.plan.head
    return {"line": visit.booking.line, "look": head.recipe, "wearer": head.wearer, "choices": dict(head.choices), "start": visit.placed.start,
            "end": visit.placed.end, "braiders": [plan.crew[b] for b in visit.placed.braiders], "short": visit.placed.short,
            "ahead_minutes": visit.plan.timing.ahead_minutes, "total": str(visit.plan.quote.total), "currency": visit.plan.quote.currency,
            "findings": [{"code": f.code, "severity": f.severity, "message": f.message} for f in visit.plan.findings if f.severity in ("stop", "warn")]}


def _calendar(plan: "DayPlan") -> bytes:
    from .calendar_file import calendar_of_all

    stamp = datetime.now(timezone.utc).replace(microsecond=0)
    visits = []
    for day in plan.days:
        for visit in day.visits:
            start = datetime.combine(day.day, time()) + timedelta(minutes=visit.placed.start)
            visits.append((visit.plan, start, start - timedelta(days=1)))
    return calendar_of_all(tuple(visits), stamp)


def _take(plan: "DayPlan", bookings: "tuple[Booking, ...]", store: Path) -> int:
    """Take what is used from the stock, all of it or nothing, and a list only once."""
    from hashlib import sha256

    from .day.paper import hair_words
    from .stock.store import Movement, NotThere, TakenBefore, move
    from .stocking import packs

    same = sha256(repr(sorted(repr(booking[1:]) for booking in bookings)).encode()).hexdigest()[:8]
    first, last = plan.days[0].day, plan.days[-1].day
    note = f"bookings of {first}{f' to {last}' if last != first else ''}, list {same}"
    took = []
    for buy in plan.buys:
        milli = round(max(0.0, buy.used - buy.brought) * 1000)
        # What is kept without its colour is taken when the colour's own is gone.
        loose = max(0, milli - round((buy.on_hand - buy.from_loose) * 1000)) if buy.from_loose else 0
        took += [Movement("use", buy.hair, colour, count, note) for colour, count in ((buy.colour or "", milli - loose), ("", loose)) if count]
    try:
        move(store, datetime.now(timezone.utc).isoformat(timespec="seconds"), tuple(took), once=note)
    except TakenBefore as error:
        print(f"plait: this list was taken from the stock already, on {error.at[:10]}; nothing was taken now\n"
              "  try: leave --take out, or take what is more: plait stock BOOK use \"Dune, driftwood=1\"", file=sys.stderr)
        return BAD_TEXT
    except NotThere as error:
        print(f"plait: {packs(error.movement.milli)} of {hair_words(error.movement.hair, error.movement.colour or None)} can't be taken: "
              f"{packs(error.milli)} there. Nothing was taken\n  try: put in what was bought, then take it: plait stock BOOK receive \"Dune, driftwood=12\"", file=sys.stderr)
        return BAD_TEXT
    for movement in took:
        print(f"took {packs(movement.milli)} of {hair_words(movement.hair, movement.colour or None)}", file=sys.stderr)
    print(f"from {shown_path(store)}" if took else "nothing to take: no hair of the house's is used", file=sys.stderr)
    return GOOD
