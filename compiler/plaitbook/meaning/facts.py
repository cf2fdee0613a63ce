"""The facts of hairs, ornaments, wearers and houses: what each may say, and its model.

Each fact is one row: the words it begins with, the model's field, and a
reader for its value. ``unknown`` is a value any fact of a wearer may have.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any, Callable, Iterable

from ..syntax.problem import Problem
from ..syntax.suggest import did_you_mean, nearest, spoken_list
from ..syntax.tree import Declaration, Node, Statement
from . import tables
from .model import Allowance, Braider, Hair, House, OldSet, Ornament, Rate, SealingWindow, Wearer, ZONES
from .reading import CURRENCY, WANTED, Reading, string_of, unit_word, units_for
from .unit_table import UNITS
from .values import Measure, Origin, OriginKind, default
from .work_study import three_point, trainee_speed

Reader = Callable[[Reading, Node], Any]
"""Reads a ``fact_value`` node; returns None (and says why) when it can't."""

ZONE_WORDS = {**{z: z for z in ZONES}, "edges": "hairline"}


# --- readers of values ------------------------------------------------------


def _words(reading: Reading, node: Node) -> str:
    return " ".join(reading.plain(node).replace(",", " ").split())


def one_of(*allowed: str, **others: str) -> Reader:
    """One word (or phrase) of a list; ``others`` are spellings that mean one of them."""
    table = {word: word for word in allowed} | {k.replace("_", " "): v for k, v in others.items()}

    def read(reading: Reading, node: Node) -> Any:
        said = _words(reading, node)
        if said in table:
            return table[said]
        reading.say("E301", f"'{reading.quote(node)}' is not one of the words for '{reading.statement.word}'",
                    _near(said, (*allowed, *others, "unknown"), did_you_mean(said, allowed)), node)
        return None

    return read


def _near(said: str, allowed: Iterable[str], otherwise: str) -> str:
    """The nearest of some words, or other help where none is near."""
    words = tuple(allowed)
    return did_you_mean(said, words) if nearest(said, words) else otherwise


def _slip_in(reading: Reading, node: Node, *allowed: str) -> bool:
    """Whether a bare word of the value is a misspelt one of these; says so."""
    for part in node.parts:
        if part.kind == "word" and part.text not in allowed and nearest(part.text, allowed):
            reading.say("E309", f"'{reading.quote(part)}' means nothing after '{reading.statement.word}'",
                        did_you_mean(part.text, allowed), part)
            return True
    return False


def length(low: float, high: float, what: str) -> Reader:
    return measure("length", low, high, what)


def measure(dimension: str, low: float, high: float, what: str) -> Reader:
    """One measure or range, bounded in the dimension's inside unit."""

    def read(reading: Reading, node: Node) -> Any:
        item = _only(reading, node, dimension)
        return None if item is None else reading.measure(item, dimension, low, high, what)

    return read


def _only(reading: Reading, node: Node, dimension: str) -> Node | None:
    if len(node.parts) == 1 and node.parts[0].kind in ("measure", "range"):
        return node.parts[0]
    reading.say("E302", f"'{reading.quote(node)}' is not what '{reading.statement.word}' takes",
                units_for(reading.quote(node), dimension) if [part.kind for part in node.parts] == ["number"] else
                f"write {WANTED.get(dimension, dimension)}", node)
    return None


def share(reading: Reading, node: Node) -> Any:
    """A percentage as a Decimal share."""
    item = _only(reading, node, "share")
    if item is None:
        return None
    value = reading.measure(item, "share", 0, 100, reading.statement.word)
    if value is None:
        return None
    return Decimal(str(round(value.value, 6))) / 100


def float_share(reading: Reading, node: Node) -> Any:
    value = share(reading, node)
    return None if value is None else float(value)


def amount(reading: Reading, node: Node) -> Any:
    """(Decimal, currency) from ``4.50 USD``."""
    if len(node.parts) == 1 and node.parts[0].kind == "measure":
        return reading.money(node.parts[0])
    reading.say("E302", f"'{reading.quote(node)}' is not an amount of money",
                f"write the amount and the currency's three letters, such as {reading.amount_like(node)}", node)
    return None


def text(reading: Reading, node: Node) -> Any:
    if len(node.parts) == 1 and node.parts[0].kind == "string":
        return string_of(node.parts[0])
    reading.say("E303", f"'{reading.quote(node)}' should stand in quotes",
                f'write {reading.statement.word} "{reading.quote(node)}"', node)
    return None


def texts(reading: Reading, node: Node) -> Any:
    if node.parts and all(part.kind == "string" for part in node.parts):
        return tuple(string_of(part) for part in node.parts)
    reading.say("E303", f"'{reading.quote(node)}' should be names in quotes",
                f"write {reading.statement.word} {_in_quotes(reading, node)}", node)
    return None


def yes_no(reading: Reading, node: Node) -> Any:
    said = _words(reading, node)
    if said in ("yes", "no"):
        return said == "yes"
    reading.say("E301", f"'{reading.quote(node)}' is neither yes nor no",
                _near(said, ("yes", "no", "unknown"), "write yes, no or unknown"), node)
    return None


