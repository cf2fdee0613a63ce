"""The lock file of a book: which look was sealed as what, so that a change is seen and told in words.

Of a look the file keeps what it says, by meaning. Of a plan it keeps only
hashes, part by part: a wearer's facts and a house's money don't lie about in it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import Field, ValidationError

from ...meaning.values import Frozen
from ...plan.aloud import aloud
from ...plan.canonical import digest
from ...plan.seal import LOOK
from ..shelf import CantRead, read_text, write_whole

LOCK = "book.seal"
FORM = 1
"""Of the lock file."""


class SealedPlan(Frozen):
    """One look for one wearer in one house."""

    wearer: str | None
    house: str | None
    picks: dict[str, str] = Field(default_factory=dict)
    plan: str
    """SHA-256 of the plan."""
    parts: dict[str, str]
    """What it is made of -> the beginning of its hash."""


class SealedLook(Frozen):
    """One look as it was when it was sealed."""

    file: str
    version: int
    look: str
    """SHA-256 of ``made_of``."""
    aloud: str
    made_of: dict[str, Any]
    plans: tuple[SealedPlan, ...] = ()


class Lock(Frozen):
    """Every sealed look of a book, and what judged them."""

    seal: int = FORM
    compiler: str
    built_in_rules: str
    """The beginning of the hash of the compiler's own rules."""
    looks: dict[str, SealedLook] = Field(default_factory=dict)


def read_lock(path: Path) -> Lock | None:
    """The lock file; None where there is none. Raises CantRead for one that was tampered with or isn't one."""
    if not path.is_file():
        return None
    text = read_text(path)
    help_text = "take it from where it was kept, or seal the looks again: plait seal RECIPE"
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        raise CantRead(f"'{path.name}' is not a seal file: it can't be read as JSON", help_text) from None
    form = data.get("seal") if isinstance(data, dict) else None
    if form != FORM:
        raise CantRead(f"'{path.name}' is a seal file of a form this compiler doesn't know", "install a newer plaitbook")
    try:
        lock = Lock.model_validate(data)
    except ValidationError as error:
        first = error.errors()[0]
        where = " → ".join(str(part) for part in first["loc"]) or "the top"
        raise CantRead(f"'{path.name}' is not a seal file: {where} is not as it should be", help_text) from None
    for name, sealed in lock.looks.items():
        if digest(LOOK, sealed.made_of) != sealed.look or aloud(sealed.look) != sealed.aloud:
            raise CantRead(f'\'{path.name}\' was changed by hand: "{name}" in it is not what its own seal says', help_text)
    return lock


def write_lock(path: Path, lock: Lock) -> None:
    """Write the lock file: keys in order and a line to each thing, so that a version control shows what changed.

    Raises OSError."""
    write_whole(path, (_laid(lock.model_dump(), 0) + "\n").encode())


def _laid(value: Any, depth: int) -> str:
    """JSON opened out as far as the single ingredients and no further."""
    if not isinstance(value, dict) or depth > 3 or not value:
        return json.dumps(value, ensure_ascii=False, sort_keys=True)
    inside = ",\n".join(f"{' ' * (depth + 1)}{json.dumps(key, ensure_ascii=False)}: {_laid(value[key], depth + 1)}"
                        for key in sorted(value))
    return f"{{\n{inside}\n{' ' * depth}}}"
