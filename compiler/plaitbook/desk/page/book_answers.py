"""Answers about the book: what is in it, its files, drafts and history, new looks and wearers."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from ...compile import Request as Wanted
from ...meaning.book import file_meaning
from ..editing.session import Session
from ..shelf import BOOK
from . import asked, drafts, history, starting
from .app import Desk
from .files import Conflict, Text, read, save, version_on_disk
from .keeping import now
from .places import Refused
from .sharing import holds_wearers, refuse_hidden_uses, refuse_wearers

MAP_MM = 60.0
"""Width a map is drawn for in the gallery; it is scaled to its place."""


async def the_book(desk: Desk, request: Request, guest: bool) -> Any:
    """Looks with their summaries, wearers, houses and files. Before there is a book: the looks that ship."""
    there = await run_in_threadpool(desk.has_book)
    bench = desk.bench if there else desk.shipped
    found = await bench.ask(_contents, guest=guest)
    if guest:
        found["wearers"] = []
    found |= {
        "started": there, "name": desk.root.name, "folder": "" if guest else str(desk.root), "guest": guest,
        "code": desk.door.code if desk.door.shared and not guest else "",
        "sent": [{"id": s.id, "title": s.title, "when": s.when.isoformat()} for s in desk.stations.sent()],
    }
    return found


def _contents(session: Session) -> dict[str, Any]:
    looks, files = [], []
    for name in session.names():
        tree = file_meaning(session.text(name), name)
        held = sorted({d.kind for d in tree.tree.declarations})
        files.append({"file": name, "holds": held})
        for look in tree.looks:
            summary = next((s.node.parts[0].text.strip('"') for d in tree.tree.declarations if d.name == look.name
                            for s in d.statements if s.word == "summary"), "")
            looks.append({"file": name, "look": look.name, "summary": summary, "demo": any(
                s.word == "demo" for d in tree.tree.declarations if d.name == look.name for s in d.statements)})
    book = session.book(BOOK)
    return {
        "looks": looks, "files": files, "wearers": list(book.wearers),
        "houses": [{"name": h.name, "units": h.units, "paper": h.paper} for h in book.houses.values()],
        "troubles": [p.message for p in book.problems[:5]],
    }


async def a_map(desk: Desk, request: Request, guest: bool) -> Response:
    """The section map of a look as a picture, seen from above or behind."""
    file = request.query_params.get("file", "")
    look = request.query_params.get("look") or None
    side = "back" if request.query_params.get("side") == "back" else "top"
    there = await run_in_threadpool(desk.has_book)
    bench = desk.bench if there else desk.shipped

    def draw(session: Session) -> str:
        from ...cards.diagrams.section_map import section_map

        if file not in session.names():
            raise Refused("there is no such look", "load the page again", 404)
        done = session.compile(file, Wanted(look))
        if done.plan is None:
            raise Refused("this look has a mistake, so its map can't be drawn", "open it and mend it", 404)
        return section_map(done.plan.sections, side, width_mm=MAP_MM, labels="none", prefix="g-")

    svg = await bench.ask(draw, guest=guest)
    return Response(svg.encode(), media_type="image/svg+xml",
                    headers={"content-security-policy": "default-src 'none'; style-src 'unsafe-inline'"})


async def open_file(desk: Desk, request: Request, guest: bool) -> Any:
    """A file's text with its version, and drafts of it that were never saved."""
    data = await asked.fields(request)
    name = asked.words(data, "name")
    return await run_in_threadpool(_opened, desk, name, guest)


def _opened(desk: Desk, name: str, guest: bool) -> dict[str, Any]:
    found = read(desk.root, name)
    if guest:
        refuse_wearers(found.text, name)
    left = drafts.found(desk.root, name, found.version)
    return {
        "name": name, "text": found.text, "version": found.version,
        "looks": [d.name for d in file_meaning(found.text, name).tree.declarations if d.kind == "recipe"],
        "drafts": [{"tab": d.tab, "text": d.text, "base": d.base, "when": d.when.isoformat()} for d in left
                   if not guest or not holds_wearers(d.text, name)],
    }


async def keep_draft(desk: Desk, request: Request, guest: bool) -> Any:
    """Put what is typed on disk, as a draft of this tab; and what version the file itself is at."""
    return await run_in_threadpool(_kept, desk, *_written(await asked.fields(request)), guest)


