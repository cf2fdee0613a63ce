"""A rule's page: what it looks for, why, what to do, and how far its source can be trusted."""

from __future__ import annotations

import textwrap

from .names import FACTS, FIGURES, FOUND_TEXTS, TEXTS
from .naming import FactName, FigureName
from .rule import HouseRule, Rule
from .things import THINGS, Thing

_SEVERITY = {
    "stop": "stop: the work doesn't begin, unless a written reason allows it (it then prints on the card)",
    "warn": "warn: think about it before the first part",
    "ask": "ask: a question to put to the wearer or the catalogue",
    "note": "note: good to know",
}

UNITS = {"mm": "a length", "um": "a thickness, `µm`", "cm2": "an area", "g": "a weight", "s": "a time", "years": "a time",
         "weeks": "a time", "c": "a temperature", "mn": "`mN`", "per cm2": "`hairs/cm²`", "money": "the house's money",
         "": "a plain number"}
"""The fixed unit of a figure -> how its bound is written."""


def paragraphs(rule: Rule) -> list[tuple[str, str]]:
    """(heading, text) of each part of the page, the severity first without a heading."""
    what = f"`{rule.what}`" if rule.condition is not None else f"{rule.what}"
    found = [("", _sentence(_SEVERITY[rule.severity])), ("Looks for", f"{what}.")]
    if rule.message:
        found.append(("Says", f'"{rule.message}"'))
    found.append(("Why", _sentence(rule.why)))
    todo = _sentence(rule.fix) if rule.fix else "As the house thinks right."
    if rule.severity == "stop":
        todo += (" To go on all the same, write the reason in the recipe or the wearer's file, under the code "
                 f"{rule.code}: `allow {rule.code} because \"…\"`.")
    return [*found, ("What to do", todo), ("Source", _sentence(rule.source))]


def _sentence(text: str) -> str:
    text = text[0].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else text + "."


def rule_page(rule: Rule) -> str:
    """The page as Markdown, ending in a newline."""
    parts = "\n\n".join(f"**{heading}.** {text}" if heading else text for heading, text in paragraphs(rule))
    return f"# {rule.code}: {rule.name}\n\n{parts}\n"


def rule_text(rule: Rule, width: int = 80) -> str:
    """The page in lines of at most ``width`` characters, for a terminal."""
    lines = [f"{rule.code}: {rule.name}", ""]
    for heading, text in paragraphs(rule):
        said = f"{heading}: {text}" if heading else text
        lines += textwrap.wrap(said.replace("`", ""), width, subsequent_indent="  ", break_on_hyphens=False)
    return "\n".join(lines) + "\n"


def page_of_house_rule(rule: HouseRule) -> Rule:
    """A house's rule as the page sees it."""
    return Rule(rule.code, rule.name or "a rule of the house", rule.severity, rule.asked, rule.reason, rule.fix,
                rule.source, None, rule.condition, rule.message)


def all_pages() -> str:
    """``docs/rules.md``: how to write a rule, then every built-in rule's page, by code."""
    from .catalogue import REASON_RULES, RULES

    rules = sorted((*RULES, *REASON_RULES), key=lambda rule: rule.code)
    index = "\n".join(f"- [{rule.code}](#{_anchor(rule)}) {rule.name} ({rule.severity})" for rule in rules)
    pages = "\n".join(rule_page(rule).replace("# ", "## ", 1) for rule in rules)
    return (
        "# The rules\n\nGenerated from the rules themselves: `python -m plaitbook.rules.page > docs/rules.md`. A rule "
        "judges a plan; it never calls a load safe. Local codes and licensed practice come first.\n\n"
        f"{_how_to()}\n## The built-in rules\n\n"
        f"{len([r for r in rules if r.condition is not None])} of {len(rules)} are written in the language, in "
        "`compiler/plaitbook/rules/built-in/`; the others say in `rules/work.py` and `rules/engine.py` why they "
        "can't be. On the command line: `plait why CODE`.\n\n"
        f"{index}\n\n{pages}"
    )


def _anchor(rule: Rule) -> str:
    heading = f"{rule.code}: {rule.name}".lower()
    return "".join(c for c in heading if c.isalnum() or c in " -").replace(" ", "-")


# --- writing one's own ----------------------------------------------------------------

_EXAMPLE = """\
```plait
edition 1
rule "long day, much hair"
code X41
severity warn
if slow time over 6 h and added weight over 2 times own weight
message "{slow time} on a slow day, with {added weight} of added hair."
reason "We split such sets over two visits."
source "our own practice"
fix "Offer two visits, or larger sections."
rule "small sections at the edge"
code X42
severity note
if any section in hairline where hairs under 60
message "{hairs} hairs in {numbers}."
```"""


def _how_to() -> str:
    things = "\n".join(_thing(thing) for thing in THINGS.values())
    figures = "\n".join(_figure(figure) for figure in FIGURES.values())
    facts = "\n".join(_fact(fact) for fact in FACTS.values())
    texts = "\n".join(f"| `{{{text.name}}}` | {text.what} |" for text in TEXTS.values())
    found = "\n".join(f"| `{{{name}}}` | with `any … where`: {what} |" for name, what in FOUND_TEXTS.items())
    return f"""\
## Writing your own

{_EXAMPLE}

`code` is one no other rule has. `severity` is `stop`, `warn`, `note` or `ask`. `if` is a condition: figures compared with `over`, `under`, `at least`, `at most`, against a measure with its unit or against another figure (`sits under time`, `added weight over 2 times own weight`); facts tested with `is` and `is not`; `is unknown` for what nobody knows; `and`, `or`, `not`, brackets. Nothing is ever divided. `message`, and `fix` if you like, print; a name in braces prints its value in the house's own units. `reason` says why and `source` who says so.

A rule over something unknown asks instead of passing silently. A built-in rule leaves the asking to the questions (Q01 to Q11). A `stop` yields only to a written reason: `allow X41 because "…"` in the recipe or with the wearer.

Rules that can't all be meant are mistakes, told with both places: one that can never hold or always holds; two that test the same thing; one that a more severe rule always says first.

### Figures

A figure may also be of one hair or role (`packs of base`, `packs to buy of base`, `pieces of base`, `hair used of base`) or of one zone (`sections in nape`, `load in nape`, `wearing in nape`, `width in nape`).

| Figure | Compared with | What it is |
| --- | --- | --- |
{figures}

### Facts

| Fact | Words | What it is |
| --- | --- | --- |
{facts}

### One by one

`any` or `every`, one of these, `in` and zones if you like, then `where` and a condition. Inside it the names below stand before those above. A message speaks of all that was found: `{{hairs}}` prints a range.

{things}

### In messages only

| Name | What it prints |
| --- | --- |
{texts}
{found}
"""


def _figure(figure: FigureName) -> str:
    return f"| {figure.name} | {UNITS[figure.unit]} | {figure.what} |"


def _fact(fact: FactName) -> str:
    return f"| {fact.name} | {', '.join(fact.words)} | {fact.what} |"


def _thing(thing: Thing) -> str:
    said = [f"{figure.name} ({figure.what}; {UNITS[figure.unit]})" for figure in thing.figures.values()]
    said += [f"{fact.name} ({', '.join(fact.words)})" for fact in thing.facts.values()]
    said += [f"in messages `{{{text.name}}}`, {text.what}" for text in thing.texts.values()]
    return f"- `{thing.name}`, {thing.what}: " + "; ".join(said) + "."


if __name__ == "__main__":
    import sys

    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    sys.stdout.write(all_pages())
