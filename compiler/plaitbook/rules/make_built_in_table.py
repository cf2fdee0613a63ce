"""Write built_in_table.py from the rules in built-in/: ``python -m plaitbook.rules.make_built_in_table``.

The files are read by the same reader as a house's own rules. What it finds is
kept as a module because reading the conditions anew costs each cold start
about 25 ms; a test holds the two to each other.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from ..syntax.parse import parse
from ..syntax.problem import Problem
from .read import read_declarations
from .rule import Rule

FOLDER = Path(__file__).with_name("built-in")
TABLE = Path(__file__).with_name("built_in_table.py")
_NEEDED = ("code", "severity", "if", "message", "reason", "source", "fix")

_HEAD = '''"""Generated from built-in/*.plait by make_built_in_table.py: do not edit."""

from .conditions import And, Compare, Each, Is, Not, Or, Unknown
from .rule import Rule

IN_THE_LANGUAGE: tuple[Rule, ...] = (
'''


def read_built_in() -> tuple[Rule, ...]:
    """The built-in rules as their files say them. Raises ValueError with the first mistake."""
    problems: list[Problem] = []
    declarations = []
    for path in sorted(FOLDER.glob("*.plait")):
        tree, found = parse(path.read_text("utf-8"), path.name)
        problems += found
        declarations += tree.declarations
    rules = read_declarations(tuple(declarations), frozenset(), _NEEDED, problems)
    if problems:
        first = problems[0]
        raise ValueError(f"{first.span.file}:{first.span.line}: {first.message}; {first.help}")
    return tuple(Rule(r.code, r.name, r.severity, r.asked, r.reason, r.fix, r.source, None, r.condition, r.message)
                 for r in rules)


def table_source() -> str:
    """The text of built_in_table.py."""
    return _HEAD + "".join(f"    {_written(rule)},\n" for rule in read_built_in()) + ")\n"


def _written(value: Any) -> str:
    """A value as Python that builds it again, without what is left at its default."""
    if isinstance(value, tuple):
        return f"({''.join(_written(item) + ', ' for item in value).rstrip(' ')})"
    if not is_dataclass(value):
        return repr(value)
    said = [f"{field.name}={_written(getattr(value, field.name))}" for field in fields(value)
            if getattr(value, field.name) != field.default]
    return f"{type(value).__name__}({', '.join(said)})"


if __name__ == "__main__":
    TABLE.write_text(table_source(), "utf-8")
