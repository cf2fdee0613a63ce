"""``plait fit``: which choices, section size or accent spacing bring a look within a time, a budget or some packs."""

from __future__ import annotations

import argparse
import itertools
import math
import sys
import textwrap
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

SHOWN = 8

WEIGHTS = {"width": 1.0, "length": 1.0, "count": 0.5, "accents": 0.35}
"""How much a doubling of each counts as a change of the look; accents least. Our own estimate."""


class Change(NamedTuple):
    """What was changed: picks other than the look's own, section size and accent spacing as factors."""

    picks: tuple[tuple[str, str], ...] = ()
    size: float = 1.0
    spacing: float = 1.0

    def holds(self, other: "Change") -> bool:
        """Whether this changes all that the other does, and as much or more."""
        return set(other.picks) <= set(self.picks) and other.size <= self.size and other.spacing <= self.spacing


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


def spaced(every: int, spacing: float) -> int:
    """Stitches from one accent to the next, so much farther apart; one more at the least."""
    return max(every + 1, round(every * spacing))


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
                accent.model_copy(update={"every": spaced(accent.every, spacing)})
                if accent.every is not None else accent for accent in accents)
        zones.append(look.model_copy(update={"grid": grid, "feeds": feeds, "accents": accents}))
    return recipe.model_copy(update={"zones": tuple(zones)})


def singles(options: dict[str, tuple[str, ...]], taken: dict[str, str]) -> tuple[Change, ...]:
    """One choice taken otherwise than the look has it."""
    return tuple(Change(picks=((name, option),)) for name, mine in options.items() for option in mine
                 if option != taken.get(name))


def changes(picks: tuple[tuple[str, str], ...], has_accents: bool) -> Iterator[Change]:
    """What to try beyond single choices: size alone, spacing alone, then two or more together.

    ``picks`` are those that help by themselves: nothing is offered that is then undone.
    """
    spacings = SPACING_STEPS if has_accents else ()
    names = list(dict.fromkeys(name for name, _ in picks))
    by_name = [[(name, option) for option in (None, *(o for n, o in picks if n == name))] for name in names]
    together = [tuple(pick for pick in combo if pick[1] is not None)
                for combo in itertools.islice(itertools.product(*by_name), 60)]
    together.sort(key=len)
    yield from (Change(size=size) for size in SIZE_STEPS)
    yield from (Change(spacing=spacing) for spacing in spacings)
    yield from (Change(picks=p) for p in together if len(p) > 1)  # type: ignore[misc]
    yield from (Change(size=size, spacing=spacing) for size in SIZE_STEPS[1::2] for spacing in spacings[1::2])
    yield from (Change(picks=p, spacing=spacing) for p in together if p for spacing in spacings[1::2])  # type: ignore[misc]
    yield from (Change(picks=p, size=size) for p in together if p for size in SIZE_STEPS[3::3])  # type: ignore[misc]


MOST_SIZES = 2
"""Sizes that a change is told in; a look of more is told in per cent alone."""


def seen(looks: Looks) -> tuple[int, ...]:
    """The look in steps that one sees: braids, quarter millimetres, centimetres, whole accents a braid."""
    return looks.braids, round(looks.width_mm * 4), round(looks.length_mm / 10), round(looks.accents)


def cost_text(base: Looks, now: Looks, units: str) -> list[str]:
    """What the change costs in the look, in words and in the house's units."""
    from ..cards.speech import speech

    say = speech("en", units)
    said = []
    if now.braids != base.braids:
        said.append(f"{now.braids} braids, not {base.braids}")
    if abs(now.width_mm / base.width_mm - 1) > 0.02:
        said.append(f"{now.width_mm:.1f} mm wide, not {base.width_mm:.1f} mm")
    if abs(now.length_mm / base.length_mm - 1) > 0.02:
        said.append(f"{say.length(now.length_mm)} long, not {say.length(base.length_mm)}")
    if round(now.accents) != round(base.accents):
        said.append(f"{round(now.accents)} accents a braid, not {round(base.accents)}")
    return said or ["nothing one sees"]


def sizes_text(recipe: "Recipe", size: float, units: str) -> str:
    """What the larger sections are written as, and the wider strands that go with them; nothing where zones differ too much to say."""
    from ..cards.speech import speech

    say = speech("en", units)
    worked = [look for look in recipe.zones if not look.left_out]
    grids = {say.length(look.grid.height_mm.value): say.length(look.grid.height_mm.value * size) for look in worked if look.grid.height_mm is not None}
    counts = {look.grid.count: max(1, round(look.grid.count / size**2)) for look in worked if look.grid.count is not None}
    widths = {say.width(feed.width_mm.value): say.width(feed.width_mm.value * size) for look in worked for feed in look.feeds if feed.width_mm is not None}
    if len(grids) + len(counts) > MOST_SIZES or len(widths) > MOST_SIZES:
        return ""
    return "; ".join([*(f"grid {now}, not {was}" for was, now in grids.items()), *(f"{now} sections, not {was}" for was, now in counts.items()),
                      *(f"width {now}, not {was}" for was, now in widths.items())])


