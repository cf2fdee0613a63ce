"""Bring a parcel into a book: what is there already, what clashes, which rules would begin to act, and one new file."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ...meaning.book import Book, file_meaning, open_book
from ...meaning.inherit import inherit
from ...meaning.look import Look
from ...plan.canonical import digest, plain
from ...plan.differences import differences
from ...plan.seal import LOOK, look_ingredients
from ...rules.read import read_rules
from ...rules.rule import HouseRule
from ...syntax.parse import parse
from ...syntax.problem import Problem
from ..shelf import BOOK, CantRead, Shelf, read_text
from .parcel import FILE, Parcel, Refused, refuse_name

MAX_SEARCHED = 300
"""Files of the book's folder that are searched for looks of the same name."""
_OWN_WORDS = re.compile(r"\s*(?:summary|note|finish|allow|expect|colou?rs?|message|reason|source|fix|code|if)\b", re.I)
"""Lines whose quotes hold no names of the catalogue."""
_DECLARES = re.compile(r'(recipe|hair|ornament|rule)\s+"', re.I)


@dataclass(frozen=True)
class Clash:
    """A name of the parcel that stands for something else in this book."""

    kind: str
    name: str
    where: str

    def sentence(self) -> str:
        return f'there is another {"look" if self.kind == "recipe" else self.kind} "{self.name}" in {self.where}'


@dataclass(frozen=True)
class Arrival:
    """What a parcel comes to in one book."""

    clashes: tuple[Clash, ...]
    rules: tuple[HouseRule, ...]
    """Rules that don't act in this book yet."""
    known: tuple[str, ...]
    """What the book has already, exactly so: ``hair "Dune"``."""
    here: str = ""
    """The file that holds the very same look already; nothing is to be done then."""
    file: str = ""
    text: str = ""
    """The one file to write, from the book's folder, and its text; empty while something stands in the way."""
    look: str = ""
    sha256: str = ""
    changed: tuple[str, ...] = ()
    """Sentences: how the look in this book differs from the one that was sent."""


def arrive(parcel: Parcel, shelf: Shelf, take_rules: bool) -> Arrival:
    """What the parcel would come to in the book. ``take_rules`` lets its unknown rules act. Raises Refused, CantRead."""
    scope = _scope(shelf)
    elsewhere = _looks_of(shelf)
    clashes: list[Clash] = []
    known: list[str] = []
    uses: list[str] = []
    omit: set[tuple[str, str]] = set()
    for look in parcel.chain:
        found = elsewhere.get(look.name.casefold())
        if found is None:
            continue
        if not _same_look(look, parcel, found, shelf):
            clashes.append(Clash("recipe", look.name, found))
            continue
        if look is parcel.look:
            return Arrival((), (), (f'look "{look.name}"',), here=found, look=look.name, sha256=parcel.sha256)
        # A base that is here already brings its own bases along.
        known.append(f'look "{look.name}"')
        uses.append(found)
        omit |= {("recipe", each.name) for each in parcel.chain[parcel.chain.index(look):]}
        break
    for use in uses:
        scope = open_book([*((name, read_text(shelf.root / name)) for name in scope.files), (use, read_text(shelf.root / use))], shelf.fetch)
    for kind, theirs, ours in (("hair", parcel.book.hairs, scope.hairs), ("ornament", parcel.book.ornaments, scope.ornaments)):
        folded = {name.casefold(): name for name in ours}
        for name, item in theirs.items():
            mine = folded.get(name.casefold())
            if mine is None:
                continue
            if mine == name and plain(ours[name]) == plain(item):
                known.append(f'{kind} "{name}"')
                omit.add((kind, name))
            else:
                clashes.append(Clash(kind, name, ours[mine].origin.file))
    acting = {rule.code: rule for rule in read_rules(tuple(scope.rules.values()), [])}
    names = {rule.name.casefold() for rule in acting.values()}
    unknown = []
    for rule in parcel.rules:
        if rule.code in acting and plain(acting[rule.code]) == plain(rule):
            known.append(f"rule {rule.code}")
            omit.add(("rule", rule.name))
        elif take_rules and (rule.code in acting or rule.name.casefold() in names):
            clashes.append(Clash("rule", rule.name, f"this book, or its code {rule.code} is taken"))
        else:
            unknown.append(rule)
    if not take_rules:
        omit |= {("rule", rule.name) for rule in unknown}
    if clashes:
        return Arrival(tuple(clashes), tuple(unknown), tuple(known))
    return _composed(parcel, shelf, omit, uses, tuple(unknown), tuple(known))


