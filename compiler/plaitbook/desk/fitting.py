"""``plait fit``: which choices, section size or accent spacing bring a look within a time, a budget or some packs."""

from __future__ import annotations

import argparse
import itertools
import math
import sys
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any, Callable, Iterator, NamedTuple

if TYPE_CHECKING:
    from ..meaning.model import Recipe
    from .variants import Variant

SIZE_STEPS = (1.05, 1.1, 1.15, 1.2, 1.25, 1.3, 1.4, 1.5, 1.6, 1.8, 2.0)
"""Sections this much larger on each side. Our own estimate of what a look bears."""

SPACING_STEPS = (1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0)
"""Accents this much farther apart. Our own estimate."""

MOST_PLANS = 160
"""Looks planned at most: some three seconds. Our own estimate."""

SHOWN = 5

WEIGHTS = {"width": 1.0, "length": 1.0, "count": 0.5, "accents": 0.35}
"""How much a doubling of each counts as a change of the look; accents least. Our own estimate."""


class Change(NamedTuple):
    """What was changed: picks by choice, section size and accent spacing as factors."""

    picks: tuple[tuple[str, str], ...] = ()
    size: float = 1.0
    spacing: float = 1.0


class Looks(NamedTuple):
    """A planned look in the numbers a client sees."""

    braids: int
    width_mm: float
    length_mm: float
    accents: float
    """A strand."""
    minutes: float
    p80: float
    total: Decimal
    packs: float


class Fit(NamedTuple):
    change: Change
    looks: Looks
    distance: float


def looks_of(variant: "Variant") -> Looks:
    """What one sees, waits for and pays."""
    count = variant.sections.count or 1

    def mean(value: Callable[[Any], float]) -> float:
        return math.fsum(value(kind) * len(kind.sections) for kind in variant.kinds) / count

    return Looks(variant.sections.count, mean(lambda k: k.width_mm), mean(lambda k: k.length_mm),
                 mean(lambda k: float(sum(a.count for a in k.accents))), variant.timing.median_minutes,
                 variant.timing.p80_minutes, variant.quote.total, math.fsum(h.packs_used for h in variant.material.hair))


def distance(one: Looks, other: Looks) -> float:
    """How far apart two looks are: weighted sum of |log2| of the ratios of what one sees."""
    def apart(a: float, b: float) -> float:
        return abs(math.log2((a + 0.01) / (b + 0.01)))

    return (WEIGHTS["width"] * apart(one.width_mm, other.width_mm) + WEIGHTS["length"] * apart(one.length_mm, other.length_mm)
            + WEIGHTS["count"] * apart(one.braids, other.braids) + WEIGHTS["accents"] * apart(one.accents + 1, other.accents + 1))


def changed(recipe: "Recipe", size: float, spacing: float) -> "Recipe":
    """The settled look with larger sections and sparser accents; strand widths grow with the sections."""
    def grown(measure: Any, factor: float) -> Any:
        return None if measure is None else measure.model_copy(update={
            "value": measure.value * factor, "text": f"{measure.text} × {factor:g}"})

    zones = []
    for look in recipe.zones:
        grid, feeds, accents = look.grid, look.feeds, look.accents
        if size != 1:
            grid = grid.model_copy(update={"height_mm": grown(grid.height_mm, size), "width_mm": grown(grid.width_mm, size),
                                           "count": None if grid.count is None else max(1, round(grid.count / size**2))})
            feeds = tuple(feed.model_copy(update={"width_mm": grown(feed.width_mm, size)}) for feed in feeds)
        if spacing != 1:
            accents = tuple(
                accent.model_copy(update={"every": max(accent.every + 1, round(accent.every * spacing))})
                if accent.every is not None else accent for accent in accents)
        zones.append(look.model_copy(update={"grid": grid, "feeds": feeds, "accents": accents}))
    return recipe.model_copy(update={"zones": tuple(zones)})