def whole(low: int, high: int, what: str) -> Reader:
    """A count with a noun: ``2 braiders``."""

    def read(reading: Reading, node: Node) -> Any:
        if len(node.parts) == 1 and node.parts[0].kind in ("measure", "number"):
            only = node.parts[0]
            return reading.whole(only if only.kind == "number" else only.all("number")[0], what, low, high)
        reading.say("E302", f"'{reading.quote(node)}' is not a count",
                    f"write {reading.statement.word} 2", node)
        return None

    return read


# --- readers with a shape of their own -------------------------------------


def _only_words(reading: Reading, node: Node, *allowed: str, hints: tuple[str, ...] = ()) -> bool:
    """Whether every bare word of the value is one that is read; a word dropped unread would mislead."""
    for part in node.parts:
        if part.kind == "word" and part.text not in allowed:
            reading.say("E309", f"'{part.text}' means nothing after '{reading.statement.word}'",
                        "take it out" if not allowed else _near(part.text, hints or allowed, "take it out"), part)
            return False
    return True


def _name_or(reading: Reading, node: Node) -> str:
    """The name that a value begins with, in quotes as it is written; an example where there is none."""
    name = next((reading.quote(part) for part in node.parts if part.kind == "string"), "")
    words = re.match(r"[^\W\d_][^\d,;½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]*", reading.quote(node))
    return name or (f'"{words.group().strip()}"' if words else '"Dune"')


def _number_or(reading: Reading, node: Node, example: str) -> str:
    """The first number of a value as it is written, or the example."""
    for part in node.parts:
        if part.kind in ("number", "measure"):
            return reading.quote(part if part.kind == "number" else part.all("number")[0])
    return example


def _in_quotes(reading: Reading, node: Node) -> str:
    """The names of a value, each in quotes as it is written."""
    names = [name.strip(' "') for name in reading.quote(node).split(",")]
    return ", ".join(f'"{name}"' for name in names if name)


def _sealing(reading: Reading, node: Node) -> Any:
    if len(node.parts) == 1 and node.parts[0].kind == "range":
        ends = reading.range_ends(node.parts[0], "temperature", 40, 300, "a sealing window")
        if ends is None:
            return None
        return SealingWindow(low_c=ends[0], high_c=ends[1], origin=reading.origin())
    reading.say("E302", f"'{reading.quote(node)}' is not a range of temperatures",
                "write both ends: sealing 175 to 200 °C", node)
    return None


def _allergies(reading: Reading, node: Node) -> Any:
    said = _words(reading, node)
    if said == "none":
        return ()
    if nearest(said, ("none", "unknown")):
        reading.say("E303", f"'{reading.quote(node)}' should stand in quotes, or be none",
                    did_you_mean(said, ("none", "unknown")), node)
        return None
    return texts(reading, node)


def _chemical(reading: Reading, node: Node) -> Any:
    """(kind, weeks measure or None) from ``relaxer 3 weeks ago``."""
    kinds = ("none", "relaxer", "bleach", "colour", "perm")
    head = node.parts[0]
    kind = tables.OTHER_WORDS["chemical service"].get(head.text, head.text)
    if head.kind != "word" or kind not in kinds:
        reading.say("E301", f"'{reading.quote(head)}' is not a chemical service",
                    _near(head.text, (*kinds, "unknown"), f"write {spoken_list(kinds)}, and when: relaxer 3 weeks ago"), head)
        return None
    times = [part for part in node.parts[1:] if part.kind == "measure"]
    if not _only_words(reading, node, kind, "color", "ago"):
        return None
    if not times:
        if kind != "none":
            reading.say("E302", f"'{reading.quote(node)}' doesn't say when",
                        f"write how long ago: {kind} 3 weeks ago", node)
            return None
        return kind, None
    when = reading.measure(times[0], "time", 0, 10 * 31556952, "the time since")
    return None if when is None else (kind, _weeks(when))


def _weeks(value: Any) -> Any:
    return value.model_copy(update={"value": value.value / 604800})


def _since(reading: Reading, node: Node) -> Any:
    items = [part for part in node.parts if part.kind in ("measure", "range")]
    if not _only_words(reading, node, "ago"):
        return None
    if len(items) != 1:
        reading.say("E302", f"'{reading.quote(node)}' doesn't say how long ago",
                    "write a time: 3 weeks ago", node)
        return None
    when = reading.measure(items[0], "time", 0, 20 * 31556952, "the time since")
    return None if when is None else _weeks(when)


def _own_hair(reading: Reading, node: Node) -> Any:
    """(measure, zones): ``8 in`` or ``6 in in nape, sides``."""
    items = [part for part in node.parts if part.kind in ("measure", "range")]
    zones = [part.parts[0].text for part in node.parts if part.kind == "zone_word"]
    if not _only_words(reading, node, "and", "the", hints=tuple(ZONE_WORDS)):
        return None
    if len(items) != 1:
        reading.say("E302", f"'{reading.quote(node)}' is not a length of hair",
                    "write own hair 8 in, or own hair 6 in in nape", node)
        return None
    value = reading.measure(items[0], "length", 0, 1500, "own hair")
    return None if value is None else (value, tuple(ZONE_WORDS[z] for z in zones))


def _age(reading: Reading, node: Node) -> Any:
    item = _only(reading, node, "age")
    if item is None:
        return None
    value = reading.measure(item, "time", 0, 110 * 31556952, "an age")
    return None if value is None else value.model_copy(update={"value": value.value / 31556952})


