"""``plait day BOOKINGS``: many bookings together: what to buy, cut and prepare, and who stands at which head when."""

from __future__ import annotations

import argparse
import json
import sys
from datetime import date, datetime, time, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .command import BAD_TEXT, GOOD, WRONG_USE, _deliver, _format_of, cant_read, shown_path
from .commands import HELP

if TYPE_CHECKING:
    from .day.planning import Day, DayPlan, Visit


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
    parser.add_argument("--calendar", metavar="ICS", help="write the bookings as a calendar file too")
    parser.add_argument("--take", action="store_true", help="take what is used from the book's stock")
    parser.add_argument("-o", "--out", metavar="OUT", help="the file to write; default: standard output")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Plan the bookings; 1 where a line is wrong, a look can't be made, or something says stop."""
    import sqlite3

    from .day.bookings import read_bookings
    from .day.planning import plan_days, shelf_from
    from .shelf import BOOK, CantRead, read_text, shelf_for
    from .stock.store import stock_path
    from .survey.cells import read_book

    form = arguments.format or (_format_of(arguments.out) if arguments.out else "text")
    try:
        listed = sys.stdin.read() if arguments.bookings == "-" else read_text(Path(arguments.bookings))
        folder = Path(arguments.book) if arguments.book else shelf_for(Path.cwd() / BOOK if arguments.bookings == "-" else Path(arguments.bookings)).root
        if not folder.is_dir():
            raise CantRead(f"'{arguments.book}' is not a folder", "name the book's folder: --book mybook")
        bookings, mistakes = read_bookings(listed)
        crew = tuple(name.strip() for name in (arguments.crew or "").split(",") if name.strip())
        plan = None
        if not mistakes:
            texts = read_book(folder)
            plan, mistakes = plan_days(texts, bookings, arguments.house, crew, lambda house: shelf_from(stock_path(folder), house))
        if plan is None:
            return _wrong(arguments.bookings, mistakes, form == "json")
        code = _deliver(_written(plan, form, arguments.paper), arguments.out)
        if arguments.calendar and not code:
            code = _deliver(_calendar(plan), arguments.calendar)
        if arguments.take and not code:
            code = _take(plan, stock_path(folder))
    except CantRead as error:
        return cant_read(error, as_json=form == "json")
    except sqlite3.Error as error:
        print(f"plait: the book's stock can't be used: {error}\n  try: move .plait/stock.db away to begin anew", file=sys.stderr)
        return BAD_TEXT
    stops = any(finding.severity == "stop" for day in plan.days for visit in day.visits for finding in visit.plan.findings)
    return code or (BAD_TEXT if stops or any(visit.placed.short for day in plan.days for visit in day.visits) else GOOD)


def _wrong(name: str, mistakes: Any, as_json: bool) -> int:
    if as_json:
        print(json.dumps({"problems": [mistake._asdict() for mistake in mistakes]}, ensure_ascii=False, indent=2))
    for mistake in mistakes:
        print(f"{name}:{mistake.line}: {mistake.message}\n  try: {mistake.help}", file=sys.stderr)
    if not mistakes:
        print(f"{name}: no bookings\n  try: a line for each under the headings", file=sys.stderr)
    print(f"\n{len(mistakes)} mistake{'s' if len(mistakes) != 1 else ''}; nothing was written.", file=sys.stderr)
    return BAD_TEXT


def _written(plan: "DayPlan", form: str, paper: str | None) -> bytes:
    if form == "json":
        return (json.dumps(_data(plan), ensure_ascii=False, indent=2) + "\n").encode()
    from ..cards.day import write_day

    card = write_day(_paper(plan), paper or ("letter" if plan.house.paper == "letter" else "a4"))
    if form == "html":
        from ..cards.html import render_html

        return render_html(card).encode()
    if form == "pdf":
        from ..cards.pdf import render_pdf

        return render_pdf(card)
    from ..cards.text import render_text

    return render_text(card).encode()


