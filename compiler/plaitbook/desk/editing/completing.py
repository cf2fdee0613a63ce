"""What may be written where the cursor stands.

Fixed words come from the grammar, leading words from the vocabulary, units and
facts from the readers that give them meaning, names from the book's files.
"""

from __future__ import annotations

from dataclasses import dataclass
from posixpath import dirname, relpath
from typing import Iterator

from ...compile import Request
from ...meaning.book import file_meaning
from ...meaning.layers import ADAPTABLE, fact_word
from ...meaning.model import ZONES
from ...passes.currencies import DIGITS
from ...passes.rates import OPERATIONS
from ...syntax import vocabulary
from ...syntax.cursor import Cursor, cursor_at
from ...syntax.expected import Expected, expected_after
from ...syntax.problem import Span
from .columns import column_of, index_of, raw_line
from .fact_values import GOODS, fact_values
from .free_words import codes, free_words
from .meanings import meaning_of
from .oracle import takes_money, units_after
from .scope import Scope
from .session import Session

MOST = 200
"""Offers at one place: more than anybody reads."""
OF_STRING = {
    "one_hair": ("hair",), "blend_part": ("hair",), "hair_ref": ("hair",), "set_hair": ("hair",),
    "ornaments": ("ornament",), "colour": ("colour",), "product": ("product",), "for_wearer": ("wearer",),
    "in_house": ("house",), "use_statement": ("file",), "based_statement": ("look",),
    "declaration_statement": ("look",), "code": ("code",), "item": ("fact",),
    "name": (), "summary_statement": (), "note_statement": (), "allow_statement": (), "message_statement": (),
    "reason_statement": (), "source_statement": (), "fix_statement": (),
}
"""Grammar rule that a name in quotes belongs to -> the kinds of thing it names; none: the writer's own words."""


@dataclass(frozen=True)
class Offer:
    """One thing that may be written here."""

    label: str
    insert: str
    what: str
    """``heading``, ``statement``, ``declaration``, ``word``, ``zone``, ``unit``, ``fact``, ``value``, ``example``,
    ``figure``, ``choice``, ``option``, ``role``, ``code``, or the kind of the thing named."""
    detail: str
    span: Span
    """What it takes the place of."""


def complete(session: Session, name: str, line: int, column: int, request: Request = Request()) -> tuple[Offer, ...]:
    """Everything that may be written at a place, the likeliest first; nothing where only the writer knows."""
    raw = raw_line(session.text(name), line)
    cursor = cursor_at(session.text(name), name, line, index_of(raw, column))
    if cursor is None:
        return ()
    offers = _Offers(session, cursor, raw, column, request)
    found = list(dict.fromkeys(offer for offer in offers.all() if offer.label))
    return tuple(found[:MOST])


