"""How long the service takes, and by when how much of it should be done.

The model, all of it our own estimate unless said otherwise:

* The work of each operation is its count times its rate (:mod:`.rates`).
* An ordinary day's work is the sum W. The strands vary independently, so the
  variance V of the sum is the sum of variances and the spread of a large set
  averages out; the day's factor is shared by all of it and doesn't.
* With a lognormal day's factor of log-spread s the work at quantile z is
  ``W exp(z sqrt(s² + V/W²))`` (product of two nearly lognormal factors).
* Rest (:mod:`.rest`): breaks come after each full stretch and never with less
  than some 20 minutes to go; short pauses stretch the work by what the work-study allowance asks
  beyond the breaks. Both grow with the work, so a quantile of work with rest is
  the work at that quantile with its own rest.
* Several braiders share the strands by a schedule (:mod:`.crew`); the work on
  the strands ends when the last of them is done (:mod:`.spread`). Arrival,
  consultation and the last touches are one person's work.
* A front refresh, weeks later, is a visit of its own.
"""

from __future__ import annotations

import difflib
import math
from functools import lru_cache

from ..meaning.model import House, Recipe, Wearer
from ..meaning.values import Origin
from ..plan.computed import computed
from ..plan.model import (
    Checkpoint, CrewLane, Figure, Given, Material, Sections, Stage, StrandKind, Timing,
)
from ..plan.outcome import Outcome
from ..syntax.problem import Problem, whole_line
from . import rates as table
from .checkpoints import clock_at, place_checkpoints, start_minute
from .crew_lanes import in_the_order_done, lanes_of, opening, share_out, team_of
from .refresh import front_refresh
from .rest import break_every, break_last, breaks_of, breaks_within, rest_ahead, short_pauses
from .work import arrival_steps, labour, old_set, preparation_counts

OUR_OWN = "our own estimate"
ASSISTANT_NOTE = "an assistant may do it"
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
    ("work the strands", (("stitch", "stitch hair"), ("twist", "twist hair"), ("pick up",))),
    ("feed in", (("feed in",),)),
    ("accents", (("accent",), ("ornament",))),
    ("finish the ends", (
        ("knot", "knot turn"), ("heat seal",), ("dip",), ("curl rods",), ("band",), ("tuck",), ("trim",))),
)


@lru_cache(maxsize=None)
def slug(name: str) -> str:
    """A figure key's part from an operation's or a stage's name."""
    return name.replace(" ", "_").replace("-", "_")


