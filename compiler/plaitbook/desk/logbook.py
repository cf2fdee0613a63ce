"""``plait log`` and ``plait learn``: keep what really happened, and let the house's rates follow it."""

from __future__ import annotations

import argparse
import math
import sys
from dataclasses import asdict
from datetime import datetime, timezone
from pathlib import Path
from typing import TYPE_CHECKING, Any, Mapping

from .stage_names import CHAIR

if TYPE_CHECKING:
    from ..meaning.model import House
    from .learning import Factor
    from .log_store import Learned, Service

def ratios_of(services: "tuple[Service, ...]", unknown: "frozenset[str] | None" = None
              ) -> tuple[dict[str, list[float]], list[str]]:
    """Stage -> logged over expected minutes of each service, and what was left out and why.

    A stage logged by its own name counts by that; otherwise it takes the ratio of
    the smallest group it was logged in, if the service had that stage at all. The
    chair time alone says least: it is used where nothing else was logged.
    ``unknown`` is what a service is taken to have done that didn't keep its operations.
    """
    from .learning import LEAST_FACTOR, MOST_FACTOR
    from .stage_names import groups, stage_operations

    operations = stage_operations()
    ratios: dict[str, list[float]] = {stage: [] for stage in operations}
    left_out = []
    for service in services:
        logged: dict[str, float] = {}
        for stage in service.stages:
            ratio = stage.minutes / stage.expected if stage.expected > 0 else 0.0
            if LEAST_FACTOR <= ratio <= MOST_FACTOR:
                logged[stage.name] = ratio
            else:
                left_out.append(f"{service.logged_at[:10]} {stage.name}: {stage.minutes:.0f} min against "
                                f"{stage.expected:.0f} expected can't be right")
        if len(logged) > 1:
            logged.pop(CHAIR, None)
        did = frozenset(name for name, _ in service.operations) or unknown
        for name, mine in operations.items():
            if did is not None and name not in logged and not did.intersection(mine):
                continue
            group = next((g for g in (name, *(g for g, stages in groups().items() if name in stages)) if g in logged), None)
            if group is not None:
                ratios[name].append(logged[group])
    return {stage: mine for stage, mine in ratios.items() if mine}, left_out


def lessons(factors: "tuple[Factor, ...]", base: "House", now: "House", used: "frozenset[str]") -> "tuple[Learned, ...]":
    """Each operation's rate: without learning, before this lesson, and after it.

    Only operations that the logged services ``used`` move; one that moved in an
    earlier lesson and has nothing to show for it now goes back to its base.
    """
    from ..passes.rates import rates_for
    from .log_store import Learned
    from .stage_names import stage_operations

    plain, standing = rates_for(base), rates_for(now)
    by_stage = {factor.stage: factor.factor for factor in factors}
    moved: dict[str, Learned] = {}
    for stage, operations in stage_operations().items():
        for operation in operations:
            seconds, before = plain[operation].seconds, standing[operation].seconds
            if operation in moved:
                continue
            if stage in by_stage and operation in used:
                moved[operation] = Learned(operation, seconds, before, seconds * by_stage[stage])
            elif before != seconds:
                moved[operation] = Learned(operation, seconds, before, seconds)
    return tuple(moved.values())


# --- commands --------------------------------------------------------------------

from .as_data import format_argument, print_data
from .commands import HELP


def _sections(text: str) -> int:
    """A count of sections from 1 to 3000."""
    count = int(text)
    if not 1 <= count <= 3000:
        raise argparse.ArgumentTypeError(f"{text} sections can't be; write 1 to 3000")
    return count


def register(commands: Any) -> None:
    """Put the commands on the line."""
    from .command import recipe_arguments

    log = commands.add_parser("log", help=HELP["log"])
    recipe_arguments(log)
    log.add_argument("--took", metavar="TIME", help='chair time, breaks included, such as "4 h 50 min"')
    log.add_argument("--stage", metavar="STAGE=TIME", action="append", default=[],
                     help='minutes of a stage without breaks: "braiding=3 h 20 min", parting, washing, finishing, prep or a stage of the card')
    log.add_argument("--packs", metavar="HAIR=PACKS", action="append", default=[], help='such as "Dune=1⅓"')
    log.add_argument("--braiders", type=int, choices=range(1, 13), metavar="N", help="how many braided, if other than the house says")
    log.add_argument("--by", metavar="NAME", default="", help="who braided, or who led")
    log.add_argument("--sections", type=_sections, metavar="N", help="how many sections came out")
    log.add_argument("--note", default="", metavar="TEXT")
    log.add_argument("--list", action="store_true", help="list what was logged in this book")
    log.add_argument("--export", metavar="CSV", help="write the whole log as CSV; - for standard output")
    log.add_argument("--import", dest="bring", metavar="CSV", help="read services from CSV; known ones are left out")
    format_argument(log)
    log.set_defaults(run=_log)

    learn = commands.add_parser("learn", help=HELP["learn"])
    learn.add_argument("recipe", metavar="RECIPE", help="any .plait file of the book")
    learn.add_argument("--house", metavar="H", help="a name in the book; default: its first")
    learn.add_argument("--dry-run", action="store_true", help="say what would move and move nothing")
    learn.add_argument("--undo", action="store_true", help="undo the latest lesson")
    format_argument(learn)
    learn.set_defaults(run=_learn)


