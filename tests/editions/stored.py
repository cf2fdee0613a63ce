"""Stored meanings of edition 1: ``python tests/editions/stored.py`` writes those that are missing.

Beside each ``.plait`` file lies what it meant when it was stored: the settled
recipe (every value for every zone, without where it stands in the file) and
of the plan what a braider would see as another look: sections by zone, and
for each kind of strand its stitches, feeds and accents, and the pieces to cut.

A stored meaning is never rewritten by this command, so that a changed one
must be deleted by hand, with a reason. What may change under a later compiler
without a new edition: minutes, prices, findings, warnings, grams (they rest
on constants that have their own sources), and fields a later model adds.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent)]

from plaitbook import Request, compile_recipe  # noqa: E402
from plaitbook.compile import Compiled  # noqa: E402
from plaitbook.meaning.book import Fetched  # noqa: E402

EDITION = HERE / "1"
BOOK = tuple((path.name, path.read_text("utf-8")) for path in sorted((EDITION / "book").glob("*.plait")))
WEARERS = {"pebble-bob": "Pim", "thistledown": "Ilse", "lantern": "Adaeze", "fernrope": "Marisol"}
_PLACES = ("origin", "origins", "where", "file", "line", "span")


def texts() -> list[Path]:
    return sorted(EDITION.glob("*.plait"))


def compiled(path: Path) -> Compiled:
    """The file compiled in the stored book."""
    def fetch(asking: str, wanted: str) -> Fetched:
        target = EDITION / wanted
        return Fetched(target.name, target.read_text("utf-8"))

    return compile_recipe(path.read_text("utf-8"), path.name, Request(wearer=WEARERS.get(path.stem, "Noor")), beside=BOOK, fetch=fetch)


def meaning(done: Compiled) -> dict[str, Any]:
    """What a compile means, as plain data."""
    assert done.plan and done.recipe, [(p.span.line, p.message) for p in done.problems]
    plan = done.plan
    return plain({
        "recipe": done.recipe.model_dump(mode="json"),
        "sections": {zone.zone: zone.sections for zone in plan.sections.zones},
        "strands": [{
            "zone": kind.zone, "technique": kind.technique, "sections": list(kind.sections), "stitches": kind.stitches,
            "feeds": [[f.stitch, f.role, f.pieces] for f in kind.feed_ins],
            "accents": [[a.stitch, a.role or a.ornament, a.count, a.side] for a in kind.accents],
        } for kind in plan.strand_kinds],
        "cuts": [[cut.hair, cut.role, cut.cut_mm, cut.pieces] for cut in plan.material.cuts],
    })


def plain(value: Any) -> Any:
    """The value without places in files, numbers to six figures."""
    if isinstance(value, dict):
        return {key: plain(each) for key, each in value.items() if key not in _PLACES}
    if isinstance(value, (list, tuple)):
        return [plain(each) for each in value]
    return float(f"{value:.6g}") if isinstance(value, float) else value


def lost(before: Any, now: Any, at: str = "") -> list[str]:
    """Places where something that was stored is no longer so; what is new is no loss."""
    if isinstance(before, dict) and isinstance(now, dict):
        return [line for key, each in before.items() for line in lost(each, now.get(key), f"{at}.{key}")]
    if isinstance(before, list) and isinstance(now, list) and len(before) == len(now):
        return [line for number, (a, b) in enumerate(zip(before, now)) for line in lost(a, b, f"{at}[{number}]")]
    if before == now or (isinstance(before, float) and isinstance(now, (int, float)) and abs(before - now) <= 1e-5 * abs(before)):
        return []
    return [f"{at.lstrip('.')}: was {str(before)[:60]}, is {str(now)[:60]}"]


def main() -> int:
    for path in texts():
        stored = path.with_suffix(".json")
        if not stored.exists():
            stored.write_text(json.dumps(meaning(compiled(path)), ensure_ascii=False, separators=(",", ":")) + "\n", "utf-8")
            print(f"stored {stored.name}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
