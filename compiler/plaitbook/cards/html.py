"""The card as one self-contained HTML page, for the tablet at the station and the browser's own print."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from .card import Card
from .language import language

if TYPE_CHECKING:
    from jinja2 import Template


def render_html(card: Card) -> str:
    """The whole page. Every word is escaped; only the drawings, which are ours, go in as they are."""
    return _template().render(card=card, say=language(card.lang))


@lru_cache(maxsize=1)
def _template() -> Template:
    from .environment import environment

    return environment(autoescape=True).get_template("card.html.j2")