def _now() -> str:
    return datetime.now(timezone.utc).replace(microsecond=0).isoformat()


def _say(message: str, help: str) -> None:
    print(f"plait: {message}\n  try: {help}", file=sys.stderr)


def _log(arguments: argparse.Namespace) -> int:
    import sqlite3

    from .command import BAD_TEXT

    try:
        if arguments.list or arguments.export or arguments.bring:
            return _log_files(arguments)
        return _log_service(arguments)
    except (sqlite3.Error, OSError) as error:
        _say(f"the book's log can't be written: {error}", "check that the book's folder may be written")
        return BAD_TEXT


def _log_files(arguments: argparse.Namespace) -> int:
    from .command import BAD_TEXT, GOOD, _deliver
    from .durations import spoken
    from .log_csv import BadCsv, from_csv, to_csv
    from .log_store import add_services, read_services, store_path
    from .shelf import CantRead, read_text, shelf_for

    store = store_path(shelf_for(Path(arguments.recipe)).root)
    if arguments.bring:
        try:
            services = from_csv(read_text(Path(arguments.bring)))
        except (CantRead, BadCsv) as error:
            _say(error.message, error.help)
            return BAD_TEXT
        added = add_services(store, services)
        print(f"brought in {len(added)} of {len(services)} services; the others were known")
    kept = read_services(store)
    if arguments.export:
        return _deliver(to_csv(tuple(service for _, service in kept)).encode(), arguments.export)
    if arguments.list and arguments.format == "json":
        print_data([{"number": number, **asdict(service)} for number, service in kept])
    elif arguments.list:
        for number, service in kept:
            took = spoken(service.minutes) if service.minutes is not None else "–"
            said = f", card said {spoken(service.median_minutes)}" if service.median_minutes else ""
            print(f"{number:>4}  {service.logged_at[:10]}  {service.recipe} for {service.wearer}{f' by {service.braider}' if service.braider else ''}: {took}{said}"
                  + (f"  {service.notes}" if service.notes else ""))
        if not kept:
            print("nothing is logged in this book yet")
    return GOOD


def _log_service(arguments: argparse.Namespace) -> int:
    from .command import BAD_TEXT, GOOD, WRONG_USE, compiled_job, _pairs
    from .durations import minutes_of, packs_of, with_unit
    import uuid

    from .log_store import PacksUsed, Service, StageTime, add_services, store_path
    from .stage_names import expected_minutes, operations_of, settled_name
    from .variants import plan_variant

    stages, packs = (_pairs(arguments.stage, "a stage and its time", '--stage "braiding=3 h 20 min"'),
                     _pairs(arguments.packs, "a hair and its packs", '--packs "Dune=1⅓"'))
    if stages is None or packs is None:
        return WRONG_USE
    stages = {settled_name(name): text for name, text in stages.items()}
    times = {name: minutes_of(text) for name, text in stages.items()}
    used = {name: packs_of(text) for name, text in packs.items()}
    took = minutes_of(arguments.took) if arguments.took else None
    for said, value, example in ((arguments.took, took, with_unit(arguments.took or "", '--took "4 h 50 min"')), *(
            (stages[name], value, with_unit(stages[name], f'--stage "{name}=1 h 20 min"'))
            for name, value in zip(stages, times.values())), *(
            (packs[name], value, f'--packs "{name}=1⅓"') for name, value in used.items())):
        if said and not value:
            _say(f"'{said}' can't be read", example)
            return WRONG_USE
    if took is None and not times:
        _say("nothing to log", '--took "4 h 50 min", or --stage "braiding=3 h 20 min"')
        return WRONG_USE
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    job, compiled = done
    plan, recipe, wearer, house = compiled.plan, compiled.recipe, compiled.wearer, compiled.house
    assert plan and recipe and wearer and house
    crew = {"braiders": arguments.braiders, "crew": house.crew[: arguments.braiders]} if arguments.braiders else {}
    told = plan_variant(recipe, wearer, house.model_copy(update=crew))
    plain_house = _plain_house(job, arguments, house)
    plain = plan_variant(recipe, wearer, plain_house.model_copy(update=crew))
    if told is None or plain is None:
        _say("this service can't be timed", "check --braiders")
        return BAD_TEXT
    kept = []
    for name, minutes in times.items():
        expected = expected_minutes(name, plain.timing)
        if expected <= 0:
            _say(f"this service has no stage '{name}'", _stage_names(name, plain.timing))
            return WRONG_USE
        kept.append(StageTime(name, float(minutes or 0), expected))
    if took is not None and CHAIR not in times:
        kept.append(StageTime(CHAIR, _without_breaks(took, wearer, house), expected_minutes(CHAIR, plain.timing)))
    hairs = {line.name: line.packs_used for line in plan.material.hair}
    for name in used:
        if name not in hairs:
            from ..syntax.suggest import did_you_mean

            _say(f"this look uses no hair '{name}'", did_you_mean(name, hairs))
            return WRONG_USE
    service = Service(
        uid=str(uuid.uuid4()), logged_at=_now(), recipe=recipe.name, wearer=wearer.name, house=house.name,
        braiders=told.timing.braiders, sections=arguments.sections, minutes=took,
        median_minutes=told.timing.median_minutes, p80_minutes=told.timing.p80_minutes,
        p95_minutes=told.timing.p95_minutes, notes=arguments.note, stages=tuple(kept),
        packs=tuple(PacksUsed(name, float(p or 0), hairs[name]) for name, p in used.items()),
        operations=operations_of(plan), braider=arguments.by.strip())
    number = add_services(store_path(job.shelf.root), (service,))[0]
    if arguments.format == "json":
        print_data({"number": number, **asdict(service)})
        return GOOD
    print(f"logged service {number}: {recipe.name} for {wearer.name}")
    return GOOD


