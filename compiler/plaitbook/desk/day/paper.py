"""A day plan in finished words: what its paper says, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from ...cards import words as say
from ...cards.day import DayPaper, Line
from .planning import DayPlan, Visit
from .sharing import Cut

MIDNIGHT = 24 * 60


def paper_of(plan: DayPlan) -> DayPaper:
    """Everything the day's paper says."""
    units = plan.house.units
    days = tuple((_date(day.day), tuple(
        Line(f"{_clock(visit.placed.start)}–{_clock(visit.placed.end)}", say.name(visit.plan.head.recipe), say.name(visit.plan.head.wearer),
             ", ".join(say.name(plan.crew[b]) for b in visit.placed.braiders) or "nobody free",
             say.money(visit.plan.quote.total, visit.plan.quote.currency), "")
        for visit in day.visits)) for day in plan.days)
    buys = tuple((hair_words(buy.hair, buy.colour), say.packs(buy.used), say.packs(buy.on_hand + buy.brought) if buy.on_hand + buy.brought else "none",
                  str(buy.to_buy), say.packs(buy.left) if buy.left > 1e-9 else "none") for buy in plan.buys)
    alone, together = sum(buy.alone for buy in plan.buys), sum(buy.used for buy in plan.buys)
    saved = f"Cut together, {say.packs(together)} instead of {say.packs(alone)}." if alone - together > 0.05 else ""
    cuts = [row for cut in plan.cuts for row in _cut_rows(cut, units)]
    together_from = tuple(words for cut in plan.cuts if len(cut.plan.lengths) > 1 for words in _patterns(cut, units))
    also: dict[str, int] = {}
    ahead = []
    for day in plan.days:
        for visit in day.visits:
            for thing in visit.plan.material.ornaments:
                also[thing.name] = also.get(thing.name, 0) + thing.count
            if visit.plan.timing.ahead_minutes > 0:
                ahead.append((f"{_visit_words(visit)}, {_date(day.day)}:", f"{say.duration(visit.plan.timing.ahead_minutes)}; "
                              + ", ".join(stage.name for stage in visit.plan.timing.stages if stage.when == "ahead")))
    first, last = plan.days[0].day, plan.days[-1].day
    title = _date(first) if first == last else f"{_date(first)} to {_date(last)}"
    parts = any(share.part < 1.0 - 1e-9 for cut in plan.cuts for share in cut.shares)
    return DayPaper(title, say.name(plan.house.name), any(v.plan.head.demo for d in plan.days for v in d.visits), days, buys, saved, tuple(cuts),
                    tuple((say.name(name), f"{count} in all") for name, count in also.items()), tuple(ahead), care_of(plan), together_from, parts)


def care_of(plan: DayPlan) -> tuple[str, ...]:
    """What to look at before anything else: too few hands, too little day, two chairs for one, and what says stop."""
    care: list[str] = []
    for day in plan.days:
        for n, visit in enumerate(day.visits):
            head = f"{_visit_words(visit)}, {_date(day.day)} {_clock(visit.placed.start)}"
            wanted, free = visit.booking.braiders, visit.booking.braiders - visit.placed.short
            if visit.placed.short:
                care.append(f"{head}: it wants {wanted} braider{'s' if wanted > 1 else ''}, and {free or 'nobody'} {'are' if free > 1 else 'is'} free then")
            if visit.placed.start >= MIDNIGHT:
                care.append(f"{head}: there is no room for it that day; book another day, or name more braiders with --crew")
            elif visit.placed.end > MIDNIGHT:
                care.append(f"{head}: it would end after midnight")
            care += [f"{head}: the same wearer still sits for {say.name(other.plan.head.recipe)} then, until {_clock(other.placed.end)}" for other in day.visits[:n]
                     if visit.booking.wearer and other.plan.head.wearer == visit.plan.head.wearer and other.placed.end > visit.placed.start]
            care += [f"{head}: stop: {finding.message}" for finding in visit.plan.findings if finding.severity == "stop" and not finding.allowed_because]
    return tuple(care)


def _visit_words(visit: Visit) -> str:
    return say.name(visit.plan.head.recipe) + (f" for {say.name(visit.plan.head.wearer)}" if visit.booking.wearer else "")


def _cut_rows(cut: Cut, units: say.Units) -> list[tuple[str, str, str, str, str]]:
    """A row for each length, and for each width it is held."""
    sizes = dict.fromkeys((share.cut_mm, share.held_mm, share.part) for share in cut.shares)
    rows = []
    for cut_mm, held_mm, part in sorted(sizes, reverse=True):
        shares = [share for share in cut.shares if (share.cut_mm, share.held_mm, share.part) == (cut_mm, held_mm, part)]
        pieces: dict[str, int] = {}
        for share in shares:
            pieces[share.whom] = pieces.get(share.whom, 0) + share.pieces
        held = say.width(held_mm) if part > 1.0 - 1e-9 else f"{say.share(part)} of {say.width(held_mm)}"
        rows.append((hair_words(cut.hair, cut.colour), say.length(cut_mm, units), held, str(sum(pieces.values())),
                     "; ".join(f"{count} {say.name(who)}" if len(pieces) > 1 else say.name(who) for who, count in pieces.items())))
    return rows


def _patterns(cut: Cut, units: say.Units) -> Iterator[tuple[str, str]]:
    """How flat lengths that give several lengths are cut."""
    held = say.width(min(share.held_mm for share in cut.shares))
    for pattern, times in cut.plan.patterns:
        pieces = " + ".join(f"{count} × {say.length(mm, units)}" for mm, count in zip(cut.plan.lengths, pattern) if count)
        yield f"{times} flat length{'s' if times != 1 else ''} of {hair_words(cut.hair, cut.colour)}, {held}:", pieces


def hair_words(name: str, colour: str | None) -> str:
    """``Dune, driftwood``."""
    return f"{say.name(name)}, {say.name(colour)}" if colour else say.name(name)


def _date(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b} {day.year}"


def _clock(minutes: int) -> str:
    days, minutes = divmod(minutes, MIDNIGHT)
    return f"{minutes // 60:02d}:{minutes % 60:02d}" + (f" (+{days} d)" if days else "")
