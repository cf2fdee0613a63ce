"""``plait seal RECIPES``: write down what each look is made of, so that any later change is seen."""

from __future__ import annotations

import argparse
import sys
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from .as_data import format_argument, print_data
from .command import BAD_TEXT, GOOD, WRONG_USE, _pairs, cant_read, report_findings, report_problems, shown_path
from .commands import HELP
from .shelf import CantRead


@dataclass
class Told:
    """What is said of one look that was sealed, or of a file that holds none."""

    file: str
    look: str = ""
    version: int = 0
    seal: str = ""
    """As it is read aloud and stands on the card."""
    same: bool = False
    """As it was sealed before."""
    was: str = ""
    dropped_plans: int = 0
    version_stands: bool = False
    """It changed and is still the same version."""
    plans: list[dict[str, str]] = field(default_factory=list)

    def lines(self) -> list[str]:
        """The same in words."""
        if not self.look:
            return [f"{self.file}: no look to seal"]
        said = [f"{self.look} version {self.version}: look {self.seal}" + (" (as sealed before)" if self.same else "")]
        if self.was:
            said.append(f"  was {self.was}" + (f"; {self.dropped_plans} sealed plans of it are dropped" if self.dropped_plans else ""))
        if self.version_stands:
            said.append(f"  it changed but is still version {self.version}: raise the version, so that cards tell them apart")
        return [*said, *(f"  for {plan['wearer']} in {plan['house']}: plan {plan['seal']}" for plan in self.plans)]


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("seal", help=HELP["seal"],
        epilog="with --wearer or --house the plan is sealed too: its rates, prices and choices")
    parser.add_argument("recipes", nargs="+", metavar="RECIPE", help="a .plait file (all its looks), or FILE#Look name")
    parser.add_argument("--wearer", metavar="W", help="a name in the book, or a .plait file: seal the plan for her too")
    parser.add_argument("--house", metavar="H", help="a name in the book, or a .plait file: seal the plan there too")
    parser.add_argument("--choose", metavar="CHOICE=OPTION", action="append", default=[], help="of the sealed plan")
    parser.add_argument("-o", "--out", metavar="FILE", help="the seal file; default: book.seal in the book's folder")
    format_argument(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Seal every look that was named; a look with mistakes is not sealed, and nothing is written then."""
    from ..compile import VERSION
    from .book.lock import LOCK, Lock, read_lock, write_lock
    from .book.opened import built_in_rules, open_looks

    as_json = arguments.format == "json"
    picks = _pairs(arguments.choose, "a choice", "--choose size=small")
    if picks is None:
        return WRONG_USE
    picks = {name.lower(): option.lower() for name, option in picks.items()}
    locks: dict[Path, Lock] = {}
    said: list[Told] = []
    try:
        for recipe in arguments.recipes:
            opened = open_looks(recipe, arguments.wearer, arguments.house)
            if opened.problems:
                report_problems(opened.problems, opened.job, as_json=as_json)
                return BAD_TEXT
            path = Path(arguments.out) if arguments.out else opened.job.shelf.root / LOCK
            lock = locks.get(path) or read_lock(path)
            if lock is None or (lock.compiler, lock.built_in_rules) != (VERSION, built_in_rules()):
                lock = Lock(compiler=VERSION, built_in_rules=built_in_rules(), looks=lock.looks if lock else {})
            if not opened.looks:
                said.append(Told(shown_path(opened.job.shelf.root / opened.job.name)))
            for look in opened.looks:
                sealed = _sealed(opened, look, lock, arguments, picks, said)
                if sealed is None:
                    return BAD_TEXT
                lock = lock.model_copy(update={"looks": {**lock.looks, look.name: sealed}})
            locks[path] = lock
    except CantRead as error:
        return cant_read(error, as_json=as_json)
    for path, lock in locks.items():
        try:
            write_lock(path, lock)
        except OSError as error:
            print(f"plait: '{path}' can't be written: {error.strerror or error}\n"
                  "  try: name a folder that exists and may be written: -o book.seal", file=sys.stderr)
            return BAD_TEXT
    if as_json:
        print_data({"sealed": [asdict(one) for one in said if one.look], "without_looks": [one.file for one in said if not one.look],
                    "written": [shown_path(path) for path in locks]})
    else:
        print("\n".join(line for one in said for line in one.lines()))
    for path in locks:
        print(f"wrote {shown_path(path)}", file=sys.stderr)
    return GOOD


def _sealed(opened: Any, look: Any, lock: Any, arguments: argparse.Namespace, picks: dict[str, str],
            said: list[Told]) -> Any:
    """The look sealed as it is now, or None after saying what is wrong with it."""
    from ..plan.aloud import aloud
    from .book.lock import SealedLook, SealedPlan
    from .book.opened import look_hash, plan_parts

    as_json = arguments.format == "json"
    made_of, problems = opened.made_of(look)
    done = opened.compiled(look.name, picks)
    problems = problems or done.problems
    if problems or made_of is None:
        report_problems(problems, opened.job, as_json=as_json)
        return None
    before = lock.looks.get(look.name)
    if before is not None and before.file != opened.job.name and (opened.job.shelf.root / before.file).is_file():
        print(f'plait: "{look.name}" of {before.file} is sealed already, and {opened.job.name} has another look of that name\n'
              "  try: give one of them another name", file=sys.stderr)
        return None
    found = look_hash(made_of)
    same = before is not None and before.look == found
    told = Told(shown_path(opened.job.shelf.root / opened.job.name), look.name, look.version, aloud(found), same)
    if before is not None and not same:
        told.was, told.dropped_plans, told.version_stands = before.aloud, len(before.plans), before.version == look.version
    said.append(told)
    plans = list(before.plans) if before is not None and same else []
    if arguments.wearer or arguments.house:
        assert done.plan is not None and done.plan.head.seal is not None
        if not as_json:
            report_findings([f for f in done.plan.findings if f.severity == "stop"], opened.job)
        wearer = done.plan.head.wearer if arguments.wearer else None
        house = done.plan.head.house if arguments.house else None
        plans = [p for p in plans if (p.wearer, p.house, p.picks) != (wearer, house, picks)]
        seal = done.plan.head.seal
        plans.append(SealedPlan(wearer=wearer, house=house, picks=picks, plan=seal.plan, parts=plan_parts(found, done)))
        told.plans.append({"wearer": done.plan.head.wearer, "house": done.plan.head.house, "seal": seal.plan_aloud})
    return SealedLook(file=opened.job.name, version=look.version, look=found, aloud=aloud(found), made_of=made_of,
                      plans=tuple(plans))
