"""The station card: one self-contained page for the tablet or phone at the chair.

It holds the card's own steps in the order of the work, with large ticks, a clock against the
checkpoints, a stitch counter that knows the schedule of the strand in hand, and the count of
sections done. Nothing is fetched and nothing is sent: a content security policy in the page
forbids every connection, and what must survive a reload stays on the device.
"""

from __future__ import annotations

import json
import re
from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any, NamedTuple

from ..plan.model import AccentAt, FeedIn, Plan, Strand, StrandKind
from . import wording as words
from .card import Alert, Card, Figure, Para, Part, Table, Ticks
from .environment import TEMPLATES, environment
from .speech import Speech, speech

if TYPE_CHECKING:
    from jinja2 import Template

LEFT_OUT = frozenset(("quote",))
"""Parts that don't belong on a screen beside the wearer."""
DRAWN = frozenset(("map", "strip"))
"""Parts whose pictures are worked from at the chair."""


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
    say = speech(card.lang)
    style, script, policy = _inlined()
    return _template().render(
        say=say, card=card, alerts=alerts, cautions=cautions, parts=[_part(p, say) for p in card.parts if p.key not in LEFT_OUT],
        data=_data(card, plan, say), style=style, script=script, policy=policy,
    )


def _part(part: Part, say: Speech) -> StationPart:
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
                    steps.append(Step(f"{part.key}-{count}", row[0], _cells(block, row, say)))
                groups.append(Group(block.caption if not block.plain else "", tuple(steps)))
            else:
                tables.append(block)
    return StationPart(
        part.key, part.title, tuple(groups), tuple(b for b in part.blocks if isinstance(b, Para) and b.tone != "caution"),
        tuple(tables), tuple(b for b in part.blocks if isinstance(b, Figure) and part.key in DRAWN),
    )


def _cells(table: Table, row: tuple[str, ...], say: Speech) -> str:
    """The rest of a row, each cell with its heading."""
    return say.series(say("{heading}: {value}", heading=column.heading, value=cell) for column, cell in zip(table.columns[1:], row[1:]) if cell and cell != "–")


def _data(card: Card, plan: Plan, say: Speech) -> str:
    """What the page's script works with, as JSON that can't end the element it stands in."""
    said: dict[str, int] = {}
    schedules: dict[tuple[Any, ...], int] = {}
    kinds = {kind.id: kind for kind in plan.strand_kinds}
    strand_of = {strand.section: strand for strand in plan.strands}
    sections = []
    for section in sorted(plan.sections.items, key=lambda s: s.number):
        strand = strand_of.get(section.number)
        at = -1
        if strand is not None and strand.kind in kinds:
            schedule = _schedule(strand, kinds[strand.kind], said, say)
            at = schedules.setdefault(schedule, len(schedules))
        sections.append([section.number, _interned(say.term("zone", section.zone), said), at])
    data = {
        "key": "plaitbook-station-" + sha256(card.model_dump_json().encode("utf-8", "replace")).hexdigest()[:24],
        "words": list(said), "schedules": [[n, list(map(list, events))] for n, events in schedules],
        "sections": sections, "checkpoints": [[round(p.minutes, 2), p.sections] for p in plan.timing.checkpoints],
        "median": round(plan.timing.median_minutes, 1), "say": _script_words(say), "noughtIsOne": say.code in ("fr", "pt"),
    }
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _interned(text: str, said: dict[str, int]) -> int:
    return said.setdefault(text, len(said))


def _schedule(strand: Strand, kind: StrandKind, said: dict[str, int], say: Speech) -> tuple[int, tuple[tuple[int, int], ...]]:
    """Stitches of a strand, and (stitch, what to do) of each feed-in, accent and the end of own hair."""
    events = [(f.stitch, _feed_words(say, f)) for f in strand.feed_ins or kind.feed_ins]
    events += [(a.stitch, _accent_words(say, a)) for a in strand.accents]
    if 0 < kind.own_ends_stitch < strand.stitches:
        events.append((kind.own_ends_stitch, say("own hair ends about here: tuck it in")))
    events.sort(key=lambda event: event[0])
    return strand.stitches, tuple((stitch, _interned(text, said)) for stitch, text in events)


@lru_cache(maxsize=1024)
def _feed_words(say: Speech, feed: FeedIn) -> str:
    amount = str(feed.pieces) if feed.part == 1 else words.mixed(feed.pieces * feed.part, words.THIRDS_AND_QUARTERS)
    piece = f"{amount} × {words.name(feed.role)} ({say.width(feed.held_mm)})"
    return say("lay in {piece}", piece=f"{piece}, {words.name(feed.colour)}" if feed.colour else piece)


@lru_cache(maxsize=1024)
def _accent_words(say: Speech, accent: AccentAt) -> str:
    piece = f"{accent.count} × {words.name(accent.ornament or accent.role or '')}"
    if accent.held_mm:
        piece = f"{piece} ({say.width(accent.held_mm)})"
    whole = say("thread {piece}", piece=piece) if accent.ornament else say("draw out {piece}", piece=piece)
    side = {"front": "", "both": say("both sides"), "left": say("left side"), "right": say("right side")}[accent.side]
    return f"{whole}, {side}" if side else whole


_CALLS = re.compile(r"""\b(t|tn)\("((?:[^"\\]|\\.)*)"(?:, "((?:[^"\\]|\\.)*)")?""")


@lru_cache(maxsize=None)
def _script_words(say: Speech) -> dict[str, list[str]]:
    """What the page's script says: each of its English sentences -> the translation, or the two where it counts."""
    if say.catalogue is None:
        return {}
    found: dict[str, list[str]] = {}
    for call, one, many in _CALLS.findall(_inlined()[1]):
        one, many = one.replace("\\u00a0", "\u00a0"), many.replace("\\u00a0", "\u00a0")
        found[one] = [say(one)] if call == "t" else [say.catalogue.ngettext(one, many, n) for n in (1, 2)]
    return found


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
