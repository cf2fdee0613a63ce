"""A day plan in finished words: what its paper says, line by line, in the language of the house."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from ...cards import wording as words
from ...cards.day import DayPaper, Line
from ...cards.findings import said
from ...cards.speech import Speech
from .planning import DayPlan, Visit, whom
from .sharing import Cut

MIDNIGHT = 24 * 60
ALLERGIES = "A02"
"""The rule that says what a wearer is allergic to."""


def paper_of(plan: DayPlan, say: Speech) -> DayPaper:
    """Everything the day's paper says."""
    days = tuple((words.capital(say.day(day.day)), tuple(
        Line(f"{_clock(visit.placed.start, say)}–{_clock(visit.placed.end, say)}", words.name(visit.plan.head.recipe),
             say.term("wearer", words.name(visit.plan.head.wearer)),
             ", ".join(_braider(plan, b, say) for b in visit.placed.braiders) or say("nobody free"),
             say.money(visit.plan.quote.total, visit.plan.quote.currency), "")
        for visit in day.visits)) for day in plan.days)
    none = say("none")
    buys = tuple((hair_words(buy.hair, buy.colour), say.packs(buy.used), say.packs(buy.on_hand + buy.brought) if buy.on_hand + buy.brought else none,
                  str(buy.to_buy), say.packs(buy.left) if buy.left > 1e-9 else none) for buy in plan.buys)
    alone, together = sum(buy.alone for buy in plan.buys), sum(buy.used for buy in plan.buys)
    saved = say("Cut together, {packs} instead of {alone}.", packs=say.packs(together), alone=say.packs(alone)) if alone - together > 0.05 else ""
    whose = {whom(day.day, visit.booking, visit.plan): _whom(day.day, visit, say) for day in plan.days for visit in day.visits}
    cuts = [row for cut in plan.cuts for row in _cut_rows(cut, whose, say)]
    together_from = tuple(line for cut in plan.cuts if len(cut.plan.lengths) > 1 for line in _patterns(cut, say))
    also: dict[str, int] = {}
    products: dict[str, float] = {}
    ahead = []
    for day in plan.days:
        for visit in day.visits:
            for thing in visit.plan.material.ornaments:
                also[thing.name] = also.get(thing.name, 0) + thing.count
            for product in visit.done.recipe.products if visit.done.recipe else ():
                products[product.name] = products.get(product.name, 0.0) + (product.mass_g.value if product.mass_g else 0.0)
            if visit.plan.timing.ahead_minutes > 0:
                stages = ", ".join(say.term("stage", stage.name) for stage in visit.plan.timing.stages if stage.when == "ahead")
                ahead.append((say("{heading}:", heading=f"{_visit_words(visit, say)}, {say.day(day.day)}"),
                              say.series((say.duration(visit.plan.timing.ahead_minutes), stages))))
    first, last = plan.days[0].day, plan.days[-1].day
    title = words.capital(say.day(first) if first == last else say("{first} to {last}", first=say.day(first), last=say.day(last)))
    parts = any(share.part < 1.0 - 1e-9 for cut in plan.cuts for share in cut.shares)
    return DayPaper(title, words.name(plan.house.name), any(v.plan.head.demo for d in plan.days for v in d.visits), days, buys, saved, tuple(cuts),
                    (*((words.name(name), say("{count} in all", count=count)) for name, count in also.items()),
                     *((say("{name}, about {mass}", name=words.name(name), mass=say.mass(grams)) if grams else words.name(name), "")
                       for name, grams in products.items())), tuple(ahead), (*care_of(plan, say), *allergies_of(plan, say)),
                    together_from, parts)


def care_of(plan: DayPlan, say: Speech) -> tuple[str, ...]:
    """What to look at before anything else: too few hands, too little day, two chairs for one, and what says stop."""
    care: list[str] = []
    for day in plan.days:
        for n, visit in enumerate(day.visits):
            head = f"{_visit_words(visit, say)}, {say.day(day.day)} {_clock(visit.placed.start, say)}"
            if visit.placed.short:
                care.append(_too_few(head, visit.booking.braiders, visit.booking.braiders - visit.placed.short, say))
            if visit.placed.start >= MIDNIGHT:
                care.append(say("{visit}: there is no room for it that day; book another day, or name more braiders with --crew", visit=head))
            elif visit.placed.end > MIDNIGHT:
                care.append(say("{visit}: it would end after midnight", visit=head))
            care += [say("{visit}: the same wearer still sits for {look} then, until {time}", visit=head,
                         look=words.name(other.plan.head.recipe), time=_clock(other.placed.end, say)) for other in day.visits[:n]
                     if visit.booking.wearer and other.plan.head.wearer == visit.plan.head.wearer and other.placed.end > visit.placed.start]
            care += [say("{visit}: stop: {message}", visit=head, message=said(say, plan.house.currency, finding).message)
                     for finding in visit.plan.findings if finding.severity == "stop" and not finding.allowed_because]
    return tuple(care)


