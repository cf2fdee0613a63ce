"""Sentences that the plan holds in English, said again in the card's language.

The passes and the rules write a few sentences of their own into the plan (how a hair is cut, what can't be had of a
strand, what a line of the quote is reckoned from). Each is one of the templates below with figures in it; a card finds
out which, and prints its translation with the same figures. A sentence that is none of them prints as it is.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Callable

from ..meaning.model import ZONES
from ..plan.model import CutLine
from .language import Language
from .speech import Speech, speech
from .wording import MM_PER_INCH, NBSP

TEMPLATES: tuple[str, ...] = (
    # how a hair is cut
    "cut {length} off the end", "one length of {length}", "use the full length, uncut", "fold in half", "fold in {count}",
    "cut at the fold: {number} lengths of {length}", "cut at the folds: {number} lengths of {length}",
    "pull the ends {length} apart", "fold each piece in the middle", "fold each piece {length} from one end",
    # what can't be had of a strand
    "at the root they come out {width}, not {number}; own hair and the first piece are already that thick there, so ask for "
    "more width, a smaller first piece, or smaller sections",
    "at stitch {number} they come out {width}, not {other}; own hair and the first piece are already that thick there, so ask "
    "for more width, a smaller first piece, or smaller sections",
    "at the root they come out {width}, not {number}; own hair alone is already that thick there, so ask for more width or "
    "smaller sections",
    "at stitch {number} they come out {width}, not {other}; own hair alone is already that thick there, so ask for more width "
    "or smaller sections",
    "asked for {width}, but pieces of {piece} make it {other} wide at stitch {number}, {more} too thick: hold smaller pieces",
    "{width} can't be reached: the strand is {other} wide at stitch {number}, {more} too thin: hold larger pieces, take more "
    "together or feed in for longer",
    "{width} can't be held: the strand is {other} wide at stitch {number}, {more} too thin: hold larger pieces, take more "
    "together or feed in for longer",
    "{length} at {width} wide takes {number} stitches or more, and no more are planned: ask for a shorter or a wider strand",
    "own hair is {length} longer than the wearing length, so its ends stay loose below the strand: lengthen 'wearing'",
    "own hair first for {length}, but this strand is {other} long",
    "own hair ends at {length}, before the first piece at {other}: start with an extension at the root",
    "pieces at stitch {number}, but this strand ends at stitch {other}",
    "accents from stitch {number}, but this strand ends at stitch {other}",
    "the hair ends at {length}, {more} short of the wearing length: add hair or shorten 'wearing'",
    "the hair ends at {length}, {more} short of the wearing length: feed in again farther down, pull the ends less, or shorten "
    "'wearing'",
    "the hair ends at {length}, {more} short of the wearing length: cut longer than {other} or shorten 'wearing'",
    '"{name}" has a bore of {width}, but this strand squeezes to {other} at best: take a wider bore or a thinner strand',
    "{name} from stitch {number}, but this strand ends at stitch {other}",
    # rows on the scalp
    "{rows}, through {zones}", "{rows}, hairline to nape", "from the hairline up to the bun", "straight back", "to left", "to right",
    # stages of the clock
    "an assistant may do it", "for an old set like this one: ask", "taken as washed and dried: ask",
    "the braider's rest beyond the breaks", "{number} of {other} min",
    "{range} weeks later: {zones} taken down and braided anew",
    # lines of the quote
    "{number} h of {other} braiders", "{share} of labour and hair", "to the nearest {money}", "price not in the catalogue",
    "priced in {currency}, not {other_currency}",
    "{range} weeks later, its hair included",
    # what rules print of the wearer and the look
    "unknown", "unknown heat", "none", "nothing known", "no ornaments", "hair", "beads", "cuffs", "rings", "shells", "cords", "a child", "an adult", "thin edges",
    "fragile edges", "a tender head", "breakage from an earlier set", "a child's head",
    "the recipe doesn't say how hot; water off the boil burns through skin in a second or less",
    "water that hot burns through skin in a second or less", "water that hot burns through skin in {number} s",
    "water that hot burns through skin in {number} min", "water that hot burns through skin in a time the table doesn't give",
    # findings that no rule of the language makes
    "ask, and write it down", "{said}? That can't be said without: {what}",
    'a reason is written for "{code}", but no rule has that code', "did you mean {code}?",
    "{code} is allowed without a reason, so it still stands",
    "picking {what} sets {said}, which undoes the adaptation '{name}'", "expected {said}, found {value}",
    "expected {said}, but {what} isn't known here",
)
"""Longer ones before those that would also fit them."""

_FIGURE = r"(?:[\d.,]+(?: to [\d.,]+)?[⅛¼⅓⅜½⅝⅔¾⅞]?|[⅛¼⅓⅜½⅝⅔¾⅞])"
_LENGTH = _FIGURE + r" (?:in|cm|mm)(?: to [\d.,]+ (?:in|cm|mm))?"
_ZONES = "|".join(ZONES)
_SHAPES: dict[str, str] = {
    "length": _LENGTH, "width": _LENGTH, "piece": _LENGTH, "more": _LENGTH, "number": _FIGURE,
    "other": _LENGTH + "|" + _FIGURE, "count": "[a-z]+|[0-9]+", "range": r"[\d.]+ to [\d.]+", "share": r"[\d.]+ %",
    "zones": rf"(?:{_ZONES})(?:(?:, | and )(?:{_ZONES}))*", "rows": "straight back|to left|to right", "code": r"\S+(?: or \S+)*",
    "money": r"[\d.]+ [A-Z]{3}", "currency": "[A-Z]{3}", "other_currency": "[A-Z]{3}", "value": r"[\d.]+(?: \S+)*",
}
"""What may stand in a template's places; anything in the others, which hold somebody's own words."""
_LENGTH_SAID = re.compile(r"(\d+(?:\.\d+)?) (in|cm)\b")
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
MOST_LETTERS = 600
"""Letters of a sentence that is looked for among the templates; our own estimate."""


@lru_cache(maxsize=1)
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    found = []
    for template in TEMPLATES:
        parts = re.split(r"\{(\w+)\}", template)
        pattern = "".join(f"(?P<{part}>{_SHAPES.get(part, '.+')})" if i % 2 else re.escape(part) for i, part in enumerate(parts))
        found.append((template, re.compile(pattern, re.DOTALL)))
    return tuple(found)


def template_of(sentence: str) -> tuple[str, dict[str, str]] | None:
    """The template an English sentence was made from, and what stands in its places."""
    if len(sentence) > MOST_LETTERS:
        return None
    for template, pattern in _patterns():
        found = pattern.fullmatch(sentence)
        if found is not None:
            return template, found.groupdict()
    return None


@lru_cache(maxsize=4096)
def told(say: Language, sentence: str) -> str:
    """A sentence of the plan in the card's language."""
    if say.catalogue is None or not sentence:
        return sentence
    found = template_of(sentence)
    if found is None:
        return say.number(sentence) if sentence[:1].isdigit() else sentence
    template, values = found
    return say(template, **{name: _FORMS.get(name, Language.number)(say, value) for name, value in values.items()})


