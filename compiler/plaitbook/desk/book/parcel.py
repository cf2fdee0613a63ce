"""The form of a parcel, and what is refused in one.

A parcel is one plain text in the language itself: a head of four comment lines,
then a look with the looks it is based on, the hairs and ornaments they use and
the house's rules, and a last line. It holds no paths, brings in no files and is
never unpacked by a program that makes files of names in it, so most of what an
archive can do to a computer can't be written in it; what can is refused here.
It can be pasted into a message: what is held to its hash is what it means, not
how its lines are spaced.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from ...meaning.book import Book, open_book
from ...meaning.inherit import inherit
from ...meaning.look import Look
from ...plan.aloud import aloud
from ...plan.canonical import digest
from ...plan.seal import LOOK, Ingredients, look_ingredients, used_names
from ...rules.read import read_rules
from ...rules.rule import HouseRule
from ...syntax.problem import Problem

FORM = 1
FIRST, LAST = "plaitbook parcel", "end of parcel"
MAX_BYTES = 256 * 1024
"""Our own estimate: the longest shipped look takes 4 KB with all it needs."""
MAX_LINES, MAX_LINE = 5_000, 2_000
MAX_NAME = 80
MAX_DECLARED = {"recipe": 33, "hair": 100, "ornament": 100, "rule": 200}
"""Far more than a look needs: 33 looks are the deepest ``based on`` the language allows."""
FILE = "parcel"
"""What the parcel is called in messages."""

_ARCHIVES = (
    (b"PK\x03\x04", "a zip archive"), (b"PK\x05\x06", "an empty zip archive"), (b"PK\x07\x08", "a split zip archive"),
    (b"\x1f\x8b", "a gzip file"), (b"BZh", "a bzip2 file"), (b"\xfd7zXZ\x00", "an xz file"), (b"7z\xbc\xaf\x27\x1c", "a 7z archive"),
    (b"Rar!", "a rar archive"), (b"\x28\xb5\x2f\xfd", "a zstd file"), (b"MSCF", "a cabinet archive"), (b"%PDF", "a PDF"),
    (b"MZ", "a program"), (b"\x7fELF", "a program"), (b"SQLite format 3", "a database"), (b"{", "JSON"), (b"<", "a web page or XML"),
)
_DEVICE = re.compile(r"(?:con|prn|aux|nul|clock\$|com[0-9¹²³]|lpt[0-9¹²³])(?:\s*\..*)?\s*", re.I)
_PATH = re.compile(r"\.\.|^\s*[/\\~.]|^\s*[a-z]:|\\|//|%2e|%2f|%5c|^file:|\$\{|\$\(|`", re.I)
_HIDDEN = re.compile("[\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\uffff\U000e0000-\U000e0fff]")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")


class Refused(Exception):
    """Why a parcel isn't taken, and what to do."""

    def __init__(self, message: str, help: str) -> None:
        super().__init__(message)
        self.message, self.help = message, help


@dataclass(frozen=True)
class Parcel:
    """A parcel that passed every check."""

    text: str
    """Its declarations as text, without head and last line."""
    book: Book
    look: Look
    chain: tuple[Look, ...]
    """The look and what it is based on, nearest first, each as written."""
    rules: tuple[HouseRule, ...]
    made_of: Ingredients
    sha256: str
    sent: str = ""
    """The sender's own seal, where names were changed since."""
    renamed: tuple[tuple[str, str], ...] = ()
    """(old name, new name), in the order they were given."""


def sealed_text(text: str, name: str, version: int, sha256: str) -> str:
    """The parcel of declarations that were packed."""
    return (f'# {FIRST} {FORM}\n# look "{name}" version {version}\n# seal {aloud(sha256)}\n# sha256 {sha256}\n'
            f"{text.strip()}\n# {LAST}\n")


def read_parcel(data: bytes) -> Parcel:
    """The parcel in some bytes from a stranger. Raises Refused."""
    text = _plain_text(data)
    lines = _within_limits(text)
    body, name, version, sha256 = _head_and_end(lines)
    try:
        return _meaning(body, name, version, sha256)
    except RecursionError:
        raise Refused("its brackets are nested too deeply", "ask for it to be packed again") from None