def allergies_of(plan: DayPlan, say: Speech) -> tuple[str, ...]:
    """Who is allergic to what: whoever lays out gloves and glue reads this sheet."""
    return tuple(
        say("{visit}: take care: {message}", visit=f"{_visit_words(visit, say)}, {say.day(day.day)} {_clock(visit.placed.start, say)}",
            message=said(say, plan.house.currency, finding).message)
        for day in plan.days for visit in day.visits for finding in visit.plan.findings if finding.code == ALLERGIES)


def _too_few(visit: str, wanted: int, free: int, say: Speech) -> str:
    if not free:
        return say.many("{visit}: it wants {n} braider, and nobody is free then", "{visit}: it wants {n} braiders, and nobody is free then",
                        wanted, visit=visit)
    return say.many("{visit}: it wants {wanted} braiders, and {n} is free then", "{visit}: it wants {wanted} braiders, and {n} are free then",
                    free, visit=visit, wanted=wanted)


def _braider(plan: DayPlan, at: int, say: Speech) -> str:
    return say("Braider {number}", number=at + 1) if plan.numbered else words.name(plan.crew[at])


def _visit_words(visit: Visit, say: Speech) -> str:
    look = words.name(visit.plan.head.recipe)
    return say("{look} for {wearer}", look=look, wearer=words.name(visit.plan.head.wearer)) if visit.booking.wearer else look


def _whom(day: date, visit: Visit, say: Speech) -> str:
    """Who a piece is for, as :func:`plaitbook.desk.day.planning.whom` tells them apart."""
    head = visit.plan.head
    return words.name(say("{name} ({day}, line {line})", name=head.wearer if visit.booking.wearer else head.recipe,
                          day=say.day_and_month(day), line=visit.booking.line))


def _cut_rows(cut: Cut, whose: dict[str, str], say: Speech) -> list[tuple[str, str, str, str, str]]:
    """A row for each length, and for each width it is held."""
    sizes = dict.fromkeys((share.cut_mm, share.held_mm, share.part) for share in cut.shares)
    rows = []
    for cut_mm, held_mm, part in sorted(sizes, reverse=True):
        shares = [share for share in cut.shares if (share.cut_mm, share.held_mm, share.part) == (cut_mm, held_mm, part)]
        pieces: dict[str, int] = {}
        for share in shares:
            pieces[share.whom] = pieces.get(share.whom, 0) + share.pieces
        held = say.width(held_mm) if part > 1.0 - 1e-9 else say("{share} of {width}", share=say.share(part), width=say.width(held_mm))
        rows.append((hair_words(cut.hair, cut.colour), say.length(cut_mm), held, str(sum(pieces.values())),
                     say.series(f"{count} {whose[who]}" if len(pieces) > 1 else whose[who] for who, count in pieces.items())))
    return rows


def _patterns(cut: Cut, say: Speech) -> Iterator[tuple[str, str]]:
    """How flat lengths that give several lengths are cut."""
    held = say.width(min(share.held_mm for share in cut.shares))
    for pattern, times in cut.plan.patterns:
        pieces = " + ".join(f"{count} × {say.length(mm)}" for mm, count in zip(cut.plan.lengths, pattern) if count)
        yield say.many("{n} flat length of {hair}, {width}:", "{n} flat lengths of {hair}, {width}:", times,
                       hair=hair_words(cut.hair, cut.colour), width=held), pieces


def hair_words(name: str, colour: str | None) -> str:
    """``Dune, driftwood``."""
    return f"{words.name(name)}, {words.name(colour)}" if colour else words.name(name)


def _clock(minutes: int, say: Speech) -> str:
    days, minutes = divmod(minutes, MIDNIGHT)
    clock = f"{minutes // 60:02d}:{minutes % 60:02d}"
    return say("{time} (+{days} d)", time=clock, days=days) if days else clock
