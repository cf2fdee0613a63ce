"""A compiled look as the page shows it: the card in parts, the totals, the mistakes and the remarks."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from ...compile import Compiled
from ...plan.model import Finding, Plan
from ...syntax.problem import Problem, Span
from ..editing.fixes import fixes
from ..messages import problem_data

_OPENS = re.compile(r'<header class="head"|<section id="([\w-]+)"|<footer>')
_STEP = re.compile(r'<b aria-hidden="true">\d+</b>')
"""The number of a step: the page counts them itself, so that one part more doesn't change all that follow."""
_STYLE = re.compile(r' style="([^"<>]*)"')


@dataclass(frozen=True)
class Part:
    """One part of the card as HTML. ``mark`` tells whether the page has it already."""

    key: str
    html: str
    mark: str


def card_parts(compiled: Compiled, paper: str | None, with_look: bool = False, language: str | None = None,
               only: Collection[str] | None = None) -> tuple[Part, ...]:
    """The card's head, its sections (all, or ``only`` some) and its foot. Widths stand in ``data-css``: a strict policy
    allows no style attribute."""
    html = card_html(compiled, paper, with_look, language, only)
    places = list(_OPENS.finditer(html))
    ends = [*(place.start() for place in places[1:]), html.index("</footer>") + len("</footer>")]
    parts = []
    for place, end in zip(places, ends):
        key = place.group(1) or ("head" if place.group().startswith("<header") else "foot")
        body = _STYLE.sub(r' data-css="\1"', _STEP.sub('<b aria-hidden="true" class="step"></b>', html[place.start():end], count=1))
        parts.append(Part(key, body, sha256(body.encode("utf-8", "replace")).hexdigest()[:12]))
    return tuple(parts)


def card_html(compiled: Compiled, paper: str | None, with_look: bool, language: str | None, only: Collection[str] | None = None) -> str:
    """The card as a page of its own: all of it, or its head and ``only`` some parts."""
    from ...cards.build import write_card
    from ...cards.html import render_html

    assert compiled.plan and compiled.recipe and compiled.wearer and compiled.house
    return render_html(write_card(compiled.plan, compiled.recipe, compiled.wearer, compiled.house,
                                  with_look=with_look, paper=paper, language=language, only=only))  # type: ignore[arg-type]


# --- totals -------------------------------------------------------------------


def totals(compiled: Compiled, language: str) -> list[dict[str, Any]]:
    """What a stylist asks first, each with the key of its figure and its value as the card says it."""
    from ...cards.speech import speech

    plan, house = compiled.plan, compiled.house
    assert plan and house
    say = speech(language, house.units)  # type: ignore[arg-type]
    rows: list[dict[str, Any]] = []

    def add(what: str, key: str, said: str, about: str = "") -> None:
        if key in plan.figures:
            value = plan.figures[key].value
            rows.append({"what": what, "key": key, "said": said, "about": about,
                         "value": None if isinstance(value, str) else float(value)})

    add("sections", "sections.count", str(plan.sections.count))
    for key, figure in plan.figures.items():
        if key.startswith("material.") and key.endswith(".packs_used"):
            add("packs", key, say.packs(float(figure.value)), figure.label.removeprefix("packs of ").removesuffix(" used"))
    add("chair", "timing.median_minutes", say.duration(plan.timing.median_minutes))
    if "quote.total" in plan.figures:
        figure = plan.figures["quote.total"]
        add("price", "quote.total", say.money(figure.value, figure.unit))  # type: ignore[arg-type]
    add("load", "load.worst_mn", f"{say.plain(float(plan.figures['load.worst_mn'].value), 2)}\u00a0mN"
        if "load.worst_mn" in plan.figures else "")
    add("added", "material.added_worn_g", say.mass(float(plan.figures["material.added_worn_g"].value))
        if "material.added_worn_g" in plan.figures else "")
    return rows


def compared(now: list[dict[str, Any]], before: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The totals, each with what it was in the saved version (``before``) and by how much it moved, as a share."""
    was = {row["key"]: row for row in before}
    rows = []
    for row in now:
        old = was.get(row["key"])
        moved = None
        if old is not None and old["value"] is not None and row["value"] is not None:
            moved = (row["value"] - old["value"]) / abs(old["value"]) if old["value"] else row["value"]
            moved = 0.0 if abs(moved) < 1e-9 else moved
        rows.append({**row, "before": old["said"] if old else "", "moved": moved})
    return rows


# --- mistakes and remarks --------------------------------------------------------


def problem_rows(problems: tuple[Problem, ...], name: str, text: str) -> list[dict[str, Any]]:
    """Mistakes as data; those of the file in hand with the fixes that can be put in place."""
    rows = []
    for problem in problems[:100]:
        row = problem_data(problem)
        row["fixes"] = [
            {"title": fix.title, "edits": [{**span_data(edit.span), "text": edit.text} for edit in fix.edits]}
            for fix in fixes(problem, text) if all(edit.span.file == name for edit in fix.edits)
        ] if problem.span.file == name else []
        rows.append(row)
    return rows


def finding_rows(plan: Plan) -> list[dict[str, Any]]:
    """The rules' findings as data, with the line each is about."""
    return [_finding(finding) for finding in plan.findings]


def _finding(finding: Finding) -> dict[str, Any]:
    return {"code": finding.code, "severity": finding.severity, "message": finding.message, "fix": finding.fix,
            "file": finding.file, "line": finding.line, "allowed": finding.allowed_because}


def span_data(span: Span) -> dict[str, Any]:
    """A span as data; columns count from 1, in whole characters."""
    return {"line": span.line, "column": span.column, "end": span.end}
