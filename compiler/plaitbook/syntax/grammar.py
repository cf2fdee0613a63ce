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
    (r"^end .*\bfor $", ("s", "min")),
    (r"\brods $|\bwidth $|\boff-cent(?:re|er) $", ("mm", "in")),
    (r"\bpieces? (?:of .*)?$", ("pencil", "mm")),
    (r"\bgrid\b", ("in", "mm", "sections")),
    (r"^finish ", ("g", "oz")),
)
"""What stands before a number without a unit (after the statement's word), and the units that it may have meant."""
_MARKS = {",": "comma", ".": "full stop", ";": "semicolon", ":": "colon", "!": "mark", "?": "mark"}
_SIGNS = {"$": "USD", "€": "EUR", "£": "GBP", "¥": "JPY"}
"""What a sign before an amount most often stands for. Common practice, no source."""
_LAST_WORDS = 8
"""Words before the place where a line can't be read on that may have the slip."""
_LONGEST_NAME = 8
"""Words in a name without quotes that are tried."""
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
    return _read(_Asked(start, text, text, None))


@lru_cache(maxsize=1024)
def explained(start: str, text: str, own: str, example: str) -> Fault:
    """The fault in a statement that can't be read, told with the author's capitals and an example of her own statement."""
    found = _read(_Asked(start, text, own if len(own) == len(text) else text, example))
    assert isinstance(found, Fault)
    return found


class _Asked(NamedTuple):
    """A statement to be read, and what its fault is told with."""

    start: str
    text: str
    own: str
    """The text with the author's capitals."""
    example: str | None
    """None where only what can be read is asked for, and a fault needs no words."""


def _read(asked: _Asked) -> Node | Fault:
    text = asked.text
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
        return _node(_parser().parse(text, start=asked.start))
    except UnexpectedToken as error:
        return _token_fault(asked, error)
    except UnexpectedCharacters as error:
        return _character_fault(asked, error)
    except UnexpectedEOF:
        return _cut_short(asked, set())


def _read_as_far_as(start: str, text: str) -> int | None:
    """Where a statement can't be read on; None where all of it can."""
    try:
        _parser().parse(text, start=start)
    except UnexpectedToken as error:
        return len(text) if error.token.type == "$END" else error.token.start_pos
    except UnexpectedCharacters as error:
        return error.pos_in_stream
    except UnexpectedEOF:
        return len(text)
    return None


def _node(item: Tree | Token) -> Node:
    if isinstance(item, Token):
        return Node(item.type.lower(), item.start_pos or 0, item.end_pos or 0, (), str(item))
    meta = item.meta
    start, end = (0, 0) if meta.empty else (meta.start_pos, meta.end_pos)
    return Node(str(item.data), start, end, tuple(_node(child) for child in item.children))


def _token_fault(asked: _Asked, error: UnexpectedToken) -> Fault:
    expected = set(error.accepts or error.expected)
    if error.token.type == "$END":
        return _cut_short(asked, expected)
    at = error.token.start_pos
    return _unexpected(asked, at, at + len(error.token), expected)


def _character_fault(asked: _Asked, error: UnexpectedCharacters) -> Fault:
    at = error.pos_in_stream
    word = re.match(r"[^\s,;:()\"]+", asked.text[at:])
    end = at + (len(word.group()) if word else 1)
    return _unexpected(asked, at, end, set(error.allowed or ()))


def _unexpected(asked: _Asked, at: int, end: int, expected: set[str]) -> Fault:
    start, text = asked.start, asked.text
    found = text[at:end]
    if text[at] == "," and re.search(r"\d$", text[:at]) and re.match(r",\d", text[at:]):
        first = re.search(r"\d+$", text[:at])
        after = re.match(r",(\d+)", text[at:])
        assert first and after
        return Fault(
            "E104", f"'{first.group()}{after.group()}' has a comma inside a number",
            f"write {first.group()}.{after.group(1)}", first.start(), at + after.end(),
        )
    if asked.example is None:
        return Fault("E101", "", "", at, end)
    stray = _stray_mark(asked, at)
    if stray is not None:
        return stray
    if not nearest(found, _literals(expected)) and (slip := _earlier_slip(asked, at)) is not None:
        return slip
    if expected & _UNIT_TERMINALS and re.search(r"[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]\s*$", text[:at]):
        return _no_unit(asked, at)
    if found[:1] in _SIGNS:
        return _money_sign(asked, at, end)
    single = re.match(r"'([^']+)'", asked.own[at:])
    if "STRING" in expected and single:
        return Fault("E101", f"{_short(single.group())} stands in single quotes",
                     f'write the name in quotes: "{single.group(1)}"', at, at + single.end())
    if start in ("hair_line", "feed_line", "accents_line") and (colon := _no_colon(asked, at)) is not None:
        return colon
    literals = _literals(expected)
    near = nearest(found, literals, 1)
    if "STRING" in expected and found[:1].isalpha() and not (
            near and _reaches(asked.start, f"{text[:at]}{near[0]}{text[end:]}", at + len(near[0]), text[end:])):
        quotes = _without_quotes(asked, at)
        if quotes is not None:
            return quotes
    if (start, found) in _ADVICE:
        help_text = _ADVICE[start, found]
    elif nearest(found, literals):
        help_text = did_you_mean(found, literals)
    else:
        help_text = _ADVICE.get((start, "")) or _expectation(asked.example, expected)
    return Fault("E101", f"'{_short(asked.own[at:end])}' is not understood here", help_text, at, end)


