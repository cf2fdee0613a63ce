"""The station card: one self-contained page for the tablet or phone at the chair.

It holds the card's own steps in the order of the work, with large ticks, a clock against the
checkpoints, a stitch counter that knows the schedule of the strand in hand, and the count of
sections done. Nothing is fetched and nothing is sent: a content security policy in the page
forbids every connection, and what must survive a reload stays on the device.
"""

from __future__ import annotations

import json
from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any, NamedTuple

from ..plan.model import AccentAt, FeedIn, Plan, Strand, StrandKind
from . import words as say
from .card import Alert, Card, Figure, Para, Part, Table, Ticks
from .environment import TEMPLATES, environment

if TYPE_CHECKING:
    from jinja2 import Template

LEFT_OUT = frozenset(("quote",))
"""Parts that don't belong on a screen beside the wearer."""
DRAWN = frozenset(("map", "strip"))
"""Parts whose pictures are worked from at the chair."""
TECHNIQUE = {"plait": "plait", "twist": "two-strand twist", "row": "scalp row"}


class Step(NamedTuple):
    """One thing to tick. ``id`` is its place in the card, and stays while the card's words stay."""

    id: str
    text: str
    note: str = ""


class Group(NamedTuple):
    """Steps between two pauses."""

    title: str
    steps: tuple[Step, ...]


class StationPart(NamedTuple):
    """One part of the card as the station shows it."""

    key: str
    title: str
    groups: tuple[Group, ...]
    paras: tuple[Para, ...]
    tables: tuple[Table, ...]
    figures: tuple[Figure, ...]


def render_station(card: Card, plan: Plan) -> str:
    """The whole page. Every word is escaped; only the drawings, which are ours, go in as they are."""
    alerts = [block for part in card.parts for block in part.blocks if isinstance(block, Alert)]
    order = ("stop", "warn", "note", "ask")
    alerts.sort(key=lambda alert: order.index(alert.severity))
    cautions = [b for part in card.parts for b in part.blocks if isinstance(b, Para) and b.tone == "caution"]
    style, script, policy = _inlined()
    return _template().render(
        card=card, alerts=alerts, cautions=cautions, parts=[_part(p) for p in card.parts if p.key not in LEFT_OUT],
        data=_data(card, plan), style=style, script=script, policy=policy,
    )


def _part(part: Part) -> StationPart:
    groups: list[Group] = []
    tables: list[Table] = []
    count = 0
    for block in part.blocks:
        steps: list[Step] = []
        if isinstance(block, Ticks):
            for item in block.items:
                count += 1
                steps.append(Step(f"{part.key}-{count}", item.text, item.note))
            groups.append(Group(block.title, tuple(steps)))
        elif isinstance(block, Table):
            if block.ticks and not part.slip:
                for row in block.rows:
                    count += 1
                    steps.append(Step(f"{part.key}-{count}", row[0], _cells(block, row)))
                groups.append(Group(block.caption if not block.plain else "", tuple(steps)))
            else:
                tables.append(block)
    return StationPart(
        part.key, part.title, tuple(groups), tuple(b for b in part.blocks if isinstance(b, Para) and b.tone != "caution"),
        tuple(tables), tuple(b for b in part.blocks if isinstance(b, Figure) and part.key in DRAWN),
    )


def _cells(table: Table, row: tuple[str, ...]) -> str:
    """The rest of a row, each cell with its heading."""
    return "; ".join(f"{column.heading}: {cell}" for column, cell in zip(table.columns[1:], row[1:]) if cell and cell != "–")


def _data(card: Card, plan: Plan) -> str:
    """What the page's script works with, as JSON that can't end the element it stands in."""
    words: dict[str, int] = {}
    schedules: dict[tuple[Any, ...], int] = {}
    kinds = {kind.id: kind for kind in plan.strand_kinds}
    strand_of = {strand.section: strand for strand in plan.strands}
    sections = []
    for section in sorted(plan.sections.items, key=lambda s: s.number):
        strand = strand_of.get(section.number)
        at = -1
        if strand is not None and strand.kind in kinds:
            schedule = _schedule(strand, kinds[strand.kind], words)
            at = schedules.setdefault(schedule, len(schedules))
        sections.append([section.number, _interned(section.zone, words), at])
    data = {
        "key": "plaitbook-station-" + sha256(card.model_dump_json().encode("utf-8", "replace")).hexdigest()[:24],
        "words": list(words), "schedules": [[n, list(map(list, events))] for n, events in schedules],
        "sections": sections, "checkpoints": [[round(p.minutes, 2), p.sections] for p in plan.timing.checkpoints],
        "median": round(plan.timing.median_minutes, 1),
    }
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _interned(text: str, words: dict[str, int]) -> int:
    return words.setdefault(text, len(words))


def _schedule(strand: Strand, kind: StrandKind, words: dict[str, int]) -> tuple[int, tuple[tuple[int, int], ...]]:
    """Stitches of a strand, and (stitch, what to do) of each feed-in, accent and the end of own hair."""
    events = [(f.stitch, _feed_words(f)) for f in strand.feed_ins or kind.feed_ins]
    events += [(a.stitch, _accent_words(a)) for a in strand.accents]
    if 0 < kind.own_ends_stitch < strand.stitches:
        events.append((kind.own_ends_stitch, "own hair ends about here: tuck it in"))
    events.sort(key=lambda event: event[0])
    return strand.stitches, tuple((stitch, _interned(text, words)) for stitch, text in events)


@lru_cache(maxsize=1024)
def _feed_words(feed: FeedIn) -> str:
    amount = str(feed.pieces) if feed.part == 1 else say.mixed(feed.pieces * feed.part, say.THIRDS_AND_QUARTERS)
    colour = f", {say.name(feed.colour)}" if feed.colour else ""
    return f"lay in {amount} × {say.name(feed.role)} ({say.width(feed.held_mm)}){colour}"


@lru_cache(maxsize=1024)
def _accent_words(accent: AccentAt) -> str:
    what = say.name(accent.ornament or accent.role or "")
    verb = "thread" if accent.ornament else "draw out"
    size = f" ({say.width(accent.held_mm)})" if accent.held_mm else ""
    side = "" if accent.side == "front" else ", both sides" if accent.side == "both" else f", {accent.side} side"
    return f"{verb} {accent.count} × {what}{size}{side}"


@lru_cache(maxsize=1)
def _inlined() -> tuple[str, str, str]:
    """The page's own style and script, and the policy that lets this script, and no other, run."""
    style = (TEMPLATES / "station.css").read_text("utf-8")
    script = (TEMPLATES / "station.js").read_text("utf-8")
    digest = b64encode(sha256(script.encode()).digest()).decode()
    return style, script, (f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; "
                           "base-uri 'none'; form-action 'none'")


@lru_cache(maxsize=1)
def _template() -> Template:
    return environment(autoescape=True).get_template("station.html.j2")
