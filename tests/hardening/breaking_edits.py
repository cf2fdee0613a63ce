"""Random slips of a typing hand in a shipped file, and where a person would look for each.

An edit knows the lines it touched in the text after it (``lines``) and the
words it took away or changed (``words``). A message is in the right place if
it, or a party it names, stands on a touched line; or, where a name or a line
went missing, where that is missed: on a line or in a message that speaks the
lost words, or at the head of the declaration that now lacks the line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from random import Random
from typing import Callable

from plaitbook.syntax.lines import declaration_kind
from plaitbook.syntax.normalise import plain_line

from mutating import words as language_words

LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789 ,;:.\"()-#½°'"
COMMON = frozenset("in is of to by at and or the not no a an for from on with it its as".split())
"""Words of any sentence: they don't show that a message speaks of what was lost."""
_TOKEN = re.compile(r"\"[^\"]*\"|[^\W\d_][\w'-]*|[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞./]+|[^\s\w]")
_UNIT = re.compile(r"(?<=[\d½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])\s*(?:in|cm|mm|g|h|min|years|pencils?|packs?|°C|°F|%|hairs/cm²|[A-Z]{3})(?=[\s,;]|$)")


@dataclass(frozen=True)
class Edit:
    """One slip: the text after it, what was done, the lines it touched (from 1), and the words it took away."""

    text: str
    what: str
    lines: tuple[int, ...]
    words: frozenset[str]
    removed: bool = False
    """Whether a whole line is gone from its place."""


def broken(text: str, random: Random) -> Edit:
    """The text after one random slip in a line of code."""
    while True:
        edit = random.choice(EDITS)(text, random)
        if edit is not None and edit.text != text:
            return edit


def broken_often(text: str, random: Random, times: int) -> tuple[str, list[Edit]]:
    """The text after some slips, with each edit's lines as they stand in the final text."""
    done: list[Edit] = []
    for _ in range(times):
        edit = broken(text, random)
        shift = edit.text.count("\n") - text.count("\n")
        first = min(edit.lines)
        done = [replace(e, lines=tuple(n + shift if n > first else n for n in e.lines)) for e in done]
        done.append(edit)
        text = edit.text
    return text, done


def _code_lines(rows: list[str]) -> list[int]:
    return [at for at, row in enumerate(rows) if plain_line(row).text.strip()]


def _code_length(row: str) -> int:
    """Columns before the comment."""
    line = plain_line(row)
    return len(row) if line.comment is None else row.rindex(line.comment)


def _words(code: str) -> frozenset[str]:
    return frozenset(token.strip('"').lower() for token in re.findall(r"\"[^\"]*\"|[^\W\d_][\w'-]*", code))


def _in_line(change: Callable[[str, Random], tuple[str, str] | None], what: str) -> Callable[[str, Random], Edit | None]:
    """An edit inside one line: ``change`` gives the new code and a word for what went."""

    def edit(text: str, random: Random) -> Edit | None:
        rows = text.split("\n")
        at = random.choice(_code_lines(rows))
        length = _code_length(rows[at])
        changed = change(rows[at][:length], random)
        if changed is None:
            return None
        new = changed[0] + rows[at][length:]
        lost = _words(rows[at][:length]) - _words(changed[0])
        gone = not plain_line(new).text.strip()
        return Edit("\n".join([*rows[:at], new, *rows[at + 1 :]]), what, (at + 1,), lost | _words(changed[1]), removed=gone)

    return edit


def _spot(code: str, random: Random) -> int:
    return random.choice([at for at, char in enumerate(code) if not char.isspace()])


def _delete_char(code: str, random: Random) -> tuple[str, str]:
    at = _spot(code, random)
    return code[:at] + code[at + 1 :], ""


def _insert_char(code: str, random: Random) -> tuple[str, str]:
    at = _spot(code, random)
    return code[:at] + random.choice(LETTERS) + code[at:], ""


def _replace_char(code: str, random: Random) -> tuple[str, str]:
    at = _spot(code, random)
    return code[:at] + random.choice(LETTERS) + code[at + 1 :], ""


def _swap_chars(code: str, random: Random) -> tuple[str, str]:
    at = _spot(code, random)
    return code[:at] + code[at : at + 2][::-1] + code[at + 2 :], ""


