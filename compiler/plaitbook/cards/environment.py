"""The Jinja environment of the card templates; jinja2 is imported with the first card only."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).parent / "templates"


@lru_cache(maxsize=2)
def environment(*, autoescape: bool) -> Environment:
    """Strict: a name that the template gets wrong is an error, and everything printed is escaped in HTML."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=autoescape, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=False, auto_reload=False,
    )
