"""``plait calendar``: the booking as a calendar file (RFC 5545): preparation, chair, breaks; a front refresh if asked."""

from __future__ import annotations

import argparse
import sys
from datetime import datetime, timedelta, timezone
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..plan.model import Plan

NAMES = "5f1a8f0e-1d3c-5c64-9d0b-6f3f2e0b7a11"
"""Our own namespace for the events' names, so that the same booking keeps its events."""


def calendar_of(plan: "Plan", start: datetime, prepared: datetime, stamp: datetime, refresh: bool = False) -> bytes:
    """The calendar file of one booking. The chair is booked for the 80 % time; times without a zone are local wherever read."""
    return calendar_of_all(((plan, start, prepared),), stamp, refresh)


def calendar_of_all(bookings: "tuple[tuple[Plan, datetime, datetime], ...]", stamp: datetime, refresh: bool = False) -> bytes:
    """The calendar file of several bookings: (plan, when the wearer sits down, when the hair is prepared)."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Plaitbook//plait calendar//EN")
    calendar.add("version", "2.0")
    alike: dict[tuple[str, str, datetime], int] = {}
    for plan, start, prepared in bookings:
        key = plan.head.recipe, plan.head.wearer, start
        alike[key] = alike.get(key, 0) + 1
        _put_in(calendar, plan, start, prepared, stamp, refresh, alike[key])
    calendar.add_missing_timezones()
    return bytes(calendar.to_ical())


def _put_in(calendar: Any, plan: "Plan", start: datetime, prepared: datetime, stamp: datetime, refresh: bool, nth: int = 1) -> None:
    """One booking's events; ``nth`` tells those apart that are alike in look, wearer and start."""
    from uuid import UUID, uuid5

    from icalendar import Event

    from .durations import spoken

    timing, head = plan.timing, plan.head

    among = f"|{nth}" if nth > 1 else ""

    def event(what: str, begins: datetime, minutes: float, summary: str, text: str, busy: bool = True) -> None:
        entry = Event()
        entry.add("uid", f"{uuid5(UUID(NAMES), f'{head.recipe}|{head.wearer}|{start.isoformat()}|{what}{among}')}@plaitbook")
        entry.add("dtstamp", stamp)
        entry.add("dtstart", begins)
        entry.add("dtend", begins + timedelta(minutes=max(1, round(minutes))))
        entry.add("summary", summary)
        entry.add("description", text)
        entry.add("transp", "OPAQUE" if busy else "TRANSPARENT")
        if what == "later":
            entry.add("status", "TENTATIVE")
        calendar.add_component(entry)

    if timing.ahead_minutes > 0:
        stages = ", ".join(f"{stage.name} {spoken(stage.minutes)}" for stage in timing.stages if stage.when == "ahead")
        event("prep", prepared, timing.ahead_minutes, f"Prepare: {head.recipe}", stages)
    points = "\n".join(f"{point.sections} of {plan.sections.count} by "
                       f"{(start + timedelta(minutes=round(point.minutes))):%H:%M}" for point in timing.checkpoints)
    event("chair", start, timing.p80_minutes, f"{head.recipe}: {head.wearer}",
          f"ordinary day {spoken(timing.median_minutes)}, 4 in 5 within {spoken(timing.p80_minutes)}\n{points}")
    for number, (begins, minutes) in enumerate(timing.breaks, 1):
        event(f"break {number}", start + timedelta(minutes=round(begins)), minutes, "Break", head.recipe, busy=False)
    later = next((stage for stage in timing.stages if stage.when == "later"), None)
    if refresh and later is not None:
        from ..passes.rates import REFRESH_WEEKS

        event("later", start + timedelta(weeks=REFRESH_WEEKS[0]), later.minutes, f"Front refresh: {head.wearer}", later.note)

from .commands import HELP


def register(commands: Any) -> None:
    """Put the command on the line."""
    from .command import recipe_arguments

    parser = commands.add_parser("calendar", help=HELP["calendar"])
    recipe_arguments(parser)
    parser.add_argument("--start", required=True, metavar="WHEN", help='when the wearer sits down: "2027-03-04 09:00"')
    parser.add_argument("--prepare", metavar="WHEN", help="when the hair is prepared; default: the day before at that time")
    parser.add_argument("--refresh", action="store_true", help="put the front refresh in too, weeks later, as tentative")
    parser.add_argument("--zone", metavar="ZONE", help="such as Europe/Berlin; none means local time wherever it is read")
    parser.add_argument("-o", "--out", metavar="OUT", help="the file to write; default: standard output")
    parser.set_defaults(run=_run)


def _moment(text: str, zone: str | None) -> datetime | None:
    from zoneinfo import ZoneInfo

    try:
        moment = datetime.strptime(text.strip(), "%Y-%m-%d %H:%M")
        if not 1970 <= moment.year < 9000:  # a visit has a day before it and weeks after it
            return None
        return moment.replace(tzinfo=ZoneInfo(zone)) if zone else moment
    except (ValueError, KeyError, OSError):
        return None


def _run(arguments: argparse.Namespace) -> int:
    from .command import WRONG_USE, compiled_job, _deliver, _stops

    start = _moment(arguments.start, arguments.zone)
    prepared = _moment(arguments.prepare, arguments.zone) if arguments.prepare else start and start - timedelta(days=1)
    if start is None or prepared is None:
        wrong = arguments.zone if arguments.zone and _moment(arguments.start, None) else arguments.start
        print(f"plait: '{wrong}' is not a moment or zone\n  try: --start \"2027-03-04 09:00\" --zone Europe/Berlin",
              file=sys.stderr)
        return WRONG_USE
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    assert done[1].plan is not None
    data = calendar_of(done[1].plan, start, prepared, datetime.now(timezone.utc).replace(microsecond=0),
                       arguments.refresh)
    return _deliver(data, arguments.out) or _stops(done[1], done[0])
