"""The page's routes, each with who may ask it. Every answer but a file is JSON; every refusal says what to do."""

from __future__ import annotations

import json
import secrets
import sys
import traceback
from functools import lru_cache, partial
from pathlib import Path
from typing import Any, Awaitable, Callable

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from ...shipped import shipped_folder
from .bench import Bench, Superseded
from .doorkeeper import Doorkeeper
from .guard import POLICY, Guard, cookie_name
from .papers import Stations
from .places import Refused, names

HERE = Path(__file__).parent
BUILT, WORDS, SHELL = HERE / "built", HERE / "words", HERE / "shell"
SERVED = {".js": "text/javascript", ".css": "text/css", ".json": "application/json", ".svg": "image/svg+xml"}
Answer = Callable[["Desk", Request, bool], Awaitable[Any]]


class Desk:
    """What the routes share: the book's folder, its bench, who may come in, the station cards of this run."""

    def __init__(self, root: Path, door: Doorkeeper) -> None:
        self.root = root.resolve()
        self.door = door
        self.bench = Bench(self.root)
        self.shipped = Bench(shipped_folder("recipes"))
        """The demo looks, for a first card before there is a book."""
        self.stations = Stations()

    def has_book(self) -> bool:
        """Whether the folder holds anything that can be opened."""
        return bool(names(self.root))

    def close(self) -> None:
        """Let the threads go."""
        self.bench.close()
        self.shipped.close()


def page_app(root: Path, door: Doorkeeper) -> Callable[..., Awaitable[None]]:
    """The guarded application of one book."""
    from . import answers, book_answers

    desk = Desk(root, door)
    routes = [
        Route("/", partial(_shell, desk)), Route("/enter", partial(_enter, desk)), Route("/door", partial(_door, desk)),
        Route("/pair", partial(_pair, desk), methods=["POST"]), Route("/page/{file:path}", _built),
        Route("/station/{id}", partial(_station, desk)),
    ]
    for path, answer, method in (*book_answers.ROUTES, *answers.ROUTES):
        routes.append(Route(f"/api/{path}", partial(_answer, desk, answer), methods=[method]))
    return Guard(Starlette(routes=routes), door)


async def _answer(desk: Desk, answer: Answer, request: Request) -> Response:
    """What a route gives, as JSON; a refusal with its reason; anything unforeseen without its inside."""
    try:
        given = await answer(desk, request, request.scope["role"] == "guest")
        return given if isinstance(given, Response) else _json(given)
    except Superseded:
        return _json({"superseded": True})
    except Refused as refused:
        return _json({"refused": refused.message, "help": refused.help}, refused.status)
    except OSError as error:
        return _json({"refused": f"the disk said no: {error.strerror or 'it can not be written'}",
                      "help": "make room, or check that the book's folder may be written"}, 507)
    except Exception:  # the desk goes on for everybody else
        traceback.print_exc(file=sys.stderr)
        return _json({"refused": "something went wrong at the desk", "help": "your text is kept; try again"}, 500)


def _json(data: Any, status: int = 200) -> Response:
    body = json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "replace")
    return Response(body, status, media_type="application/json")


# --- pages --------------------------------------------------------------------------


async def _shell(desk: Desk, request: Request) -> Response:
    nonce = secrets.token_urlsafe(16)
    html = _page("shell.html").replace("{nonce}", nonce)
    return HTMLResponse(html, headers={"content-security-policy": POLICY.format(nonce=f" 'nonce-{nonce}'")})


async def _enter(desk: Desk, request: Request) -> Response:
    """The address that ``plait open`` prints: a cookie for the key, then the page."""
    cookie = desk.door.enter(request.query_params.get("key", ""), request.client.host if request.client else "")
    return RedirectResponse("/door", 303) if cookie is None else _let_in(request, cookie)


async def _door(desk: Desk, request: Request) -> Response:
    """What somebody sees who isn't let in yet."""
    return HTMLResponse(_plain("door.html" if desk.door.shared else "closed.html").replace("{said}", ""), 403)


async def _pair(desk: Desk, request: Request) -> Response:
    from urllib.parse import parse_qs

    given = parse_qs((await request.body()).decode("utf-8", "replace"), max_num_fields=4) if await request.body() else {}
    cookie = desk.door.pair(given.get("code", [""])[0][:100])
    if cookie is not None:
        return _let_in(request, cookie)
    wait = desk.door.wait_s()
    said = f"Too many tries. Wait {round(wait)} seconds, then ask at the desk for the code." if wait else "That is not the code."
    return HTMLResponse(_plain("door.html").replace("{said}", said), 429 if wait else 403)


def _let_in(request: Request, cookie: str) -> Response:
    response = RedirectResponse("/", 303)
    response.set_cookie(cookie_name(request.scope["server"][1]), cookie, httponly=True, samesite="strict", path="/")
    return response


async def _built(request: Request) -> Response:
    """One of the page's own files: what is built, its words, its card's style."""
    name = request.path_params["file"]
    if name == "card.css":
        return Response(card_style(), media_type="text/css")
    for folder in (BUILT, WORDS, SHELL):
        if name in _own_names(folder):
            return FileResponse(folder / name, media_type=SERVED[Path(name).suffix])
    return _json({"refused": "there is no such file", "help": "load the page again"}, 404)


async def _station(desk: Desk, request: Request) -> Response:
    station = desk.stations.get(request.path_params["id"], request.scope["role"] == "guest")
    if station is None:
        return HTMLResponse(_plain("gone.html"), 404)
    policy = station.html.partition('content="default-src')[2].partition('"')[0]
    policy = policy.replace("&#39;", "'")
    return HTMLResponse(station.html, headers={"content-security-policy": f"default-src{policy}; frame-ancestors 'none'"})


@lru_cache(maxsize=None)
def _own_names(folder: Path) -> frozenset[str]:
    return frozenset(path.name for path in folder.iterdir() if path.suffix in SERVED) if folder.is_dir() else frozenset()


@lru_cache(maxsize=None)
def _page(name: str) -> str:
    return (SHELL / name).read_text("utf-8")


@lru_cache(maxsize=None)
def _plain(name: str) -> str:
    """A page for whoever isn't in the book: its title and words, in the one frame of such pages."""
    title, _, body = _page(name).removeprefix("<title>").partition("</title>\n")
    return _page("plain.html").replace("{title}", title).replace("{body}", body)


@lru_cache(maxsize=1)
def card_style() -> str:
    """The card's own style sheet for a card that lies inside a page: what it says of the page, it says of its frame."""
    import re

    from ...cards.environment import TEMPLATES

    style = (TEMPLATES / "card.css").read_text("utf-8")
    style = re.sub(r"(?m)^(:root|html)\{", ":host{", style)
    return re.sub(r"(?m)^body\{", ".card{", style).replace("\nbody{", "\n.card{").replace("\nmain{", "\n.card main{")