def _zones(say: Language, value: str) -> str:
    return say.listed(say.term("zone", zone) for zone in re.split(", | and ", value))


def _figure(say: Language, value: str) -> str:
    """A figure or a range of figures with its unit."""
    if say.code == "en":
        return value
    value = value.replace(" to ", "–")
    return say.number(re.sub(r" in\b", f" {say.term('unit', 'in')}", value))


def _as_it_is(say: Language, value: str) -> str:
    return value


_FORMS: dict[str, Callable[[Language, str], str]] = {
    "zones": _zones, "rows": lambda say, value: told(say, value), "name": _as_it_is, "said": _as_it_is, "what": _as_it_is,
    "count": lambda say, value: str(COUNTS.index(value)) if value in COUNTS else value,
    "code": lambda say, value: value.replace(" or ", f" {say.term('list', 'or')} "),
    **dict.fromkeys(("length", "width", "piece", "more", "number", "other", "range", "value"), _figure),
}


def told_cut(say: Speech, line: CutLine) -> str:
    """How a hair is cut, clause by clause, its lengths to the marks of a tape measure like every other of the card."""
    text = _LENGTH_SAID.sub(lambda found: _on_tape(say, float(found[1]), found[2]), line.text)
    if say.catalogue is None:
        return text
    return say.series(told(say, clause) if template_of(clause) else ", ".join(told(say, part) for part in clause.split(", "))
                      for clause in text.split("; "))


def _on_tape(say: Speech, amount: float, unit: str) -> str:
    return speech("en", say.units).length(amount * (MM_PER_INCH if unit == "in" else 10.0)).replace(NBSP, " ")