class _Offers:
    """The offers at one cursor, by where they come from."""

    def __init__(self, session: Session, cursor: Cursor, raw: str, column: int, request: Request) -> None:
        self.session = session
        self.wearer = session.book(cursor.file).wearers.get(request.wearer or "")
        self.cursor = cursor
        self.raw = raw
        self.line = cursor.at[0]
        self.start = column_of(raw, cursor.at[1])
        self.end = max(self.start, column)
        self.expected = expected_after(cursor.rule, cursor.before) if cursor.rule is not None else None

    def all(self) -> Iterator[Offer]:
        if self.cursor.quoted:
            if self.expected is not None:
                yield from self.strings(self.expected)
            return
        if self.expected is not None:
            yield from self.continuing(self.expected)
        if self.cursor.rule is None or self.cursor.first:
            yield from self.leading()

    # --- making one

    def offer(self, label: str, what: str, detail: str = "", insert: str = "", typed: str = "",
              start: int | None = None) -> Iterator[Offer]:
        """The offer, where it goes on from what is typed (by default the word at the cursor)."""
        typed = typed or self.cursor.partial
        if label.casefold().startswith(typed.casefold()):
            span = Span(self.cursor.file, self.line, self.start if start is None else start, self.end)
            yield Offer(label, insert or label, what, detail, span)

    def named(self, label: str, what: str, detail: str = "") -> Iterator[Offer]:
        """A name in quotes: with them where none is open, and closed where it isn't yet."""
        if not self.cursor.quoted:
            yield from self.offer(label, what, detail, f'"{label}"')
            return
        closed = self.raw[index_of(self.raw, self.end):].lstrip(" ")[:1] in ('"', "\u201d")
        yield from self.offer(label, what, detail, label if closed else f'{label}"')

    # --- a line's first words

    def leading(self) -> Iterator[Offer]:
        cursor = self.cursor
        typed = f"{cursor.before if cursor.rule is None else ''}{cursor.partial}"
        indent = min(len(self.raw) - len(self.raw.lstrip()), cursor.at[1])
        start = column_of(self.raw, indent) if cursor.rule is None else None

        def lead(words: "tuple[str, ...] | dict[str, str]", what: str, after: str) -> Iterator[Offer]:
            for word in words:
                alone = word in ("demo", "mirrored")  # nothing follows them
                insert = word if alone else f"{word}{after}"
                yield from self.offer(word, what, meaning_of(cursor.kind, word), insert, typed, start)

        if cursor.kind == "recipe":
            heads = [word for word in vocabulary.RECIPE_BLOCKS if word != cursor.block]
            yield from lead(tuple(heads), "heading", ": ")
            yield from lead(vocabulary.RECIPE_STATEMENTS, "statement", " ")
            if cursor.block is None:
                yield from lead(vocabulary.SECTION_WORDS, "statement", " ")
        elif cursor.kind == "rule":
            yield from lead(tuple(w for w in vocabulary.RULE_STATEMENTS if w not in cursor.said), "statement", " ")
        elif cursor.kind in vocabulary.FACTS:
            facts = vocabulary.FACTS[cursor.kind]
            yield from lead(tuple(f for f in facts if f not in cursor.said), "fact", " ")
            yield from lead(tuple(f for f in facts if f in cursor.said), "fact", " ")
        yield from lead(vocabulary.DECLARATIONS, "declaration", ' "')
        if not cursor.kind:
            yield from lead(("edition", "use"), "statement", " ")

    # --- what follows in a statement

    def continuing(self, expected: Expected) -> Iterator[Offer]:
        fact = self.cursor.rule == "fact_value"
        if "unit" in expected.words:
            yield from self.units()
        if fact:
            for label, what, detail in fact_values(self.cursor, expected):
                yield from self.offer(label, what, detail)
        elif expected.words - {"unit"} and not (expected.trail and expected.trail[-1][0] == "NUMBER"):
            yield from self.free(expected)
        yield from self.strings(expected)
        if not fact:
            for phrase in self.phrases(expected):
                yield from self.offer(phrase, "zone" if phrase in ZONES else "word")

    def phrases(self, expected: Expected) -> Iterator[str]:
        condition = self.cursor.rule == "when_statement" and not any(t == "COLON" for t, _, _ in expected.trail)
        for phrase in expected.phrases:
            if condition and phrase.split()[0] in ("any", "every"):
                continue  # those look at a finished plan: they are for a house's rules
            if "unit" in expected.words and (phrase == "in" or (phrase == "times" and self.cursor.kind == "recipe")):
                continue  # an inch is offered as a unit; only a house's rule compares two figures
            yield phrase

    def units(self) -> Iterator[Offer]:
        cursor = self.cursor
        assert cursor.rule is not None
        units = units_after(cursor.kind, cursor.word, cursor.rule, cursor.before)
        text = self.session.text(cursor.file)
        for unit in sorted(units, key=lambda unit: -text.count(f" {unit}")):
            yield from self.offer(unit, "unit")
        if takes_money(cursor.kind, cursor.word, cursor.rule, cursor.before):
            book = self.session.book(cursor.file)
            used = dict.fromkeys([h.currency for h in book.houses.values()] + [h.currency for h in book.hairs.values()])
            for code in [*(c for c in used if c), *(DIGITS if cursor.partial else ())]:
                yield from self.offer(code, "unit", "money")

    def strings(self, expected: Expected) -> Iterator[Offer]:
        kinds = {kind for role in expected.strings for kind in OF_STRING.get(role, ())}
        if "look" in kinds and not any(terminal == "ON" for terminal, _, _ in expected.trail):
            kinds.discard("look")  # the name of the declaration itself
        if "fact" in kinds:
            kinds = set(GOODS.get(self.cursor.word, ()))
            if any(t == "STRING" for t, _, _ in expected.trail) and self.cursor.word != "substitute":
                return
        scope = Scope(self.session)
        for kind in sorted(kinds):
            yield from self.of_kind(kind, scope, expected)

    def of_kind(self, kind: str, scope: Scope, expected: Expected) -> Iterator[Offer]:
        if kind == "file":
            here = self.cursor.file
            for name in self.session.names():
                if name != here:
                    yield from self.named(_from(here, name), "file")
        elif kind == "colour":
            hairs = [text.strip('"').strip() for terminal, text, _ in expected.trail if terminal == "STRING"]
            book = self.session.book(self.cursor.file)
            for hair in hairs[-1:] if hairs and hairs[-1] in book.hairs else book.hairs:
                for colour in book.hairs[hair].colours:
                    yield from self.named(colour, "colour", f'of "{hair}"')
        elif kind == "product":
            for product in self._products():
                yield from self.named(product, "product")
        elif kind == "operation":
            for operation in sorted(OPERATIONS):
                yield from self.named(operation, "operation")
        elif kind == "code":
            for code, what, detail in codes(scope):
                yield from self.offer(code, what, detail)
        else:
            details = self._details(kind)
            for name in scope.names(kind):
                yield from self.named(name, kind, details.get(name, ""))

    def _products(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(
            product for name in self.session.names() for look in file_meaning(self.session.text(name), name).looks
            for product, _, _ in look.products))

    def _details(self, kind: str) -> dict[str, str]:
        book = self.session.book(self.cursor.file)
        if kind == "hair":
            return {hair.name: f"{hair.kind}, {hair.fibre}, {hair.pack_g.text} pack" for hair in book.hairs.values()}
        if kind == "ornament":
            return {each.name: f"{each.kind}, {each.mass_g.text}" for each in book.ornaments.values()}
        if kind == "look":
            return {look.name: look.summary for look in book.looks.values()}
        return {}

    # --- free words

    def free(self, expected: Expected) -> Iterator[Offer]:
        """Names made of plain words; what stands before them says whose they are."""
        cursor, trail = self.cursor, expected.trail
        run = len(trail)
        while run and trail[run - 1][0] == "WORD":
            run -= 1
        words = " ".join(text for _, text, _ in trail[run:])
        typed = f"{words} {cursor.partial}".strip() if words else cursor.partial
        start = cursor.span(trail[run][2], trail[run][2] + 1) if words else None
        if start is not None and start.line != self.line:
            return
        for label, what, detail in free_words(cursor, expected, trail[:run], Scope(self.session)):
            if self.wearer is not None and label in ADAPTABLE:
                detail = f"{detail}; {self.wearer.name}: {fact_word(self.wearer, label)}"
            yield from self.offer(label, what, detail, "", typed, None if start is None else start.column)

def _from(here: str, name: str) -> str:
    """A file's path as another file writes it."""
    return relpath(name, dirname(here) or ".")
