"""A comparison as a card: the same tables as text and as HTML."""

from __future__ import annotations

from decimal import Decimal

from ..meaning.model import House
from ..meaning.standing import NOBODY
from ..plan.comparison import Comparison, Row, Side
from ..plan.differences import LONG
from ..plan.model import Finding, Plan, Value
from . import words as say
from .card import Alert, Block, Card, Column, Para, Part, Table
from .findings import alert
from .speech import speech

TITLES = {"braider": "For the braider", "purse": "For the purse", "clock": "For the clock", "safety": "For safety"}
NO_LIMIT = ("No safe limit for load or weight is published. A smaller load is not a safe one: heed pain, breakage and the "
            "hairline, local codes and licensed practice.")
"""The product never calls a load safe; sources in the rules' pages."""


def comparison_card(compared: Comparison, house: House | None) -> Card:
    """The sheet. ``house`` sets inches or metric and the paper; metric A4 without one."""
    units: say.Units = house.units if house is not None else "metric"
    parts: list[Part] = []
    for key, title in TITLES.items():
        rows = [row for row in compared.rows if row.part == key]
        blocks: list[Block] = [_table(rows, compared, units)] if rows else []
        if key == "safety":
            blocks += _findings(compared)
        parts.append(Part(key=key, title=title, blocks=tuple(blocks), step=False))
    parts.append(_made_of(compared))
    return Card(
        title=f"{say.name(compared.a.recipe)} and {say.name(compared.b.recipe)}", subtitle="Comparison",
        paper=house.paper if house is not None else "a4", parts=tuple(parts), full=True,
        facts=(("First", _side(compared.a)), ("Second", _side(compared.b))),
        foot=" · ".join(dict.fromkeys(f"plaitbook {side.compiler}" for side in (compared.a, compared.b))),
    )


def _side(side: Side) -> str:
    picked = "".join(f", {say.name(choice)} {say.name(option)}" for choice, option in side.choices)
    seal = f"; seal {side.seal.look_aloud}" if side.seal else ""
    wearer = "nobody named" if side.wearer == NOBODY else say.name(side.wearer)
    return (f"{say.name(side.recipe)} version {side.version} for {wearer} in {say.name(side.house)}"
            f"{picked}{seal}")


def _made_of(compared: Comparison) -> Part:
    same = compared.a.seal and compared.b.seal and compared.a.seal.look == compared.b.seal.look
    if compared.made_of:
        heads = (Column(heading="What"), Column(heading="First"), Column(heading="Second"))
        blocks: tuple[Block, ...] = (Table(caption="What differs", columns=heads, wide=True, plain=True, rows=tuple(
            (say.clean(each.what), _part(each.a), _part(each.b)) for each in compared.made_of)),)
    elif same:
        blocks = (Para(text="Both are made from exactly the same look."),)
    else:
        blocks = (Para(text="What they are made of isn't known here: only their plans are."),)
    return Part(key="made-of", title="What they are made of", blocks=blocks, step=False)


def _part(said: str) -> str:
    return "–" if not said else "yes" if said == LONG else say.clean(said)


def _table(rows: list[Row], compared: Comparison, units: say.Units) -> Table:
    money = (compared.a.currency, compared.b.currency)
    return Table(
        caption="Side by side", plain=True, wide=True,
        columns=(Column(heading="What"), Column(heading="First", align="right"), Column(heading="Second", align="right"),
                 Column(heading="Change", align="right")),
        rows=tuple((say.clean(row.label), _shown(row.a, row, money[0], units), _shown(row.b, row, money[1], units),
                    _change(row, money[0], units)) for row in rows),
    )


def _shown(value: Value | None, row: Row, currency: str, units: say.Units) -> str:
    if value is None:
        return "–"
    if isinstance(value, str):
        return say.clean(value)
    if row.kind == "money":
        return say.money(Decimal(value), currency)
    number = float(value)
    if row.kind == "min":
        return say.duration(number)
    if row.kind == "mm":
        return say.width(number) if number < 40 else say.length(number, units)
    if row.kind == "g":
        return say.mass(number)
    if row.kind == "mN":
        return f"{number:.3g}{say.NBSP}mN"
    if row.kind == "packs":
        return say.mixed(number, (2, 3, 4))
    return say.plain(number, 2 if row.kind == "ratio" else 0)


