"""Make pasted text plain without moving a column.

Chat programs and word processors change quotes, spaces and dashes. Every
change here replaces one character by one character, so that a column in a
message is a column in the author's file. (Invisible characters of no width
are the exception: they are dropped.)
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

_SAME_WIDTH = {
    **dict.fromkeys("\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\u2028\u2029\x85\t\v\f", " "),
    **dict.fromkeys("\u201c\u201d\u201e\u201f\u00ab\u00bb\uff02", '"'),
    **dict.fromkeys("\u2018\u2019\u201a\u201b\u02bc", "'"),
    **dict.fromkeys("\u2010\u2011\u2012\u2014\u2015\ufe58\uff0d", "-"),
    "\u2212": "-",
    "\u00d7": "x",
    "\u00ba": "\u00b0",
    "\u02da": "\u00b0",
    "\u03bc": "\u00b5",
    "\u2044": "/",
    "\u2215": "/",
    "\u2033": "\u2033",
    "\uff1a": ":",
    "\uff0c": ",",
    "\uff1b": ";",
}
_NO_WIDTH = dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_CONTROL = {chr(n): " " for n in (*range(0x20), 0x7F, *range(0x80, 0xA0)) if chr(n) not in "\t\n\r\v\f"}
_OUTSIDE_QUOTES = str.maketrans({**_CONTROL, **_SAME_WIDTH, **_NO_WIDTH})
_LOWER = {chr(n): chr(n + 32) for n in range(ord("A"), ord("Z") + 1)}
_INSIDE_QUOTES = str.maketrans({**_CONTROL, **_NO_WIDTH, "\u2028": " ", "\u2029": " "})
_HALVES = re.compile("[\ud800-\udfff]")
_NUMBER_END = "0123456789½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_OPENERS = "\"\u201c\u201d\u201e\u201f\u00ab\u00bb\uff02"
_INCH_MARKS = "\"\u201d\u2033"


class PlainLine(NamedTuple):
    """One physical line made plain."""

    text: str
    """Code only: no comment, lower case outside quotes, trailing space removed."""
    comment: str | None
    unclosed: int | None
    """Column (from 1) of a quote that is never closed."""
    own: str = ""
    """The text with the author's capitals, where it has any: what a message echoes."""


def plain_lines(text: str) -> list[str]:
    """Physical lines of a file, whichever way it ends them. Half characters, which no file can hold, become ``�``."""
    if not text.isascii():
        text = _HALVES.sub("\ufffd", text)
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


@lru_cache(maxsize=8192)
def plain_line(raw: str) -> PlainLine:
    """One line with its comment split off and its characters made plain. Memoised: most lines don't change."""
    if raw.isascii() and '"' not in raw and "#" not in raw:
        text = _dashes(raw.translate(_ASCII_OUTSIDE)).rstrip()
        own = _dashes(raw.translate(_ASCII_OUTSIDE_AS_WRITTEN)).rstrip()
        return PlainLine(text, None, None, own if own != text else "")
    out: list[tuple[str, str]] = []
    at = 0
    opened = None
    end = len(raw)
    start_of_run = 0
    comment = None
    while at < end:
        char = raw[at]
        if opened is None:
            if char == "#":
                comment = raw[at:].strip()
                break
            if char in _INCH_MARKS and _after_number(raw, at):
                out += [_plain_code(raw[start_of_run:at]), ("″", "″")]
                start_of_run = at + 1
            elif char in _OPENERS:
                out += [_plain_code(raw[start_of_run:at]), ('"', '"')]
                opened, start_of_run = at, at + 1
        elif char in _OPENERS:
            name = raw[start_of_run:at].translate(_INSIDE_QUOTES)
            out += [(name, name), ('"', '"')]
            opened, start_of_run = None, at + 1
        at += 1
    rest = raw[start_of_run:at]
    if opened is None:
        out.append(_plain_code(rest))
    else:
        out.append((rest.translate(_INSIDE_QUOTES),) * 2)
    text, own = ("".join(pieces).rstrip() for pieces in zip(*out))
    return PlainLine(text, comment, None if opened is None else opened + 1, own if own != text else "")


_ASCII_OUTSIDE_AS_WRITTEN = str.maketrans({**_CONTROL, "\t": " ", "\v": " ", "\f": " "})
_ASCII_OUTSIDE = {**_ASCII_OUTSIDE_AS_WRITTEN, **str.maketrans(_LOWER)}


def _plain_code(text: str) -> tuple[str, str]:
    """Code made plain, and the same with the author's capitals."""
    plain = text.translate(_OUTSIDE_QUOTES)
    return _dashes(plain.translate(_ASCII_OUTSIDE)), _dashes(plain.translate(_ASCII_OUTSIDE_AS_WRITTEN))


def _dashes(code: str) -> str:
    """A hyphen or en dash between two numbers is a range; elsewhere an en dash is a hyphen."""
    if "-" not in code and "\u2013" not in code:
        return code
    out = list(code)
    for at, char in enumerate(out):
        if char not in "-\u2013":
            continue
        before = code[:at].rstrip()
        after = code[at + 1 :].lstrip()
        between = before[-1:] in _NUMBER_END and before and after[:1] in _NUMBER_END and after
        closed_up = code[at - 1 : at] != " " or code[at + 1 : at + 2] == " "
        out[at] = "–" if between and closed_up else "-"
    return "".join(out)


def _after_number(raw: str, at: int) -> bool:
    return at > 0 and raw[at - 1] in _NUMBER_END