def _density(reading: Reading, node: Node) -> Any:
    """(word or None, measure or None)."""
    if len(node.parts) == 1 and node.parts[0].kind == "measure":
        value = reading.measure(node.parts[0], "density", 20, 500, "hair density")
        return None if value is None else (None, value)
    word = one_of(*tables.DENSITY_CM2, **tables.OTHER_WORDS["density"])(reading, node)
    return None if word is None else (word, None)


def _strand(reading: Reading, node: Node) -> Any:
    if len(node.parts) == 1 and node.parts[0].kind == "measure":
        value = reading.measure(node.parts[0], "length", 0.015, 0.2, "one hair's thickness")
        if value is None:
            return None
        return None, value.model_copy(update={"value": value.value * 1000})
    word = one_of(*tables.STRAND_UM, **tables.OTHER_WORDS["strand"])(reading, node)
    return None if word is None else (word, None)


def _labour(reading: Reading, node: Node) -> Any:
    money_node = node.parts[0] if node.parts and node.parts[0].kind == "measure" else None
    rest = " ".join(part.text for part in node.parts[1:])
    if _slip_in(reading, node, "per", "an", "hour"):
        return None
    if money_node is None or rest not in ("", "per hour", "an hour"):
        reading.say("E302", f"'{reading.quote(node)}' is not a price for an hour",
                    f"write labour {_number_or(reading, node, '45')} {reading.currency} per hour", node)
        return None
    return reading.money(money_node)


def _tax(reading: Reading, node: Node) -> Any:
    """(share, included)."""
    if _words(reading, node) == "none":
        return Decimal(0), False
    if _slip_in(reading, node, "included", "added"):
        return None
    words = [part.text for part in node.parts if part.kind == "word"]
    measures = [part for part in node.parts if part.kind == "measure"]
    if len(measures) != 1 or words not in ([], ["included"], ["added"]):
        reading.say("E302", f"'{reading.quote(node)}' is not a tax",
                    "write tax 8.5 % added, or tax 20 % included", node)
        return None
    value = reading.measure(measures[0], "share", 0, 60, "a tax")
    if value is None:
        return None
    return Decimal(str(round(value.value, 6))) / 100, words == ["included"]


def _deposit(reading: Reading, node: Node) -> Any:
    """A share of the total as a Decimal, or an amount as (Decimal, currency)."""
    only = node.parts[0] if len(node.parts) == 1 else None
    if only is not None and only.kind == "measure" and reading.dimension(only) is None:
        return reading.money(only)
    return share(reading, node)


def _rack(reading: Reading, node: Node) -> Any:
    """(pegs, pieces a peg) from ``20 pegs, 10 pieces a peg``."""
    measures = [part for part in node.parts if part.kind == "measure"]
    if not measures or unit_word(measures[0].all("unit")[0]) not in ("peg", "pegs"):
        reading.say("E302", f"'{reading.quote(node)}' is not a rack",
                    "write rack 20 pegs, 10 pieces a peg", node)
        return None
    if not _only_words(reading, node, "a", "per", "peg", "each", "on"):
        return None
    pegs = reading.whole(measures[0].all("number")[0], "pegs", 1, 500)
    each = 10 if len(measures) < 2 else reading.whole(measures[1].all("number")[0], "pieces", 1, 200)
    return None if pegs is None or each is None else (pegs, each)


def _break(reading: Reading, node: Node) -> Any:
    """(length, every) in measures from ``15 min every 2 h``."""
    measures = [part for part in node.parts if part.kind == "measure"]
    words = [part.text for part in node.parts if part.kind == "word"]
    if _slip_in(reading, node, "every"):
        return None
    if len(measures) != 2 or words != ["every"]:
        reading.say("E302", f"'{reading.quote(node)}' is not a break",
                    "write break 15 min every 2 h", node)
        return None
    long = reading.measure(measures[0], "time", 0, 7200, "a break")
    every = reading.measure(measures[1], "time", 1800, 86400, "the time between breaks")
    return None if long is None or every is None else (long, every)


def _opens(reading: Reading, node: Node) -> Any:
    if len(node.parts) == 1 and node.parts[0].kind == "clock":
        hour, minute = node.parts[0].text.split(":")
        if int(hour) < 24:
            return f"{int(hour):02d}:{minute}"
    reading.say("E302", f"'{reading.quote(node)}' is not a time of day",
                "write it on the 24-hour clock: opens 09:30", node)
    return None


def _rate(reading: Reading, node: Node) -> Any:
    """One rate: ``rate "stitch" 2 s, spread 20 %``; ``ahead`` where it may be done the day before, ``by`` who may do it."""
    if not _only_words(reading, node, "spread", "ahead", "by", *_DOERS):
        return None
    by = _doer(reading, node)
    if by is False:
        return None
    ahead = any(part.text == "ahead" for part in node.parts if part.kind == "word")
    strings = [part for part in node.parts if part.kind == "string"]
    measures = [part for part in node.parts if part.kind == "measure"]
    if len(strings) != 1 or not 1 <= len(measures) <= 3:
        reading.say("E302", f"'{reading.quote(node)}' is not a rate",
                    'write rate "start" 50 s, spread 25 %', node)
        return None
    if len(measures) == 3:
        return _three_point_rate(reading, node, string_of(strings[0]), measures, by)
    seconds = reading.measure(measures[0], "time", 0, 86400, "a rate")
    spread = 0.25 if len(measures) == 1 else reading.measure(measures[1], "share", 0, 200, "a spread")
    if seconds is None or spread is None:
        return None
    return Rate(operation=string_of(strings[0]), seconds=seconds.value, per="operation",
                spread=spread if isinstance(spread, float) else spread.value / 100,
                ahead=ahead, by=by, origin=reading.origin())


