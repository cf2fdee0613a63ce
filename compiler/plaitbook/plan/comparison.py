"""Two plans side by side: what differs for the braider, the purse, the clock and safety. Pure.

Every number is a figure of its plan, named by its key; every change is a
figure of its own, ``b - a``.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Iterator, Literal

from ..meaning.values import Frozen, Origin
from .differences import Difference
from .model import Figure, Finding, Given, HairLine, Plan, Seal, Value

Part = Literal["braider", "purse", "clock", "safety"]
Kind = Literal["count", "pieces", "packs", "mm", "min", "g", "mN", "ratio", "money"]
"""What a row's numbers are, for the one who prints them."""


class Side(Frozen):
    """One of the two: which look, for whom, where."""

    recipe: str
    version: int
    wearer: str
    house: str
    choices: tuple[tuple[str, str], ...] = ()
    currency: str
    compiler: str
    seal: Seal | None = None


class Row(Frozen):
    """One thing compared. ``a`` or ``b`` is None where that plan has no such thing."""

    part: Part
    label: str
    kind: Kind
    key: str
    """Of the figure in either plan; for a figure that differs in key, of the first."""
    a: Value | None
    b: Value | None
    change: Figure | None = None
    """None where the two can't be subtracted: one is missing, or the money differs."""


class MadeOf(Frozen):
    """One thing that the two looks don't say alike."""

    what: str
    """Such as ``hair "Dune"``, or ``feed: width``."""
    a: str = ""
    b: str = ""
    """In words; empty where that look doesn't say it."""


class Reworded(Frozen):
    """One rule that speaks of both plans, but not in the same words: its figures moved."""

    code: str
    severity: str
    a: tuple[str, ...]
    b: tuple[str, ...]


class Comparison(Frozen):
    """Everything that differs, and the main figures that don't."""

    a: Side
    b: Side
    made_of: tuple[MadeOf, ...] | None = None
    """What differs in what the two are made of; None where that isn't known."""
    rows: tuple[Row, ...]
    gained: tuple[Finding, ...]
    """Findings of the second plan by rules that find nothing in the first."""
    lost: tuple[Finding, ...]
    """Findings of the first plan by rules that find nothing in the second."""
    reworded: tuple[Reworded, ...] = ()


_ALWAYS: tuple[tuple[Part, str, Kind, str], ...] = (
    ("braider", "sections", "count", "sections.count"),
    ("braider", "stitches on the head", "count", "strands.stitches_total"),
    ("clock", "chair time, median", "min", "timing.median_minutes"),
    ("clock", "in 80 % of services, up to", "min", "timing.p80_minutes"),
    ("clock", "in 95 % of services, up to", "min", "timing.p95_minutes"),
    ("clock", "preparation ahead", "min", "timing.ahead_minutes"),
    ("clock", "another visit for the front", "min", "timing.later_minutes"),
    ("safety", "added hair and ornaments, dry", "g", "material.added_worn_g"),
    ("safety", "added hair over own hair", "ratio", "load.added_to_own"),
    ("safety", "load on one own hair, worst, dry", "mN", "load.worst_mn"),
    ("safety", "load on one own hair, worst, wet", "mN", "load.worst_wet_mn"),
    ("safety", "load on one own hair, median", "mN", "load.median_mn"),
    ("safety", "load at the hairline, median", "mN", "load.hairline_median_mn"),
)


def compare(a: Plan, b: Plan, made_of: tuple[Difference, ...] | None = None) -> Comparison:
    """What differs between two plans. ``made_of`` is what differs in the looks they were made from, where known."""
    rows = [*_always(a, b, "braider"), *_braider(a, b), *_purse(a, b), *_always(a, b, "clock"), *_stages(a, b),
            *_always(a, b, "safety")]
    mine, theirs = {(f.code, f.severity) for f in a.findings}, {(f.code, f.severity) for f in b.findings}
    return Comparison(
        a=_side(a), b=_side(b), made_of=None if made_of is None else tuple(
            MadeOf(what=f"{d.what}: {d.where}" if d.where else d.what, a=d.before, b=d.after) for d in made_of), rows=tuple(rows),
        gained=tuple(f for f in b.findings if (f.code, f.severity) not in mine),
        lost=tuple(f for f in a.findings if (f.code, f.severity) not in theirs),
        reworded=tuple(_reworded(a, b)),
    )


def _reworded(a: Plan, b: Plan) -> Iterator[Reworded]:
    for code, severity in dict.fromkeys((f.code, f.severity) for f in a.findings):
        first, second = (tuple(f.message for f in plan.findings if (f.code, f.severity) == (code, severity)) for plan in (a, b))
        if second and sorted(first) != sorted(second):
            yield Reworded(code=code, severity=severity, a=tuple(m for m in first if m not in second),
                           b=tuple(m for m in second if m not in first))


