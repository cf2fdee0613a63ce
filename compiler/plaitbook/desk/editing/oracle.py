"""What a statement takes, asked of the readers that give it meaning: never of a list kept beside them.

A reader is shown a statement and says what is wrong with it. From what it says
come the units a number may have, and the examples of what a fact takes.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal, get_args, get_origin

from ...meaning.facts import SCHEMAS, read_facts
from ...meaning.layers import MEASURED
from ...meaning.look import read_look
from ...meaning.model import Hair, House, Ornament, Wearer
from ...meaning.unit_table import UNITS
from ...rules.names import DIMENSIONS, find_figure
from ...rules.things import THINGS
from ...syntax import vocabulary
from ...syntax.expected import ending_after, expected_after
from ...syntax.grammar import Fault, read_statement
from ...syntax.problem import Problem
from ...syntax.tree import Declaration, Segment, Statement

_MODELS = {"hair": Hair, "ornament": Ornament, "wearer": Wearer, "house": House}
_HERE = (Segment(0, 1, 1),)
_RIGHT_KIND = {"E501", "E502", "E503", "E504", "E507", "E508"}
"""Said of a number that has the right unit and the wrong size."""
_CAPITALS = {"°c": "°C", "°f": "°F", "mn": "mN"}
_NONSENSE = "qqnothing"


def wrong_with(kind: str, word: str, rule: str, text: str) -> tuple[Problem, ...] | None:
    """What the readers say of one statement on its own; columns count from its first letter. None: it can't be read."""
    node = read_statement(rule, text)
    head = read_statement("declaration_statement", '"x"')
    if isinstance(node, Fault) or isinstance(head, Fault):
        return None
    declaration = Declaration(kind, "x", Statement(kind, head, '"x"', "", _HERE),
                              (Statement(word, node, text, "", _HERE),))
    problems: list[Problem] = []
    if kind == "recipe":
        read_look(declaration, problems)
    elif kind in SCHEMAS:
        read_facts(declaration, problems)
    return tuple(problems)


@lru_cache(maxsize=1024)
def units_after(kind: str, word: str, rule: str, before: str) -> tuple[str, ...]:
    """The units that the number at the end of ``before`` may have, the usual spelling of each."""
    number = re.search(r"[-\d./ ½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]+$", before)
    said = number.group().strip() if number else ""
    if not said:
        return ()
    begins = before.rstrip().rfind(said)
    compared = _compared(kind, rule, before)
    found = []
    for dimension, units in _spellings(said).items():
        if compared is not None:
            fits = dimension == compared
        else:
            text = f"{before.rstrip()} {units[0]}"
            problems = wrong_with(kind, word, rule, text + (ending_after(rule, text) or ""))
            fits = problems is not None and not any(
                p.span.column <= len(text) and p.span.end > begins + 1 and p.code not in _RIGHT_KIND for p in problems)
        if fits:
            found += [_CAPITALS.get(unit, unit) for unit in units]
    return tuple(found)


def takes_money(kind: str, word: str, rule: str, before: str) -> bool:
    """Whether the number at the end of ``before`` may be an amount of money."""
    if kind not in SCHEMAS:
        return False
    problems = wrong_with(kind, word, rule, f"{before.rstrip()} usd")
    return problems is not None and not any(p.code not in _RIGHT_KIND for p in problems)


def _compared(kind: str, rule: str, before: str) -> str | None:
    """The dimension of a figure that is compared with the number; None where nothing is compared."""
    if rule not in ("when_statement", "if_statement", "expect_statement"):
        return None
    expected = expected_after(rule, before)
    trail = list(expected.trail) if expected is not None else []
    at = max((n for n, (terminal, _, _) in enumerate(trail)
              if terminal in ("OVER", "ABOVE", "UNDER", "BELOW", "AT", "BETWEEN")), default=-1)
    colon = any(terminal == "COLON" for terminal, _, _ in trail)
    if at < 1 or colon:
        return None
    start = at
    while start and trail[start - 1][0] in ("WORD", "IN", "ZONE"):
        start -= 1
    name = " ".join(text for _, text, _ in trail[start:at])
    if kind == "recipe" and rule == "when_statement":
        return MEASURED.get(name, "")
    figure = find_figure(name, thing_before(tuple(trail[:start])))
    return "" if figure is None else DIMENSIONS.get(figure.unit, ("", 1.0))[0]