def _stage_names(name: str, timing: Any) -> str:
    """All that a stage of this service can be called, the nearest first."""
    from ..syntax.suggest import nearest
    from .stage_names import EVERYDAY, TOLD, members, settled_name

    here = [stage.name for stage in timing.stages if members(stage.name, timing)]
    said_here = [word for word in TOLD if members(settled_name(word), timing)]
    close = nearest(name, [*here, *said_here, *(word for word, stage in EVERYDAY.items() if members(stage, timing))])
    said = f"did you mean {' or '.join(repr(each) for each in close)}? " if close else ""
    return f"{said}the stages here are: {', '.join(here)}; or in everyday words: {', '.join(said_here)}"


def _without_breaks(took: float, wearer: Any, house: "House") -> float:
    from ..passes.rest import break_every, worked_in

    return worked_in(took * 60, float(break_every(wearer, house).value), house.break_s.value) / 60


def _plain_house(job: Any, arguments: argparse.Namespace, learned: "House") -> "House":
    """The house as its file says, without what it has learned."""
    from .service import compile_job

    done = compile_job(job, arguments.wearer, arguments.house, {}, learned=False)
    return done.house if done.house is not None else learned


def _learn(arguments: argparse.Namespace) -> int:
    from .command import BAD_TEXT, GOOD
    import sqlite3

    from .log_store import Learned, keep_lesson, read_services, store_path, undo_lesson
    from .shelf import CantRead
    from .service import open_job

    as_json = arguments.format == "json"
    data: dict[str, Any] = {}

    def say(line: str) -> None:
        if not as_json:
            print(line)

    def done() -> int:
        if as_json:
            print_data(data)
        return GOOD

    try:
        job = open_job(arguments.recipe)
        house = _house_of(job, arguments.house)
        store = store_path(job.shelf.root)
        data |= {"house": house.name, "undone": None, "lesson": None, "moved": []}
        if arguments.undo:
            undone = undo_lesson(store, house.name, _now())
            if undone is None:
                say(f"{house.name} has learned nothing that could be undone")
                return done()
            data |= {"undone": undone[0], "moved": [asdict(each) for each in undone[1]]}
            say(f"undone lesson {undone[0]} of {house.name}:")
            for line in moved_lines(tuple(Learned(m.operation, m.base, m.after, m.before) for m in undone[1]), {}):
                say(line)
            return done()
        services = tuple(service for _, service in read_services(store, house.name))
        say(report(services, house.name))
        look, counts = _counted(job, house)
        ratios, left_out = ratios_of(services, frozenset(counts) or None)
        data |= {"services": len(services), "left_out": list(left_out), "factors": []}
        for line in left_out:
            say(f"left out: {line}")
        from .learning import fit
        from .learned_rates import learned_house
        from .log_store import standing_lessons

        factors = fit(ratios)
        if not factors:
            say("no stage was logged, so no rate moves")
            return done()
        standing = standing_lessons(store).get(house.name)
        now = learned_house(house, *standing[1:]) if standing else house
        moved = lessons(factors, house, now, _used(services, frozenset(counts)))
        data |= {"factors": [asdict(factor) for factor in factors], "moved": [asdict(each) for each in moved]}
        for factor in factors:
            say(f"{factor.stage}: × {factor.factor:.2f} ({factor.low:.2f} to {factor.high:.2f}), "
                  f"{factor.services} service{'s' if factor.services != 1 else ''} said × {factor.seen:.2f}")
        for line in moved_lines(moved, counts, look):
            say(line)
        if arguments.dry_run:
            say("nothing was moved: --dry-run")
            return done()
        number = keep_lesson(store, house.name, _now(), len(services), moved)
        data["lesson"] = number
        say(f"lesson {number} is in force for {house.name}; undo it with: plait learn {arguments.recipe} --undo")
        return done()
    except CantRead as error:
        _say(error.message, error.help)
    except (sqlite3.Error, OSError) as error:
        _say(f"the book's log can't be used: {error}", "check that the book's folder may be written")
    return BAD_TEXT