def _paper(plan: "DayPlan") -> Any:
    from ..cards import words as say
    from ..cards.day import DayPaper, Line

    units = plan.house.units
    care: list[str] = []
    for day in plan.days:
        for visit in day.visits:
            head = f"{visit.plan.head.recipe} for {visit.plan.head.wearer}, {_date(day.day)} {_clock(visit.placed.start)}"
            if visit.placed.short:
                care.append(f"{head}: {visit.booking.braiders} braiders are wanted then and {visit.booking.braiders - visit.placed.short} are free")
            if visit.placed.end > 24 * 60:
                care.append(f"{head}: it would end after midnight")
            care += [f"{head}: stop: {finding.message}" for finding in visit.plan.findings if finding.severity == "stop" and not finding.allowed_because]
    days = tuple((_date(day.day), tuple(
        Line(f"{_clock(visit.placed.start)}–{_clock(visit.placed.end)}", say.name(visit.plan.head.recipe), say.name(visit.plan.head.wearer),
             ", ".join(plan.crew[b] for b in visit.placed.braiders) or "nobody free",
             say.money(visit.plan.quote.total, visit.plan.quote.currency), "")
        for visit in day.visits)) for day in plan.days)
    buys = tuple((_hair(buy.hair, buy.colour), say.packs(buy.used), say.packs(buy.on_hand + buy.brought) if buy.on_hand + buy.brought else "none",
                  str(buy.to_buy), say.packs(buy.left) if buy.left > 1e-9 else "none") for buy in plan.buys)
    alone, together = sum(buy.alone for buy in plan.buys), sum(buy.used for buy in plan.buys)
    saved = f"Cut together, {say.packs(together)} instead of {say.packs(alone)}." if alone - together > 0.05 else ""
    cuts = []
    for cut in plan.cuts:
        for length in cut.plan.lengths:
            shares = [(who, pieces) for who, mm, pieces in cut.shares if mm == length]
            cuts.append((_hair(cut.hair, cut.colour), say.length(length, units), say.width(cut.held_mm), str(sum(pieces for _, pieces in shares)),
                         "; ".join(f"{pieces} {who}" for who, pieces in shares)))
    also: dict[str, int] = {}
    ahead = []
    for day in plan.days:
        for visit in day.visits:
            for thing in visit.plan.material.ornaments:
                also[thing.name] = also.get(thing.name, 0) + thing.count
            if visit.plan.timing.ahead_minutes > 0:
                ahead.append((f"{say.name(visit.plan.head.recipe)} for {say.name(visit.plan.head.wearer)}, {_date(day.day)}",
                              f"{say.duration(visit.plan.timing.ahead_minutes)}: "
                              + ", ".join(stage.name for stage in visit.plan.timing.stages if stage.when == "ahead")))
    first, last = plan.days[0].day, plan.days[-1].day
    title = _date(first) if first == last else f"{_date(first)} to {_date(last)}"
    return DayPaper(title, say.name(plan.house.name), any(v.plan.head.demo for d in plan.days for v in d.visits), days, buys, saved, tuple(cuts),
                    tuple((say.name(name), str(count)) for name, count in also.items()), tuple(ahead), tuple(care))


def _hair(name: str, colour: str | None) -> str:
    return f"{name}, {colour}" if colour else name


def _date(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b} {day.year}"


def _clock(minutes: int) -> str:
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def _data(plan: "DayPlan") -> dict[str, Any]:
    """The day as data; minutes after midnight, packs, millimetres."""
    return {
        "house": plan.house.name, "crew": list(plan.crew),
        "days": [{"date": day.day.isoformat(), "visits": [_visit(visit, plan) for visit in day.visits]} for day in plan.days],
        "buy": [{**buy._asdict(), "left": buy.left} for buy in plan.buys],
        "cuts": [{"hair": cut.hair, "colour": cut.colour, "flat_mm": cut.flat_mm, "held_mm": cut.held_mm, "lengths_mm": list(cut.plan.lengths),
                  "patterns": [{"pieces": list(pattern), "flats": times} for pattern, times in cut.plan.patterns], "flats": cut.plan.flats,
                  "shares": [{"for": who, "cut_mm": mm, "pieces": pieces} for who, mm, pieces in cut.shares]} for cut in plan.cuts],
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


def _take(plan: "DayPlan", store: Path) -> int:
    """Take what is used from the stock, all of it or nothing."""
    from .stock.store import Movement, NotThere, move
    from .stocking import packs

    took = []
    for buy in plan.buys:
        milli = round(max(0.0, buy.used - buy.brought) * 1000)
        if milli:
            took.append(Movement("use", buy.hair, buy.colour or "", milli, f"bookings of {plan.days[0].day} to {plan.days[-1].day}"))
    try:
        move(store, datetime.now(timezone.utc).isoformat(timespec="seconds"), tuple(took))
    except NotThere as error:
        print(f"plait: {packs(error.movement.milli)} of {_hair(error.movement.hair, error.movement.colour or None)} can't be taken: "
              f"{packs(error.milli)} there\n  try: plait stock BOOK receive what was bought, then take it", file=sys.stderr)
        return BAD_TEXT
    print(f"took {len(took)} hair{'s' if len(took) != 1 else ''} from {shown_path(store)}", file=sys.stderr)
    return GOOD