_DOERS = ("braider", "assistant")


def _doer(reading: Reading, node: Node) -> Any:
    """Who may do an operation; None where nothing is said, False (and a problem) where it is half said."""
    words = [part.text for part in node.parts if part.kind == "word" and part.text in ("by", *_DOERS)]
    if not words:
        return None
    if len(words) == 2 and words[0] == "by" and words[1] != "by":
        return words[1]
    reading.say("E302", f"'{reading.quote(node)}' doesn't say who may do it",
                'write rate "wash" 15 min, by assistant, or by braider', node)
    return False


def _old_set(reading: Reading, node: Node) -> Any:
    """``old set 80 braids``, and their width where it is known: ``old set 80 braids, 5 mm``."""
    items = list(node.parts)
    counted = bool(items) and (items[0].kind == "number" or (
        items[0].kind == "measure" and len(items[0].all("number")) == 1 and reading.dimension(items[0]) is None))
    if not counted or len(items) > 2 or any(item.kind != "measure" for item in items[1:]):
        reading.say("E302", f"'{reading.quote(node)}' is not an old set", "write old set 80 braids, or old set 80 braids, 5 mm", node)
        return None
    first = items[0] if items[0].kind == "number" else items[0].all("number")[0]
    strands = reading.whole(first, "strands of the old set", 1, 2000)
    width = reading.measure(items[1], "length", 1, 40, "the width of an old strand") if len(items) == 2 else None
    if strands is None or (len(items) == 2 and width is None):
        return None
    return OldSet(strands=strands, width_mm=width, origin=reading.origin())


def _three_point_rate(reading: Reading, node: Node, operation: str, measures: list[Node], by: Any) -> Any:
    """A rate as least, usual and most: ``rate "take down" 10 s, 20 s, 60 s``."""
    said = [reading.measure(each, "time", 0, 86400, "a rate") for each in measures]
    if any(each is None for each in said):
        return None
    least, usual, most = (each.value for each in said)
    if not 0 < least <= usual <= most:
        reading.say("E302", f"'{reading.quote(node)}' doesn't run from least to most",
                    f'write the least, the usual and the most: rate "{operation}" 10 s, 20 s, 60 s', node)
        return None
    mean, deviation = three_point(least, usual, most)
    return Rate(operation=operation, seconds=mean, spread=deviation / mean, per="operation", by=by,
                origin=reading.origin())


def _braider(reading: Reading, node: Node) -> Any:
    """``braider "Ana" speed 110 %, arrives 09:30`` or ``braider "Bo" 12 sets so far``."""
    example = 'write braider "Ana" speed 110 %, arrives 09:30'
    if _slip_in(reading, node, "speed", "arrives", "so", "far"):
        return None
    strings = [part for part in node.parts if part.kind == "string"]
    words = [part.text for part in node.parts if part.kind == "word"]
    measures = [part for part in node.parts if part.kind == "measure"]
    clocks = [part for part in node.parts if part.kind == "clock"]
    known = len(strings) + len(words) + len(measures) + len(clocks) == len(node.parts)
    sets = [m for m in measures if unit_word(m.all("unit")[0]) in ("set", "sets")]
    speeds = [m for m in measures if m not in sets]
    if (not known or len(strings) != 1 or not string_of(strings[0]) or len(speeds) != words.count("speed") or len(speeds) > 1
            or len(clocks) != words.count("arrives") or len(clocks) > 1 or len(sets) > 1 or (sets and speeds)
            or [w for w in words if w not in ("speed", "arrives", "so", "far")]):
        reading.say("E302", f"'{reading.quote(node)}' doesn't say who and how fast", example, node)
        return None
    speed = default(1.0, "100 %", "an ordinary practised braider")
    count = None
    if sets:
        count = reading.whole(sets[0].all("number")[0], "sets", 1, 100000)
        if count is None:
            return None
        speed = Measure(value=trainee_speed(count), text=reading.plain(sets[0]), origin=reading.origin())
    elif speeds:
        said = reading.measure(speeds[0], "share", 20, 300, "a braider's speed")
        if said is None:
            return None
        speed = said.model_copy(update={"value": said.value / 100})
    arrives = None
    if clocks:
        hour, minute = clocks[0].text.split(":")
        if int(hour) > 23:
            reading.say("E302", f"'{clocks[0].text}' is not a time of day", example, clocks[0])
            return None
        arrives = f"{int(hour):02d}:{minute}"
    return Braider(name=string_of(strings[0]), speed=speed, arrives_clock=arrives, sets=count, origin=reading.origin())