def changes(options: dict[str, tuple[str, ...]], taken: dict[str, str], has_accents: bool) -> Iterator[Change]:
    """What to try: choices alone, size alone, spacing alone, then two of them together."""
    picks = [tuple(sorted(zip(options, combo))) for combo in itertools.islice(itertools.product(*options.values()), 60)]
    picks = [p for p in picks if any(taken.get(name) != option for name, option in p)]
    spacings = SPACING_STEPS if has_accents else ()
    yield from (Change(picks=p) for p in picks)
    yield from (Change(size=size) for size in SIZE_STEPS)
    yield from (Change(spacing=spacing) for spacing in spacings)
    yield from (Change(size=size, spacing=spacing) for size in SIZE_STEPS[1::2] for spacing in spacings[1::2])
    yield from (Change(picks=p, spacing=spacing) for p in picks for spacing in spacings[1::2])
    yield from (Change(picks=p, size=size) for p in picks for size in SIZE_STEPS[3::3])


def cost_text(base: Looks, now: Looks) -> list[str]:
    """What the change costs in the look, in words."""
    said = []
    if now.braids != base.braids:
        said.append(f"{now.braids} braids, not {base.braids}")
    if abs(now.width_mm / base.width_mm - 1) > 0.02:
        said.append(f"{now.width_mm:.1f} mm wide, not {base.width_mm:.1f} mm")
    if abs(now.length_mm / base.length_mm - 1) > 0.02:
        said.append(f"{now.length_mm / 10:.0f} cm long, not {base.length_mm / 10:.0f} cm")
    if abs(now.accents - base.accents) > 0.05:
        said.append(f"{now.accents:.1f} accents a braid, not {base.accents:.1f}")
    return said or ["nothing one sees"]


def change_text(change: Change) -> str:
    """What to do, in words."""
    said = [f"{name} = {option}" for name, option in change.picks]
    if change.size != 1:
        said.append(f"sections {round((change.size - 1) * 100)} % larger each way")
    if change.spacing != 1:
        said.append(f"accents {change.spacing:g} times as far apart")
    return ", ".join(said) or "as it is"

from .commands import HELP


def register(commands: Any) -> None:
    """Put the command on the line."""
    from .command import recipe_arguments

    parser = commands.add_parser("fit", help=HELP["fit"])
    recipe_arguments(parser)
    parser.add_argument("--within", metavar="TIME", help='chair time on four days in five, such as "5 h"')
    parser.add_argument("--budget", metavar="AMOUNT", help="the client's total, in the house's currency")
    parser.add_argument("--packs", metavar="PACKS", help="packs of hair in all")
    parser.set_defaults(run=_run)


def _limits(arguments: argparse.Namespace) -> tuple[list[tuple[str, Callable[[Looks], bool]]], str]:
    """What must hold, and what is wrong with how it was asked for."""
    from .durations import minutes_of, packs_of

    limits: list[tuple[str, Callable[[Looks], bool]]] = []
    if arguments.within is not None:
        minutes = minutes_of(arguments.within)
        if not minutes:
            return [], f"'{arguments.within}' is not a time\n  try: --within \"5 h\""
        limits.append((f"within {arguments.within}", lambda looks: looks.p80 <= minutes))
    if arguments.budget is not None:
        try:
            budget = Decimal(arguments.budget.split()[0])
        except (InvalidOperation, IndexError):
            return [], f"'{arguments.budget}' is not an amount\n  try: --budget 180"
        if not budget.is_finite() or budget <= 0:
            return [], f"'{arguments.budget}' is not an amount\n  try: --budget 180"
        limits.append((f"for {budget}", lambda looks: looks.total <= budget))
    if arguments.packs is not None:
        packs = packs_of(arguments.packs)
        if not packs:
            return [], f"'{arguments.packs}' is no number of packs\n  try: --packs 4"
        limits.append((f"with {arguments.packs} packs", lambda looks: looks.packs <= packs + 1e-9))
    return limits, "" if limits else "nothing to fit\n  try: --within \"5 h\", --budget 180 or --packs 4"


