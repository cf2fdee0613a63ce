"""``plait editor``: the language server a text editor starts, over standard input and output."""

from __future__ import annotations

import argparse
from typing import Any

from ..commands import HELP


def register(commands: Any) -> None:
    """Put the command on the command line."""
    editor = commands.add_parser("editor", help=HELP["editor"], description=(
        "Speaks the Language Server Protocol on standard input and output. An editor starts it; see docs/editors.md."))
    editor.add_argument("--stdio", action="store_true", help=argparse.SUPPRESS)  # many editors add it by themselves
    editor.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Serve until the editor hangs up."""
    from .server import make_server

    make_server().start_io()
    return 0