def _scope(shelf: Shelf) -> Book:
    """What every recipe of the book sees: book.plait and what it uses. Raises Refused where that has mistakes."""
    book_file = shelf.book_file()
    book = open_book([book_file] if book_file else [], shelf.fetch)
    if book.problems:
        first = book.problems[0]
        raise Refused(f"the book itself has mistakes: {first.span.file}:{first.span.line}: {first.message}",
                      f"mend it first: plait check {BOOK}")
    return book


def _looks_of(shelf: Shelf) -> dict[str, str]:
    """Every look of the folder by its name without capitals -> the file that holds it."""
    found: dict[str, str] = {}
    for path in sorted(shelf.root.rglob("*.plait"))[:MAX_SEARCHED]:
        try:
            name = shelf.inside(path)
            tree = file_meaning(read_text(path), name).tree
        except (CantRead, ValueError):
            continue
        for declaration in tree.declarations:
            if declaration.kind == "recipe":
                found.setdefault(declaration.name.casefold(), name)
    return found


def _same_look(look: Look, parcel: Parcel, file: str, shelf: Shelf) -> bool:
    """Whether the book's look of that name means just what the parcel's means, the house's rules apart."""
    book_file = shelf.book_file()
    book = open_book([(file, read_text(shelf.root / file)), *([book_file] if book_file else [])], shelf.fetch)
    mine = book.looks.get(look.name)
    if book.problems or mine is None:
        return False
    made = []
    for each, among in ((look, parcel.book), (mine, book)):
        whole = inherit(each, among.looks, [])
        made.append(None if whole is None else look_ingredients(whole, among.hairs, among.ornaments, {}))
    return made[0] is not None and made[0] == made[1]


def _composed(parcel: Parcel, shelf: Shelf, omit: set[tuple[str, str]], uses: list[str], unknown: tuple[HouseRule, ...],
              known: tuple[str, ...]) -> Arrival:
    """The one file to write, tried in the book before anything is written."""
    folder = _folder(shelf)
    file = _free_name(parcel.look.name, folder, shelf)
    up = "../" * file.count("/")
    head = [f'# From a parcel: look "{parcel.look.name}" version {parcel.look.version}.', "edition 1"]
    head += [f'use "{up}{name}"' for name in dict.fromkeys(uses)]
    text = "\n".join(head) + "\n\n" + "\n\n".join(_kept(parcel.text, omit)) + "\n"
    book_file = shelf.book_file()
    book = open_book([(file, text), *([book_file] if book_file else [])], shelf.fetch)
    problems: list[Problem] = list(book.problems)
    rules = read_rules(tuple(book.rules.values()), problems)
    whole = inherit(book.looks[parcel.look.name], book.looks, problems) if parcel.look.name in book.looks else None
    if problems or whole is None:
        first = problems[0] if problems else None
        raise Refused(f"it doesn't go with this book: {first.message if first else 'its look was lost'}",
                      first.help if first else "please report this parcel")
    made_of = look_ingredients(whole, book.hairs, book.ornaments, {rule.code: rule for rule in rules})
    changed = tuple(each.sentence() for each in differences(parcel.made_of, made_of))
    return Arrival((), unknown, known, file=file, text=text, look=parcel.look.name, sha256=digest(LOOK, made_of), changed=changed)


def _folder(shelf: Shelf) -> Path:
    """Where the book keeps its looks: ``looks``, or its own folder. Raises Refused where that leads out of the book."""
    looks = shelf.root / "looks"
    if not looks.is_dir():
        return shelf.root
    try:
        looks.resolve().relative_to(shelf.root.resolve())
    except ValueError:
        raise Refused("the book's folder 'looks' is a link that leads out of the book", "make it a folder of its own") from None
    return looks