_BREAKS = "max(0, ceil((work * (1 + rest) - last) / every) - 1) * pause"
_BREAKS_SO_FAR = "min(breaks, max(0, ceil(work * (1 + rest) / every) - 1) * pause / 60)"


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
        figures.append(computed(Figure, key=key, label=label, value=value, unit=unit, formula=formula,
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
            unit = "mm" if name == "part line" or name.endswith(" width") else "mm²" if name.endswith(" hair") else ""
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
    ahead_rest = rest_ahead()

    def stage(name: str, key: str, seconds: float, when: str, note: str = "", shared: bool = False) -> None:
        """One line of the clock, in minutes; the crew's speed divides what it shares."""
        inputs: dict[str, Given | str] = {"work": key}
        if shared:
            inputs["speed"] = "timing.crew_speed"
            minutes, formula = seconds / (60.0 * crew_speed), "work / (60 * speed)"
        elif when == "ahead":
            inputs["rest"] = ahead_rest
            minutes, formula = seconds * (1 + float(ahead_rest.value)) / 60, "work * (1 + rest) / 60"
        else:
            minutes, formula = seconds / 60.0, "work / 60"
        add(f"timing.stage.{slug(name)}", name, minutes, "min", formula, inputs)
        stages.append(Stage(name=name, minutes=minutes, when=when, note=note))  # type: ignore[arg-type]

    # --- the team and its rest
    hands = labour(recipe, sections, kinds, rates)
    team = team_of(house, len(hands.by_section))
    crew = len(team.braiders)
    add("timing.braiders", "braiders at the head", crew, "", "max(1, min(braiders, cap, strands))", {
        "braiders": Given(value=max(house.braiders, len(house.crew)), origin=house.origin),
        "cap": Given(value=table.CREW_CAP, origin=_RULE),
        "strands": Given(value=len(hands.by_section) or 1, origin=recipe.origin),
    })
    every = break_every(wearer, house)
    figures.append(every)
    every_s, break_s = float(every.value), house.break_s.value
    pause = Given(value=break_s, unit="s", origin=house.break_s.origin)
    has_breaks = every_s > 0 and break_s > 0
    if has_breaks:
        figures.append(break_last(every_s))
    pauses_figure = short_pauses(every_s, break_s, pause)
    figures.append(pauses_figure)
    pace = 1 + float(pauses_figure.value)

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
        if op == "take down":
            told = wearer.old_set
            key, seconds = operation(
                ("take down", "take down stitch"), old_set(wearer, kinds),
                "the old set is taken to be as large as this one" if told is None else
                "strands as she told; stitches over own hair as in this set, more of them where strands are finer")
            note = "for an old set like this one: ask" if told is None else f"an old set of {told.strands}"
        else:
            key, seconds = operation((op,), {op: 1.0}, "once a head")
            note = ""
        if rates[op].by == "assistant":
            note = f"{note}; {ASSISTANT_NOTE}" if note else ASSISTANT_NOTE
        before.append((key, seconds))
        spread_heads.append(rates[op].spread * seconds)
        if op == "consult" and wearer.arrives is None and wearer.old_set is None:
            note = "taken as washed and dried: ask"
        stage(name, key, seconds, "chair", note)
    before_s = total("timing.before_s", "before the first part", before)

    # --- the strands, shared out
    opens = opening(house)
    by_section, shared = hands.by_section, None
    strand_s = math.fsum(seconds for _, _, seconds in by_section)
    if crew > 1:
        shared = share_out(hands, team, opens, before_s, pace, every_s, break_s)
        by_section = in_the_order_done(shared.split)
        add("timing.crew_span_s", "from the first part to the last strand", shared.mean, "s",
            "the split that ends earliest, then the expected end of its last braider (Clark 1961)", words=True)
        crew_speed = strand_s / shared.mean
    else:
        crew_speed = team.speeds()[0]
        add("timing.crew_speed", "the braider's speed", crew_speed, "", "speed", {
            "speed": Given(value=crew_speed, origin=team.braiders[0].speed.origin)})

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
    if shared is not None:
        add("timing.crew_speed", "the crew's speed", crew_speed, "", "strands / span", {
            "strands": "timing.strand_s", "span": "timing.crew_span_s"})

    # --- the whole head
    head_key, head_s = operation(("finish head",), {"finish head": 1.0}, "once a head")
    spread_heads.append(rates["finish head"].spread * head_s)
    stage("finish the head", head_key, head_s, "chair")

    # --- put together
    work_s = before_s + strand_s / crew_speed + head_s
    add("timing.work_s", "chair work on an ordinary day", work_s, "s", "before + strands / speed + finish", {
        "before": "timing.before_s", "strands": "timing.strand_s",
        "speed": "timing.crew_speed", "finish": head_key})
    strand_variance = hands.variance / crew_speed**2 if shared is None else shared.variance
    variance = strand_variance + sum(sd * sd for sd in spread_heads)
    add("timing.variance_s2", "variance of the work", variance, "s²",
        "sum over operations and strands of (spread × seconds)²; of several braiders, that of the last to end",
        words=True)
    add("timing.spread", "log-spread of the work", spread := math.sqrt(
        table.DAY_SPREAD**2 + (variance / work_s**2 if work_s else 0.0)), "",
        "sqrt(day ** 2 + variance / work ** 2)" if work_s else "day",
        {"day": Given(value=table.DAY_SPREAD, origin=_RULE), "variance": "timing.variance_s2",
         "work": "timing.work_s"})

    break_total = breaks_of(work_s * pace, every_s, break_s) / 60

    def minute_at(work: float) -> float:
        """The minute of chair time by which so many seconds of an ordinary day's work are done."""
        seated = work * pace
        return seated / 60 + min(break_total, breaks_within(seated, every_s, break_s) / 60)

    def finish_at(key: str, label: str, work_key: str, seconds: float) -> float:
        """The end of a whole service of so much work."""
        minutes = (seconds * pace + breaks_of(seconds * pace, every_s, break_s)) / 60
        inputs: dict[str, Given | str] = {"work": work_key, "rest": "timing.short_pauses"}
        if has_breaks:
            inputs |= {"every": "timing.break_every_s", "last": "timing.break_last_s", "pause": pause}
        add(key, label, minutes, "min",
            f"(work * (1 + rest) + {_BREAKS}) / 60" if has_breaks else "work * (1 + rest) / 60", inputs)
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
    if pace > 1:
        add("timing.stage.short_pauses", "short pauses", work_s * (pace - 1) / 60, "min", "work * rest / 60",
            {"work": "timing.work_s", "rest": "timing.short_pauses"}, source=pauses_figure.source)
        stages.append(Stage(name="short pauses", minutes=work_s * (pace - 1) / 60, when="chair",
                            note="the braider's rest beyond the breaks"))
    add("timing.break_minutes", "breaks", break_total, "min", f"{_BREAKS} / 60" if has_breaks else "0",
        {"work": "timing.work_s", "rest": "timing.short_pauses", "every": "timing.break_every_s",
         "last": "timing.break_last_s", "pause": pause} if has_breaks else {},
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
    ahead_minutes = ahead_s * (1 + float(ahead_rest.value)) / 60
    add("timing.ahead_minutes", "preparation ahead", ahead_minutes, "min", "ahead * (1 + rest) / 60",
        {"ahead": "timing.ahead_s", "rest": ahead_rest}, source=pauses_figure.source)

    # --- checkpoints
    points: list[Checkpoint] = []
    for number, place in enumerate(place_checkpoints(by_section), 1):
        # The schedule's own last end lies a little before the expected one; the clock counts by that.
        spent = place.strand_s / crew_speed if shared is None else place.strand_s * (shared.mean / shared.split.finish)
        reached = add(f"timing.checkpoint.{number}.work_s", f"chair work by {place.sections} sections",
                      before_s + spent, "s", "before the first part, then the strands so far in the order they are done",
                      {"before": "timing.before_s"}, words=True)
        minutes = minute_at(before_s + spent)
        inputs: dict[str, Given | str] = {"work": reached, "rest": "timing.short_pauses"}
        if has_breaks:
            inputs |= {"breaks": "timing.break_minutes", "every": "timing.break_every_s", "pause": pause}
        add(f"timing.checkpoint.{number}.minutes", f"{place.sections} sections done by", minutes, "min",
            f"work * (1 + rest) / 60 + {_BREAKS_SO_FAR}" if has_breaks else "work * (1 + rest) / 60", inputs)
        points.append(Checkpoint(minutes=minutes, sections=place.sections, zone=place.zone,
                                 clock=clock_at(opens, minutes)))
    lanes: tuple[CrewLane, ...] = ()
    crew_minutes = median
    if shared is not None:
        lanes = lanes_of(team, shared.split, lambda s: minute_at(before_s + s), opens)
        ends = minute_at(before_s + shared.mean)
        crew_minutes = median - ends + minute_at(before_s) + math.fsum(lane.leaves - lane.joins for lane in lanes)
        add("timing.crew_minutes", "minutes of all braiders together", crew_minutes, "min",
            "one braider before and after the strands, each from joining to leaving between, breaks included", words=True)
    else:
        add("timing.crew_minutes", "minutes of all braiders together", crew_minutes, "min", "median",
            {"median": "timing.median_minutes"})

    later = front_refresh(recipe, kinds, material, hands, rates, pace)
    figures += later.figures
    if later.stage is not None:
        stages.append(later.stage)

    timing = Timing(median_minutes=median, p80_minutes=bounds[0], p95_minutes=bounds[1],
                    ahead_minutes=ahead_minutes, break_minutes=break_total, braiders=crew,
                    stages=tuple(stages), checkpoints=tuple(points), breaks=tuple(pauses),
                    crew=lanes, crew_minutes=crew_minutes, later_minutes=later.minutes,
                    later_hair=later.hair)
    return Outcome(timing, tuple(figures), problems)


def _problems(house: House) -> tuple[Problem, ...]:
    found: list[Problem] = []
    for rate in house.rates:
        if rate.operation not in table.OPERATIONS:
            near = difflib.get_close_matches(rate.operation, sorted(table.OPERATIONS), n=3)
            found.append(Problem(
                "E005", f'no operation is called "{rate.operation}"',
                "did you mean " + ", ".join(f'"{name}"' for name in near) + "?" if near
                else "the operations are: " + ", ".join(sorted(table.OPERATIONS)),
                whole_line(rate.origin.file, rate.origin.line)))
    if house.start_clock is not None and start_minute(house.start_clock) is None:
        found.append(Problem("E006", f'the start "{house.start_clock}" is no time of day',
                             "write it as HH:MM, such as 09:30",
                             whole_line(house.origin.file, house.origin.line)))
    return tuple(found)
