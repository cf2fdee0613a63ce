"""The terminal's quote in another language than English: each row's label and note said again."""

from __future__ import annotations

from ..plan.model import Quote
from .language import Language, language, mark
from .terms import TERMS
from .told import told
from .wording import clean, name

SENTENCES = {
    "braiding, all that belongs to it": mark("braiding and all that belongs to it"), "total": mark("total"),
    "tax, in the total": mark("tax, in the total"), "deposit": mark("deposit"), "margin, in the total": mark("margin, in the total"),
    "front refresh, another visit: from": mark("front refresh, another visit: from"), "when booking": mark("when booking"),
}


def row_words(code: str, quote: Quote, label: str, amount: str, note: str) -> tuple[str, str, str]:
    """A row of the quote: (label, amount, note). Hairs keep their names."""
    say = language(code)  # type: ignore[arg-type]
    return _label(say, quote, label), amount, _note(say, quote, note)


def _label(say: Language, quote: Quote, label: str) -> str:
    if label.startswith("total without "):
        return say("total without {hairs}", hairs=say.listed(map(name, quote.unpriced)))
    if label in SENTENCES:
        return say(SENTENCES[label])
    return say.term("quote", label) if label in TERMS["quote"] else label


def _note(say: Language, quote: Quote, note: str) -> str:
    if note in SENTENCES:
        return say(SENTENCES[note])
    if note.endswith(" % of the price before tax"):
        return say("{share} of the price before tax", share=say.number(note.removesuffix(" of the price before tax")))
    first, without, _ = note.partition(", without ")
    said = told(say, clean(first))
    return say("{what}, without {hairs}", what=said, hairs=say.listed(map(name, quote.unpriced))) if without else said
