"""Read one statement with the grammar. The only module that imports lark.

A parse is memoised on (start rule, text): while someone types, every line but
one is a line that was read before.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any, NamedTuple

from lark import Lark, Token, Tree
from lark import __version__ as lark_version
from lark.exceptions import UnexpectedCharacters, UnexpectedEOF, UnexpectedToken
from lark.grammar import Rule
from lark.lexer import TerminalDef

from .. import cache
from ..shipped import shipped_folder
from . import vocabulary
from .suggest import did_you_mean, nearest, spoken_list
from .tree import Node

_START = re.compile(r"^(\w+_(?:line|statement|value)):", re.M)
_SAYS = {
    "NUMBER": "a number", "WORD": "a word", "STRING": "a name in quotes", "CLOCK": "a time",
    "ZONE": "a zone (nape, back, crown, sides, temples, top, hairline)", "_TO": "to",
    "COMMA": "','", "COLON": "':'", "SEMICOLON": "';'", "LPAR": "'('", "RPAR": "')'",
    "MARK": "a unit", "PER": "a unit", "$END": "the end of the line",
}
_ENDS = ("the finishes are: knot 5 turns; band; tuck; leave loose; leave curls loose; trim straight ends; "
         "3 beads of \"name\"; curl rods 12 mm; heat seal 180 °C; dip 80 °C for 10 s last 1 in")
_ADVICE = {
    ("technique_statement", "knotless"): "knotless is how a strand begins: write it as start: extension at root, 1 piece of base ½ pencil",
    ("start_line", "knotless"): "write how it begins: extension at root, or own hair 1½ in first",
    ("technique_statement", ""): "the techniques are: plait, two-strand twist, scalp rows; then relaxed, ordinary or firm",
    ("end_line", "beads"): "say how many, and which: 3 beads of \"Pebble bead\"",
    ("end_line", "seal"): "write heat seal 180 °C, or dip 80 °C for 10 s last 1 in",
    ("end_line", "burn"): "no flame: write heat seal 180 °C where the hair is synthetic; " + _ENDS,
    ("end_line", ""): _ENDS,
    ("wearing_statement", ""): "write a length or a landmark: wearing 18 in, or wearing level at shoulder (chin, shoulder, armpit, mid back, waist, hip)",
}
"""(start rule, word) -> what to write instead, where the nearest word or an example would mislead;
the empty word is for any other."""
_UNIT_TERMINALS = {"MARK", "PER"}
_UNITS_AFTER = (
    (r"\b(?:seal|dip) $", ("°C", "°F")),
    (r"\bpieces? (?:of .*)?$", ("pencil", "mm")),
    (r"\bgrid\b", ("in", "mm", "sections")),
)
"""What stands before a number without a unit, and the units that it may have meant."""
MAX_BRACKETS = 12
_MANY_NOTS = re.compile(rf"(?:\bnot\s+){{{MAX_BRACKETS},}}")


class Fault(NamedTuple):
    """Why a statement could not be read; offsets into its text."""

    code: str
    message: str
    help: str
    start: int
    end: int


@lru_cache(maxsize=1)
def _parser() -> Lark:
    """The parser; its tables are kept, because making them from the grammar takes longer than most compiles."""
    from hashlib import sha256

    grammar = (shipped_folder("grammar") / "plaitbook.lark").read_text(encoding="utf-8")
    name = sha256(f"{lark_version}\n{grammar}".encode()).hexdigest()
    kept = cache.read("grammar", name)
    if kept is not None:
        try:
            return Lark._load_from_dict(*_tables(kept))
        except Exception:  # whatever is wrong with them, the grammar itself is at hand
            pass
    parser = Lark(grammar, parser="lalr", start=_START.findall(grammar), propagate_positions=True,
                  maybe_placeholders=False)
    cache.write("grammar", name, parser.memo_serialize([TerminalDef, Rule]))
    return parser


def _tables(kept: list[Any]) -> tuple[dict[str, Any], dict[int, Any]]:
    """lark's own data again: JSON writes whole-number keys as words."""
    data, memo = kept
    table = data["parser"]["parser"]
    table["tokens"] = _numbered(table["tokens"])
    table["states"] = {state: _numbered(actions) for state, actions in _numbered(table["states"]).items()}
    return data, _numbered(memo)


def _numbered(items: dict[str, Any]) -> dict[int, Any]:
    return {int(key): value for key, value in items.items()}