def thing_before(trail: tuple[tuple[str, str, int], ...]) -> str:
    """What ``any …`` or ``every …`` looks at, where a condition is inside one."""
    words = [text for _, text, _ in trail]
    for at in range(len(words) - 1, -1, -1):
        if words[at] in ("any", "every"):
            return next((" ".join(words[at + 1 : at + 1 + n]) for n in (2, 1)
                         if " ".join(words[at + 1 : at + 1 + n]) in THINGS), "")
    return ""


@lru_cache(maxsize=64)
def _spellings(number: str) -> dict[str, tuple[str, ...]]:
    """Dimension -> the usual spelling of each of its units, after this number."""
    one = number in ("1", "½", "⅓", "⅔", "¼", "¾", "1/2", "1/4", "1/3")
    by_size: dict[tuple[str, object, object], list[str]] = {}
    for unit, (dimension, factor, offset) in UNITS.items():
        by_size.setdefault((dimension, factor, offset), []).append(unit)
    found: dict[str, list[str]] = {}
    for (dimension, _, _), spelled in by_size.items():
        shortest = min((unit for unit in spelled if unit not in "″′℃℉cf"),
                       key=lambda unit: (not unit.startswith("°"), len(unit), unit.isascii()))
        # "pack" has a plural; "min" is short for a longer word and has none worth writing.
        plural = f"{shortest}s"
        short_form = any(len(unit) > len(plural) and unit.startswith(shortest[0]) for unit in spelled)
        usual = plural if plural in spelled and not short_form and len(shortest) > 2 and not one else shortest
        found.setdefault(dimension, []).append(usual)
    return {dimension: tuple(units) for dimension, units in found.items()}


@lru_cache(maxsize=256)
def fact_words(kind: str, fact: str) -> tuple[str, ...]:
    """The words a fact may be, from the model that holds it."""
    field = SCHEMAS.get(kind, {}).get(fact, ("", None))[0]
    model = _MODELS.get(kind)
    words = _literals(model.model_fields[field].annotation) if model is not None and field in model.model_fields else []
    words += [word for word in ("none", "unknown") if fact in SCHEMAS.get(kind, {})
              and wrong_with(kind, fact, "fact_value", word) == ()]
    return tuple(dict.fromkeys(words))


def _literals(annotation: object) -> list[str]:
    if annotation is bool:
        return ["yes", "no"]
    if get_origin(annotation) is Literal:
        return [str(word) for word in get_args(annotation)]
    return [word for inner in get_args(annotation) if get_origin(annotation) is not tuple for word in _literals(inner)]


@lru_cache(maxsize=256)
def examples(kind: str, fact: str) -> tuple[str, ...]:
    """Right values of a fact, from what its reader says of a wrong one: ``15 min every 2 h``."""
    if fact not in SCHEMAS.get(kind, {}):
        return ()
    found: list[str] = []
    usual = vocabulary.FACT_EXAMPLES[kind].get(fact, fact).removeprefix(fact).strip()
    for nonsense in (_NONSENSE, f'"{_NONSENSE}" "{_NONSENSE}"', "none 1 qq"):
        for problem in wrong_with(kind, fact, vocabulary.FACT_RULES.get(fact, "fact_value"), nonsense) or ():
            for said in suggested(problem.help):
                value = said.removeprefix(f"{fact} ")
                if "qq" not in value and '"none"' not in value and wrong_with(kind, fact, "fact_value", value) == ():
                    found.append(value)
    return tuple(dict.fromkeys(found or ([usual] if '"' in usual else [])))


def suggested(help: str) -> tuple[str, ...]:
    """What a message's help says to write, each way on its own: ``18 in``, ``18 cm``, ``18 mm``."""
    after = re.search(r"(?:such as|: |write |on a child: )(?!.*such as )(.*)$", help)
    texts = [after.group(1)] if after else []
    texts += re.findall(r"write (.*)$", help)
    texts += re.findall(r": ([^:]*(?::\d\d)?)$", help)
    found: list[str] = []
    for text in texts:
        parts = re.split(r", or |, (?=[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])| or (?=[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])|; ", text)
        found += [part.strip().rstrip("?.") for part in (text, *parts)]
    return tuple(dict.fromkeys(part for part in found if part))