def _free_name(look: str, folder: Path, shelf: Shelf) -> str:
    """A file name of our own making that nothing has yet, not even a broken link."""
    stem = re.sub(r"[^a-z0-9]+", "-", look.casefold()).strip("-")[:40] or "look"
    taken = {path.name.casefold() for path in folder.iterdir()}
    for number in range(1, 1000):
        name = f"look-{stem}.plait" if re.fullmatch(r"con|prn|aux|nul|com\d|lpt\d", stem) else f"{stem}.plait"
        name = name if number == 1 else name.replace(".plait", f"-{number}.plait")
        if name not in taken and name != BOOK:
            return (folder / name).relative_to(shelf.root).as_posix()
    raise Refused(f"there are a thousand files named like '{stem}'", "tidy the book's folder up")


def _kept(text: str, omit: set[tuple[str, str]]) -> list[str]:
    """The parcel's declarations as text, but for those the book has already."""
    tree, _ = parse(text, FILE)
    lines = text.split("\n")
    starts = [declaration.line - 1 for declaration in tree.declarations] + [len(lines)]
    return ["\n".join(line for line in lines[start:end] if line.strip())
            for declaration, start, end in zip(tree.declarations, starts, starts[1:])
            if (declaration.kind, declaration.name) not in omit]


# --- other names -------------------------------------------------------------------


def renamed(parcel: Parcel, names: dict[str, str]) -> Parcel:
    """The parcel with some of its names changed everywhere. Raises Refused where that would change more than names."""
    declared = {*parcel.book.looks, *parcel.book.hairs, *parcel.book.ornaments, *parcel.book.rules}
    for old, new in names.items():
        if old not in declared:
            raise Refused(f'nothing in the parcel is named "{old}"', f"it names {', '.join(sorted(declared))}")
        if new in declared or new.casefold() in {name.casefold() for name in declared - {old}}:
            raise Refused(f'"{new}" is a name in the parcel already', "choose another name")
        if '"' in new:
            raise Refused(f"{new} has a quote in it", "choose a name without quotes")
        refuse_name("new thing", new)
    text = "\n".join(_line_renamed(line, names) for line in parcel.text.split("\n"))
    book = open_book([(FILE, text)], None)
    problems: list[Problem] = list(book.problems)
    rules = read_rules(tuple(book.rules.values()), problems)
    look = book.looks.get(names.get(parcel.look.name, parcel.look.name))
    whole = inherit(look, book.looks, problems) if look else None
    if problems or look is None or whole is None:
        raise Refused("it can't be renamed so: " + (problems[0].message if problems else "the look was lost"), "choose another name")
    made_of = look_ingredients(whole, book.hairs, book.ornaments, {rule.code: rule for rule in rules})
    back = {new: old for old, new in names.items()}
    if digest(LOOK, _named_back(made_of, back)) != parcel.sha256:
        raise Refused("renaming would change what the look says", "choose another name, or ask the sender to rename it")
    by_name = {each.name: each for each in book.looks.values()}
    chain = tuple(by_name[names.get(each.name, each.name)] for each in parcel.chain)
    return replace(parcel, text=text, book=book, look=look, chain=chain, rules=rules, made_of=made_of, sha256=digest(LOOK, made_of),
                   sent=parcel.sent or parcel.sha256, renamed=(*parcel.renamed, *names.items()))


def _line_renamed(line: str, names: dict[str, str]) -> str:
    if _OWN_WORDS.match(line) and not _DECLARES.match(line.strip()):
        return line

    def name(found: re.Match[str]) -> str:
        before = line[: found.start()].rstrip().lower()
        inside = found.group(1)
        return found.group() if before.endswith(("colour", "color")) else f'"{names.get(inside.strip(), inside)}"'

    return re.sub(r'["“”„]([^"“”„]*)["“”„]', name, line)


def _named_back(value: Any, back: dict[str, str]) -> Any:
    """Plain data with the new names given their old ones again."""
    if isinstance(value, str):
        return back.get(value, value)
    if isinstance(value, list):
        return [_named_back(item, back) for item in value]
    if isinstance(value, dict):
        return {_key_back(key, back): _named_back(item, back) for key, item in value.items()}
    return value


def _key_back(key: str, back: dict[str, str]) -> str:
    for new, old in back.items():
        key = key.replace(f'"{new}"', f'"{old}"')
    return key