def _change(row: Row, currency: str, units: say.Units) -> str:
    """With its sign; nothing where nothing changed that prints."""
    if row.change is None:
        return "new" if row.a is None else "gone" if row.b is None else "other money"
    value = row.change.value
    assert not isinstance(value, str)
    if value == 0:
        return "same"
    size = _shown(-value if value < 0 else value, row, currency, units)
    if _shown(row.a, row, currency, units) == _shown(row.b, row, currency, units):
        return "same"
    return f"{'−' if value < 0 else '+'}{size}"


def _findings(compared: Comparison) -> list[Block]:
    blocks: list[Block] = []
    for word, findings in (("Only with the second", compared.gained), ("Only with the first", compared.lost)):
        blocks += [_finding(word, finding) for finding in findings]
    if compared.reworded:
        heads = (Column(heading="Rule"), Column(heading="First"), Column(heading="Second"))
        blocks.append(Table(caption="Both, with other figures", columns=heads, wide=True, rows=tuple(
            (f"{each.code} ({each.severity})", say.clean(" ".join(each.a)) or "–", say.clean(" ".join(each.b)) or "–")
            for each in compared.reworded)))
    if not blocks:
        blocks.append(Para(text="Both give the same cautions."))
    blocks.append(Para(text=NO_LIMIT, tone="caution"))
    return blocks


def _finding(word: str, finding: Finding) -> Alert:
    shown = alert(speech(), "", finding)
    return shown.model_copy(update={"label": f"{word}. {shown.label}"})


# --- one look across wearers ----------------------------------------------------


def wearers_card(look: str, version: int, plans: tuple[tuple[str, Plan | None, str], ...], house: House | None) -> Card:
    """One look for many: (wearer, plan or None, what is wrong where there is none)."""
    hairs = tuple(dict.fromkeys(line.name for _, plan, _ in plans if plan is not None for line in plan.material.hair))
    money = next((plan.quote.currency for _, plan, _ in plans if plan is not None), "")
    rows = tuple(_wearer(name, plan, hairs) for name, plan, _ in plans if plan is not None)
    columns = ("Wearer", "Sections", "Stitches", "Packs", f"Price {money}", "Chair time", "Added", "Worst load", "Stops, warnings")
    table = Table(caption="One row for each wearer", plain=True, wide=True,
                  columns=tuple(Column(heading=h, align="left" if n in (0, 3) else "right") for n, h in enumerate(columns)), rows=rows)
    wrong = tuple(Para(text=f"{say.name(name)}: {say.sentence(say.clean(problem))}", tone="strong") for name, plan, problem in plans if plan is None)
    order = Para(text=f"Packs to buy: {say.listed(map(say.name, hairs), 'then')}.")
    some = next((plan for _, plan, _ in plans if plan is not None), None)
    return Card(
        title=say.name(look), subtitle=f"Version {version}, for every wearer of the book", full=True,
        paper=house.paper if house is not None else "a4",
        facts=(("House", say.name(some.head.house)),) if some else (),
        parts=(Part(key="wearers", title="Wearers", blocks=((order, table, *wrong) if rows else wrong) + (Para(text=NO_LIMIT, tone="caution"),), step=False),),
        foot=f"plaitbook {some.head.compiler}" if some else "",
    )


def _wearer(name: str, plan: Plan, hairs: tuple[str, ...]) -> tuple[str, ...]:
    hair = " + ".join(str(sum(line.packs_to_buy for line in plan.material.hair if line.name == name)) for name in hairs)
    worst = plan.figures.get("load.worst_mn")
    return (
        say.name(name), str(plan.sections.count), str(sum(s.stitches for s in plan.strands)), hair or "none",
        say.money(plan.quote.total, plan.quote.currency).partition(say.NBSP)[2], say.duration(plan.timing.median_minutes),
        say.mass(plan.material.added_worn_g), f"{float(worst.value):.2g}{say.NBSP}mN" if worst else "–",
        f"{sum(f.severity == 'stop' for f in plan.findings)}, {sum(f.severity == 'warn' for f in plan.findings)}",
    )