def _kept(desk: Desk, name: str, tab: str, text: str, base: str, guest: bool) -> dict[str, Any]:
    if guest:
        refuse_wearers(text, name)
    drafts.put(desk.root, name, tab, text, base, now())
    return {"kept": True, "version": version_on_disk(desk.root, name)}


async def save_file(desk: Desk, request: Request, guest: bool) -> Any:
    """Save a text over the version it began from; both texts where the file has changed meanwhile."""
    return await run_in_threadpool(_saved, desk, *_written(await asked.fields(request)), guest)


def _written(data: dict[str, Any]) -> tuple[str, str, str, str]:
    """(file, tab, text, the version it began from). Raises Refused."""
    return asked.words(data, "name"), asked.words(data, "tab"), asked.text(data), asked.words(data, "base", "")


def _saved(desk: Desk, name: str, tab: str, text: str, base: str, guest: bool) -> dict[str, Any]:
    before = Text("", "")
    if version_on_disk(desk.root, name):
        before = read(desk.root, name)
    if guest:
        refuse_wearers(text, name)
        refuse_wearers(before.text, name)
        refuse_hidden_uses(text)
    done = save(desk.root, name, text, base)
    if isinstance(done, Conflict):
        drafts.put(desk.root, name, tab, text, base, now())
        return {"conflict": True, "text": done.now.text, "version": done.now.version}
    if before.version:
        history.keep(desk.root, name, before.text, "before", now())
    history.keep(desk.root, name, done.text, "saved", now())
    drafts.drop(desk.root, name, tab)
    return {"saved": True, "version": done.version}


async def set_aside(desk: Desk, request: Request, guest: bool) -> Any:
    """Move a draft into the history."""
    data = await asked.fields(request)
    await run_in_threadpool(drafts.set_aside, desk.root, asked.words(data, "name"), asked.words(data, "of"))
    return {"done": True}


async def the_history(desk: Desk, request: Request, guest: bool) -> Any:
    """The versions kept of a file, newest first; with an ``id``, the text of one."""
    data = await asked.fields(request)
    name, id = asked.words(data, "name"), asked.maybe(data, "id")
    if guest:
        await run_in_threadpool(_opened, desk, name, True)
    if id is not None:
        text = await run_in_threadpool(history.text_of, desk.root, name, id)
        if guest:
            refuse_wearers(text, name)
        return {"text": text}
    kept = await run_in_threadpool(history.kept, desk.root, name)
    return {"kept": [{"id": k.id, "when": k.when.isoformat(), "why": k.why, "version": k.version} for k in kept]}


async def begin(desk: Desk, request: Request, guest: bool) -> Any:
    """A first book, with a first wearer in it where one was filled in."""
    _at_the_desk(guest)
    data = await asked.fields(request)
    answers = data.get("wearer")

    def make() -> str:
        if isinstance(answers, dict):
            starting.wearer_text(answers)  # said before anything is made
        starting.begin(desk.root)
        return starting.add_wearer(desk.root, answers)[0] if isinstance(answers, dict) else ""

    return {"wearer": await run_in_threadpool(make)}


async def new_wearer(desk: Desk, request: Request, guest: bool) -> Any:
    """A wearer from the form, in a file of their own."""
    _at_the_desk(guest)
    data = await asked.fields(request)
    name, file = await run_in_threadpool(starting.add_wearer, desk.root, data)
    return {"wearer": name, "file": file}


async def new_look(desk: Desk, request: Request, guest: bool) -> Any:
    """A copy of a look under a new name."""
    data = await asked.fields(request)
    source, look = asked.words(data, "file"), asked.maybe(data, "look")
    if guest:
        await run_in_threadpool(_opened, desk, source, True)
    name, file = await run_in_threadpool(starting.add_look, desk.root, source, look, data.get("name"))
    return {"look": name, "file": file}


def _at_the_desk(guest: bool) -> None:
    if guest:
        raise Refused("wearers' details stay on the desk's own machine", "add them there", 403)


ROUTES = (
    ("book", the_book, "GET"), ("map", a_map, "GET"), ("open", open_file, "POST"), ("draft", keep_draft, "POST"),
    ("save", save_file, "POST"), ("aside", set_aside, "POST"), ("history", the_history, "POST"), ("begin", begin, "POST"),
    ("wearer", new_wearer, "POST"), ("look", new_look, "POST"),
)
"""(path under /api/, answer, method)."""
