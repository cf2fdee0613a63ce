"""Answers about the text in hand: the live card, completion, hover, explanations, papers."""

from __future__ import annotations

import re
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from ...compile import Compiled
from ...compile import Request as Wanted
from ...meaning.book import file_meaning
from ...meaning.inherit import inherit
from ..editing.session import Session
from . import asked, papers
from .app import Desk
from .asking import asked as figures_like
from .asking import explained, listed
from .bench import with_text
from .files import version_on_disk
from .keeping import now
from .places import Refused, place
from .sharing import refuse_hidden_uses, refuse_wearers
from .showing import card_parts, compared, finding_rows, problem_rows, span_data, totals
from .sliders import sliders


async def live_card(desk: Desk, request: Request, guest: bool) -> Any:
    """The text compiled: the parts of the card that the page hasn't got, totals against the saved version, mistakes.

    ``first`` are the parts that somebody is looking at: with them named, the answer holds no others and no numbers
    to move, comes sooner, and the page asks again for the rest (``more``). ``ahead`` asks for a text that isn't
    written yet but may come next: it is worked out and kept, and nothing is answered.
    """
    data = await asked.fields(request)
    name, text, wanted, paper = _asked(desk, data, guest)
    spoken, printed = asked.language(data, "language") or "en", asked.language(data, "card_language")
    with_look = bool(data.get("with_look"))
    have, first = asked.pairs(data, "have"), asked.names(data, "first")

    def work(session: Session) -> dict[str, Any]:
        made = _live(session, name, text, wanted, paper, (spoken, printed), with_look, have, first)
        return made | {"version": version_on_disk(desk.root, name)}

    tab, turn = asked.words(data, "tab", ""), asked.whole(data, "turn")
    if data.get("ahead"):  # in two goes, so that a key that comes meanwhile needn't wait for both
        await desk.bench.ask(lambda session: with_text(session, name, text, lambda: session.compile(name, wanted)), guest=guest, tab=tab, turn=turn)
        await desk.bench.ask(work, guest=guest, tab=tab, turn=turn)
        return {}
    return await desk.bench.ask(work, guest=guest, tab=tab, turn=turn)


def _live(session: Session, name: str, text: str, wanted: Wanted, paper: str | None, languages: tuple[str, str | None],
          with_look: bool, have: dict[str, str], first: frozenset[str] | None = None) -> dict[str, Any]:
    meaning = file_meaning(text, name)
    made: dict[str, Any] = {"looks": [look.name for look in meaning.looks]}
    if not meaning.looks:
        problems = with_text(session, name, text, lambda: session.problems(name))
        return made | {"problems": problem_rows(problems, name, text), "findings": [], "sliders": []}
    if wanted.look not in made["looks"]:
        wanted = Wanted(made["looks"][0], wanted.wearer, wanted.house, wanted.picks, wanted.swaps)
    done = with_text(session, name, text, lambda: session.compile(name, wanted))
    made |= {
        "look": wanted.look, "choices": with_text(session, name, text, lambda: _choices(session, name, wanted.look)), "problems": problem_rows(done.problems, name, text),
    }
    if first is None:
        made["sliders"] = [_slider(one) for one in sliders(text, name, wanted.look)]
    if done.plan is None:
        return made | {"findings": []}
    saved = session.compile(name, wanted) if session.text(name) else Compiled(())
    sums = totals(done, languages[0])
    parts = card_parts(done, paper, with_look, languages[1], first)
    return made | {
        "findings": finding_rows(done.plan), "totals": compared(sums, totals(saved, languages[0]) if saved.plan is not None else sums),
        "saved_plan": saved.plan is not None, "picked": dict(done.plan.head.choices), "paper": done.house.paper if done.house else "",
        "order": [part.key for part in parts], "more": first is not None,
        "parts": {part.key: {"html": part.html, "mark": part.mark} for part in parts if have.get(part.key) != part.mark},
    }


def _choices(session: Session, name: str, look: str | None) -> list[dict[str, Any]]:
    """The menu of a look, what it inherits included: each choice with its options and its default."""
    found = next((one for one in file_meaning(session.text(name), name).looks if one.name == look), None)
    whole = found if found is None or not found.based_on else inherit(found, session.book(name).looks, []) or found
    return [{"name": choice.name, "options": [option for option, _ in choice.options], "default": choice.default or ""}
            for choice in (whole.choices if whole is not None else ())]


def _slider(one: Any) -> dict[str, Any]:
    return {"what": one.what, "block": one.block, "about": one.about, "unit": one.unit, "steps": one.steps, "at": one.at,
            "choice": one.choice, "option": one.option, **span_data(one.span)}


