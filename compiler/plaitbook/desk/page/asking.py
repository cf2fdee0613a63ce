"""From a number on the card to the figure it is, and what that rests on.

The card prints words, not keys. A number that was clicked is sought among all
the ways in which each figure of the plan can be printed; what stands beside it
and in which part decides between figures of the same value.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any, Iterator

from ...cards.language import NAMES
from ...cards.speech import Speech, speech
from ...cards.wording import THIRDS_AND_QUARTERS, mixed
from ...compile import Compiled
from ...plan.explain import ExplainNode, explain, spoken, where
from ...plan.model import Figure, Plan

MOST_NEAR = 8
MOST_NODES = 400
"""Lines of one explanation that are sent; our own estimate, several times the deepest."""

PARTS = {
    "head": ("sections.", "timing.", "head."), "buy": ("material.", "quote.hair"), "cut": ("material.",),
    "map": ("sections.", "head."), "strip": ("strands.",), "zones": ("strands.", "sections."),
    "finish": ("timing.", "material."), "clock": ("timing.",), "quote": ("quote.",), "know": ("load.", "material.", "strands."),
    "never": ("load.", "material."), "aftercare": ("timing.", "quote."),
}
"""Part of the card -> the figures that it prints, the likeliest first."""
LIKELIEST = ("sections.count", "timing.median_minutes", "timing.p80_minutes", "timing.p95_minutes", "quote.total", "quote.deposit",
             "material.added_worn_g", "load.worst_mn")
"""Figures that stand in a card's most read places: of several with one value, these first."""
_SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2009": " "})


def asked(done: Compiled, part: str, number: str, beside: str, language: str | None = None) -> list[dict[str, str]]:
    """Figures that may be the number clicked, the likeliest first; each with its key, label and value."""
    plan, house = done.plan, done.house
    assert plan and house
    say = speech(language or NAMES[house.language], house.units)  # type: ignore[arg-type]
    wanted = _bare(number)
    words = set(re.findall(r"[^\W\d_]{3,}", beside.lower()))
    found = []
    for key, figure in plan.figures.items():
        if isinstance(figure.value, str):
            continue
        exact = wanted in {_bare(form) for form in forms(figure, say)}
        if not exact:
            continue
        place = next((n for n, start in enumerate(PARTS.get(part, ())) if key.startswith(start)), 9)
        shared = words & set(re.findall(r"[^\W\d_]{3,}", f"{figure.label} {key}".lower()))
        found.append((place, key not in LIKELIEST, -len(shared), len(key), key))
    return [_row(key, plan.figures[key]) for *_, key in sorted(found)[:MOST_NEAR]]


def listed(plan: Plan) -> list[dict[str, str]]:
    """Every figure of a plan, for somebody who looks for one by name."""
    return [_row(key, figure) for key, figure in sorted(plan.figures.items())]


def forms(figure: Figure, say: Speech) -> Iterator[str]:
    """The ways in which a card that speaks like ``say`` may print a figure, with and without a unit."""
    value, unit = figure.value, figure.unit
    if isinstance(value, str):
        return
    number = float(value)
    if isinstance(value, Decimal) or re.fullmatch(r"[A-Z]{3}", unit):
        yield from (say.money(Decimal(str(value)), unit), say.number(f"{number:.2f}"), f"{number:.0f}")
    elif unit == "mm":
        yield from (speech(say.code, units).length(number) for units in ("inch", "metric"))  # type: ignore[arg-type]
        yield from (say.width(number), say.plain(number / 10, 1), say.plain(number, 1))
    elif unit in ("min", "s", "h"):
        minutes = number / 60 if unit == "s" else number * 60 if unit == "h" else number
        yield from (say.duration(minutes), say.duration(5 * round(minutes / 5)), say.plain(minutes), say.plain(number),
                    say.plain(number, 1), say.plain(number, 2))
    elif unit == "g":
        yield from (say.mass(number), say.plain(number), say.plain(number, 1))
    elif unit in ("cm2", "cm²"):
        yield from (say.plain(number), say.plain(number, 1), say.plain(number / 6.4516, 1))
    elif unit == "mN":
        yield from (say.plain(number, 2), say.plain(number, 1))
    else:
        yield from (mixed(number, THIRDS_AND_QUARTERS), say.plain(number), say.plain(number, 1), say.plain(number, 2), say.share(number))


def _bare(form: str) -> str:
    """A printed number without its unit, as far as the unit isn't part of how it is written (``7 h 50``)."""
    text = form.translate(_SPACES).strip()
    if re.match(r"\d+ h(?: \d+)?$", text):
        return text
    match = re.search(r"\d[\d,.]*[½⅓⅔¼¾⅛⅜⅝⅞]?|[½⅓⅔¼¾⅛⅜⅝⅞]", text)
    found = match.group().rstrip(".,") if match else text
    return found.replace(",", "") if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?", found) else found


def _row(key: str, figure: Figure) -> dict[str, str]:
    return {"key": key, "label": figure.label or key, "said": spoken(figure.value, figure.unit)}


def explained(plan: Plan, key: str) -> dict[str, Any]:
    """What a figure rests on, as data: every node once, its inputs by name. Raises ExplainError."""
    nodes: dict[str, dict[str, Any]] = {}
    root = explain(plan.figures, key)
    waiting = [root]
    while waiting and len(nodes) < MOST_NODES:
        node = waiting.pop(0)
        if node.key in nodes:
            continue
        nodes[node.key] = {
            "label": node.label or node.key, "said": spoken(node.value, node.unit), "formula": node.formula, "how": node.how,
            "source": node.source, "inputs": [_input(child) for child in node.children],
        }
        waiting += [child for child in node.children if child.key]
    return {"root": key, "nodes": nodes}


def _input(node: ExplainNode) -> dict[str, Any]:
    origin = node.origin
    return {
        "name": node.name.replace("_", " "), "key": node.key, "said": spoken(node.value, node.unit),
        "label": node.label if node.key else "", "where": where(origin) if origin is not None else "",
        "file": origin.file if origin is not None else "", "line": origin.line if origin is not None else 0,
    }
