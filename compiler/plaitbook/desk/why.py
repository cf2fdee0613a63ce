"""``plait why CODE [RECIPE]``: the page of a rule, a built-in one or one of the recipe's book."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from .as_data import format_argument, print_data
from .commands import HELP
from .command import BAD_TEXT, GOOD, cant_read, report_problems

if TYPE_CHECKING:
    from ..rules import Rule


def register(commands: Any) -> None:
    """Put the command on the command line."""
    why = commands.add_parser("why", help=HELP["why"])
    why.add_argument("code", metavar="CODE", nargs="?", help="such as H02; none lists them")
    why.add_argument("recipe", metavar="RECIPE", nargs="?", help="for the house's own rules: a .plait file of the book")
    format_argument(why)
    why.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the page; 1 where no rule has the code or the book can't be read."""
    from ..rules import REASON_RULES, RULES
    from ..rules.page import rule_text
    from ..syntax.suggest import did_you_mean

    rules = {rule.code: rule for rule in (*RULES, *REASON_RULES)}
    if arguments.recipe is not None:
        own = _of_the_book(arguments.recipe)
        if own is None:
            return BAD_TEXT
        rules |= own
    as_json = arguments.format == "json"
    if arguments.code is None:
        if as_json:
            print_data([{"code": code, "severity": rule.severity, "name": rule.name} for code, rule in sorted(rules.items())])
            return GOOD
        for code, rule in sorted(rules.items()):
            print(f"{code:<6} {rule.severity:<5} {rule.name}")
        return GOOD
    code = arguments.code.upper()
    if code in rules and as_json:
        from ..rules.page import paragraphs

        rule = rules[code]
        print_data({"code": code, "severity": rule.severity, "name": rule.name,
                    "page": [{"heading": heading, "text": text} for heading, text in paragraphs(rule)]})
        return GOOD
    if code in rules:
        print(rule_text(rules[code]), end="")
        return GOOD
    hint = did_you_mean(code, rules)
    if len(hint) > 200:
        hint = "list them with: plait why" if arguments.recipe else (
            "list them with: plait why; for a house's own, name a recipe too")
    print(f"no rule has the code '{arguments.code}'\n  try: {hint}", file=sys.stderr)
    return BAD_TEXT


def _of_the_book(recipe: str) -> "dict[str, Rule] | None":
    """The house's own rules by code, as pages; None after saying what is wrong."""
    from ..rules.page import page_of_house_rule
    from .service import house_rules, open_job
    from .shelf import CantRead

    try:
        job = open_job(recipe)
        rules, problems = house_rules(job)
    except CantRead as error:
        cant_read(error, as_json=False)
        return None
    if problems:
        report_problems(problems, job, as_json=False)
        return None
    return {rule.code: page_of_house_rule(rule) for rule in rules}
