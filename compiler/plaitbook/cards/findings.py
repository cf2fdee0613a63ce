"""What a rule found, in the card's language: the rule's own words translated, its figures filled in anew.

A rule of the house prints in the house's own words; only the figures in them follow the card's language.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from ..meaning.model import ZONES
from ..plan.model import Filled, Finding
from ..rules.catalogue import REASON_RULES, rule_of
from ..rules.judging import ASK
from ..rules.measures import spoken
from . import wording as words
from .card import Alert
from .language import mark
from .speech import Speech
from .told import told

SEVERITY_WORDS = {"stop": mark("Stop"), "warn": mark("Take care"), "note": mark("Note"), "ask": mark("Ask")}
FINDING_LIMIT = 400
"""Letters of one sentence of a finding that the card prints; our own estimate of a readable alert."""
LONGER = 1.5
"""How much longer a translation of it may be than the English; our own estimate."""
NUMBERS_SHOWN = 6
"""Sections that a sentence names before it counts the rest, as in the rules' own sentences."""

_BRACES = re.compile(r"\{([^{}]*)\}")
_HOURS = re.compile(r"(\d) h (\d\d)\b")
"""A time of day's work: never parted at a line's end."""
_UNIT = re.compile(r"(?<=\d )(in²|in|years?|weeks?|hairs/cm²)$")


class Said(NamedTuple):
    """A finding's sentences, fit to print."""

    message: str
    fix: str
    reason: str
    source: str


def said(say: Speech, currency: str, finding: Finding) -> Said:
    """A finding in the card's language."""
    ours = rule_of(finding.code) is not None or any(rule.code == finding.code for rule in REASON_RULES)
    if say.catalogue is None and not words.from_the_right(finding.message + finding.fix):
        return Said(*(words.clean(text, FINDING_LIMIT) for text in (finding.message, finding.fix, finding.reason, finding.source)))
    values = {" ".join(one.name.split()): _value(say, currency, one) for one in finding.filled}

    def filled(template: str, english: str) -> str:
        if not template:
            return told(say, words.clean(english, FINDING_LIMIT))
        text = say(template) if ours or template == ASK else template
        return _BRACES.sub(lambda found: values.get(" ".join(found.group(1).split()), found.group(0)), text)

    message = filled(finding.template, finding.message)
    if finding.template and finding.fix_template == ASK and not ours:
        message = say("{said}? That can't be said without: {what}", said=message.rstrip(" .!?"),
                      what=words.clean(finding.message.rpartition("without: ")[2]))
    reason, source = (say(text) if ours else words.clean(text, FINDING_LIMIT) for text in (finding.reason, finding.source))
    return Said(*map(_cut, (message, filled(finding.fix_template, finding.fix), reason, source)))


def _cut(text: str) -> str:
    most = int(FINDING_LIMIT * LONGER)
    return text if len(text) <= most else text[:most].rstrip() + "…"


def alert(say: Speech, currency: str, finding: Finding) -> Alert:
    """A finding as the card says it."""
    message, fix, reason, source = (_HOURS.sub(f"\\1{words.NBSP}h{words.NBSP}\\2", text) for text in said(say, currency, finding))
    return Alert(
        severity=finding.severity, label=say(SEVERITY_WORDS[finding.severity]), code=words.clean(finding.code, 24),
        text=words.sentence(message), reason=words.sentence(reason), fix=words.sentence(fix), source=source,
        allowed=words.sentence(words.clean(finding.allowed_because or "", FINDING_LIMIT)),
    )


def _value(say: Speech, currency: str, one: Filled) -> str:
    """What stands in the braces, in the card's language."""
    if one.kind == "measure":
        low, high = (_spoken(say, currency, one, value) for value in (one.low, one.high))
        if low == high:
            return high
        figure, _, unit = low.partition(" ")
        same = unit and " " not in unit and unit == high.partition(" ")[2]
        return say("{low} to {high}", low=figure if same else low, high=high)
    if one.kind == "zones":
        zones = say.listed(say.term("zone", zone) for zone in one.words)
        return say("every zone") if len(one.words) == len(ZONES) else say("the {zones}", zones=zones)
    if one.kind == "sections":
        shown = ", ".join(map(str, one.numbers[:NUMBERS_SHOWN]))
        more = len(one.numbers) - NUMBERS_SHOWN
        if more > 0:
            return say("sections {numbers} and {more} more", numbers=shown, more=more)
        return say.many("section {numbers}", "sections {numbers}", len(one.numbers), numbers=shown)
    if one.kind == "text":
        return say.listed(map(words.clean, one.words))
    if one.kind == "phrase":
        return say.listed(told(say, phrase) for phrase in one.words)
    heading = " ".join(one.name.split())
    heading = "zone" if heading in ("zones", "worst zone") else heading
    return say.listed(say.term(heading, word) for word in one.words)


def _spoken(say: Speech, currency: str, one: Filled, value: float) -> str:
    text = spoken(value, one.unit, say.units, currency, one.style)
    return say.number(_UNIT.sub(lambda found: say.term("unit", found.group()), text))