# --- bytes and lines ------------------------------------------------------------


def _plain_text(data: bytes) -> str:
    again = "ask for it to be packed again with: plait parcel LOOK"
    if len(data) > MAX_BYTES:
        raise Refused(f"it is larger than {MAX_BYTES // 1024} KB", "a look with all it needs takes a few: " + again)
    if not data.strip():
        raise Refused("it is empty", again)
    bare = data.removeprefix(b"\xef\xbb\xbf").lstrip()
    for magic, what in _ARCHIVES:
        if bare.startswith(magic) or data.startswith(magic):
            raise Refused(f"it is {what}; a parcel is plain text, and nothing else is ever opened", again)
    if data[257:262] == b"ustar":
        raise Refused("it is a tar archive; a parcel is plain text, and nothing else is ever opened", again)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise Refused("it is UTF-16 text, not UTF-8", "save it as plain text, UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise Refused(f"line {line} is not UTF-8 text", again) from None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    for pattern, what in ((_CONTROL, "control character"), (_HIDDEN, "character that can't be seen")):
        found = pattern.search(text)
        if found:
            line = text.count("\n", 0, found.start()) + 1
            raise Refused(f"line {line} holds a {what} (U+{ord(found.group()):04X})", again)
    return text


def _within_limits(text: str) -> list[str]:
    lines = text.split("\n")
    if len(lines) > MAX_LINES:
        raise Refused(f"it has more than {MAX_LINES:,} lines", "ask for one look at a time")
    for number, line in enumerate(lines, 1):
        if len(line) > MAX_LINE:
            raise Refused(f"line {number} is longer than {MAX_LINE:,} characters", "ask for it to be packed again")
    return lines


def _head_and_end(lines: list[str]) -> tuple[str, str, int, str]:
    """The text between, and what the head says: the look's name, its version and its hash."""
    said = [line.strip().lstrip("#").strip() for line in lines]
    at = next((n for n, line in enumerate(lines) if line.strip()), 0)
    first = re.fullmatch(rf"{FIRST} (\d{{1,6}})", said[at])
    if first is None:
        raise Refused(f"it doesn't begin with '# {FIRST} {FORM}'", "take all of the text, from its first line to its last")
    if int(first.group(1)) != FORM:
        raise Refused(f"it is a parcel of form {first.group(1)}, and this compiler reads form {FORM}", "install a newer plaitbook")
    head = said[at + 1: at + 4] + ["", "", ""]
    look = re.fullmatch(r'look ["“”](.{1,200})["“”] version (\d{1,6})', head[0])
    seal = re.fullmatch(r"seal ([a-z-]{1,40})", head[1])
    sha256 = re.fullmatch(r"sha256 ([0-9a-f]{64})", head[2])
    if look is None or seal is None or sha256 is None:
        raise Refused("its head doesn't say which look it holds and what its hash is", "take all of the text, from its first line to its last")
    if seal.group(1) != aloud(sha256.group(1)):
        raise Refused("its seal and its hash don't belong together", "ask for it to be packed again")
    ends = [n for n, line in enumerate(said) if line == LAST]
    if not ends:
        raise Refused(f"it is cut short: its last line, '# {LAST}', is missing", "take all of the text, from its first line to its last")
    if any(re.match(FIRST, line) for line in said[at + 1:]) or len(ends) > 1:
        raise Refused("there is another parcel inside it", "take them one at a time")
    if any(line.strip() for line in lines[ends[0] + 1:]):
        raise Refused("something stands after its last line", f"leave out what comes after '# {LAST}'")
    return "\n".join(lines[at + 4: ends[0]]), look.group(1), int(look.group(2)), sha256.group(1)


# --- what it means ----------------------------------------------------------------


def _meaning(body: str, name: str, version: int, sha256: str) -> Parcel:
    book = open_book([(FILE, body)], None)
    tree = book.files[FILE].tree
    if tree.uses:
        raise Refused(f"it wants to bring in another file: {tree.uses[0].text}", "a parcel holds all it needs; ask for it to be packed again")
    if tree.comments:
        raise Refused(f"there is a comment in it: {tree.comments[0].text[:60]}", "a parcel holds none; ask for it to be packed again")
    counts: dict[str, int] = {}
    seen: dict[tuple[str, str], str] = {}
    for declaration in tree.declarations:
        kind, called = declaration.kind, declaration.name
        if kind not in MAX_DECLARED:
            raise Refused(f'it holds a {kind}, "{called}"', "a parcel holds no clients and no houses; ask for it to be packed again")
        counts[kind] = counts.get(kind, 0) + 1
        if counts[kind] > MAX_DECLARED[kind]:
            raise Refused(f"it holds more than {MAX_DECLARED[kind]} {kind}s", "ask for one look at a time")
        refuse_name(kind, called)
        folded = unicodedata.normalize("NFKC", called).casefold()
        if (kind, folded) in seen:
            raise Refused(f'{kind} "{called}" and {kind} "{seen[kind, folded]}" are one name to some computers', "ask for it with other names")
        seen[kind, folded] = called
    if book.problems:
        raise Refused(*_problem(book.problems[0]))
    look = book.looks.get(name)
    if look is None or look.version != version:
        raise Refused(f'the look its head speaks of, "{name}" version {version}, isn\'t in it', "ask for it to be packed again")
    problems: list[Problem] = []
    rules = read_rules(tuple(book.rules.values()), problems)
    chain = chain_of(look, book)
    needed = needed_by(chain)
    whole = inherit(look, book.looks, problems)
    if whole is None or problems:
        raise Refused(*_problem(problems[0]))
    for kind, shelf in (("hair", book.hairs), ("ornament", book.ornaments)):
        for called in shelf:
            if called not in needed:
                raise Refused(f'it holds {kind} "{called}", which the look doesn\'t use', "ask for it to be packed again")
    for called in needed:
        if called not in book.hairs and called not in book.ornaments:
            raise Refused(f'the look uses "{called}", which isn\'t in it', "ask for it to be packed again")
    for called in book.looks:
        if called not in {each.name for each in chain}:
            raise Refused(f'it holds look "{called}", which "{name}" isn\'t based on', "ask for one look at a time")
    for each in chain:
        if any(expect.wearer or expect.house for expect in each.expects):
            raise Refused(f'"{each.name}" expects something of a client or a house by name', "ask for it to be packed again")
    made_of = look_ingredients(whole, book.hairs, book.ornaments, {rule.code: rule for rule in rules})
    if digest(LOOK, made_of) != sha256:
        raise Refused(f"it was changed after it was packed: its seal is {aloud(digest(LOOK, made_of))}, not {aloud(sha256)}",
                      "ask for it again, and compare the seal with the sender")
    return Parcel(body, book, look, chain, rules, made_of, sha256)


def refuse_name(kind: str, name: str) -> None:
    """Raises Refused for a name that is a path, a command, a device, or that some computers can't keep."""
    other = "ask for it with another name"
    if not name or len(name) > MAX_NAME:
        raise Refused(f"a {kind}'s name is {'empty' if not name else f'longer than {MAX_NAME} characters'}", other)
    if _PATH.search(name):
        raise Refused(f'{kind} "{name}" is named like a path or a command', other)
    if _DEVICE.fullmatch(name):
        raise Refused(f'{kind} "{name}" is named like a device of some computers', other)
    if not name.isprintable() or name != name.strip() or name.endswith("."):
        raise Refused(f"{kind} {name!r} has a name that some computers can't keep", other)


def _problem(problem: Problem) -> tuple[str, str]:
    where = f"line {problem.span.line} after its head: " if problem.span.line else ""
    return f"{where}{problem.message} [{problem.code}]", problem.help


def chain_of(look: Look, book: Book) -> tuple[Look, ...]:
    """The look and all it is based on, nearest first; stops at a ring or at one that is missing."""
    chain = [look]
    while chain[-1].based_on:
        base = book.looks.get(chain[-1].based_on[0][0])
        if base is None or base in chain:
            break
        chain.append(base)
    return tuple(chain)


def needed_by(chain: tuple[Look, ...]) -> set[str]:
    """Hairs and ornaments that the looks name, those a child has replaced too: each must compile by itself."""
    return {name for look in chain for name in used_names(look)}
