"""The first parts of the card: who it is for, what must not be done, what to buy, how to cut and load."""

from __future__ import annotations

from collections import Counter

from ..plan.model import CutLine, Finding, RackLine
from ..rules import CAUTION
from . import words as say
from .card import Alert, Block, Column, Para, Part, Table, Tick
from .context import Context, tick_lists
from .pictures import cutting_figure, rack_figure, true_scale_figure
from .reasons import why

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
    if c.recipe.swapped:
        facts.append(("Stands in", ", ".join(f"{say.name(new)} for {say.name(old)}" for old, new in c.recipe.swapped)))
    sections = plan.sections
    spread = f" (head not measured: {sections.count_low} to {sections.count_high})"
    facts.append(("Sections", f"{sections.count}{spread if sections.count_low != sections.count_high else ''}"))
    facts.append(("In the chair", f"{say.duration(plan.timing.median_minutes)}, allow {say.duration(plan.timing.p80_minutes)}"))
    return tuple(facts)


def never(c: Context) -> Part:
    """Stops, warnings, what hot tools may not touch, what to ask and know about the wearer, the caution line."""
    blocks: list[Block] = [Para(text=CAUTION, tone="caution")]
    findings = c.plan.findings
    for severity in ("stop", "warn"):
        blocks += [alert(f) for f in findings if f.severity == severity]
    blocks += tick_lists("Heat", _heat_lines(c))
    if c.wearer.note:
        blocks.append(Para(text=f"{say.name(c.wearer.name)}: {say.sentence(say.clean(c.wearer.note))}", tone="strong"))
    asks = [(say.clean(f.message, FINDING_LIMIT), say.clean(f.fix, FINDING_LIMIT)) for f in findings if f.severity == "ask"]
    usual, times = Counter(fix for _, fix in asks).most_common(1)[0] if asks else ("", 0)
    shared = usual if times > 1 else ""
    ticks = [Tick(text=text, note="" if fix == shared else say.sentence(fix)) for text, fix in asks]
    blocks += tick_lists("Ask before the first part", ticks, note=say.sentence(shared))
    return Part(key="never", title="Never do, and ask first", blocks=tuple(blocks))


def alert(finding: Finding) -> Alert:
    """A finding as the card says it."""
    def cut(text: str) -> str:
        return say.sentence(say.clean(text, FINDING_LIMIT))

    return Alert(
        severity=finding.severity, label=SEVERITY_WORDS[finding.severity], code=say.clean(finding.code, 24),
        text=cut(finding.message), reason=cut(finding.reason), fix=cut(finding.fix),
        source=say.clean(finding.source, FINDING_LIMIT), allowed=cut(finding.allowed_because or ""),
    )


def _heat_lines(c: Context) -> list[Tick]:
    """What heat and hot water each hair stands; hairs that stand the same share a line."""
    names: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for hair in c.recipe.catalogue:
        rules, reasons = [], []
        if hair.hot_water != "allowed":
            rules.append("never into hot water" if hair.hot_water == "never" else "not known to stand hot water, keep it out")
            reasons.append("hot water")
        if hair.styling_ceiling_c is not None:
            rules.append(f"no tool over {say.temperature(hair.styling_ceiling_c.value, c.units)} along the length")
            reasons.append("ceiling")
        if rules:
            names.setdefault(("; ".join(rules), tuple(reasons)), []).append(say.name(hair.name))
    return [Tick(text=f"{say.listed(who)}: {rules}.", why=why(*reasons)) for (rules, reasons), who in names.items()]


def buy(c: Context) -> Part:
    """The shopping list and what else to lay out."""
    return Part(key="buy", title="Buy and bring", blocks=(hair_table(c), *tick_lists("Also lay out", lay_out(c), run_in=True)))