def change_text(change: Change, recipe: "Recipe | None" = None, units: str = "inch") -> str:
    """What to do, in words; with the look, in its own stitches and sizes."""
    said = [f"{name} = {option}" for name, option in change.picks]
    if change.size != 1:
        sizes = "" if recipe is None or change.picks else sizes_text(recipe, change.size, units)
        said.append(f"sections {round((change.size - 1) * 100)} % larger each way{sizes and f' ({sizes})'}")
    if change.spacing != 1:
        every = {accent.every for look in recipe.zones for accent in look.accents if accent.every} if recipe else set()
        if len(every) == 1:
            one = every.pop()
            said.append(f"accents every {spaced(one, change.spacing)} stitches, not {one}")
        else:
            said.append(f"accents {change.spacing:g} times as far apart")
    return ", ".join(said) or "as it is"

from .as_data import format_argument, print_data
from .commands import HELP


def register(commands: Any) -> None:
    """Put the command on the line."""
    from .command import recipe_arguments

    parser = commands.add_parser("fit", help=HELP["fit"])
    recipe_arguments(parser)
    parser.add_argument("--within", metavar="TIME", help='chair time on four days in five, such as "5 h"')
    parser.add_argument("--budget", metavar="AMOUNT", help="the client's total, in the house's currency")
    parser.add_argument("--packs", metavar="PACKS", help="packs of hair in all")
    format_argument(parser)
    parser.set_defaults(run=_run)


def _limits(arguments: argparse.Namespace, currency: str) -> tuple[list[tuple[str, Callable[[Looks], bool]]], str]:
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
        words = arguments.budget.split()
        if len(words) > 1 and words[1].upper() != currency:
            return [], f"'{arguments.budget}' is not in {currency}, which this house works in\n  try: --budget \"{words[0]} {currency}\""
        if not budget.is_finite() or not 0 < budget < 1_000_000:
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

    done = compiled_job(arguments, as_json=arguments.format == "json")
    if isinstance(done, int):
        return done
    job, compiled = done
    assert compiled.house is not None
    limits, wrong = _limits(arguments, compiled.house.currency)
    if wrong:
        print(f"plait: {wrong}", file=sys.stderr)
        return WRONG_USE
    base, found, tried = search(arguments, job, compiled, limits)
    wanted = " and ".join(name for name, _ in limits)
    if arguments.format == "json":
        fits = all(holds(base) for _, holds in limits)
        print_data({"wanted": wanted, "fits_as_it_is": fits, "as_it_is": base._asdict(), "tried": tried, "ways": [
            {"change": change_text(fit.change, compiled.recipe, compiled.house.units), "picks": dict(fit.change.picks), "figures": fit.looks._asdict(),
             "costs": cost_text(base, fit.looks, compiled.house.units)} for fit in found[:SHOWN]]})
        return GOOD if fits or found else BAD_TEXT
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
        said = (change_text(fit.change, compiled.recipe, compiled.house.units), _figures(fit.looks, compiled),
                f"costs: {'; '.join(cost_text(base, fit.looks, compiled.house.units))}")
        for line, first in zip(said, (f"{number}. ", "   ", "   ")):
            print(textwrap.fill(line, 80, initial_indent=first, subsequent_indent="     ", break_on_hyphens=False))
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
    helpful: list[tuple[str, str]] = []

    def tries(change: Change) -> Looks | None:
        """The look so changed; None where it can't be had or looks as it did."""
        nonlocal tried
        if change.picks not in settled:
            settled[change.picks] = _settled(arguments, job, dict(change.picks))
        look = settled[change.picks]
        if look is None:
            return None
        tried += 1
        variant = plan_variant(changed(look, change.size, change.spacing), wearer, house)
        looks = None if variant is None else looks_of(variant)
        if looks is None or looks == base or (not change.picks and seen(looks) == seen(base)):
            return None
        if all(holds(looks) for _, holds in limits):
            found.append(Fit(change, looks, distance(base, looks)))
        return looks

    for change in singles(_options(job, recipe.name), dict(recipe.choices)):
        looks = tries(change) if tried < MOST_PLANS else None
        # A pick that goes the other way would only be undone by the rest.
        if looks is not None and _towards(base, looks, arguments):
            helpful += change.picks
    for change in changes(tuple(helpful), has_accents):
        if tried >= MOST_PLANS:
            break
        # Less of the same was enough: more of it is no way of its own.
        if not any(change.holds(fit.change) for fit in found):
            tries(change)
    found.sort(key=lambda fit: fit.distance)
    different: list[Fit] = []
    for fit in found:
        if all(seen(fit.looks) != seen(other.looks) or fit.change.picks != other.change.picks for other in different):
            different.append(fit)
    return base, different, tried


def _towards(base: Looks, looks: Looks, arguments: argparse.Namespace) -> bool:
    """Whether a change goes the way that was asked for: quicker, cheaper or with less hair."""
    return bool((arguments.within is not None and looks.p80 < base.p80)
                or (arguments.budget is not None and looks.total < base.total)
                or (arguments.packs is not None and looks.packs < base.packs))


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
    own = _pairs(arguments.choose, "a choice", "") or {}
    own = {name.lower(): option.lower() for name, option in own.items()}
    done = compile_job(job, arguments.wearer, arguments.house, own | picks, swaps or {})
    return done.recipe


def _figures(looks: Looks, compiled: Any) -> str:
    from .durations import spoken

    return (f"{spoken(looks.minutes)}, 4 days in 5 within {spoken(looks.p80)}; "
            f"{looks.total} {compiled.house.currency}; {looks.packs:.2f} packs")
