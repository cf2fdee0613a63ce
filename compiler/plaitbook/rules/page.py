"""A rule's page: what it looks for, why, what to do, and how far its source can be trusted."""

from __future__ import annotations

from .rule import Rule

_SEVERITY = {
    "stop": "stop: the work doesn't begin, unless a written reason allows it (it then prints on the card)",
    "warn": "warn: think about it before the first part",
    "ask": "ask: a question to put to the wearer or the catalogue",
    "note": "note: good to know",
}


def rule_page(rule: Rule) -> str:
    """The page as Markdown, ending in a newline."""
    allow = (
        f'\n\nTo go on all the same, write the reason in the recipe or the wearer\'s file, under the code {rule.code}.'
        if rule.severity == "stop" else "")
    return (
        f"# {rule.code}: {rule.name}\n\n{_SEVERITY[rule.severity].capitalize()}.\n\n"
        f"**Looks for** {rule.what}.\n\n**Why.** {rule.why}\n\n**What to do.** {rule.fix[0].upper()}{rule.fix[1:]}.{allow}"
        f"\n\n**Source.** {rule.source[0].upper()}{rule.source[1:]}.\n"
    )


def all_pages() -> str:
    """``docs/rules.md``: every built-in rule's page, by code."""
    from .catalogue import RULES
    from .engine import REASON_RULES

    rules = sorted((*RULES, *REASON_RULES), key=lambda rule: rule.code)
    index = "\n".join(f"- [{rule.code}](#{_anchor(rule)}) {rule.name} ({rule.severity})" for rule in rules)
    pages = "\n".join(rule_page(rule).replace("# ", "## ", 1) for rule in rules)
    return (
        "# The rules\n\nGenerated from the rules themselves: `python -m plaitbook.rules.page`. A rule judges a plan; "
        "it never calls a load safe. Local codes and licensed practice come first.\n\n"
        f"{index}\n\n{pages}"
    )


def _anchor(rule: Rule) -> str:
    heading = f"{rule.code}: {rule.name}".lower()
    return "".join(c for c in heading if c.isalnum() or c in " -").replace(" ", "-")


if __name__ == "__main__":
    import sys

    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    sys.stdout.write(all_pages())
