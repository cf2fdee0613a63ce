"""``plait replan``: in the middle of a service, a new clock, packs and checkpoints from what has happened."""

from __future__ import annotations

import argparse
import math
import sys
import textwrap
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from ..meaning.model import Wearer
    from ..plan.model import Plan
    from .variants import Variant


DRIFT = 0.06
"""Log-spread of the rest of a day's pace about the part that is done: hands tire, hair changes from
nape to crown. Half of the day's own spread; our own estimate."""


class Replan(NamedTuple):
    """Minutes of chair time from the service's beginning, unless said otherwise."""

    sections: int
    done: int
    elapsed: float
    pace: float
    """How much longer this day takes than an ordinary one, shrunken: 1.1 is a tenth."""
    seen: float
    """The same as the clock alone says it."""
    median: float
    p80: float
    p95: float
    was: float
    """The median before."""
    checkpoints: tuple[tuple[int, str, float], ...]
    """(sections done, zone, minute) still to come."""
    packs: tuple[tuple[str, float, float, float], ...]
    """(hair, packs before, packs now, packs still to come)."""
    breaks: tuple[tuple[float, float], ...] = ()
    """(minute, minutes long) of the breaks still to come, on an ordinary rest of the day."""


def replan(variant: "Variant", plan: "Plan", wearer: "Wearer", done: int, elapsed: float) -> Replan:
    """The rest of the service, given that ``done`` strands took ``elapsed`` minutes of chair time.

    The day's factor has the prior normal(0, day²) in logs; what the clock says of it
    has the variance of the strands done, relative to their work. The posterior is
    normal-normal (Gelman et al., "Bayesian Data Analysis", chapter 2). With nothing
    done yet it stays an ordinary day.
    """
    from ..passes import rates as table
    from ..passes.checkpoints import place_checkpoints
    from ..passes.timing import STRAND_STAGES
    from ..passes.rest import break_every, breaks_of, breaks_within, done_by
    from ..passes.work import labour

    house, timing = variant.house, variant.timing
    shared = {name for name, _ in STRAND_STAGES}
    rates = table.rates_for(house)
    hands = labour(variant.recipe, variant.sections, variant.kinds, rates)
    every, pause = float(break_every(wearer, house).value), house.break_s.value
    seated = sum(stage.minutes for stage in timing.stages if stage.when == "chair" and stage.name != "breaks") * 60
    work_now = sum(stage.minutes for stage in timing.stages
                   if stage.when == "chair" and stage.name not in ("breaks", "short pauses")) * 60
    stretch = seated / work_now
    strands = math.fsum(s for _, _, s in hands.by_section)
    finish = rates["finish head"].seconds
    crew_s = sum(stage.minutes for stage in timing.stages if stage.name in shared) * 60
    speed = strands / crew_s if crew_s else 1.0
    before = work_now - crew_s - finish

    expected = before + math.fsum(s for _, _, s in hands.by_section[:done]) / speed
    planned = round(timing.break_minutes * 60 / pause) if pause > 0 else 0
    spent = done_by(elapsed * 60, every, pause, planned if done < variant.sections.count else None) / stretch
    variance = math.fsum(hands.variances[:done]) / speed**2
    day2 = table.DAY_SPREAD**2
    if done and expected > 0 and spent > 0:
        seen = math.log(spent / expected)
        noise = variance / expected**2 + DRIFT**2
        weight = day2 / (day2 + noise)
        mean, left2 = weight * seen, day2 * (1 - weight)
    else:
        seen, mean, left2 = 0.0, 0.0, day2

    # Nothing braided yet: what comes before the first part may still lie ahead.
    ahead_s = 0.0 if done else max(0.0, before - spent)
    rest_s = ahead_s + math.fsum(s for _, _, s in hands.by_section[done:]) / speed + finish
    rest_spread = math.sqrt(left2 + (DRIFT**2 if done else 0.0) + math.fsum(hands.variances[done:]) / speed**2 / rest_s**2)

    factor = math.exp(mean)

    def minute(work_left: float, of_all: float) -> float:
        """Chair minute by which so much more work is done, of ``of_all`` still to do; breaks to come included."""
        had = min(planned * pause, breaks_within(spent * stretch, every, pause))
        whole = max(had, breaks_of((spent + of_all) * stretch, every, pause))
        more = min(whole, breaks_within((spent + work_left) * stretch, every, pause)) - had
        return elapsed + (work_left * stretch + max(0.0, more)) / 60

    def breaks_to_come(of_all: float) -> tuple[tuple[float, float], ...]:
        if pause <= 0 or every <= 0:
            return ()
        had = round(min(planned * pause, breaks_within(spent * stretch, every, pause)) / pause)
        whole = round(max(had * pause, breaks_of((spent + of_all) * stretch, every, pause)) / pause)
        return tuple((elapsed + max(0.0, (number * every - spent * stretch) + (number - 1 - had) * pause) / 60, pause / 60)
                     for number in range(had + 1, whole + 1))

    ends = [minute(late, late) for late in (rest_s * factor * math.exp(z * rest_spread) for z in (0.0, table.Z80, table.Z95))]
    points = []
    for place in place_checkpoints(hands.by_section[done:]):
        so_far = ahead_s + place.strand_s / speed
        points.append((done + place.sections, place.zone, minute(so_far * factor, rest_s * factor)))
    left = 1 - done / variant.sections.count
    was = {line.name: line.packs_used for line in plan.material.hair}
    packs = tuple((line.name, was.get(line.name, 0.0), line.packs_used, line.packs_used * left)
                  for line in variant.material.hair)
    return Replan(variant.sections.count, done, elapsed, factor, math.exp(seen), ends[0], ends[1], ends[2], plan.timing.median_minutes,
                  tuple(points), packs, breaks_to_come(rest_s * factor))


