"""``based on``: a look takes over what its base says, statement by statement."""

from __future__ import annotations

from dataclasses import replace

from ..syntax.problem import Problem
from ..syntax.suggest import did_you_mean, nearest
from .look import Look
from .overruled import sift

MAX_DEPTH = 32


def inherit(look: Look, looks: dict[str, Look], problems: list[Problem]) -> Look | None:
    """The look with everything it inherits. None when its bases run in a ring or are missing."""
    chain = [look]
    while chain[-1].based_on:
        name, version, span = chain[-1].based_on[0]
        base = looks.get(name)
        if base is None:
            others = nearest(name, (each for each in looks if each != chain[-1].name))
            problems.append(Problem("E430", f'there is no look "{name}" to be based on',
                                    did_you_mean(name, others) if others else
                                    f'declare recipe "{name}", or bring its file in with use "…"', span))
            return None
        if version is not None and base.version != version:
            problems.append(Problem("E431", f'"{name}" is at version {base.version}, not {version}',
                                    f'write version {base.version}, or leave the version out', span,
                                    ((f'"{name}" is declared here', base.span),)))
            return None
        names = [each.name for each in chain]
        if base.name in names:
            ring = " → ".join([*names[names.index(base.name):], base.name])
            problems.append(Problem("E432", f"these looks are based on each other: {ring}",
                                    "take one 'based on' out", span))
            return None
        if len(chain) >= MAX_DEPTH:
            problems.append(Problem("E433", f'"{look.name}" is based on more than {MAX_DEPTH} looks in a row',
                                    "base it on an earlier look directly", span))
            return None
        chain.append(base)
    result = chain[-1]
    for child in reversed(chain[:-1]):
        result = _over(child, result)
    return replace(result, parents=tuple(each.name for each in chain[1:]))


def _over(child: Look, base: Look) -> Look:
    """``child`` laid over ``base``: what the child says replaces the same statement of the base."""
    replaced = {(said.slot, said.zones) for said in child.said}
    choices = {choice.name for choice in child.choices}
    roles = {role.role for role in child.roles}
    conditions = {when.text for when in child.whens}
    figures = {(expect.figure, expect.wearer, expect.house) for expect in child.expects}
    whole = replace(
        child,
        summary=child.summary or base.summary,
        said=(*(replace(s, depth=s.depth + 1) for s in base.said if (s.slot, s.zones) not in replaced), *child.said),
        choices=(*(replace(c, depth=c.depth + 1) for c in base.choices if c.name not in choices), *child.choices),
        roles=(*(replace(r, depth=r.depth + 1) for r in base.roles if r.role not in roles), *child.roles),
        whens=(*(replace(w, depth=w.depth + 1) for w in base.whens if w.text not in conditions), *child.whens),
        expects=(*(e for e in base.expects if (e.figure, e.wearer, e.house) not in figures), *child.expects),
        allows=child.allows or base.allows,
        products=child.products or base.products,
        lost=child.lost | base.lost,
    )
    return sift(whole, base)