def hair_table(c: Context) -> Table:
    """Every hair with the packs to buy, what is there already, and what the set takes."""
    lines = c.plan.material.hair
    shelf, brought = any(line.in_stock for line in lines), any(line.brought for line in lines)
    rows = []
    for line in lines:
        colour = f", {say.name(line.colour)}" if line.colour else ""
        roles = say.listed(say.name(r) for r in line.roles)
        there = [say.packs(have) if have else "–" for have, shown in ((line.in_stock, shelf), (line.brought, brought)) if shown]
        rows.append((f"{say.name(line.name)}{colour} ({roles})", f"{say.counted(line.packs_to_buy, 'pack')} of {say.mass(line.pack_g)}", *there,
                     say.packs(line.packs_used), say.mass(line.grams)))
    headings = ["Buy", *(["On the shelf"] if shelf else []), *(["Brought"] if brought else []), "Uses", "Weighs"]
    return Table(caption="Hair", plain=True, ticks=True, rows=tuple(rows), wide=True,
                 columns=(Column(heading="Hair"), *(Column(heading=h, align="right") for h in headings)))


def lay_out(c: Context) -> list[Tick]:
    """What is laid out besides the hair."""
    things = [Tick(text=f"{say.counted(o.count, o.kind)}: {say.name(o.name)}", why=why("ornaments")) for o in c.plan.material.ornaments]
    for product in c.recipe.products:
        amount = f", about {say.mass(product.mass_g.value)}" if product.mass_g else ""
        things.append(Tick(text=say.name(product.name) + amount, why=why("lay out")))
    return things


def cut(c: Context) -> Part:
    """Cut, stretch, portion and load: numbered, with the true-scale pieces beside."""
    blocks: list[Block] = []
    alike: dict[tuple[str, str, float, str], list[CutLine]] = {}
    for line in c.plan.material.cuts:
        alike.setdefault((line.hair, line.role, line.cut_mm, line.text), []).append(line)
    for lines in alike.values():
        title = f"{say.name(lines[0].hair)}, for {say.name(lines[0].role)}"
        blocks += tick_lists(title, _cut_steps(c, lines), numbered=True, run_in=True)
    blocks += _shared_rack(c)
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
    steps = [Tick(text=say.sentence(say.clean(first.text) or "cut"), note=say.sentence(pieces),
                  why=why("cut", "stretch") if first.pulled_mm > 0 and "pull" in first.text.lower() else why("cut"))]
    if first.pulled_mm > 0 and "pull" not in first.text.lower():
        steps.append(Tick(text=f"Pull the ends apart by {say.length(first.pulled_mm, c.units)}, so that they taper.", why=why("stretch")))
    for line in {(line.held_mm, line.colour, line.pieces): line for line in lines}.values():
        fold = "" if "fold each" in line.text or not line.fold else ", folded in the middle" if line.fold == 0.5 \
            else f", folded {say.share(line.fold)} of the way along"
        shade = f" of {say.name(line.colour)}" if line.colour else ""
        rack = [r for r in c.plan.material.racks
                if r.role == line.role and r.colour == line.colour and abs(r.held_mm - line.held_mm) < 0.01]
        steps.append(Tick(text=f"Portion {say.counted(line.pieces, 'piece')}{shade}{fold}, "
                               f"each {say.pencils(line.held_mm, c.house.pencil_mm.value)}{_blend(c, line.role)}.",
                          note=" ".join(_rack_words(r) for r in rack), why=why("portion")))
    return steps


def _blend(c: Context, role: str) -> str:
    """What the pieces of a blended role are mixed of."""
    parts = next((use.parts for use in c.recipe.hairs if use.role == role), ())
    if len(parts) < 2:
        return ""
    one_hair = len({part.hair for part in parts}) == 1
    names = (say.name(p.colour or p.hair) if one_hair else say.name(f"{p.hair} {p.colour or ''}") for p in parts)
    return ", blended of " + say.listed(f"{say.share(p.share)} {name}" for p, name in zip(parts, names))


def _shared_rack(c: Context) -> tuple[Para, ...]:
    """That sizes which lie side by side have one rack between them."""
    racks = c.plan.material.racks
    if len(racks) < 2:
        return ()
    return (Para(text=f"All share one rack of {say.counted(c.house.rack_pegs, 'peg')}, by need.", tone="small", until=3),)


def _rack_words(rack: RackLine) -> str:
    loads = "filled once" if rack.reloads == 0 else "filled twice" if rack.reloads == 1 else f"filled {rack.reloads + 1} times"
    return f"Rack: {say.counted(rack.pegs, 'peg')} of {rack.per_peg}, {loads}."
