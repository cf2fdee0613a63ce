"""The first parts of the card: who it is for, what must not be done, what to buy, how to cut and load."""

from __future__ import annotations

from collections import Counter

from ..plan.model import CutLine, RackLine
from ..rules import CAUTION
from . import wording as words
from .card import Block, Column, Para, Part, Table, Tick
from .context import Context, tick_lists
from .diagrams.look_words import counted_ornaments
from .findings import alert, said
from .pictures import cutting_figure, rack_figure, true_scale_figure
from .reasons import why
from .speech import Speech
from .told import told_cut


def who(c: Context) -> tuple[tuple[str, str], ...]:
    """The facts in the card's head."""
    plan, head, say = c.plan, c.plan.head, c.say
    facts = [(say("For"), say.term("wearer", words.name(head.wearer))), (say("House"), words.name(head.house))]
    if head.choices:
        facts.append((say("Chosen"), chosen(c)))
    if head.adaptations:
        facts.append((say("Adapted"), say.series(words.clean(a, 120) for a in head.adaptations)))
    if c.recipe.swapped:
        facts.append((say("Stands in"), ", ".join(
            say("{new} for {old}", new=words.name(new), old=words.name(old)) for old, new in c.recipe.swapped)))
    sections = plan.sections
    if sections.count_low == sections.count_high:
        facts.append((say("Sections"), str(sections.count)))
    else:
        facts.append((say("Sections"), say("{count} (head not measured: {low} to {high})", count=sections.count,
                                           low=sections.count_low, high=sections.count_high)))
    facts.append((say("In the chair"), say("{time}, allow {longer}", time=say.duration(plan.timing.median_minutes),
                                           longer=say.duration(plan.timing.p80_minutes))))
    return tuple(facts)


def chosen(c: Context) -> str:
    """The choices and what was picked, in the recipe's own words."""
    return ", ".join(f"{words.name(a)}: {words.name(b)}" for a, b in c.plan.head.choices)


def never(c: Context) -> Part:
    """Stops, warnings, what hot tools may not touch, what to ask and know about the wearer, the caution line."""
    say = c.say
    blocks: list[Block] = [Para(text=say(CAUTION), tone="caution")]
    findings = c.plan.findings
    for severity in ("stop", "warn"):
        blocks += [alert(say, c.house.currency, f) for f in findings if f.severity == severity]
    blocks += tick_lists(say, say("Heat"), _heat_lines(c))
    if c.wearer.note:
        blocks.append(Para(text=f"{words.name(c.wearer.name)}: {words.sentence(words.clean(c.wearer.note))}", tone="strong"))
    asks = [said(say, c.house.currency, f) for f in findings if f.severity == "ask"]
    usual, times = Counter(ask.fix for ask in asks).most_common(1)[0] if asks else ("", 0)
    shared = usual if times > 1 else ""
    ticks = [Tick(text=ask.message, note="" if ask.fix == shared else words.sentence(ask.fix)) for ask in asks]
    blocks += tick_lists(say, say("Ask before the first part"), ticks, note=words.sentence(shared))
    return Part(key="never", title=say("Never do, and ask first"), blocks=tuple(blocks))


def _heat_lines(c: Context) -> list[Tick]:
    """What heat and hot water each hair stands; hairs that stand the same share a line."""
    say = c.say
    names: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for hair in c.recipe.catalogue:
        rules, reasons = [], []
        if hair.hot_water != "allowed":
            rules.append(say("never into hot water") if hair.hot_water == "never" else say("not known to stand hot water, keep it out"))
            reasons.append("hot water")
        if hair.styling_ceiling_c is not None:
            rules.append(say("no tool over {heat} along the length", heat=say.temperature(hair.styling_ceiling_c.value)))
            reasons.append("ceiling")
        if rules:
            names.setdefault((say.series(rules), tuple(reasons)), []).append(words.name(hair.name))
    return [Tick(text=say("{hairs}: {rules}.", hairs=say.listed(hairs), rules=rules), why=why(say, *reasons))
            for (rules, reasons), hairs in names.items()]


def buy(c: Context) -> Part:
    """The shopping list and what else to lay out."""
    return Part(key="buy", title=c.say("Buy and bring"),
                blocks=(hair_table(c), *tick_lists(c.say, c.say("Also lay out"), lay_out(c), run_in=True)))


def hair_table(c: Context) -> Table:
    """Every hair with the packs to buy, what is there already, and what the set takes."""
    say, lines = c.say, c.plan.material.hair
    shelf, brought = any(line.in_stock for line in lines), any(line.brought for line in lines)
    rows = []
    for line in lines:
        colour = f", {words.name(line.colour)}" if line.colour else ""
        roles = say.listed(words.name(r) for r in line.roles)
        there = [say.packs(have) if have else "–" for have, shown in ((line.in_stock, shelf), (line.brought, brought)) if shown]
        to_buy = say("{packs} of {mass}", packs=say.counted("{n} pack", "{n} packs", line.packs_to_buy), mass=say.mass(line.pack_g))
        rows.append((f"{words.name(line.name)}{colour} ({roles})", to_buy, *there, say.packs(line.packs_used), say.mass(line.grams)))
    headings = [say("Buy"), *([say("On the shelf")] if shelf else []), *([say("Brought")] if brought else []), say("Uses"), say("Weighs")]
    return Table(caption=say("Hair"), plain=True, ticks=True, rows=tuple(rows), wide=True,
                 columns=(Column(heading=say("Hair")), *(Column(heading=h, align="right") for h in headings)))


