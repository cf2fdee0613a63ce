"""A book whose own words are no English, and what of ours was left in English in something made from it."""

from __future__ import annotations

import re
from functools import lru_cache
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

from plaitbook.cards import make_catalogues as made

HOSTILE = "Zu<i>la</i> & \u202eMovi"
"""A look's name that would be markup, and would turn the line round."""

BOOK = """edition 1
hair "Kelmi"
kind plain
fibre modacrylic
colours "zuvo", "miru"
flat 48 in
pack 120 g
price 3.5 EUR
hair "Orlu"
kind plain
fibre modacrylic
colours "zuvo"
flat 48 in
pack 120 g
ornament "Pifo"
kind bead
bore 6 mm
weight 0.5 g
price 0.2 EUR
house "Rulo <b>Casa</b>"
demo
currency EUR
units metric
language {language}
labour 30 EUR per hour
spare 10 %
opens 10:00
wearer "Yuna"
demo
scalp broken
"""

LOOK = """
recipe "{name}"
demo
technique {technique}
wearing by zolo
choices:
zolo: kiva is {wearing}; numi is 10 in; default kiva
hair:
bazo: {hair}, cut {cut}, folded in the middle
sections:
{sections}
start: extension at root, 1 piece of bazo ½ pencil
feed: pieces of bazo ½ pencil, hold width 8 mm
end: 2 beads of "Pifo"
"""
GRID = "grid square 1½ in"
"""Sections of a plait."""


def write_book(folder: Path, language: str = "English") -> Path:
    """Four looks, of a house that speaks this language: one with a hostile name, one that shares its hair, one blended, one without a price.

    The week that is booked goes wrong in every way: too few hands, no room, one wearer in two chairs, and a stop.
    """
    folder.mkdir(parents=True)
    (folder / "book.plait").write_text(BOOK.format(language=language), "utf-8")
    zuvo, blend = '"Kelmi" colour "zuvo"', 'blend of 3 parts "Kelmi" colour "zuvo" and 1 part "Kelmi" colour "miru"'
    looks = [
        LOOK.format(name=HOSTILE, technique="plait", wearing="16 in", hair=zuvo, cut="30 in", sections=GRID),
        LOOK.format(name="Keno", technique="plait", wearing="12 in", hair=zuvo, cut="16 in", sections=GRID),
        LOOK.format(name="Tavu", technique="twist", wearing="12 in", hair=blend, cut="30 in", sections=GRID),
        LOOK.format(name="Wexo", technique="plait", wearing="12 in", hair='"Orlu" colour "zuvo"', cut="30 in", sections="grid square 1¼ in")
        .replace("hold width 8 mm", "hold width 5 mm"),
    ]
    (folder / "looks.plait").write_text("edition 1\n" + "\n".join(looks), "utf-8")
    (folder / "week.csv").write_text(
        "date,start,look,wearer,choices,braiders\n2027-03-04,10:00,Tavu,Yuna,zolo=numi,2\n2027-03-04,10:15,Wexo,,,1\n2027-03-04,11:00,Wexo,Yuna,,1\n"
        f"2027-03-05,10:00,{HOSTILE},,,1\n2027-03-05,10:30,Keno,,,3\n" + "2027-03-06,,Tavu,,,1\n" * 9, "utf-8")
    return folder


class _Words(HTMLParser):
    """What a page says: its text, and the attributes that are read out or shown."""

    SAID = frozenset(("aria-label", "alt", "title", "placeholder", "data-every", "data-found"))

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.silent += tag in ("style", "script")
        self.found += [value for name, value in attrs if name in self.SAID and value]

    def handle_endtag(self, tag: str) -> None:
        self.silent -= tag in ("style", "script")

    def handle_data(self, data: str) -> None:
        if not self.silent and data.strip():
            self.found.append(data)


def words_of(page: str) -> str:
    """The words of a page, a line to each."""
    parser = _Words()
    parser.feed(page)
    return "\n".join(unescape(" ".join(text.split())) for text in parser.found)


def left_in_english(text: str, code: str) -> list[str]:
    """Sentences and words of ours, translated into this language, that stand in a text in English all the same."""
    text = " ".join(text.replace("\u00a0", " ").split())
    return [english for english, part, pattern in _english(code) if part in text and pattern.search(text)]


@lru_cache(maxsize=None)
def _english(code: str) -> tuple[tuple[str, str, re.Pattern[str]], ...]:
    """(an English sentence, its longest stretch without a place, what finds it)."""
    own: set[str] = set()
    pairs: list[tuple[str, str]] = []
    for message in made.kept(code):  # type: ignore[arg-type]
        if not message.id:
            continue
        ours = [message.id] if isinstance(message.id, str) else list(message.id)
        theirs = [message.string] if isinstance(message.string, str) else list(message.string)
        if not any(name.startswith("rules") for name, _ in message.locations):
            own |= {word for said in theirs for word in _spoken(said)}
        pairs += [(one, said) for one, said in zip(ours, theirs) if one != said]
    found = []
    for english, _ in pairs:
        words = _spoken(english)
        # What could be this language's own words proves nothing: "no", "total", "section".
        if any(len(word) > 2 for word in words) and not words <= own:
            parts = re.split(r"\{[^{}]*\}", english.replace("\u00a0", " "))
            found.append((english, max(parts, key=len), re.compile(r"(?<!\w)" + r".{1,60}?".join(map(re.escape, parts)) + r"(?!\w)")))
    return tuple(found)


def _spoken(said: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]+", re.sub(r"\{[^{}]*\}", " ", said)))