def _stock(reading: Reading, node: Node) -> Any:
    if len(node.parts) == 2 and node.parts[0].kind == "string" and node.parts[1].kind == "measure":
        packs = reading.measure(node.parts[1], "packs", 0, 10000, "stock")
        return None if packs is None else (string_of(node.parts[0]), packs.value)
    reading.say("E302", f"'{reading.quote(node)}' is not a stock",
                f"write {reading.statement.word} {_name_or(reading, node)} {_number_or(reading, node, '3½')} packs", node)
    return None


def _pack_weight(reading: Reading, node: Node) -> Any:
    """(hair, grams) from ``pack "Dune" 75 g``."""
    if len(node.parts) == 2 and node.parts[0].kind == "string" and node.parts[1].kind == "measure":
        grams = reading.measure(node.parts[1], "mass", 5, 1000, "one pack")
        return None if grams is None else (string_of(node.parts[0]), grams)
    reading.say("E302", f"'{reading.quote(node)}' is not a pack's weight",
                f"write pack {_name_or(reading, node)} {_number_or(reading, node, '75')} g", node)
    return None


def _house_price(reading: Reading, node: Node) -> Any:
    """(hair or ornament, (Decimal, currency)) from ``price "Dune" 3.10 EUR``."""
    if len(node.parts) == 2 and node.parts[0].kind == "string" and node.parts[1].kind == "measure":
        money = reading.money(node.parts[1])
        return None if money is None else (string_of(node.parts[0]), money)
    reading.say("E302", f"'{reading.quote(node)}' is not a hair's price",
                f"write price {_name_or(reading, node)} {_number_or(reading, node, '3.10')} {reading.currency}", node)
    return None


def _currency(reading: Reading, node: Node) -> Any:
    said = _words(reading, node)
    if len(said) == 3 and said.isalpha():
        return said.upper()
    reading.say("E302", f"'{reading.quote(node)}' is not a currency", "write its three letters, such as USD or EUR", node)
    return None


# --- schemas ----------------------------------------------------------------

HAIR: dict[str, tuple[str, Reader]] = {
    "kind": ("kind", one_of("plain", "curly")),
    "fibre": ("fibre", one_of(*tables.FIBRE_DENSITY_G_CM3)),
    "colours": ("colours", texts),
    "pack": ("pack_g", measure("mass", 5, 1000, "one pack")),
    "flat": ("flat_mm", length(50, 3000, "hair laid flat")),
    "label": ("label_mm", length(50, 3000, "a label")),
    "worn": ("worn_mm", length(20, 3000, "worn hair")),
    "ends": ("ends", one_of("blunt", "tapered")),
    "styling ceiling": ("styling_ceiling_c", measure("temperature", 20, 260, "a styling ceiling")),
    "sealing": ("sealing", _sealing),
    "hot water": ("hot_water", one_of("allowed", "never", "unknown")),
    "price": ("price", amount),
    "coated": ("coated", one_of("yes", "no", "unknown")),
    "substitute": ("substitutes", texts),
}

ORNAMENT: dict[str, tuple[str, Reader]] = {
    "kind": ("kind", one_of("bead", "cuff", "ring", "shell", "cord")),
    "bore": ("bore_mm", length(0.2, 40, "a bore")),
    "length": ("length_mm", length(0.5, 2000, "an ornament")),
    "weight": ("mass_g", measure("mass", 0, 100, "one ornament")),
    "price": ("price", amount),
}

WEARER: dict[str, tuple[str, Reader]] = {
    "age": ("age_years", _age),
    "sex": ("sex", one_of("female", "male")),
    "strand": ("strand", _strand),
    "density": ("density", _density),
    "texture": ("texture", one_of("straight", "wavy", "curly", "coily")),
    "own hair": ("own_mm", _own_hair),
    "growth": ("growth_mm", length(0, 300, "growth")),
    "brings": ("brings", _stock),
    "layers": ("layers_mm", length(0, 1000, "layers")),
    "circumference": ("circumference_mm", length(300, 750, "a head's circumference")),
    "ear to ear": ("ear_to_ear_mm", length(180, 480, "ear to ear over the crown")),
    "hairline to nape": ("hairline_to_nape_mm", length(180, 500, "forehead hairline to nape")),
    "head length": ("head_length_mm", length(100, 260, "a head's length")),
    "head breadth": ("head_breadth_mm", length(80, 210, "a head's breadth")),
    "hairline": ("hairline", one_of("ordinary", "low", "high", "receding")),
    "edges": ("edges", one_of("healthy", "thin", "fragile")),
    "scalp": ("scalp", one_of("healthy", "dry", "flaking", "sore", "broken", "infected")),
    "allergies": ("allergies", _allergies),
    "reacts to added hair": ("reacts_to_added_hair", yes_no),
    "patch test": ("patch_test", one_of("clear", "reacted", "not done")),
    "chemical service": ("chemical", _chemical),
    "shedding": ("shedding", one_of("ordinary", "heavy")),
    "tender head": ("tender", yes_no),
    "past breakage": ("past_breakage", yes_no),
    "last set down": ("rest_weeks", _since),
    "arrives": ("arrives", one_of("washed and dried", "washed", "unwashed", "in an old set")),
    "old set": ("old_set", _old_set),
    "sits": ("sits_s", measure("time", 300, 43200, "the longest sit")),
    "note": ("note", text),
}

