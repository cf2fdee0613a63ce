"""``plait open [BOOK]``: start the page on this machine and open it."""

from __future__ import annotations

import argparse
import errno
import gc
import os
import socket
import sys
import webbrowser
from pathlib import Path
from typing import Any

from ..command import BAD_TEXT, GOOD
from ..commands import HELP
from ..shelf import BOOK
from .doorkeeper import Doorkeeper

PORT = 8417
"""Tried first, so that a station card's ticks, which a browser keeps by address, are there again tomorrow. No meaning."""
HOME_BOOK = "Plaitbook"
"""The folder in one's home that is opened where no book is named and none is near."""


def register(commands: Any) -> None:
    """Put the command on the command line."""
    parser = commands.add_parser("open", help=HELP["open"])
    parser.add_argument("book", metavar="BOOK", nargs="?",
                        help="the book's folder; default: the book you are in, else Plaitbook in your home folder")
    parser.add_argument("--port", type=int, metavar="N", help=f"default: {PORT}, or any free one")
    parser.add_argument("--share", action="store_true",
                        help="let devices on the shop's own network in, with a pairing code; clients' details stay here")
    parser.add_argument("--no-browser", action="store_true", help="print the address and open nothing")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped with Ctrl-C."""
    root = book_folder(arguments.book)
    if root.exists() and not root.is_dir():
        print(f"plait: '{root}' is not a folder\n  try: name a book's folder: plait open mybook", file=sys.stderr)
        return BAD_TEXT
    try:
        listener = listening("0.0.0.0" if arguments.share else "127.0.0.1", arguments.port)
    except OSError as error:
        print(f"plait: port {arguments.port} can't be had: {error.strerror or error}\n  try: leave --port out", file=sys.stderr)
        return BAD_TEXT
    door = Doorkeeper(arguments.share)
    port = listener.getsockname()[1]
    address = f"http://127.0.0.1:{port}/enter?key={door.key}"
    print(f"the book {root} is open at\n  {address}", flush=True)
    if arguments.share:
        print(f"other devices on this network: {' or '.join(shared_addresses(port))}\n  pairing code: {door.code}", flush=True)
    print("stop with Ctrl-C", flush=True)
    if not arguments.no_browser:
        webbrowser.open(address)
    gc.set_threshold(1_000_000, 50, 50)  # a card makes much that is kept and nothing that only keeps itself: no search in between
    server_for(root, door).run(sockets=[listener])
    return GOOD


def server_for(root: Path, door: Doorkeeper) -> Any:
    """The server of one book; it is run with the sockets it shall listen to."""
    import uvicorn

    from .app import page_app

    return uvicorn.Server(uvicorn.Config(
        page_app(root, door), log_level="error", access_log=False, server_header=False, date_header=False, ws="none",
        lifespan="off", timeout_keep_alive=30, timeout_graceful_shutdown=3, proxy_headers=False, loop="asyncio", http="h11"))


def book_folder(named: str | None) -> Path:
    """The folder that is opened: as named, else the book one is in, else the one in one's home."""
    if named is not None:
        path = Path(named).expanduser().resolve()
        return path.parent if path.is_file() and path.name == BOOK else path
    here = Path.cwd()
    near = next((folder for folder in (here, *here.parents) if (folder / BOOK).is_file()), None)
    return near or Path.home() / HOME_BOOK


def listening(host: str, port: int | None) -> socket.socket:
    """A socket that listens: at the port asked for, else at the usual one, else at any. Raises OSError."""
    for wanted in [port] if port is not None else [PORT, 0]:
        sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if os.name == "posix":  # on Windows this would let two programs have one port
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            sock.bind((host, wanted))
            sock.listen(1024)
            return sock
        except (OSError, OverflowError) as error:
            sock.close()
            if wanted in (port, 0):
                raise OSError(getattr(error, "errno", None) or errno.EINVAL, getattr(error, "strerror", "") or str(error)) from None
    raise OSError(errno.EADDRINUSE, "no free port")


def shared_addresses(port: int) -> list[str]:
    """Addresses at which this machine is probably reached. No packet is sent to find out."""
    found: list[str] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1 (RFC 5737): only asks the system which way it would go
            found.append(probe.getsockname()[0])
        except OSError:
            pass
    return [f"http://{address}:{port}" for address in found] or [f"http://<this machine's address>:{port}"]
