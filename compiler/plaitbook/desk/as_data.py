"""``--format json``: what a command says as one JSON document, on every way out.

Where a command that was asked for JSON leaves without having written any,
whatever the reason, its messages become the document:
``{"problems": [{"code", "message", "help"}]}``.
"""

from __future__ import annotations

import io
import json
import sys
from typing import Any, Callable, TextIO

CANT = "E901"
"""The code of what is no mistake in a text: wrong use, a file that can't be read, a full disk."""


def format_argument(parser: Any) -> None:
    """Let a command be asked for data."""
    parser.add_argument("--format", choices=("text", "json"), default="text", help="json: the same as data")


def print_data(data: Any) -> None:
    """The one document of a command."""
    print(json.dumps(data, ensure_ascii=False, indent=2, default=str))


def asked_for_json(argv: list[str]) -> bool:
    """Whether a command line asks for JSON, however it is spelled."""
    return "--format=json" in argv or any(pair == ("--format", "json") for pair in zip(argv, argv[1:]))


def with_data(run: Callable[[], int]) -> int:
    """Run a command; if it wrote no document, write its messages as one. Returns the exit code."""
    out, err = sys.stdout, sys.stderr
    if out is None or err is None:
        return run()
    seen_out, seen_err = _Seen(out), _Seen(err)
    sys.stdout, sys.stderr = seen_out, seen_err  # type: ignore[assignment]
    try:
        code = run()
    except SystemExit as leaving:
        if leaving.code in (0, None):
            raise  # --help has said what it has to say
        code = int(leaving.code) if isinstance(leaving.code, int) else 1
    finally:
        sys.stdout, sys.stderr = out, err
    if code and not seen_out.wrote:
        out.write(json.dumps({"problems": _problems(seen_err.said)}, ensure_ascii=False, indent=2) + "\n")
        out.flush()
    return code


def _problems(said: str) -> list[dict[str, str]]:
    """Messages of the command line as data: each line that isn't indented, with its ``try:``."""
    found: list[dict[str, str]] = []
    for line in said.splitlines():
        if line.startswith("usage:") or (line.startswith(" ") and not line.strip().startswith("try:")) or not line.strip():
            continue
        if line.strip().startswith("try:") and found:
            found[-1]["help"] = line.strip().removeprefix("try:").strip()
        else:
            found.append({"code": CANT, "message": line.removeprefix("plait: ").strip(), "help": ""})
    return found or [{"code": CANT, "message": said.strip(), "help": ""}]


class _Seen(io.TextIOBase):
    """A stream that remembers what went through it."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.said = ""
        self.wrote = False

    def write(self, text: str) -> int:
        self.wrote = self.wrote or bool(text)
        self.said = (self.said + text)[-20_000:]
        return self._stream.write(text)

    def flush(self) -> None:
        self._stream.flush()

    def isatty(self) -> bool:
        return self._stream.isatty()

    def fileno(self) -> int:
        return self._stream.fileno()

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self._stream.encoding

    @property
    def buffer(self) -> Any:
        """Bytes that are written past the text: a document too."""
        self.wrote = True
        return self._stream.buffer