HOUSE: dict[str, tuple[str, Reader]] = {
    "currency": ("currency", _currency),
    "units": ("units", one_of("inch", "metric", inches="inch")),
    "paper": ("paper", one_of("letter", "a4", "half")),
    "hand": ("hand", one_of("right", "left")),
    "language": ("language", one_of("english", "french", "spanish", "portuguese")),
    "labour": ("labour_per_hour", _labour),
    "overhead": ("overhead", share),
    "tax": ("tax", _tax),
    "round to": ("round_to", amount),
    "deposit": ("deposit", _deposit),
    "discount": ("discount", share),
    "consumables": ("consumables", amount),
    "hair by": ("hair_by", one_of("pack", "gram")),
    "spare": ("spare", float_share),
    "pencil": ("pencil_mm", lambda r, n: None),
    "length ratio": ("length_ratio", lambda r, n: None),
    "braiders": ("braiders", whole(1, 12, "braiders")),
    "rack": ("rack", _rack),
    "break": ("break", _break),
    "opens": ("start_clock", _opens),
    "load limit": ("load_limit_mn", measure("force", 0.01, 1000, "a load limit")),
    "added limit": ("added_limit_g", measure("mass", 1, 3000, "a limit on added hair")),
    "rate": ("rates", _rate),
    "stock": ("stock", _stock),
    "pack": ("pack_weights", _pack_weight),
    "price": ("prices", _house_price),
    "braider": ("crew", _braider),
    "logo": ("logo", text),
    "template": ("template", text),
    "note": ("note", text),
}


def _pencil(reading: Reading, node: Node) -> Any:
    """A width in mm, or a weighed pencil in g/m."""
    item = _only(reading, node, "length")
    if item is None:
        return None
    if item.kind == "measure" and reading.dimension(item) == "linear mass":
        return reading.measure(item, "linear mass", 0.5, 200, "a pencil's weight")
    return reading.measure(item, "length", 2, 20, "a pencil")


def _length_ratio(reading: Reading, node: Node) -> Any:
    """A bare number of hundredths: ``130 %`` means 1.3 of hair for 1 of braid."""
    item = _only(reading, node, "ratio")
    value = None if item is None else reading.measure(item, "share", 101, 250, "hair over braid")
    return None if value is None else value.model_copy(update={"value": value.value / 100})


HOUSE["pencil"] = ("pencil_mm", _pencil)
HOUSE["length ratio"] = ("length_ratio", _length_ratio)

SCHEMAS = {"hair": HAIR, "ornament": ORNAMENT, "wearer": WEARER, "house": HOUSE}
_REPEATABLE = {"allow", "own hair", "rate", "stock", "braider", "brings", "note", "allow", "pencil"}


def read_facts(
    declaration: Declaration, problems: list[Problem]
) -> dict[str, tuple[Any, Statement, Origin]]:
    """(value, statement, origin) by the fact's words; ``unknown`` facts are left out.

    Repeatable facts come as a list under their words.
    """
    schema = SCHEMAS[declaration.kind]
    kind: OriginKind = "catalogue" if declaration.kind in ("hair", "ornament") else declaration.kind  # type: ignore[assignment]
    whose = f'{declaration.kind} "{declaration.name}"'
    said: dict[str, Any] = {}
    first: dict[str, Statement] = {}
    again: list[tuple[Statement, str]] = []
    currency = _currency_of(declaration)
    for statement in declaration.statements:
        word = statement.word
        reading = Reading(statement, kind, whose, problems, currency)
        if word == "allow":
            allowance = allowance_of(reading, statement.node)
            said.setdefault("allow", []).append((allowance, statement, reading.origin()))
            continue
        if word == "demo":
            said["demo"] = (True, statement, reading.origin())
            continue
        if not statement.node.parts:
            reading.say("E304", f"'{word}' says nothing", "write its value, or leave the line out")
            continue
        names = [string_of(part) for part in statement.node.parts if part.kind == "string"]
        if _repeats(declaration.kind, word) and word not in ("note", "allow") and names:
            word_and_name = f'{word} "{names[0]}"'
        else:
            word_and_name = word
        if word == "own hair" and any(part.kind == "zone_word" for part in statement.node.parts):
            word_and_name = reading.plain(statement.node)
        repeats = _repeats(declaration.kind, word) and word_and_name != "own hair"
        if word_and_name in first and (word_and_name != word or not repeats):
            again.append((statement, word_and_name))
            continue
        first[word_and_name] = statement
        if declaration.kind == "wearer" and reading.plain(statement.node) == "unknown":
            continue
        value = schema[word][1](reading, statement.node)
        if value is None:
            continue
        row = (value, statement, reading.origin())
        if _repeats(declaration.kind, word):
            said.setdefault(f"house {word}" if word in _HOUSE_ONLY else word, []).append(row)
        else:
            said[word] = row
    _refuse_twice(declaration, whose, first, again, problems)
    return said


def _currency_of(declaration: Declaration) -> str:
    """The currency a declaration works in, for examples: the one it states, or the first that it writes an amount in."""
    stated = [s.quote(s.node).upper() for s in declaration.statements if s.word == "currency"]
    units = [unit_word(part.all("unit")[0]) for s in declaration.statements for part in s.node.parts if part.kind == "measure"]
    money = [unit.upper() for unit in units if len(unit) == 3 and unit.isalpha() and unit not in UNITS and unit not in ("set", "peg")]
    return next((code for code in (*stated, *money) if len(code) == 3 and code.isalpha()), CURRENCY)


