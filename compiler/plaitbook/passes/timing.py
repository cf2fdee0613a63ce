"""How long the service takes, and by when how much of it should be done.

The model, all of it our own estimate unless said otherwise:

* The work of each operation is its count times its rate (:mod:`.rates`).
* An ordinary day's work is the sum W. The strands vary independently, so the
  variance V of the sum is the sum of variances and the spread of a large set
  averages out; the day's factor is shared by all of it and doesn't.
* With a lognormal day's factor of log-spread s the work at quantile z is
  ``W exp(z sqrt(s² + V/W²))`` (product of two nearly lognormal factors).
* Breaks come after each full stretch of work and never after the last one;
  they grow with the work, so a quantile of work with breaks is the work at
  that quantile with its own breaks.
* A crew of k shares the work on the strands evenly, at ``k × efficiency``
  times one braider's speed; arrival, consultation and the last touches are one
  person's work.
"""

from __future__ import annotations

import difflib
import math

from ..meaning.model import House, Recipe, Wearer
from ..meaning.values import Origin
from ..plan.model import (
    Checkpoint, Figure, Given, Material, Sections, Stage, StrandKind, Timing,
)
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, Span
from . import rates as table
from .checkpoints import clock_at, place_checkpoints, start_minute
from .work import arrival_steps, labour, preparation_counts

OUR_OWN = "our own estimate"
_RULE = Origin(kind="default", where=OUR_OWN)

PREPARATION_STAGES = (
    ("cut the hair", "cut"), ("stretch the ends", "stretch"), ("brush", "brush"),
    ("divide into pieces", "divide"), ("load the racks", "load racks"),
)
ARRIVAL_STAGES = (
    ("take down the old set", "take down"), ("detangle", "detangle"), ("wash", "wash"), ("blow-dry", "blow-dry"),
)
STRAND_STAGES = (
    ("part the sections", (("part", "part line"),)),
    ("start the strands", (
        ("start extension", "start extension width"), ("start own hair first",), ("start own hair only",),
        ("start knotted", "start knotted width"))),
    ("work the strands", (("stitch", "stitch width"), ("twist", "twist width"), ("pick up",))),
    ("feed in", (("feed in",),)),
    ("accents", (("accent",), ("ornament",))),
    ("finish the ends", (
        ("knot", "knot turn"), ("heat seal",), ("dip",), ("curl rods",), ("band",), ("tuck",), ("trim",))),
)


def slug(name: str) -> str:
    """A figure key's part from an operation's or a stage's name."""
    return name.replace(" ", "_").replace("-", "_")


def break_every(wearer: Wearer, house: House) -> Figure:
    """Longest stretch of work between breaks, s: the shortest of house, wearer and, for a child, ours."""
    inputs: dict[str, Given | str] = {
        "house": Given(value=house.break_every_s.value, unit="s", origin=house.break_every_s.origin)}
    values = [house.break_every_s.value]
    if wearer.sits_s is not None:
        inputs["wearer"] = Given(value=wearer.sits_s.value, unit="s", origin=wearer.sits_s.origin)
        values.append(wearer.sits_s.value)
    if wearer.age_years is not None and wearer.age_years.value < table.CHILD_AGE_YEARS:
        inputs["child"] = Given(value=table.CHILD_BREAK_EVERY_S, unit="s", origin=_RULE)
        values.append(table.CHILD_BREAK_EVERY_S)
    formula = f"min({', '.join(inputs)})" if len(inputs) > 1 else "house"
    return Figure(key="timing.break_every_s", label="work between breaks", value=min(values), unit="s",
                  formula=formula, inputs=inputs, source="house file; our own estimate for children")


def breaks_within(work_s: float, every_s: float, break_s: float) -> float:
    """Seconds of break taken by the time this much work is done; none after the last stretch."""
    if every_s <= 0 or break_s <= 0:
        return 0.0
    return max(0, math.ceil(work_s / every_s) - 1) * break_s