def _no_colon(asked: _Asked, at: int) -> Fault | None:
    """A colon that is missing between two words of a line."""
    text = asked.text
    word = re.search(r"[^\s,;:()\"]+(?=\s*$)", text[:at])
    if word is None or _read_as_far_as(asked.start, f"{text[:word.end()]}: {text[at:]}") is not None:
        return None
    said = asked.own[word.start():word.end()]
    return Fault("E101", f"no colon stands after '{_short(said)}'", f"put a colon after it: {said}:", word.start(), word.end())


def _earlier_slip(asked: _Asked, at: int) -> Fault | None:
    """A word before this place that was read as a name, and is a misspelt word of the language: with that, the line can be read."""
    text = asked.text
    words = [word for word in re.finditer(r"[^\W\d_][\w'-]*", text[:at])
             if word.group() not in _keywords() and text[:word.start()].count('"') % 2 == 0]
    for word in words[: -_LAST_WORDS - 1 : -1]:
        close = [near for near in nearest(word.group(), _keywords())
                 if _read_as_far_as(asked.start, f"{text[:word.start()]}{near}{text[word.end():]}") is None]
        if close:
            return Fault("E101", f"'{_short(asked.own[word.start():word.end()])}' is not understood here",
                         f"did you mean {spoken_list(map(repr, close))}?", word.start(), word.end())
    return None


@lru_cache(maxsize=1)
def _keywords() -> tuple[str, ...]:
    """Every fixed word of the grammar."""
    return tuple(_literals({terminal.name for terminal in _parser().terminals}))


def _stray_mark(asked: _Asked, at: int) -> Fault | None:
    """A comma, full stop or other mark that is one too many: without it the line can be read, or it stands there twice."""
    text, mark = asked.text, asked.text[at]
    if mark not in _MARKS:
        return None
    doubled = text[:at].rstrip()[-1:] == mark
    if not doubled and _read_as_far_as(asked.start, f"{text[:at]} {text[at + 1:]}".rstrip()) is not None:
        return None
    return Fault("E101", f"'{mark}' is not understood here", f"take this {_MARKS[mark]} out", at, at + 1)


def _without_quotes(asked: _Asked, at: int) -> Fault | None:
    """A name that stands without its quotes: as many words as make the line readable, or at least the words after them."""
    text, rest = asked.text, asked.text[at:]
    piece = re.split(r"[,;:()\"\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]", rest, maxsplit=1)[0]
    ends = [at + word.end() for word in re.finditer(r"\S+", piece)][:_LONGEST_NAME]

    def quoted(end: int) -> str:
        return f'{text[:at]}"{text[at:end]}"{text[end:]}'

    far = next((end for end in ends if _read_as_far_as(asked.start, quoted(end)) is None), None)
    far = far or next((end for end in ends if _reaches(asked.start, quoted(end), end + 2, text[end:])), None)
    if far is None and '"' not in rest and _read_as_far_as(asked.start, quoted(len(text))) is None:
        far = len(text)
    if far is None:
        return None
    name = asked.own[at:far]
    return Fault("E101", f"'{_short(name)}' stands without quotes", f"put quotes around {_short(name)}", at, far)


def _reaches(start: str, text: str, end: int, rest: str) -> bool:
    """Whether a statement can be read past ``end`` and the first word or mark of the rest that stands there."""
    place = _read_as_far_as(start, text)
    following = re.match(r"\s*(?:[^\s,;:()\"]+|.)?", rest)
    assert following is not None
    return place is None or place > end and place >= end + following.end()


def _money_sign(asked: _Asked, at: int, end: int) -> Fault:
    number = re.match(r"\D\s*(\d+(?:\.\d+)?)", asked.text[at:])
    amount = number.group(1) if number else "30"
    return Fault("E101", f"'{_short(asked.own[at:end])}' is not read as money",
                 f"write the amount and the currency's three letters, such as {amount} {_SIGNS[asked.text[at]]}",
                 at, at + number.end() if number else end)


def _cut_short(asked: _Asked, expected: set[str]) -> Fault:
    text = asked.text
    if asked.example is not None and (slip := _earlier_slip(asked, len(text))) is not None:
        return slip
    if expected & _UNIT_TERMINALS and re.search(r"[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]\s*$", text):
        return _no_unit(asked, len(text))
    if text and asked.example is not None and (stray := _stray_mark(asked, len(text) - 1)) is not None:
        return stray
    last = asked.own.split()[-1] if text.split() else ""
    message = f"the line stops after '{_short(last)}'" if last else "nothing follows the heading"
    return Fault("E103", message, _expectation(asked.example, expected), max(0, len(text) - len(last)), max(1, len(text)))


def _no_unit(asked: _Asked, at: int) -> Fault:
    text = asked.text
    number = re.search(r"[-\d./ ½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]+$", text[:at].rstrip())
    words = number.group().strip() if number else text[:at].split()[-1]
    begin = at - len(text[:at]) + text[:at].rstrip().rfind(words)
    said = f"{asked.start.split('_')[0]} {text[:begin]}"
    units = next((u for before, u in _UNITS_AFTER if re.search(before, said)), ("in", "cm", "mm"))
    if not words.isdecimal():  # a part of a section is no count
        units = tuple(unit for unit in units if unit != "sections")
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


def _expectation(example: str | None, expected: set[str]) -> str:
    said = {_SAYS[name] for name in expected if name in _SAYS and name != "$END"}
    options = _literals(expected - {"ZONE"}) + sorted(said)
    like = f"write it like: {example}" if example else ""
    if 0 < len(options) <= 6 and not any(option.startswith("'") for option in options):
        return f"here goes {spoken_list(options)}" + (f"; {like}" if like else "")
    return like


def _short(words: str) -> str:
    return words if len(words) <= 40 else f"{words[:37]}…"