def _run(arguments: argparse.Namespace) -> int:
    from .command import BAD_TEXT, GOOD, WRONG_USE, compiled_job

    limits, wrong = _limits(arguments)
    if wrong:
        print(f"plait: {wrong}", file=sys.stderr)
        return WRONG_USE
    done = compiled_job(arguments, as_json=False)
    if isinstance(done, int):
        return done
    job, compiled = done
    base, found, tried = search(arguments, job, compiled, limits)
    wanted = " and ".join(name for name, _ in limits)
    print(f"as it is: {_figures(base, compiled)}")
    if all(holds(base) for _, holds in limits):
        print(f"it fits {wanted} as it is")
        return GOOD
    if not found:
        print(f"nothing tried fits {wanted} ({tried} ways: choices, section size, accent spacing)\n"
              "  try: a shorter length, or more time", file=sys.stderr)
        return BAD_TEXT
    print(f"fits {wanted}, nearest to the look first:")
    for number, fit in enumerate(found[:SHOWN], 1):
        print(f"{number}. {change_text(fit.change)}\n   {_figures(fit.looks, compiled)}\n"
              f"   costs: {'; '.join(cost_text(base, fit.looks))}")
    return GOOD


def search(arguments: argparse.Namespace, job: Any, compiled: Any,
           limits: list[tuple[str, Callable[[Looks], bool]]]) -> tuple[Looks, list[Fit], int]:
    """(the look as it is, what fits from near to far, how many ways were tried)."""
    from .variants import plan_variant

    recipe, wearer, house = compiled.recipe, compiled.wearer, compiled.house
    start = plan_variant(recipe, wearer, house)
    assert start is not None
    base, found, tried = looks_of(start), [], 0
    if all(holds(base) for _, holds in limits):
        return base, [], 0
    settled = {(): recipe}
    has_accents = any(accent.every for look in recipe.zones for accent in look.accents)
    for change in changes(_options(job, recipe.name), dict(recipe.choices), has_accents):
        if tried >= MOST_PLANS:
            break
        if change.picks not in settled:
            settled[change.picks] = _settled(arguments, job, dict(change.picks))
        look = settled[change.picks]
        if look is None:
            continue
        tried += 1
        variant = plan_variant(changed(look, change.size, change.spacing), wearer, house)
        if variant is None:
            continue
        looks = looks_of(variant)
        if all(holds(looks) for _, holds in limits):
            found.append(Fit(change, looks, distance(base, looks)))
    found.sort(key=lambda fit: fit.distance)
    different: list[Fit] = []
    for fit in found:
        if all(fit.looks != other.looks for other in different):
            different.append(fit)
    return base, different, tried


def _options(job: Any, name: str) -> dict[str, tuple[str, ...]]:
    """choice -> its options, those of the looks it is based on included."""
    from ..meaning.book import open_book
    from ..meaning.inherit import inherit

    book = open_book([(job.name, job.text), *job.beside], job.shelf.fetch)
    look = next((look for look in book.files[job.name].looks if look.name == name), None)
    whole = inherit(look, book.looks, []) if look is not None else None
    return {} if whole is None else {c.name: tuple(option for option, _ in c.options) for c in whole.choices}


def _settled(arguments: argparse.Namespace, job: Any, picks: dict[str, str]) -> Any:
    """The look settled with these picks; None where they don't go together."""
    from .command import _pairs
    from .service import compile_job

    swaps = _pairs(arguments.instead, "a hair and its stand-in", "")
    done = compile_job(job, arguments.wearer, arguments.house, picks, swaps or {})
    return done.recipe


def _figures(looks: Looks, compiled: Any) -> str:
    from .durations import spoken

    return (f"{spoken(looks.minutes)}, 4 days in 5 within {spoken(looks.p80)}; "
            f"{looks.total} {compiled.house.currency}; {looks.packs:.2f} packs")