_BREAKS = "max(0, ceil(work / every) - 1) * pause"


def clock_service(
    recipe: Recipe,
    wearer: Wearer,
    house: House,
    sections: Sections,
    kinds: tuple[StrandKind, ...],
    material: Material,
) -> Outcome[Timing]:
    """The service's stages in minutes, its 50, 80 and 95 % ends and its checkpoints.

    Problems: a rate for an operation nobody knows, a start time that is no
    clock time. Both are reported and the service is still timed.
    """
    problems = _problems(house)
    rates = table.rates_for(house)
    figures: list[Figure] = []

    def add(key: str, label: str, value: float, unit: str, formula: str,
            inputs: dict[str, Given | str] | None = None, source: str = OUR_OWN, words: bool = False) -> str:
        figures.append(Figure(key=key, label=label, value=value, unit=unit, formula=formula,
                              inputs=inputs or {}, source=source, how="words" if words else "formula"))
        return key

    def operation(names: tuple[str, ...], counts: dict[str, float], counted: str) -> tuple[str, float]:
        """The figure of one movement: the sum of its counts times its rates. (key, seconds)"""
        terms, inputs, seconds = [], {}, 0.0
        for index, name in enumerate(names):
            count = counts.get(name, 0.0)
            if name != names[0] and not count:
                continue
            number, each = ("count", "each") if index == 0 else ("size", "each_size")
            unit = "mm" if name == "part line" or name.endswith(" width") else ""
            inputs[number] = add(f"timing.count.{slug(name)}", f"{name}: how many", count, unit, counted, words=True)
            inputs[each] = table.as_input(rates[name])
            terms.append(f"{number} * {each}")
            seconds += count * rates[name].seconds
        key = add(f"timing.op.{slug(names[0])}", names[0], seconds, "s", " + ".join(terms), inputs)
        return key, seconds

    def total(key: str, label: str, parts: list[tuple[str, float]]) -> float:
        """A figure that is the sum of others."""
        inputs: dict[str, Given | str] = {part.rpartition(".")[2]: part for part, _ in parts}
        value = math.fsum(seconds for _, seconds in parts)
        add(key, label, value, "s", " + ".join(inputs) or "0", inputs)
        return value

    stages: list[Stage] = []

    def stage(name: str, key: str, seconds: float, when: str, note: str = "", shared: bool = False) -> None:
        """One line of the clock, in minutes; the crew's speed divides what it shares."""
        divisor = 60.0 * crew_speed if shared else 60.0
        inputs: dict[str, Given | str] = {"work": key}
        if shared:
            inputs["speed"] = "timing.crew_speed"
        minutes = seconds / divisor
        add(f"timing.stage.{slug(name)}", name, minutes, "min",
            "work / (60 * speed)" if shared else "work / 60", inputs)
        stages.append(Stage(name=name, minutes=minutes, when=when, note=note))  # type: ignore[arg-type]

    # --- the crew
    hands = labour(recipe, sections, kinds, rates)
    crew = max(1, min(house.braiders, table.CREW_CAP, len(hands.by_section) or 1))
    efficiency = table.CREW_EFFICIENCY[crew - 1]
    crew_speed = crew * efficiency
    add("timing.braiders", "braiders at the head", crew, "", "max(1, min(braiders, cap, strands))", {
        "braiders": Given(value=house.braiders, origin=house.origin),
        "cap": Given(value=table.CREW_CAP, origin=_RULE),
        "strands": Given(value=len(hands.by_section) or 1, origin=recipe.origin),
    })
    add("timing.crew_speed", "the crew's speed", crew_speed, "", "crew * efficiency", {
        "crew": "timing.braiders", "efficiency": Given(value=efficiency, origin=_RULE)})

    # --- preparation
    ahead_parts: list[tuple[str, float]] = []
    before: list[tuple[str, float]] = []
    spread_heads: list[float] = []
    counts = preparation_counts(recipe, material)
    for name, op in PREPARATION_STAGES:
        if not counts[op]:
            continue
        key, seconds = operation((op,), counts, "counted in the material list")
        is_ahead = table.ahead(rates, op)
        (ahead_parts if is_ahead else before).append((key, seconds))
        if not is_ahead:
            spread_heads.append(rates[op].spread * seconds)
        stage(name, key, seconds, "ahead" if is_ahead else "chair")
    ahead_s = total("timing.ahead_s", "preparation ahead", ahead_parts)

    # --- the chair, before the first part
    steps = arrival_steps(wearer)
    for name, op in (("consult", "consult"), *ARRIVAL_STAGES):
        if op != "consult" and op not in steps:
            continue
        key, seconds = operation((op,), {op: 1.0}, "once a head")
        before.append((key, seconds))
        spread_heads.append(rates[op].spread * seconds)
        note = "taken as washed and dried: ask" if op == "consult" and wearer.arrives is None else ""
        stage(name, key, seconds, "chair", note)
    before_s = total("timing.before_s", "before the first part", before)

    # --- the strands
    strand_parts: list[tuple[str, float]] = []
    for name, motions in STRAND_STAGES:
        parts = []
        for names in motions:
            if hands.totals.get(names[0]):
                parts.append(operation(names, hands.totals, "summed over the strands of all kinds"))
        if parts:
            strand_parts += parts
            stage_s = total(f"timing.work.{slug(name)}", name, parts)
            stage(name, f"timing.work.{slug(name)}", stage_s, "chair", shared=True)
    strand_s = total("timing.strand_s", "work on the strands, one braider", strand_parts)

    # --- the whole head
    head_key, head_s = operation(("finish head",), {"finish head": 1.0}, "once a head")
    spread_heads.append(rates["finish head"].spread * head_s)
    stage("finish the head", head_key, head_s, "chair")

    # --- put together
    work_s = before_s + strand_s / crew_speed + head_s
    add("timing.work_s", "chair work on an ordinary day", work_s, "s", "before + strands / speed + finish", {
        "before": "timing.before_s", "strands": "timing.strand_s",
        "speed": "timing.crew_speed", "finish": head_key})
    variance = hands.variance / crew_speed**2 + sum(sd * sd for sd in spread_heads)
    add("timing.variance_s2", "variance of the work", variance, "s²",
        "sum over operations and strands of (spread × seconds)², the strands' part over the crew's speed squared",
        words=True)
    add("timing.spread", "log-spread of the work", spread := math.sqrt(
        table.DAY_SPREAD**2 + (variance / work_s**2 if work_s else 0.0)), "",
        "sqrt(day ** 2 + variance / work ** 2)" if work_s else "day",
        {"day": Given(value=table.DAY_SPREAD, origin=_RULE), "variance": "timing.variance_s2",
         "work": "timing.work_s"})

    every = break_every(wearer, house)
    figures.append(every)
    every_s, break_s = float(every.value), house.break_s.value
    pause = Given(value=break_s, unit="s", origin=house.break_s.origin)
    has_breaks = every_s > 0 and break_s > 0

    def finish_at(key: str, label: str, work_key: str, seconds: float) -> float:
        minutes = (seconds + breaks_within(seconds, every_s, break_s)) / 60
        inputs: dict[str, Given | str] = {"work": work_key}
        if has_breaks:
            inputs |= {"every": "timing.break_every_s", "pause": pause}
        add(key, label, minutes, "min", f"(work + {_BREAKS}) / 60" if has_breaks else "work / 60", inputs)
        return minutes

    median = finish_at("timing.median_minutes", "chair time, median", "timing.work_s", work_s)
    bounds = []
    for percent, z in ((80, table.Z80), (95, table.Z95)):
        late = work_s * math.exp(z * spread)
        add(f"timing.work_p{percent}_s", f"chair work, {percent} % bound", late, "s", "work * exp(z * spread)", {
            "work": "timing.work_s", "spread": "timing.spread",
            "z": Given(value=z, origin=Origin(kind="source", where="standard normal quantile"))})
        bounds.append(finish_at(f"timing.p{percent}_minutes", f"chair time, {percent} % of such services",
                                f"timing.work_p{percent}_s", late))
    break_total = breaks_within(work_s, every_s, break_s) / 60
    add("timing.break_minutes", "breaks", break_total, "min", f"{_BREAKS} / 60" if has_breaks else "0",
        {"work": "timing.work_s", "every": "timing.break_every_s", "pause": pause} if has_breaks else {},
        source="house file")
    if break_total:
        add("timing.stage.breaks", "breaks", break_total, "min", "breaks", {"breaks": "timing.break_minutes"},
            source="house file")
        stages.append(Stage(name="breaks", minutes=break_total, when="chair",
                            note=f"{round(break_total * 60 / break_s)} of {break_s / 60:.0f} min"))
    pauses: list[tuple[float, float]] = []
    for number in range(1, round(break_total * 60 / break_s) + 1 if has_breaks else 1):
        begins = (number * every_s + (number - 1) * break_s) / 60
        add(f"timing.break.{number}.begins", f"break {number} begins", begins, "min",
            f"({number} * every + {number - 1} * pause) / 60", {"every": "timing.break_every_s", "pause": pause},
            source="house file")
        pauses.append((begins, break_s / 60))
    add("timing.ahead_minutes", "preparation ahead", ahead_s / 60, "min", "ahead / 60", {"ahead": "timing.ahead_s"})

    # --- checkpoints
    opens = start_minute(house.start_clock)
    points: list[Checkpoint] = []
    for number, place in enumerate(place_checkpoints(hands.by_section), 1):
        done = before_s + place.strand_s / crew_speed
        here = add(f"timing.checkpoint.{number}.strand_s", f"work on the first {place.sections} strands",
                   place.strand_s, "s", "sum over the strands so far, in braid order", words=True)
        reached = add(f"timing.checkpoint.{number}.work_s", f"chair work by {place.sections} sections", done, "s",
                      "before + strands / speed",
                      {"before": "timing.before_s", "strands": here, "speed": "timing.crew_speed"})
        minutes = finish_at(f"timing.checkpoint.{number}.minutes", f"{place.sections} sections done by", reached, done)
        points.append(Checkpoint(minutes=minutes, sections=place.sections, zone=place.zone,
                                 clock=clock_at(opens, minutes)))

    timing = Timing(median_minutes=median, p80_minutes=bounds[0], p95_minutes=bounds[1],
                    ahead_minutes=ahead_s / 60, break_minutes=break_total, braiders=crew,
                    stages=tuple(stages), checkpoints=tuple(points), breaks=tuple(pauses))
    return Outcome(timing, tuple(figures), problems)


def _problems(house: House) -> tuple[Problem, ...]:
    found: list[Problem] = []
    for rate in house.rates:
        if rate.operation not in table.OPERATIONS:
            near = difflib.get_close_matches(rate.operation, sorted(table.OPERATIONS), n=3)
            found.append(Problem(
                "rate-unknown", f'no operation is called "{rate.operation}"',
                "did you mean " + ", ".join(f'"{name}"' for name in near) + "?" if near
                else "the operations are: " + ", ".join(sorted(table.OPERATIONS)),
                Span(rate.origin.file, rate.origin.line, 1, 1)))
    if house.start_clock is not None and start_minute(house.start_clock) is None:
        found.append(Problem("clock", f'the start "{house.start_clock}" is no time of day',
                             "write it as HH:MM, such as 09:30",
                             Span(house.origin.file, house.origin.line, 1, 1)))
    return tuple(found)
