"""``plait compare A B``: two looks or two saved plans side by side, or one look across all wearers of the book."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from .command import BAD_TEXT, GOOD, WRONG_USE, _deliver, _format_of, _pairs, cant_read, report_problems
from .commands import HELP
from .shelf import CantRead, read_text

if TYPE_CHECKING:
    from ..compile import Compiled
    from ..meaning.model import House
    from ..plan.model import Plan


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("compare", help=HELP["compare"],
        epilog="A and B are each a .plait file, FILE#Look name, a plan saved as JSON, or a seal file's SEALFILE#Look name "
               "(two seals tell what the looks are made of, and no figures)")
    parser.add_argument("a", metavar="A", help="the first")
    parser.add_argument("b", metavar="B", nargs="?", help="the second; the first again where it is left out")
    parser.add_argument("--all-wearers", action="store_true", help="look A for every wearer of its book")
    for name, what in (("wearer", "W"), ("house", "H")):
        parser.add_argument(f"--{name}", metavar=what, help="for both: a name in the book, or a .plait file")
        parser.add_argument(f"--{name}-b", metavar=what, help="for the second only")
    parser.add_argument("--choose", metavar="CHOICE=OPTION", action="append", default=[], help="for both")
    parser.add_argument("--choose-b", metavar="CHOICE=OPTION", action="append", default=[], help="for the second only")
    parser.add_argument("--format", choices=("text", "html", "pdf", "json"), help="default: from OUT's ending, else text")
    parser.add_argument("-o", "--out", metavar="OUT", help="the file to write; - for standard output")
    parser.set_defaults(run=run)


class _Side(NamedTuple):
    plan: "Plan | None"
    house: "House | None"
    made_of: dict[str, Any] | None
    """None for a saved plan: it says what came of its look, not what the look said."""


def run(arguments: argparse.Namespace) -> int:
    """Compare; exit 0 also where everything differs."""
    form = arguments.format or (_format_of(arguments.out) if Path(arguments.out or "").suffix else "text")
    picks = [_pairs(written, "a choice", "--choose size=small") for written in (arguments.choose, arguments.choose_b)]
    if picks[0] is None or picks[1] is None:
        return WRONG_USE
    both, second = ({k.lower(): v.lower() for k, v in each.items()} for each in picks if each is not None)
    if arguments.all_wearers:
        return _all_wearers(arguments, both, form)
    other = arguments.b or arguments.a
    if arguments.b is None and not (arguments.wearer_b or arguments.house_b or second):
        print("plait: there is nothing to compare with\n"
              "  try: a second look or plan, or --wearer-b, --house-b or --choose-b", file=sys.stderr)
        return WRONG_USE
    try:
        a = _side(arguments.a, arguments.wearer, arguments.house, both)
        b = _side(other, arguments.wearer_b or arguments.wearer, arguments.house_b or arguments.house, {**both, **second})
    except CantRead as error:
        return cant_read(error, form == "json")
    if a is None or b is None:
        return BAD_TEXT
    return _told(a, b, form, arguments.out)


def _side(named: str, wearer: str | None, house: str | None, picks: dict[str, str]) -> _Side | None:
    """One side; None after saying what is wrong with it. Raises CantRead."""
    from .service import hinted

    path = named.partition("#")[0]
    if path.endswith(".json"):
        return _saved(Path(path))
    if path.endswith(".seal"):
        return _from_lock(path, named.partition("#")[2])
    from .book.opened import open_looks

    opened = open_looks(named, wearer, house)
    if not opened.problems and len(opened.looks) != 1:
        names = [look.name for look in opened.looks]
        raise CantRead(f"'{opened.job.name}' holds {len(names) or 'no'} looks", f"say which: {path}#{names[0]}" if names else "name a file with a look")
    problems = opened.problems
    done = None
    if not problems:
        done = opened.compiled(opened.looks[0].name, picks)
        problems = done.problems
    if done is None or done.plan is None:
        report_problems(hinted(problems, opened.job), opened.job, as_json=False)
        return None
    return _Side(_without_paths(done), done.house, opened.made_of(opened.looks[0])[0])


def _without_paths(done: "Compiled") -> "Plan":
    """The plan, as it would be saved: it doesn't say where a wearer's file lies on this machine."""
    from ..plan.model import Plan
    from .service import plan_json

    assert done.plan and done.wearer and done.house
    if any(Path(each.origin.file).is_absolute() for each in (done.wearer, done.house)):
        return Plan.model_validate_json(plan_json(done))
    return done.plan


def _saved(path: Path) -> _Side:
    from pydantic import ValidationError

    from ..plan.model import Plan

    try:
        return _Side(Plan.model_validate_json(read_text(path)), None, None)
    except ValidationError as error:
        first = error.errors()[0]
        where = " → ".join(str(part) for part in first["loc"]) or "the top"
        raise CantRead(f"'{path.name}' is no saved plan: {where} is not as it should be",
                       "save one: plait plan RECIPE -o plan.json") from None


def _from_lock(path: str, look: str) -> _Side:
    from .book.lock import read_lock

    lock = read_lock(Path(path))
    if lock is None:
        raise CantRead(f"there is no seal file '{path}'", "seal a look first: plait seal RECIPE")
    if look not in lock.looks:
        raise CantRead(f'"{look}" is not sealed in \'{path}\'' if look else f"'{path}' doesn't say which look",
                       f"say which: {path}#{next(iter(lock.looks), 'Look name')}")
    return _Side(None, None, lock.looks[look].made_of)


def _told(a: _Side, b: _Side, form: str, out: str | None) -> int:
    from ..plan.differences import differences

    made_of = None
    if a.made_of is not None and b.made_of is not None:
        made_of = differences(a.made_of, b.made_of)
    if a.plan is None or b.plan is None:
        if made_of is None:
            print("plait: a seal can't be compared with a saved plan: they have nothing in common\n"
                  "  try: the look's file instead of its plan", file=sys.stderr)
            return WRONG_USE
        said = [each.sentence() for each in made_of]
        text = json.dumps({"made_of": said}, ensure_ascii=False, indent=2) if form == "json" else "\n".join(said) or "nothing differs"
        return _deliver(f"{text}\n".encode(), out)
    from ..plan.comparison import compare

    compared = compare(a.plan, b.plan, made_of)
    if form == "json":
        return _deliver((compared.model_dump_json(indent=2) + "\n").encode(), out)
    from ..cards.comparison_sheet import comparison_card

    return _drawn(comparison_card(compared, a.house or b.house), form, out)


def _drawn(card: Any, form: str, out: str | None) -> int:
    if form == "html":
        from ..cards.html import render_html

        return _deliver(render_html(card).encode(), out)
    if form == "pdf":
        from ..cards.pdf import render_pdf

        return _deliver(render_pdf(card), out)
    from ..cards.text import render_text

    return _deliver(render_text(card).encode(), out)


def _all_wearers(arguments: argparse.Namespace, picks: dict[str, str], form: str) -> int:
    from .book.opened import open_looks

    if arguments.b is not None:
        print("plait: --all-wearers takes one look\n  try: leave the second out", file=sys.stderr)
        return WRONG_USE
    try:
        opened = open_looks(arguments.a, None, arguments.house)
    except CantRead as error:
        return cant_read(error, form == "json")
    if opened.problems or len(opened.looks) != 1:
        if opened.problems:
            report_problems(opened.problems, opened.job, as_json=False)
        else:
            print(f"plait: '{opened.job.name}' holds {len(opened.looks) or 'no'} looks\n  try: say which: FILE#Look name", file=sys.stderr)
        return BAD_TEXT
    look = opened.looks[0]
    rows, house = [], None
    for name in opened.book.wearers:
        done = opened.compiled(look.name, picks, name)
        house = done.house or house
        rows.append((name, done.plan, "; ".join(p.message for p in done.problems)))
    if not rows:
        print("plait: there is no wearer in this book\n  try: declare one: wearer \"Name\"", file=sys.stderr)
        return BAD_TEXT
    if form == "json":
        data = [{"wearer": name, "problem": problem, **(_row(plan) if plan else {})} for name, plan, problem in rows]
        return _deliver((json.dumps(data, ensure_ascii=False, indent=2, default=str) + "\n").encode(), arguments.out)
    from ..cards.comparison_sheet import wearers_card

    return _drawn(wearers_card(look.name, look.version, tuple(rows), house), form, arguments.out) or GOOD


def _row(plan: "Plan") -> dict[str, Any]:
    """One wearer's figures as data."""
    worst = plan.figures.get("load.worst_mn")
    return {
        "house": plan.head.house, "seal": plan.head.seal.model_dump() if plan.head.seal else None,
        "sections": plan.sections.count, "stitches": sum(strand.stitches for strand in plan.strands),
        "packs_to_buy": {f"{h.name}, {h.colour}" if h.colour else h.name: h.packs_to_buy for h in plan.material.hair},
        "currency": plan.quote.currency, "price": plan.quote.total,
        "median_minutes": plan.timing.median_minutes, "p80_minutes": plan.timing.p80_minutes,
        "added_g": plan.material.added_worn_g, "worst_mn": worst.value if worst else None,
        "findings": [{"code": f.code, "severity": f.severity, "message": f.message} for f in plan.findings],
    }