async def completion(desk: Desk, request: Request, guest: bool) -> Any:
    """What may be written at a place."""
    from ..editing.completing import complete

    data = await asked.fields(request)
    name, text, wanted, _ = _asked(desk, data, guest)
    line, column = asked.whole(data, "line"), asked.whole(data, "column")

    def work(session: Session) -> list[dict[str, Any]]:
        offers = with_text(session, name, text, lambda: complete(session, name, line, column, wanted))
        return [{"label": o.label, "insert": o.insert, "what": o.what, "detail": o.detail, **span_data(o.span)} for o in offers[:100]]

    return {"offers": await desk.bench.ask(work, guest=guest)}


async def hovering(desk: Desk, request: Request, guest: bool) -> Any:
    """What a word means, in plain text."""
    from ..editing.hovering import hover

    data = await asked.fields(request)
    name, text, wanted, _ = _asked(desk, data, guest)
    line, column = asked.whole(data, "line"), asked.whole(data, "column")

    def work(session: Session) -> dict[str, Any]:
        found = with_text(session, name, text, lambda: hover(session, name, line, column, wanted))
        return {} if found is None else {"text": found.text, **span_data(found.span)}

    return await desk.bench.ask(work, guest=guest)


async def explaining(desk: Desk, request: Request, guest: bool) -> Any:
    """What a figure rests on, by its key; or which figures a number on the card may be."""
    data = await asked.fields(request)
    key, part = asked.maybe(data, "key"), asked.words(data, "part", "")
    number, beside = asked.words(data, "number", ""), asked.words(data, "beside", "", 2000)
    done = await _compiled(desk, data, guest)
    plan = done.plan
    assert plan is not None
    if key is None and not number:
        return {"figures": listed(plan)}
    found = [] if key is not None else figures_like(done, part, number, beside, asked.language(data, "card_language"))
    if key is None and not found:
        return {"found": []}
    key = key or found[0]["key"]
    if key not in plan.figures:
        raise Refused("this card has no such figure any more", "choose another figure", 404)
    return {"found": found, "why": await run_in_threadpool(explained, plan, key)}


async def a_paper(desk: Desk, request: Request, guest: bool) -> Response:
    """The card or another paper of the plan, as PDF."""
    data = await asked.fields(request)
    what, paper = asked.words(data, "what", "card"), asked.paper(data)
    done = await _compiled(desk, data, guest)
    pdf = await run_in_threadpool(papers.pdf, done, what, paper, asked.language(data, "card_language"))
    return Response(pdf, media_type="application/pdf", headers={"content-disposition": f'attachment; filename="{_file_name(done, what)}.pdf"'})


async def a_station(desk: Desk, request: Request, guest: bool) -> Any:
    """The page for the chair, under an address of this run; ``send`` makes it one for the shop's devices too."""
    data = await asked.fields(request)
    send = bool(data.get("send"))
    done = await _compiled(desk, data, guest)
    assert done.plan is not None
    html = await run_in_threadpool(
        papers.station_html, done, asked.paper(data), asked.language(data, "card_language"), send or guest)
    station = desk.stations.put(done.plan.head.recipe, html, now(), send or guest)
    return {"address": f"/station/{station.id}", "sent": station.sent, "name": f"{_file_name(done, 'station')}.html"}


async def _compiled(desk: Desk, data: dict[str, Any], guest: bool) -> Compiled:
    """The plan of the text in hand. Raises Refused where it has a mistake."""
    name, text, wanted, _ = _asked(desk, data, guest)
    done = await desk.bench.ask(
        lambda session: with_text(session, name, text, lambda: session.compile(name, wanted)), guest=guest)
    if done.plan is None:
        first = done.problems[0].message if done.problems else "it has no plan"
        raise Refused(f"the recipe has a mistake: {first}", "mend it first; it is marked in the recipe", 409)
    return done


def _asked(desk: Desk, data: dict[str, Any], guest: bool) -> tuple[str, str, Wanted, str | None]:
    name, text, wanted, paper = asked.words(data, "name"), asked.text(data), asked.wanted(data), asked.paper(data)
    place(desk.root, name)
    if guest:
        refuse_wearers(text, name)
        refuse_hidden_uses(text)
        if wanted.wearer is not None:
            raise Refused("wearers stay on the desk's own machine", "make this card there, and send it", 403)
    return name, text, wanted, paper


def _file_name(done: Compiled, what: str) -> str:
    """A file's name of plain letters: ``saltmarsh-ilse-card``."""
    assert done.plan is not None
    head = done.plan.head
    return re.sub(r"[^a-z0-9]+", "-", f"{head.recipe} {head.wearer} {what}".lower()).strip("-")[:80] or what


ROUTES = (
    ("card", live_card, "POST"), ("complete", completion, "POST"), ("hover", hovering, "POST"), ("explain", explaining, "POST"),
    ("paper", a_paper, "POST"), ("station", a_station, "POST"),
)
"""(path under /api/, answer, method)."""