def _token_edit(new: Callable[[str, Random], str]) -> Callable[[str, Random], tuple[str, str] | None]:
    def change(code: str, random: Random) -> tuple[str, str] | None:
        tokens = list(_TOKEN.finditer(code))
        if not tokens:
            return None
        one = random.choice(tokens)
        return code[: one.start()] + new(one.group(), random) + code[one.end() :], one.group()

    return change


def _drop(pattern: "str | re.Pattern[str]") -> Callable[[str, Random], tuple[str, str] | None]:
    def change(code: str, random: Random) -> tuple[str, str] | None:
        found = list(re.finditer(pattern, code))
        if not found:
            return None
        one = random.choice(found)
        return code[: one.start()] + code[one.end() :], ""

    return change


def _cut_short(code: str, random: Random) -> tuple[str, str]:
    return code[: random.randrange(len(code))], code


def _delete_line(text: str, random: Random) -> Edit:
    rows = text.split("\n")
    at = random.choice(_code_lines(rows))
    return Edit("\n".join(rows[:at] + rows[at + 1 :]), "line deleted", (at + 1,), _words(rows[at]), removed=True)


def _double_line(text: str, random: Random) -> Edit:
    rows = text.split("\n")
    at = random.choice(_code_lines(rows))
    return Edit("\n".join(rows[: at + 1] + rows[at:]), "line doubled", (at + 1, at + 2), frozenset())


def _swap_lines(text: str, random: Random) -> Edit | None:
    rows = text.split("\n")
    code = _code_lines(rows)
    which = random.randrange(len(code) - 1)
    at, after = code[which], code[which + 1]
    rows[at], rows[after] = rows[after], rows[at]
    return Edit("\n".join(rows), "lines swapped", (at + 1, after + 1), _words(rows[at]) | _words(rows[after]), removed=True)


def _join_lines(text: str, random: Random) -> Edit | None:
    rows = text.split("\n")
    at = random.choice(_code_lines(rows))
    if at + 1 >= len(rows):
        return None
    lost = _words(rows[at + 1])
    joined = rows[at] + random.choice(("", " ")) + rows[at + 1].lstrip()
    return Edit("\n".join([*rows[:at], joined, *rows[at + 2 :]]), "lines joined", (at + 1,), lost, removed=True)


EDITS: tuple[Callable[[str, Random], Edit | None], ...] = (
    _in_line(_delete_char, "character deleted"), _in_line(_insert_char, "character inserted"),
    _in_line(_replace_char, "character replaced"), _in_line(_swap_chars, "characters swapped"),
    _in_line(_token_edit(lambda t, r: ""), "word deleted"), _in_line(_token_edit(lambda t, r: f"{t} {t}"), "word doubled"),
    _in_line(_token_edit(lambda t, r: r.choice(language_words())), "word replaced"),
    _in_line(_drop('"'), "quote deleted"), _in_line(_drop(":"), "colon deleted"), _in_line(_drop(","), "comma deleted"),
    _in_line(_drop(_UNIT), "unit deleted"), _in_line(_cut_short, "line cut short"),
    _delete_line, _double_line, _swap_lines, _join_lines,
)


def in_place(edit: Edit, message: str, lines: set[int], text: str) -> bool:
    """Whether a message (with the lines of all its parties) stands where a person would look for this edit."""
    if lines & set(edit.lines):
        return True
    rows = text.split("\n")
    spoken = set(re.findall(r"[^\W\d_][\w'-]*", message.lower())) | {part for found in re.findall(r"'([^']*)'|\"([^\"]*)\"", message.lower())
                                                                     for part in found}
    if spoken & edit.words - COMMON:
        return True
    return edit.removed and any(_misses_a_line(rows, n, edit.lines) for n in lines)


def _misses_a_line(rows: list[str], line: int, touched: tuple[int, ...]) -> bool:
    """The head of the declaration a line is gone from, or the line that now stands where it stood."""
    heads = [at for at in range(1, min(max(touched), len(rows)) + 1) if declaration_kind(plain_line(rows[at - 1]).text.strip())]
    if heads and line == heads[-1]:
        return True
    following = [at for at in range(max(touched), len(rows) + 1) if plain_line(rows[at - 1]).text.strip()]
    return bool(following) and line == following[0]
