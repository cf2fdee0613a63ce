"""The coverage-guided part of the fuzzer, run by ``fuzz.py``: atheris over the reader and the compiler.

The first argument is a file that gets ``inputs compiled escape escape …``;
the others are libFuzzer's. Every sixteenth text is compiled, all are read.
"""

from __future__ import annotations

import sys
from pathlib import Path

import atheris

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

with atheris.instrument_imports(include=["plaitbook.syntax", "plaitbook.meaning"]):
    import plaitbook.meaning.book
    import plaitbook.meaning.settle
    import plaitbook.syntax.parse
    import plaitbook.syntax.tidy  # noqa: F401

from fuzz import COMPILE_LIMIT, READ_LIMIT, tried  # noqa: E402
from hardening_checks import check_compiling, check_reading  # noqa: E402

LOG = Path(sys.argv.pop(1))
tries, compiled, found = 0, 0, []


def one_input(data: bytes) -> None:
    """Read (or compile) the bytes as text."""
    global tries, compiled
    text = data.decode("utf-8", "replace")
    tries += 1
    if tries % 16 == 0:
        compiled += 1
        found.extend(tried(text, check_compiling, COMPILE_LIMIT, True)[1])
    else:
        found.extend(tried(text, lambda t: check_reading(t, tries % 4 == 0), READ_LIMIT, False)[1])
    if tries % 200 == 0 or found:
        _write()


def _write() -> None:
    LOG.write_text(" ".join([str(tries), str(compiled), *found]), "utf-8")


atheris.Setup(sys.argv, one_input)
atheris.Fuzz()