def lay_out(c: Context) -> list[Tick]:
    """What is laid out besides the hair."""
    say = c.say
    things = [Tick(text=f"{counted_ornaments(say, o.count, o.kind)}: {words.name(o.name)}", why=why(say, "ornaments"))
              for o in c.plan.material.ornaments]
    for product in c.recipe.products:
        name = words.name(product.name)
        text = say("{name}, about {mass}", name=name, mass=say.mass(product.mass_g.value)) if product.mass_g else name
        things.append(Tick(text=text, why=why(say, "lay out")))
    return things


def cut(c: Context) -> Part:
    """Cut, stretch, portion and load: numbered, with the true-scale pieces beside."""
    say = c.say
    blocks: list[Block] = []
    alike: dict[tuple[str, str, float, str], list[CutLine]] = {}
    for line in c.plan.material.cuts:
        alike.setdefault((line.hair, line.role, line.cut_mm, line.text), []).append(line)
    for lines in alike.values():
        title = say("{hair}, for {role}", hair=words.name(lines[0].hair), role=words.name(lines[0].role))
        blocks += tick_lists(say, title, _cut_steps(c, lines), numbered=True, run_in=True)
    blocks += _shared_rack(c)
    blocks += cutting_figure(c)
    blocks += rack_figure(c)
    blocks.append(true_scale_figure(c))
    return Part(key="cut", title=say("Cut, stretch, portion, load"), blocks=tuple(blocks))


def _cut_steps(c: Context, lines: list[CutLine]) -> list[Tick]:
    """Cut once, then portion each size that is cut alike."""
    say, first = c.say, lines[0]
    long = say.length(first.cut_mm)
    if first.offcut_mm >= 1:
        pieces = say("pieces of {length}, {rest} left over", length=long, rest=say.length(first.offcut_mm))
    else:
        pieces = say("pieces of {length}", length=long)
    pulled = first.pulled_mm > 0 and "pull" in first.text.lower()
    steps = [Tick(text=words.sentence(words.clean(told_cut(say, first)) or say("cut")), note=words.sentence(pieces),
                  why=why(say, "cut", "stretch") if pulled else why(say, "cut"))]
    if first.pulled_mm > 0 and not pulled:
        steps.append(Tick(text=say("Pull the ends apart by {length}, so that they taper.", length=say.length(first.pulled_mm)),
                          why=why(say, "stretch")))
    for line in {(line.held_mm, line.colour, line.pieces): line for line in lines}.values():
        rack = [r for r in c.plan.material.racks
                if r.role == line.role and r.colour == line.colour and abs(r.held_mm - line.held_mm) < 0.01]
        steps.append(Tick(text=_portion(c, line), note=" ".join(_rack_words(say, r) for r in rack), why=why(say, "portion")))
    return steps


def _portion(c: Context, line: CutLine) -> str:
    """How many pieces of a size are portioned, and how each is folded and blended."""
    say = c.say
    pieces = say.counted("{n} piece", "{n} pieces", line.pieces)
    if line.colour:
        pieces = say("{pieces} of {colour}", pieces=pieces, colour=words.name(line.colour))
    if not ("fold each" in line.text or not line.fold):
        where = say("folded in the middle") if line.fold == 0.5 else say("folded {share} of the way along", share=say.share(line.fold))
        pieces = f"{pieces}, {where}"
    size, blend = say.pencils(line.held_mm, c.pencil_mm), _blend(c, line.role)
    if blend:
        return say("Portion {pieces}, each {size}, blended of {hairs}.", pieces=pieces, size=size, hairs=blend)
    return say("Portion {pieces}, each {size}.", pieces=pieces, size=size)


def _blend(c: Context, role: str) -> str:
    """What the pieces of a blended role are mixed of."""
    parts = next((use.parts for use in c.recipe.hairs if use.role == role), ())
    if len(parts) < 2:
        return ""
    one_hair = len({part.hair for part in parts}) == 1
    names = (words.name(p.colour or p.hair) if one_hair else words.name(f"{p.hair} {p.colour or ''}") for p in parts)
    return c.say.listed(f"{c.say.share(p.share)} {name}" for p, name in zip(parts, names))


def _shared_rack(c: Context) -> tuple[Para, ...]:
    """That sizes which lie side by side have one rack between them."""
    racks = c.plan.material.racks
    if len(racks) < 2:
        return ()
    pegs = c.say.counted("{n} peg", "{n} pegs", c.house.rack_pegs)
    return (Para(text=c.say("All share one rack of {pegs}, by need.", pegs=pegs), tone="small", until=3),)


def _rack_words(say: Speech, rack: RackLine) -> str:
    pegs = say.counted("{n} peg", "{n} pegs", rack.pegs)
    if rack.reloads == 0:
        return say("Rack: {pegs} of {each}, filled once.", pegs=pegs, each=rack.per_peg)
    if rack.reloads == 1:
        return say("Rack: {pegs} of {each}, filled twice.", pegs=pegs, each=rack.per_peg)
    return say("Rack: {pegs} of {each}, filled {times} times.", pegs=pegs, each=rack.per_peg, times=rack.reloads + 1)
