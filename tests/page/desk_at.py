"""A page served for a test: a real server on a port of its own, and somebody who asks it over HTTP."""

from __future__ import annotations

import http.client
import json
import shutil
import threading
import time
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Iterator

from plaitbook.desk.page.doorkeeper import Doorkeeper
from plaitbook.desk.page.opening import listening, server_for
from plaitbook.shipped import shipped_folder

LOOK = "looks/saltmarsh.plait"
TAB = "tabaaaaaaaa1"


def copied_book(folder: Path) -> Path:
    """The demo book, copied."""
    shutil.copytree(shipped_folder("recipes"), folder)
    return folder


class Served:
    """A running page: where it is, its door, and how to ask it."""

    def __init__(self, root: Path, port: int, door: Doorkeeper) -> None:
        self.root, self.port, self.door = root, port, door
        self.host = f"127.0.0.1:{port}"
        self.address = f"http://{self.host}/enter?key={door.key}"
        self.cookie = self.enter()

    def enter(self) -> str:
        status, headers, _ = self.raw("GET", f"/enter?key={self.door.key}", cookie="")
        assert status == 303 and headers["location"] == "/"
        return headers["set-cookie"].split(";")[0]

    def raw(self, method: str, path: str, body: bytes | None = None, cookie: str | None = None,
            **headers: str | None) -> tuple[int, dict[str, str], bytes]:
        """(status, headers, body). ``headers`` as keywords with _ for -; None leaves a usual one out."""
        given: dict[str, str | None] = {"host": self.host, "cookie": self.cookie if cookie is None else cookie}
        if method == "POST":
            given |= {"origin": f"http://{self.host}", "content-type": "application/json"}
        given |= {name.replace("_", "-"): value for name, value in headers.items()}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            if body is not None:
                connection.putheader("content-length", str(len(body)))
            for name, value in given.items():
                if value:
                    connection.putheader(name, value)
            connection.endheaders(body)
            answer = connection.getresponse()
            return answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read()
        finally:
            connection.close()

    def post(self, path: str, data: Any, **more: Any) -> tuple[int, Any]:
        """(status, what was answered)."""
        status, _, body = self.raw("POST", f"/api/{path}", json.dumps(data).encode(), **more)
        return status, json.loads(body) if body[:1] in (b"{", b"[") else body

    def get(self, path: str, **more: Any) -> tuple[int, Any]:
        status, _, body = self.raw("GET", f"/api/{path}", **more)
        return status, json.loads(body) if body[:1] in (b"{", b"[") else body

    def text(self, name: str = LOOK) -> str:
        return (self.root / name).read_text("utf-8")


@contextmanager
def page_of(root: Path, shared: bool = False) -> Iterator[Served]:
    """Serve a book's folder while the block runs."""
    door = Doorkeeper(shared)
    sock = listening("127.0.0.1", 0)
    server = server_for(root, door)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [sock]}, daemon=True)
    thread.start()
    deadline = time.monotonic() + 30
    while not server.started and time.monotonic() < deadline:
        time.sleep(0.01)
    try:
        yield Served(root, sock.getsockname()[1], door)
    finally:
        server.should_exit = True
        thread.join(10)
        sock.close()