def _side(plan: Plan) -> Side:
    head = plan.head
    return Side(recipe=head.recipe, version=head.version, wearer=head.wearer, house=head.house, choices=head.choices,
                currency=plan.quote.currency, compiler=head.compiler, seal=head.seal)


def _always(a: Plan, b: Plan, part: Part) -> Iterator[Row]:
    for here, label, kind, key in _ALWAYS:
        if here == part and (key in a.figures or key in b.figures):
            yield _row(part, label, kind, key, _value(a, key), _value(b, key))


def _braider(a: Plan, b: Plan) -> Iterator[Row]:
    """Pieces by role, widths and lengths of the strands, and sections of the zones that differ."""
    roles = dict.fromkeys(role for plan in (a, b) for kind in plan.strand_kinds for role, _ in kind.pieces)
    for role in roles:
        key = f"material.{_slug(role)}.pieces"
        yield _row("braider", f"pieces of {role}", "pieces", key, _value(a, key), _value(b, key))
    for label, field in (("finished length, longest", "length_mm"), ("strand, thickest place", "width_max_mm"),
                         ("strand, thinnest place", "width_min_mm")):
        choose = min if field == "width_min_mm" else max
        first, second = (choose(plan.strand_kinds, key=lambda k: getattr(k, field), default=None) for plan in (a, b))
        key = f"strands.{first.like or first.id}.{field}" if first else field
        yield _row("braider", label, "mm", key, getattr(first, field, None), getattr(second, field, None))
    zones = {zone.zone: zone.sections for zone in a.sections.zones}
    others = {zone.zone: zone.sections for zone in b.sections.zones}
    for zone in dict.fromkeys((*zones, *others)):
        if zones.get(zone, 0) != others.get(zone, 0):
            yield _row("braider", f"sections in {zone}", "count", f"sections.zone.{zone}", zones.get(zone, 0), others.get(zone, 0))


def _purse(a: Plan, b: Plan) -> Iterator[Row]:
    mine, theirs = ({(line.name, line.colour): line for line in plan.material.hair} for plan in (a, b))
    for name in dict.fromkeys((*mine, *theirs)):
        said = f"{name[0]}, {name[1]}" if name[1] else name[0]
        key = ".".join(("material", *(_slug(word) for word in name if word)))
        for label, field in ((f"packs of {said} used", "packs_used"), (f"packs of {said} to buy", "packs_to_buy")):
            yield _row("purse", label, "packs", f"{key}.{field}", _of(mine.get(name), field), _of(theirs.get(name), field))
    same = a.quote.currency == b.quote.currency
    unit = a.quote.currency
    deposits = (a.quote.deposit, b.quote.deposit)
    yield _row("purse", "price", "money", "quote.total", a.quote.total, b.quote.total, unit, same)
    if any(each is not None for each in deposits):
        yield _row("purse", "deposit", "money", "quote.deposit", *deposits, unit, same)


def _of(line: HairLine | None, field: str) -> Value | None:
    return None if line is None else getattr(line, field)


def _stages(a: Plan, b: Plan) -> Iterator[Row]:
    """Stages of the chair time that differ by half a minute or more: what the clock prints as a minute."""
    mine, theirs = ({(s.name, s.when): s.minutes for s in plan.timing.stages} for plan in (a, b))
    for name in dict.fromkeys((*mine, *theirs)):
        first, second = mine.get(name), theirs.get(name)
        if name[1] == "chair" and abs((first or 0) - (second or 0)) >= 0.5:
            yield _row("clock", f"of which: {name[0]}", "min", f"timing.stage.{_slug(name[0]).replace('-', '_')}", first, second)


def _value(plan: Plan, key: str) -> Value | None:
    figure = plan.figures.get(key)
    return None if figure is None else figure.value


def _row(part: Part, label: str, kind: Kind, key: str, a: Value | None, b: Value | None, unit: str = "",
         alike: bool = True) -> Row:
    change = None
    if alike and a is not None and b is not None and not isinstance(a, str) and not isinstance(b, str):
        unit = unit or {"count": "", "ratio": ""}.get(kind, kind)
        change = Figure(
            key=f"compare.{key}", label=f"change of: {label}", value=_minus(b, a), unit=unit, formula="b - a",
            inputs={"a": _given(a, unit, "the first plan", key), "b": _given(b, unit, "the second plan", key)},
            source="subtraction",
        )
    return Row(part=part, label=label, kind=kind, key=key, a=a, b=b, change=change)


def _minus(b: Value, a: Value) -> Value:
    if isinstance(a, Decimal) and isinstance(b, Decimal):
        return b - a
    return float(b) - float(a) if isinstance(a, float) or isinstance(b, float) else b - a  # type: ignore[operator]


def _given(value: Value, unit: str, whose: str, key: str) -> Given:
    return Given(value=value, unit=unit, origin=Origin(kind="source", where=f"{whose}, {key}"))


def _slug(name: str) -> str:
    """A name as the passes write it into keys."""
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())
