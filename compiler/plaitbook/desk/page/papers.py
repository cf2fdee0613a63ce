"""What leaves the page as a file: the card as PDF, the other papers, the station card."""

from __future__ import annotations

import re
import secrets
from collections import OrderedDict
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from ...compile import Compiled
from ..printing import KINDS
from .places import Refused

MOST_STATIONS = 40
"""Station cards that are kept while the page runs; our own estimate of a shop's day, twice over."""
NOBODY = "the wearer"


@dataclass(frozen=True)
class Station:
    """A station card that was made: whose devices may open it."""

    id: str
    title: str
    html: str
    when: datetime
    sent: bool


class Stations:
    """The station cards of this run, the oldest going first."""

    def __init__(self) -> None:
        self._made: OrderedDict[str, Station] = OrderedDict()

    def put(self, title: str, html: str, when: datetime, sent: bool) -> Station:
        """Keep a card under a name that can't be guessed."""
        station = Station(secrets.token_urlsafe(16), title, html, when, sent)
        self._made[station.id] = station
        while len(self._made) > MOST_STATIONS:
            self._made.popitem(last=False)
        return station

    def get(self, id: str, guest: bool) -> Station | None:
        """The card of an id; another device gets only what was sent to it."""
        station = self._made.get(id)
        return station if station is not None and (station.sent or not guest) else None

    def sent(self) -> tuple[Station, ...]:
        """What was sent to the shop's devices, newest first."""
        return tuple(s for s in reversed(self._made.values()) if s.sent)


def pdf(compiled: Compiled, what: str, paper: str | None, language: str | None) -> bytes:
    """The prep card or another paper of the plan. Raises Refused for a paper there isn't."""
    from ...cards.pdf import render_pdf

    card = _card(compiled, what, paper, language)
    return render_pdf(card, (paper or compiled.house.paper) if what == "card" else None)  # type: ignore[arg-type, union-attr]


def _card(compiled: Compiled, what: str, paper: str | None, language: str | None) -> Any:
    made: tuple[Any, ...] = (compiled.plan, compiled.recipe, compiled.wearer, compiled.house)
    if what == "card":
        from ...cards.build import write_card

        return write_card(*made, with_look=True, paper=paper, language=language)  # type: ignore[arg-type]
    if what not in KINDS:
        raise Refused(f"there is no paper '{what}'", f"the papers are: card, {', '.join(KINDS)}")
    from ...cards.documents import write_document

    return write_document(what, *made, paper=paper, language=language)


def station_html(compiled: Compiled, paper: str | None, language: str | None, nameless: bool) -> str:
    """The page for the chair. ``nameless`` is for another device: the wearer's name and note stay at the desk."""
    from ...cards.build import write_card
    from ...cards.station import render_station

    if nameless:
        compiled = without_name(compiled)
    plan, recipe, wearer, house = compiled.plan, compiled.recipe, compiled.wearer, compiled.house
    assert plan and recipe and wearer and house
    card = write_card(plan, recipe, wearer, house, with_quote=False, paper=paper, language=language)  # type: ignore[arg-type]
    return render_station(card, plan)


def without_name(compiled: Compiled) -> Compiled:
    """The same plan for somebody without a name; what must not be done to them stays."""
    plan, wearer = compiled.plan, compiled.wearer
    assert plan and wearer

    def said(text: str) -> str:
        return re.sub(rf"(?<!\w){re.escape(wearer.name)}(?!\w)", NOBODY, text)

    findings = tuple(f.model_copy(update={"message": said(f.message), "fix": said(f.fix)}) for f in plan.findings)
    head = plan.head.model_copy(update={"wearer": NOBODY})
    return replace(compiled, plan=plan.model_copy(update={"head": head, "findings": findings}),
                   wearer=wearer.model_copy(update={"name": NOBODY, "note": ""}))
