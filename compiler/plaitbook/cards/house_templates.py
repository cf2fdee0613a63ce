"""A house's own card template, rendered where it can neither read files nor run code.

The template is Jinja in its sandbox, sees the card as plain data and nothing else, and can load no other template.
What the sandbox doesn't bound, time and memory, is bounded by whoever calls: see :mod:`plaitbook.desk.letterhead`,
which runs this module in a process of its own.
"""

from __future__ import annotations

import json
import sys
from typing import Any

MOST_LETTERS = 4_000_000
"""Of the finished page; our own estimate of ten times the largest card."""
MOST_STEPS = 10_000
"""``range`` counts no further."""


class TemplateTrouble(Exception):
    """What is wrong with a template: ``line`` (0 where it can't be told) and words for the one who wrote it."""

    def __init__(self, message: str, line: int = 0) -> None:
        super().__init__(message)
        self.message = message
        self.line = line


def render_template(source: str, card: dict[str, Any], *, html: bool) -> str:
    """The page that a template makes of a card. Raises TemplateTrouble.

    Everything printed is escaped where ``html`` is true; the card's drawings, which are ours, go in as they are.
    """
    from jinja2 import StrictUndefined, TemplateError, TemplateSyntaxError, nodes
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    class DataFirst(ImmutableSandboxedEnvironment):
        """``block.items`` is what the card calls items, not a method of Python's."""

        def getattr(self, obj: Any, attribute: str) -> Any:
            return obj[attribute] if isinstance(obj, dict) and attribute in obj else super().getattr(obj, attribute)

    environment = DataFirst(autoescape=html, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    environment.globals = {"range": _range}
    del environment.filters["safe"]  # what is printed is escaped, all of it
    try:
        unescaped = environment.parse(source).find(nodes.ScopedEvalContextModifier)
        if unescaped is not None:
            raise TemplateTrouble("'autoescape' can't be switched: what is printed is escaped, all of it", unescaped.lineno)
        template = environment.from_string(source)
        out, letters = [], 0
        for piece in template.generate(card=_marked(card)):
            letters += len(piece)
            if letters > MOST_LETTERS:
                raise TemplateTrouble(f"it prints more than {MOST_LETTERS:,} letters")
            out.append(piece)
        page = "".join(out)
        page.encode()  # half a letter, such as a template can write with \\ud800, is no text
        return page
    except TemplateSyntaxError as error:
        raise TemplateTrouble(error.message or "it can't be read", error.lineno) from None
    except SyntaxError:
        raise TemplateTrouble("it has too many blocks inside each other") from None
    except UnicodeEncodeError:
        raise TemplateTrouble("it prints half a letter, which is no text") from None
    except (TemplateError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError, RuntimeError) as error:
        raise TemplateTrouble(str(error) or type(error).__name__, _line(error)) from None


def _range(*numbers: int) -> range:
    steps = range(*numbers)
    if len(steps) > MOST_STEPS:
        raise TemplateTrouble(f"range counts to {MOST_STEPS:,} at most")
    return steps


def _marked(value: Any) -> Any:
    """The same data with every drawing marked as our own."""
    from markupsafe import Markup

    if isinstance(value, dict):
        return {key: Markup(item) if key == "svg" else _marked(item) for key, item in value.items()}
    if isinstance(value, list):
        return tuple(_marked(item) for item in value)
    return value


def _line(error: BaseException) -> int:
    """The line of the template at which it went wrong, from the innermost frame of its code."""
    line, trace = 0, error.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code.co_filename == "<template>":
            line = trace.tb_lineno
        trace = trace.tb_next
    return line


def main() -> None:
    """Read ``{"source", "card", "html"}`` as JSON from standard input and write ``{"page"}`` or ``{"trouble", "line"}``."""
    asked = json.loads(sys.stdin.buffer.read())
    try:
        said: dict[str, Any] = {"page": render_template(asked["source"], asked["card"], html=asked["html"])}
    except TemplateTrouble as trouble:
        said = {"trouble": trouble.message, "line": trouble.line}
    sys.stdout.buffer.write(json.dumps(said).encode())


if __name__ == "__main__":
    main()
