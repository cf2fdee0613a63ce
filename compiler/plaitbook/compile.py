"""The road from text to plan, on one screen.

text → tree → recipe → plan. Each stage takes values and returns a value and
its problems; nothing reaches back.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from .meaning.book import Book, Fetch, open_book
from .meaning.inherit import inherit
from .meaning.model import House, Recipe, Wearer
from .meaning.names import refuse_unknown_names
from .meaning.settle import settle
from .meaning.standing import house_or_default, pick_one, wearer_or_default
from .mistakes import all_wrong
from .passes.load import weigh_load
from .passes.material import portion_material
from .passes.quote import price_service
from .passes.rates import rates_for
from .passes.sections import lay_sections
from .passes.strands import work_strands
from .passes.timing import clock_service
from .plan.model import Figure, Head, Plan, Seal
from .plan.seal import look_ingredients, sealed
from .rules import Parts, judge
from .rules.read import read_rules
from .rules.rule import HouseRule
from .syntax.problem import Problem, sort_problems

VERSION = "0.1.0"


@dataclass(frozen=True)
class Request:
    """What is asked for: which look, for whom, where, and what was picked. Names, not files."""

    look: str | None = None
    wearer: str | None = None
    house: str | None = None
    picks: dict[str, str] = field(default_factory=dict)
    swaps: dict[str, str] = field(default_factory=dict)
    """Hair -> the hair that stands in for it on this card."""


@dataclass(frozen=True)
class Compiled:
    """A plan with what it was made from, or the problems that stopped it. Never both."""

    problems: tuple[Problem, ...]
    plan: Plan | None = None
    recipe: Recipe | None = None
    wearer: Wearer | None = None
    house: House | None = None
    house_rules: tuple[HouseRule, ...] = ()
    """The house's own rules that the plan was judged by."""


def compile_recipe(
    text: str, file: str = "recipe.plait", request: Request = Request(), *,
    beside: tuple[tuple[str, str], ...] = (), fetch: Fetch | None = None,
) -> Compiled:
    """Compile one look of a recipe file for one wearer in one house.

    ``beside`` are (path, text) files in scope without being asked for: the
    book. ``fetch`` brings in what the files ``use``; without it, ``use`` is a
    problem. Never raises for anything a text may hold.
    """
    book = open_book([(file, text), *beside], fetch)
    if book.problems:
        return Compiled(all_wrong(book, file, request.look))
    return compile_from_book(book, file, request)


def compile_from_book(book: Book, file: str, request: Request, last: Compiled | None = None) -> Compiled:
    """Compile one look of an opened book; ``file`` is where the look is sought first.

    ``last`` is an earlier plan of the same file and request: where nothing but words changed since, its parts
    are taken over, which changes nothing but the time it takes.
    """
    problems: list[Problem] = []
    look = pick_one(book, file, request.look, problems)
    wearer = wearer_or_default(book, request.wearer, file, problems)
    house = house_or_default(book, request.house, file, problems)
    if look is None or wearer is None or house is None:
        return Compiled(sort_problems(problems))
    whole = inherit(look, book.looks, problems)
    if whole is not None:
        refuse_unknown_names(book, whole, wearer, house, problems)
    house_rules = read_rules(tuple(book.rules.values()), problems)
    if whole is None or problems:
        return Compiled(sort_problems(problems))
    recipe = settle(whole, wearer, house, book.hairs, book.ornaments, request.picks, problems, request.swaps)
    if recipe is None:
        return Compiled(sort_problems(problems))
    used = look_ingredients(whole, book.hairs, book.ornaments, {rule.code: rule for rule in house_rules})
    seal = sealed(used, recipe, wearer, house, rates_for(house), VERSION)
    if last is not None and last.plan is not None and _same_work(last, recipe, wearer, house, house_rules):
        plan = last.plan.model_copy(update={"head": _head(recipe, wearer, house, file, seal)})
        return Compiled((), plan, recipe, wearer, house, house_rules)
    return plan_settled(recipe, wearer, house, house_rules, file, seal)


def _same_work(last: Compiled, recipe: Recipe, wearer: Wearer, house: House, house_rules: tuple[HouseRule, ...]) -> bool:
    """Whether a recipe differs from an earlier one in words that no pass and no rule reads, if at all."""
    assert last.recipe is not None
    words = {"summary": last.recipe.summary, "notes": last.recipe.notes}
    return ((last.wearer is wearer or last.wearer == wearer) and (last.house is house or last.house == house)
            and last.house_rules is house_rules and recipe.model_copy(update=words) == last.recipe)


def plan_settled(recipe: Recipe, wearer: Wearer, house: House, house_rules: tuple[HouseRule, ...], file: str,
                 seal: Seal | None = None) -> Compiled:
    """Run the passes, then the rules, and put the plan together."""
    sections, figures, problems = lay_sections(recipe, wearer, house)
    if sections is None or problems:
        return Compiled(sort_problems(list(problems)))
    work, strand_figures, problems = work_strands(recipe, wearer, house, sections)
    if work is None or problems:
        return Compiled(sort_problems(list(problems)))
    kinds, strands = work
    material, material_figures, problems = portion_material(recipe, wearer, house, sections, kinds)
    if material is None or problems:
        return Compiled(sort_problems(list(problems)))
    load, load_figures, problems = weigh_load(recipe, wearer, house, sections, kinds)
    if load is None or problems:
        return Compiled(sort_problems(list(problems)))
    timing, timing_figures, problems = clock_service(recipe, wearer, house, sections, kinds, material)
    if timing is None or problems:
        return Compiled(sort_problems(list(problems)))
    quote, quote_figures, problems = price_service(recipe, wearer, house, material, timing)
    if quote is None or problems:
        return Compiled(sort_problems(list(problems)))
    findings = judge(recipe, wearer, house,
                     Parts(sections, kinds, strands, material, load, timing, quote), house_rules)
    found: dict[str, Figure] = {
        figure.key: figure
        for part in (figures, strand_figures, material_figures, load_figures, timing_figures, quote_figures)
        for figure in part
    }
    plan = Plan(
        head=_head(recipe, wearer, house, file, seal), sections=sections, strand_kinds=kinds, strands=strands,
        material=material, load=load, timing=timing, quote=quote, findings=findings, figures=found,
    )
    return Compiled((), plan, recipe, wearer, house, house_rules)


def _head(recipe: Recipe, wearer: Wearer, house: House, file: str, seal: Seal | None) -> Head:
    adaptations = tuple(f"when {t.what}: {', '.join(t.sets)}" for t in recipe.taken if t.by == "when")
    return Head(
        edition=1, recipe=recipe.name, version=recipe.version, summary=recipe.summary,
        file=recipe.origin.file or file, wearer=wearer.name, house=house.name, choices=recipe.choices,
        picked=tuple(t.what.partition(" = ")[0] for t in recipe.taken if t.by == "pick"), swapped=recipe.swapped,
        adaptations=adaptations, demo=recipe.demo or wearer.demo or house.demo, compiler=VERSION,
        seal=seal,
    )