def _counted(job: Any, house: "House") -> tuple[str, dict[str, float]]:
    """The look of this file and how often it does each operation; nothing where it can't be planned."""
    from .service import compile_job
    from .shelf import CantRead
    from .stage_names import operations_of

    try:
        plan = compile_job(job, None, house.name, {}, learned=False).plan
    except CantRead:
        return "", {}
    return ("", {}) if plan is None else (plan.head.recipe, dict(operations_of(plan)))


def _used(services: "tuple[Service, ...]", unknown: "frozenset[str]") -> "frozenset[str]":
    """All operations that the logged services did; the look's own for those that didn't keep them."""
    from .stage_names import stage_operations

    every = frozenset(op for ops in stage_operations().values() for op in ops)
    return frozenset().union(*(frozenset(name for name, _ in service.operations) or unknown or every for service in services))


def moved_lines(moved: "tuple[Learned, ...]", counts: Mapping[str, float], look: str = "") -> list[str]:
    """From what to what: the minutes of each stage for one head of the look, its rates in brackets."""
    from .durations import spoken
    from .stage_names import stage_operations

    moving = {m.operation: m for m in moved if not math.isclose(m.before, m.after, rel_tol=1e-4)}
    all_of_it = {m.operation: m for m in moved}
    lines, told = [], set()
    for stage, operations in stage_operations().items():
        here = [moving[name] for name in operations if name in moving and name not in told]
        if not here:
            continue
        told |= {m.operation for m in here}
        rates = "; ".join(f'"{m.operation}" {m.before:.4g} s → {m.after:.4g} s' for m in here)
        # What didn't move is part of the stage all the same; without a count there is no minute to tell.
        mine = [(counts[name], all_of_it[name]) for name in operations if counts.get(name) and name in all_of_it]
        was, now = (math.fsum(n * side for n, side in each) / 60 for each in (
            [(n, m.before) for n, m in mine], [(n, m.after) for n, m in mine]))
        lines.append(f"  {stage}: {_minutes(was, spoken)} → {_minutes(now, spoken)} for {look} ({rates})" if mine
                     else f"  {stage}: ({rates})")
    return lines or ["  no rate moves"]


def _minutes(minutes: float, spoken: Any) -> str:
    return f"{minutes:.1f} min" if minutes < 10 else spoken(minutes)


def report(services: "tuple[Service, ...]", house: str) -> str:
    """How past predictions held."""
    from .learning import held

    record = held((s.minutes, s.median_minutes, s.p80_minutes, s.p95_minutes) for s in services
                  if s.minutes and s.median_minutes and s.p80_minutes and s.p95_minutes)
    count = f"{len(services)} service{'s' if len(services) != 1 else ''} logged for {house}"
    if record is None:
        return f"{count}; none with its whole chair time"
    bias = (math.exp(record.bias) - 1) * 100
    return (f"{count}; of {record.services} with their chair time, {record.within_80} ended within the card's 80 % time "
            f"({record.within_80 / record.services:.0%}) and {record.within_95} within its 95 % time "
            f"({record.within_95 / record.services:.0%}); on average they took {abs(bias):.0f} % "
            f"{'more' if bias >= 0 else 'less'} than the card said")


def _house_of(job: Any, name: str | None) -> "House":
    """The house of the book without what it has learned. Raises CantRead."""
    from ..meaning.book import open_book
    from ..meaning.standing import house_or_default
    from .shelf import CantRead

    book = open_book([(job.name, job.text), *job.beside], job.shelf.fetch)
    problems: list[Any] = []
    house = house_or_default(book, name, job.name, problems)
    if house is None:
        raise CantRead(problems[0].message, problems[0].help)
    return house