def _refuse_twice(declaration: Declaration, whose: str, first: dict[str, Statement],
                  again: list[tuple[Statement, str]], problems: list[Problem]) -> None:
    """Facts that are said a second time; many of them are one slip, a first line that is missing above them."""
    if len(again) < MANY:
        problems += [Problem(
            "E305", f"'{word}' is said twice for {whose}",
            "say where the second is: own hair 6 in in nape" if word == "own hair" else "keep one of the two lines",
            statement.span(), (("said first here", first[word].span()),)) for statement, word in again]
    elif "?" not in declaration.lost:  # else the line that can't be read is that first line, and has its message
        statement, word = again[0]
        words = spoken_list([f"'{word}'" for _, word in again[:5]], "and" if len(again) <= 5 else "…")
        problems.append(Problem(
            "E305", f"from here {words} are said a second time for {whose}",
            f'if another {declaration.kind} begins here, put its first line above: {declaration.kind} "Name"',
            statement.span(), (("said first here", first[word].span()),)))


MANY = 3
"""So many facts said again are one slip."""
_HOUSE_ONLY = ("pack", "price")
"""Facts that a hair says once of itself, and a house hair by hair."""


def _repeats(kind: str, word: str) -> bool:
    """Whether a fact may be said more than once: a house states a pack's weight hair by hair."""
    return word in _REPEATABLE or (kind == "house" and word in _HOUSE_ONLY)


# --- models -----------------------------------------------------------------


def _require(
    said: dict[str, Any], declaration: Declaration, problems: list[Problem],
    needed: dict[str, str],
) -> bool:
    missing = [word for word in needed if word not in said and word not in declaration.lost and "?" not in declaration.lost]
    stated = {s.word for s in declaration.statements}
    for word in missing:
        if word not in stated:  # a line that is there but wrong has its own message already
            problems.append(Problem(
                "E306", f'{declaration.kind} "{declaration.name}" doesn\'t say its {word}',
                f"add a line: {needed[word]}", declaration.head.span(),
            ))
    return all(word in said for word in needed)


def _declared(declaration: Declaration, kind: OriginKind) -> Origin:
    return Origin(kind=kind, where=f'{declaration.kind} "{declaration.name}" line {declaration.line}',
                  file=declaration.head.file, line=declaration.line)


def _plain_fields(said: dict[str, Any], schema: dict[str, tuple[str, Reader]], skip: tuple[str, ...]) -> dict[str, Any]:
    return {
        schema[word][0]: row[0]
        for word, row in said.items()
        if word in schema and word not in skip and word not in _REPEATABLE and schema[word][0]
    }


def hair_model(declaration: Declaration, problems: list[Problem]) -> Hair | None:
    """A catalogue hair, or None when a line it needs is missing or wrong."""
    said = read_facts(declaration, problems)
    if not _require(said, declaration, problems, {
        "kind": "kind plain", "fibre": "fibre modacrylic", "pack": "pack 80 g", "flat": "flat 48 in",
    }):
        return None
    density, source = tables.FIBRE_DENSITY_G_CM3[said["fibre"][0]]
    fields = _plain_fields(said, HAIR, ("price",))
    if "price" in said:
        fields["price"], fields["currency"] = said["price"][0]
    return Hair(name=declaration.name, demo="demo" in said, origin=_declared(declaration, "catalogue"),
                density_g_cm3=default(density, f"{density:g} g/cm³", source), **fields)


def ornament_model(declaration: Declaration, problems: list[Problem]) -> Ornament | None:
    """A bead, cuff, ring, shell or cord."""
    said = read_facts(declaration, problems)
    if not _require(said, declaration, problems, {"kind": "kind bead", "weight": "weight 0.5 g"}):
        return None
    fields = _plain_fields(said, ORNAMENT, ("price",))
    if "price" in said:
        fields["price"], fields["currency"] = said["price"][0]
    return Ornament(name=declaration.name, origin=_declared(declaration, "catalogue"), **fields)


def allowance_of(reading: Reading, node: Node) -> Allowance:
    """``allow CODE because "…"``."""
    code = node.parts[0].parts[0].text.strip('"').upper()
    reason = string_of(node)
    if len(reason) < 8:
        reading.say("E308", f"'{reason}' is too short for a reason",
                    "write why it is right for this client, in a few words", node)
    return Allowance(code=code, reason=reason, origin=reading.origin())