@lru_cache(maxsize=8192)
def read_statement(start: str, text: str) -> Node | Fault:
    """The node of one statement, or the fault in it. ``start`` is a start rule's name."""
    if text.count("(") > MAX_BRACKETS:
        at = text.index("(")
        return Fault(
            "E101", f"{text.count('(')} brackets in one line are more than a reader can follow",
            f"use at most {MAX_BRACKETS}; split the condition into two rules", at, at + 1,
        )
    nots = _MANY_NOTS.search(text) if "not" in text else None
    if nots:
        return Fault("E101", "so many 'not' in a row are more than a reader can follow",
                     "write 'not' once, or leave it out", nots.start(), nots.end())
    try:
        return _node(_parser().parse(text, start=start))
    except UnexpectedToken as error:
        return _token_fault(start, text, error)
    except UnexpectedCharacters as error:
        return _character_fault(start, text, error)
    except UnexpectedEOF:
        return _cut_short(start, text, set())


def _node(item: Tree | Token) -> Node:
    if isinstance(item, Token):
        return Node(item.type.lower(), item.start_pos or 0, item.end_pos or 0, (), str(item))
    meta = item.meta
    start, end = (0, 0) if meta.empty else (meta.start_pos, meta.end_pos)
    return Node(str(item.data), start, end, tuple(_node(child) for child in item.children))


def _token_fault(start: str, text: str, error: UnexpectedToken) -> Fault:
    expected = set(error.accepts or error.expected)
    if error.token.type == "$END":
        return _cut_short(start, text, expected)
    at = error.token.start_pos
    return _unexpected(start, text, at, at + len(error.token), expected)


def _character_fault(start: str, text: str, error: UnexpectedCharacters) -> Fault:
    at = error.pos_in_stream
    word = re.match(r"[^\s,;:()\"]+", text[at:])
    end = at + (len(word.group()) if word else 1)
    return _unexpected(start, text, at, end, set(error.allowed or ()))


def _unexpected(start: str, text: str, at: int, end: int, expected: set[str]) -> Fault:
    found = text[at:end]
    if text[at] == "," and re.search(r"\d$", text[:at]) and re.match(r",\d", text[at:]):
        first = re.search(r"\d+$", text[:at])
        after = re.match(r",(\d+)", text[at:])
        assert first and after
        return Fault(
            "E104", f"'{first.group()}{after.group()}' has a comma inside a number",
            f"write {first.group()}.{after.group(1)}", first.start(), at + after.end(),
        )
    if expected & _UNIT_TERMINALS and re.search(r"[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]\s*$", text[:at]):
        return _no_unit(text, at)
    if found[:1] in "$€£¥":
        return Fault("E101", f"'{_short(found)}' is not read as money",
                     "write the amount and the currency's three letters, such as 30 USD", at, end)
    literals = _literals(expected)
    if (start, found) in _ADVICE:
        help_text = _ADVICE[start, found]
    elif nearest(found, literals):
        help_text = did_you_mean(found, literals)
    else:
        help_text = _ADVICE.get((start, "")) or _expectation(start, expected)
    return Fault("E101", f"'{_short(found)}' is not understood here", help_text, at, end)


def _cut_short(start: str, text: str, expected: set[str]) -> Fault:
    if expected & _UNIT_TERMINALS and re.search(r"[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]\s*$", text):
        return _no_unit(text, len(text))
    last = text.split()[-1] if text.split() else ""
    message = f"the line stops after '{_short(last)}'" if last else "nothing follows the heading"
    return Fault("E103", message, _expectation(start, expected), max(0, len(text) - len(last)), max(1, len(text)))


def _no_unit(text: str, at: int) -> Fault:
    number = re.search(r"[-\d./ ½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]+$", text[:at].rstrip())
    words = number.group().strip() if number else text[:at].split()[-1]
    begin = at - len(text[:at]) + text[:at].rstrip().rfind(words)
    units = next((u for before, u in _UNITS_AFTER if re.search(before, text[:begin])), ("in", "cm", "mm"))
    return Fault(
        "E105", f"'{words}' has no unit",
        f"write what it is measured in, such as {spoken_list(f'{words} {unit}' for unit in units)}",
        begin, begin + len(words),
    )


def _literals(expected: set[str]) -> list[str]:
    """The fixed words among the terminals that would have been right."""
    words: list[str] = []
    for terminal in _parser().terminals:
        if terminal.name not in expected:
            continue
        if terminal.name == "ZONE":
            words += ["nape", "back", "crown", "sides", "temples", "top", "hairline", "edges"]
        elif terminal.pattern.type == "str" and terminal.pattern.value[:1].isalpha():
            words.append(terminal.pattern.value)
    return sorted(words)


def _expectation(start: str, expected: set[str]) -> str:
    said = {_SAYS[name] for name in expected if name in _SAYS and name != "$END"}
    options = _literals(expected - {"ZONE"}) + sorted(said)
    example = vocabulary.EXAMPLES.get(start, "")
    like = f"write it like: {example}" if example else ""
    if 0 < len(options) <= 6 and not any(option.startswith("'") for option in options):
        return f"here goes {spoken_list(options)}" + (f"; {like}" if like else "")
    return like


def _short(words: str) -> str:
    return words if len(words) <= 40 else f"{words[:37]}…"