def replan_text(found: Replan, planned: int, opens: int | None, p_was: float) -> str:
    """What to tell the braider."""
    from ..cards.wording import NBSP
    from ..passes.checkpoints import clock_at
    from .durations import spoken

    def by(minutes: float) -> str:
        clock = clock_at(opens, minutes)
        return (spoken(minutes) + (f" ({clock})" if clock else "")).replace(" ", NBSP)  # a time is never parted

    lines = [f"{found.done} of {found.sections} braids done after {spoken(found.elapsed)}"
             + (f"; the card said {planned} braids" if planned != found.sections else "")]
    if found.done:
        said = (found.pace - 1) * 100
        word = "slower" if said > 0 else "faster"
        lines.append(f"today goes {abs(said):.0f} % {word} than the card" if abs(said) >= 0.5 else "today goes as the card said")
    lines.append(f"done by {by(found.median)}; 4 days in 5 by {by(found.p80)}, 19 in 20 by {by(found.p95)}")
    lines.append(f"before: {by(found.was)}, 4 days in 5 by {by(p_was)}")
    for sections, zone, minutes in found.checkpoints:
        lines.append(f"  [ ] {sections} of {found.sections} by {by(minutes)}, {zone}")
    if found.breaks:
        lines.append(f"breaks of {spoken(found.breaks[0][1])} to come: " + ", ".join(by(minute) for minute, _ in found.breaks))
    for hair, before, now, left in found.packs:
        lines.append(f"{hair}: {now:.2f} packs in all ({before:.2f} before), {left:.2f} still to come")
    return "\n".join(textwrap.fill(line, 80, subsequent_indent="  ") for line in lines).replace(NBSP, " ")

from .commands import HELP


def register(commands: Any) -> None:
    """Put the command on the line."""
    from .command import recipe_arguments

    parser = commands.add_parser("replan", help=HELP["replan"])
    recipe_arguments(parser)
    parser.add_argument("--sections", type=int, metavar="N", help="sections that came out, if other than planned")
    parser.add_argument("--done", type=int, required=True, metavar="N", help="braids done so far")
    parser.add_argument("--elapsed", required=True, metavar="TIME", help='time in the chair so far, such as "2 h"')
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from ..passes.crew_lanes import opening
    from .command import BAD_TEXT, GOOD, WRONG_USE, compiled_job
    from .durations import minutes_of, with_unit
    from .variants import plan_variant, with_count

    elapsed = minutes_of(arguments.elapsed)
    if elapsed is None or elapsed < 0:
        example = with_unit(arguments.elapsed, '--elapsed "2 h 10 min"')
        print(f"plait: '{arguments.elapsed}' is not a time\n  try: {example}", file=sys.stderr)
        return WRONG_USE
    done = compiled_job(arguments, as_json=arguments.format == "json")
    if isinstance(done, int):
        return done
    compiled = done[1]
    plan, recipe, wearer, house = compiled.plan, compiled.recipe, compiled.wearer, compiled.house
    assert plan and recipe and wearer and house
    count = plan.sections.count if arguments.sections is None else arguments.sections
    if not 1 <= count <= 3000 or not 0 <= arguments.done <= count:
        print(f"plait: {arguments.done} of {count} braids can't be done\n"
              f"  try: --sections {plan.sections.count} --done 20", file=sys.stderr)
        return WRONG_USE
    candidates = (recipe,) if count == plan.sections.count else with_count(recipe, plan.sections, count)
    variant = next((v for each in candidates if (v := plan_variant(each, wearer, house)) is not None
                    and v.sections.count == count), None)
    if variant is None:
        print(f"plait: this look can't be laid in {count} sections\n  try: a count nearer to {plan.sections.count}",
              file=sys.stderr)
        return BAD_TEXT
    found = replan(variant, plan, wearer, arguments.done, elapsed)
    if arguments.format == "json":
        import json

        print(json.dumps(found._asdict(), ensure_ascii=False, indent=2))
    else:
        print(replan_text(found, plan.sections.count, opening(house), plan.timing.p80_minutes))
    return GOOD