def wearer_model(declaration: Declaration, problems: list[Problem]) -> Wearer:
    """A wearer; what isn't said is unknown, or a stated default where the maths needs a number."""
    said = read_facts(declaration, problems)
    if "old set" in said and "arrives" in said and said["old set"][0] is not None and said["arrives"][0] != "in an old set":
        problems.append(Problem("E310", f"who comes {said['arrives'][0]} has no old set to take down",
                                "write 'arrives in an old set', or take the line 'old set' out", said["old set"][1].span(),
                                (("how she arrives", said["arrives"][1].span()),)))
    fields = _plain_fields(said, WEARER, ("strand", "density", "chemical service"))
    if "chemical service" in said:
        fields["chemical"], fields["chemical_weeks"] = said["chemical service"][0]
    for word, table, field, unit in (
        ("strand", tables.STRAND_UM, "strand_um", "µm"),
        ("density", tables.DENSITY_CM2, "density_cm2", "hairs/cm²"),
    ):
        named, value = said[word][0] if word in said else (None, None)
        fields[word] = named
        if value is None:
            number = table[named or "medium"]
            value = default(number, f"{number:g} {unit}", f"{word} {named or 'unknown, taken as medium'}")
            if word in said:
                value = value.model_copy(update={"origin": said[word][2]})
        fields[field] = value
    by_zone = []
    for (value, zones), statement, _ in said.get("own hair", []):
        if zones:
            again = [zone for zone in zones if zone in dict(by_zone)]
            if again:
                problems.append(Problem("E305", f"'own hair' is said twice in {again[0]}", "keep one of the two lines",
                                        statement.span()))
            by_zone += [(zone, value) for zone in zones]
        else:
            fields["own_mm"] = value
    fields["own_by_zone"] = tuple(by_zone)
    fields["brings"] = tuple(row[0] for row in said.get("brings", []))
    fields["note"] = " ".join(row[0] for row in said.get("note", []))
    fields.setdefault("own_mm", default(tables.OWN_HAIR_MM, "20 cm", "own hair unknown, our own estimate"))
    own = fields["own_mm"].value
    fields.setdefault("layers_mm", default(
        own * tables.LAYERS_SHARE, f"{own * tables.LAYERS_SHARE / 10:.3g} cm",
        "layers unknown: a quarter of the own length, our own estimate",
    ))
    return Wearer(name=declaration.name, demo="demo" in said, allows=tuple(row[0] for row in said.get("allow", [])),
                  origin=_declared(declaration, "wearer"), **fields)


def house_model(declaration: Declaration, problems: list[Problem]) -> House:
    """A house; habits it doesn't state are the shipped defaults."""
    said = read_facts(declaration, problems)
    fields = _plain_fields(said, HOUSE, ("labour", "tax", "round to", "consumables", "rack", "break", "note"))
    currency = fields.setdefault("currency", _first_currency(said) or CURRENCY)
    if isinstance(fields.get("deposit"), tuple):
        fields["deposit_amount"] = fields.pop("deposit")[0]
    for word in ("labour", "round to", "consumables", "deposit"):
        if word in said and isinstance(said[word][0], tuple):
            value, code = said[word][0]
            if code != currency:
                statement = said[word][1]
                problems.append(Problem(
                    "E307", f"'{word}' is in {code}, but this house works in {currency}",
                    f"write the amount in {currency}, or change 'currency'", statement.span(),
                ))
            if word != "deposit":
                fields[HOUSE[word][0]] = value
    fields.setdefault("labour_per_hour", Decimal(0))
    if "tax" in said:
        fields["tax"], fields["tax_included"] = said["tax"][0]
    if "rack" in said:
        fields["rack_pegs"], fields["pieces_per_peg"] = said["rack"][0]
    if "break" in said:
        fields["break_s"], fields["break_every_s"] = said["break"][0]
    fields.setdefault("break_s", default(tables.BREAK_S, "15 min", "common practice, no source"))
    fields.setdefault("break_every_s", default(tables.BREAK_EVERY_S, "2 h", "common practice, no source"))
    for value, statement, _ in said.get("pencil", []):
        field = "pencil_g_m" if "g/m" in statement.text else "pencil_mm"
        fields[field] = value
    fields.setdefault("pencil_mm", default(tables.PENCIL_MM, "7 mm", "common practice, no source"))
    fields["rates"] = tuple(row[0] for row in said.get("rate", []))
    fields["stock"] = tuple(row[0] for row in said.get("stock", []))
    fields["pack_weights"] = tuple(row[0] for row in said.get("house pack", []))
    prices = []
    for (name, (value, code)), statement, _ in said.get("house price", []):
        if code != currency:
            problems.append(Problem("E307", f"the price of \"{name}\" is in {code}, but this house works in {currency}",
                                    f"write the price in {currency}", statement.span()))
        prices.append((name, value))
    fields["prices"] = tuple(prices)
    fields["crew"] = _crew([(row[0], row[1]) for row in said.get("braider", [])], problems)
    notes = said.get("note", [])
    return House(name=declaration.name, demo="demo" in said, note=" ".join(row[0] for row in notes),
                 origin=_declared(declaration, "house"), **fields)


def _crew(said: list[tuple[Braider, Statement]], problems: list[Problem]) -> tuple[Braider, ...]:
    """The braiders of a house, each name once."""
    crew: dict[str, tuple[Braider, Statement]] = {}
    for braider, statement in said:
        if braider.name in crew:
            problems.append(Problem("E305", f'the braider "{braider.name}" is said twice', "keep one of the two lines",
                                    statement.span(), (("said first here", crew[braider.name][1].span()),)))
        crew.setdefault(braider.name, (braider, statement))
    return tuple(braider for braider, _ in crew.values())


def _first_currency(said: dict[str, Any]) -> str | None:
    for word in ("labour", "consumables", "round to"):
        if word in said:
            return said[word][0][1]
    return None
