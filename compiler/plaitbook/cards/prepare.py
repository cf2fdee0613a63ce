"""The first parts of the card: who it is for, what must not be done, what to buy, how to cut and load."""

from __future__ import annotations

from ..plan.model import CutLine, Finding, RackLine
from ..rules import CAUTION
from . import words as say
from .card import Alert, Block, Column, Para, Part, Table, Tick
from .context import Context, tick_lists
from .pictures import cutting_figure, rack_figure, true_scale_figure

SEVERITY_WORDS = {"stop": "Stop", "warn": "Take care", "note": "Note", "ask": "Ask"}
FINDING_LIMIT = 400
"""Letters of one sentence of a finding that the card prints; our own estimate of a readable alert."""


def who(c: Context) -> tuple[tuple[str, str], ...]:
    """The facts in the card's head."""
    plan, head = c.plan, c.plan.head
    facts = [("For", say.name(head.wearer)), ("House", say.name(head.house))]
    if head.choices:
        facts.append(("Chosen", ", ".join(f"{say.name(a)}: {say.name(b)}" for a, b in head.choices)))
    if head.adaptations:
        facts.append(("Adapted", "; ".join(say.clean(a, 120) for a in head.adaptations)))
    sections = plan.sections
    spread = f" (head not measured: {sections.count_low} to {sections.count_high})"
    facts.append(("Sections", f"{sections.count}{spread if sections.count_low != sections.count_high else ''}"))
    facts.append(("In the chair", f"{say.duration(plan.timing.median_minutes)}, allow {say.duration(plan.timing.p80_minutes)}"))
    return tuple(facts)


def never(c: Context) -> Part:
    """Stops, warnings, what hot tools may not touch, questions to ask, the caution line."""
    blocks: list[Block] = [Para(text=CAUTION, tone="caution")]
    findings = c.plan.findings
    for severity in ("stop", "warn"):
        blocks += [_alert(f) for f in findings if f.severity == severity]
    tools = [Tick(text=t) for t in _heat_lines(c)]
    blocks += tick_lists("Heat", tools)
    asks = [Tick(text=say.clean(f.message, FINDING_LIMIT), note=say.clean(f.fix, FINDING_LIMIT))
            for f in findings if f.severity == "ask"]
    blocks += tick_lists("Ask before the first part", asks)
    blocks += [_alert(f) for f in findings if f.severity == "note"]
    for sentence in c.recipe.undone:
        blocks.append(Alert(severity="note", label="Note", text=say.clean(sentence, FINDING_LIMIT)))
    return Part(key="never", title="Never do, and ask first", blocks=tuple(blocks))


def _alert(finding: Finding) -> Alert:
    def cut(text: str) -> str:
        return say.sentence(say.clean(text, FINDING_LIMIT))

    return Alert(
        severity=finding.severity, label=SEVERITY_WORDS[finding.severity], code=say.clean(finding.code, 24),
        text=cut(finding.message), reason=cut(finding.reason), fix=cut(finding.fix),
        source=say.clean(finding.source, 160), allowed=cut(finding.allowed_because or ""),
    )


def _heat_lines(c: Context) -> list[str]:
    lines = []
    for hair in c.recipe.catalogue:
        name = say.name(hair.name)
        if hair.hot_water == "never":
            lines.append(f"{name}: never into hot water.")
        elif hair.hot_water == "unknown":
            lines.append(f"{name}: not known to stand hot water; keep it out.")
        if hair.styling_ceiling_c is not None:
            lines.append(f"{name}: no tool over {say.temperature(hair.styling_ceiling_c.value, c.units)} along the length.")
    return lines


def buy(c: Context) -> Part:
    """The shopping list and what else to lay out."""
    rows = []
    for line in c.plan.material.hair:
        colour = f", {say.name(line.colour)}" if line.colour else ""
        roles = say.listed(say.name(r) for r in line.roles)
        rows.append((
            f"{say.name(line.name)}{colour} ({roles})", str(line.packs_to_buy),
            say.mixed(line.in_stock, say.THIRDS_AND_QUARTERS) if line.in_stock else "–",
            say.packs(line.packs_used), say.mass(line.grams), say.mass(line.pack_g),
        ))
    table = Table(
        caption="Hair", plain=True, ticks=True, rows=tuple(rows), wide=True,
        columns=(Column(heading="Hair"), Column(heading="Packs to buy", align="right"), Column(heading="On the shelf", align="right"),
                 Column(heading="Uses", align="right"), Column(heading="Weighs", align="right"),
                 Column(heading="One pack", align="right")),
    )
    things = [Tick(text=f"{say.counted(o.count, o.kind)}: {say.name(o.name)}") for o in c.plan.material.ornaments]
    for product in c.recipe.products:
        amount = f", about {say.mass(product.mass_g.value)}" if product.mass_g else ""
        things.append(Tick(text=say.name(product.name) + amount))
    return Part(key="buy", title="Buy and bring", blocks=(table, *tick_lists("Also lay out", things)))


def cut(c: Context) -> Part:
    """Cut, stretch, portion and load: numbered, with the true-scale pieces beside."""
    blocks: list[Block] = []
    alike: dict[tuple[str, str, float, str], list[CutLine]] = {}
    for line in c.plan.material.cuts:
        alike.setdefault((line.hair, line.role, line.cut_mm, line.text), []).append(line)
    for lines in alike.values():
        title = f"{say.name(lines[0].hair)}, for {say.name(lines[0].role)}"
        blocks += tick_lists(title, _cut_steps(c, lines), numbered=True)
    blocks += cutting_figure(c)
    blocks += rack_figure(c)
    blocks.append(true_scale_figure(c))
    return Part(key="cut", title="Cut, stretch, portion, load", blocks=tuple(blocks))


def _cut_steps(c: Context, lines: list[CutLine]) -> list[Tick]:
    """Cut once, then portion each size that is cut alike."""
    first = lines[0]
    pieces = f"pieces of {say.length(first.cut_mm, c.units)}"
    if first.offcut_mm >= 1:
        pieces += f", {say.length(first.offcut_mm, c.units)} left over"
    steps = [Tick(text=say.sentence(say.clean(first.text) or "cut"), note=say.sentence(pieces))]
    if first.pulled_mm > 0 and "pull" not in first.text.lower():
        steps.append(Tick(text=f"Pull the ends apart by {say.length(first.pulled_mm, c.units)}, so that they taper."))
    for line in lines:
        fold = "" if "fold each" in line.text or not line.fold else ", folded in the middle" if line.fold == 0.5 \
            else f", folded {say.share(line.fold)} of the way along"
        rack = [r for r in c.plan.material.racks if r.role == line.role and abs(r.held_mm - line.held_mm) < 0.01]
        steps.append(Tick(text=f"Portion {say.counted(line.pieces, 'piece')}{fold}, "
                               f"each {say.pencils(line.held_mm, c.house.pencil_mm.value)}.",
                          note=" ".join(_rack_words(r) for r in rack)))
    return steps


def _rack_words(rack: RackLine) -> str:
    loads = "one load" if rack.reloads == 0 else f"{rack.reloads + 1} loads"
    return f"Rack: {say.counted(rack.pegs, 'peg')} of {rack.per_peg}, {loads}."
