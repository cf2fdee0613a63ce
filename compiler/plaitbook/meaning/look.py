"""A recipe's statements given meaning, before a wearer, a house and choices are known.

``Said`` is one statement: what it sets (``slot``), in which zones, to what.
A value may be left open with ``by NAME`` (:class:`By`): a choice or a fact of
the wearer settles it later.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from ..syntax.problem import Problem, Span
from ..syntax.suggest import spoken_list
from ..syntax.tree import Declaration, Node, Statement
from .facts import ZONE_WORDS, allowance_of
from .model import Allowance
from .reading import Reading, string_of, unit_word, words_of
from .values import Measure, Origin

MAX_SECTIONS = 3000
MOST = {"feed": 40, "accents": 40, "end": 60, "choices": 20, "when": 100, "expect": 200, "note": 60, "hair": 40,
        "finish": 40, "allow": 40}
"""Lines of each kind in one look: far more than a look needs, and few enough to be planned at once."""
MANY = 3
"""So many lines that say again what was said are one slip: a first line that is missing."""
ACCUMULATE = ("feed", "accents", "end")
"""Slots whose lines add up within the same zones; any other slot is said once."""


@dataclass(frozen=True)
class By:
    """``by size``: the value a choice's option, or an adaptation, sets for this place."""

    name: str
    span: Span
    """Of the name: ``size``."""


@dataclass(frozen=True)
class Pencils:
    """A width in pencils; it becomes millimetres when the house is known."""

    count: Fraction
    text: str
    origin: Origin


Wish = Measure | Pencils | By


@dataclass(frozen=True)
class Said:
    """One statement: the slot it sets, its zones (none: everywhere), its value, its place."""

    slot: str
    zones: tuple[str, ...]
    value: Any
    origin: Origin
    span: Span
    depth: int = 0
    """How many looks back it was inherited from; 0 is this look's own."""
    text: str = ""


@dataclass(frozen=True)
class GridSaid:
    """A grid: what was said of its sections' shape and size."""

    shape: str | None
    direction: str | None
    height: Wish | None
    width: Wish | None
    count: int | None


@dataclass(frozen=True)
class PiecesSaid:
    """``2 pieces of base ½ pencil``."""

    count: int
    hair: str
    """A role's name, or the quoted name of a hair."""
    quoted: bool
    held: Wish
    origin: Origin
    span: Span


@dataclass(frozen=True)
class FeedSaid:
    """One line of the feed-in schedule."""

    kind: str
    pieces: PiecesSaid | None = None
    width: Wish | None = None
    stitches: tuple[int, ...] = ()
    every: "int | By | None" = None
    first: int = 1
    last: int | None = None


@dataclass(frozen=True)
class AccentSaid:
    """One line of accents."""

    kind: str
    every: "int | By | None" = None
    stitches: tuple[int, ...] = ()
    first: int = 1
    last: int | None = None
    pieces: PiecesSaid | None = None
    ornament: str | None = None
    ornament_count: int = 0
    side: str = "alternate"
    stagger: bool = False
    span: Span | None = None


@dataclass(frozen=True)
class StepSaid:
    """One step of the end finish."""

    kind: str
    turns: int | None = None
    temperature: Measure | None = None
    seconds: Measure | None = None
    length: Measure | None = None
    rod: Measure | None = None
    ornament: str | None = None
    ornament_count: int = 0
    span: Span | None = None


@dataclass(frozen=True)
class PartSaid:
    """One hair of a role, with its share by parts."""

    hair: str
    colour: str | None
    parts: int
    span: Span
    """Of the hair's name."""
    colour_span: Span | None = None


@dataclass(frozen=True)
class RoleSaid:
    """A role that hair plays, as its line says it."""

    role: str
    parts: tuple[PartSaid, ...]
    cut: Wish | None
    fold: float | None
    pulled: Measure | None
    blunt: bool
    shades: tuple[tuple[str, int, Span], ...]
    origin: Origin
    span: Span
    depth: int = 0
    text: str = ""
    name_span: Span | None = None


@dataclass(frozen=True)
class Setting:
    """What an option or a ``when`` clause sets."""

    slot: str
    zones: tuple[str, ...]
    value: Any
    text: str
    span: Span
    role_span: Span | None = None
    """Of the name of the hair it cuts or changes."""
    colour_span: Span | None = None


@dataclass(frozen=True)
class Choice:
    """One line of the menu."""

    name: str
    options: tuple[tuple[str, tuple[Setting, ...]], ...]
    default: str
    origin: Origin
    span: Span
    depth: int = 0
    """How many looks back it was inherited from."""
    text: str = ""
    name_span: Span | None = None

    def option(self, name: str) -> tuple[Setting, ...] | None:
        return dict(self.options).get(name)


@dataclass(frozen=True)
class Nearer:
    """A line that says itself what a choice taken over from another look would set."""

    look: str
    slot: str
    """What it says; ``hair base`` for a line under ``hair``."""
    text: str
    span: Span


@dataclass(frozen=True)
class Overruled:
    """A choice taken over from another look that changes nothing any more, and the lines that see to that."""

    choice: Choice
    by: tuple[Nearer, ...]


@dataclass(frozen=True)
class When:
    condition: Node
    statement: Statement
    settings: tuple[Setting, ...]
    text: str
    origin: Origin
    depth: int = 0


@dataclass(frozen=True)
class ExpectSaid:
    """One of the recipe's own tests."""

    figure: str
    low: float | None
    high: float | None
    text: str
    wearer: str | None
    house: str | None
    origin: Origin
    dimension: str


@dataclass(frozen=True)
class Look:
    """Everything one recipe says, in its own words' order."""

    name: str
    version: int
    summary: str
    demo: bool
    based_on: tuple[tuple[str, int | None, Span], ...]
    said: tuple[Said, ...]
    choices: tuple[Choice, ...]
    roles: tuple[RoleSaid, ...]
    whens: tuple[When, ...]
    expects: tuple[ExpectSaid, ...]
    allows: tuple[Allowance, ...]
    products: tuple[tuple[str, Measure | None, Origin], ...]
    origin: Origin
    span: Span
    parents: tuple[str, ...] = ()
    lost: frozenset[str] = frozenset()
    """What its lines with a mistake were about; nobody should be told that these are missing too."""
    empty: tuple[tuple[str, Span], ...] = ()
    """Headings with nothing under them."""
    overruled: tuple[Overruled, ...] = ()
    """Choices it took over and that are none of its own any more (:mod:`.overruled`)."""

    def all_choices(self) -> tuple[Choice, ...]:
        """Its choices and the overruled ones, as they are laid over each other."""
        return in_order((*self.choices, *(each.choice for each in self.overruled))) if self.overruled else self.choices


def in_order(choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
    """Choices as they are laid over each other: those of the farthest look first, then as they are written."""
    return tuple(sorted(choices, key=lambda choice: (-choice.depth, choice.span)))


def read_look(declaration: Declaration, problems: list[Problem]) -> Look:
    """The look of a ``recipe`` declaration; what is wrong goes to ``problems``."""
    return _LookReader(declaration, problems).look()


class _LookReader:
    """Collects one recipe's statements by what they are about."""

    def __init__(self, declaration: Declaration, problems: list[Problem]) -> None:
        self.declaration = declaration
        self.problems = problems
        self.whose = f'recipe "{declaration.name}"'
        self.said: list[Said] = []
        self.choices: list[Choice] = []
        self.roles: list[RoleSaid] = []
        self.whens: list[When] = []
        self.expects: list[ExpectSaid] = []
        self.allows: list[Allowance] = []
        self.products: list[tuple[str, Measure | None, Origin]] = []
        self.based: list[tuple[str, int | None, Span]] = []
        self.summary = ""
        self.demo = False

    def look(self) -> Look:
        head = Reading(self.declaration.head, "recipe", self.whose, self.problems)
        version = self._header(head)
        lost = set(self.declaration.lost)
        for statement in self._within_limits():
            before = len(self.problems)
            reading = Reading(statement, "recipe", self.whose, self.problems)
            getattr(self, f"_{statement.word}")(reading, statement.node)
            if len(self.problems) > before:
                lost.add(statement.word)
        self._refuse_ties()
        self._refuse_none_with_more()
        return Look(
            self.declaration.name, version, self.summary, self.demo, tuple(self.based),
            tuple(self.said), tuple(self.choices), tuple(self.roles), tuple(self.whens),
            tuple(self.expects), tuple(self.allows), tuple(self.products), head.origin(),
            head.span(), lost=frozenset(lost), empty=self.declaration.empty,
        )

    def _within_limits(self) -> list[Statement]:
        """The statements, but for those past the limit of their kind, which are told of once."""
        counted: dict[str, int] = {}
        kept = []
        for statement in self.declaration.statements:
            word = "when" if statement.word == "adapt" else statement.word
            counted[word] = counted.get(word, 0) + 1
            most = MOST.get(word, 400)
            if counted[word] == most + 1:
                self.problems.append(Problem(
                    "E434", f"this look has more than {most} lines of '{word}'",
                    "join lines that say the same for several zones, or make two looks", statement.span()))
            elif counted[word] <= most:
                kept.append(statement)
        return kept

    # --- header and plain statements

    def _header(self, head: Reading) -> int:
        node = head.statement.node
        names = node.all("string")
        numbers = list(node.all("number"))
        version = 1
        text = head.statement.text
        if numbers and (len(names) == 1 or numbers[0].start < names[1].start):
            version = head.whole(numbers.pop(0), "versions", 1, 100000) or 1
        if len(names) == 2:
            wanted = head.whole(numbers[0], "versions", 1, 100000) if numbers else None
            self.based.append((names[1].text[1:-1].strip(), wanted, head.span(names[1])))
        if not names[0].text.strip('" '):
            head.say("E401", f"{text} has an empty name", 'write a name: recipe "Saltmarsh"', names[0])
        return version

    def _based(self, reading: Reading, node: Node) -> None:
        numbers = node.all("number")
        wanted = reading.whole(numbers[0], "versions", 1, 100000) if numbers else None
        if self.based:
            reading.say("E402", "a look is based on one other look",
                        "keep one 'based on'; base that look on the second")
            return
        self.based.append((string_of(node), wanted, reading.span(node.first("string"))))

    def _summary(self, reading: Reading, node: Node) -> None:
        if self.summary:
            reading.say("E403", "the summary is said twice", "keep one")
        self.summary = string_of(node)

    def _note(self, reading: Reading, node: Node) -> None:
        self.said.append(self._entry("note", (), string_of(node), reading))

    def _demo(self, reading: Reading, node: Node) -> None:
        self.demo = True

    def _technique(self, reading: Reading, node: Node) -> None:
        kind = node.first("technique", "plait", "twist", "row")
        tight = node.first("relaxed", "ordinary", "firm")
        self._add("technique", reading, node, (
            kind.kind if kind else "plait", tight.kind if tight else None,
        ))

    def _wearing(self, reading: Reading, node: Node) -> None:
        wish = node.first("length_wish")
        if wish is not None:
            value: Any = self._length_wish(reading, wish.parts[0])
        else:
            value = _landmark(node)
        if value is not None:
            self._add("wearing", reading, node, value)

    def _length_wish(self, reading: Reading, node: Node) -> Wish | None:
        if node.kind == "by":
            return _by(reading, node)
        return reading.measure(node, "length", 10, 2000, "a wearing length")

    def _finish(self, reading: Reading, node: Node) -> None:
        for product in node.all("product"):
            mass = product.first("measure")
            amount = reading.measure(mass, "mass", 0, 1000, "a product for one head") if mass else None
            self.products.append((string_of(product), amount, reading.origin()))

    def _allow(self, reading: Reading, node: Node) -> None:
        self.allows.append(allowance_of(reading, node))

    # --- hair and choices

    def _hair(self, reading: Reading, node: Node) -> None:
        name = words_of(node.parts[0])
        hairs = node.parts[1]
        parts = []
        if hairs.kind == "one_hair":
            parts.append(_part(reading, hairs, 1))
        else:
            for part in hairs.all("blend_part"):
                count = reading.whole(part.parts[0], "parts", 1, 100)
                parts.append(_part(reading, part, count or 1))
        self._refuse_twice(reading, node, node.parts[2:], ("cut",), ("fold_middle", "fold_none", "fold_at"),
                           ("pulled", "blunt"))
        cut: Wish | None = None
        fold: float | None = None
        pulled: Measure | None = None
        blunt = False
        shades: list[tuple[str, int, Span]] = []
        for clause in node.parts[2:]:
            if clause.kind == "cut":
                cut = _wish(reading, clause.parts[0], "length", 20, 3000, "a cut length")
            elif clause.kind == "fold_middle":
                fold = 0.5
            elif clause.kind == "fold_none":
                fold = 0.0
            elif clause.kind == "fold_at":
                share = reading.number(clause.parts[0])
                if share is not None and not 0 < share < 1:
                    reading.say("E404", f"'{reading.quote(clause)}' is not on the piece",
                                "write a part of its length between 0 and 1: folded at ⅓", clause)
                elif share is not None:
                    fold = float(share)
            elif clause.kind == "pulled":
                pulled = reading.measure(clause.parts[0], "length", 0, 600, "pulled ends")
            elif clause.kind == "blunt":
                blunt = True
            elif clause.kind == "colour_clause":
                if len(parts) == 1 and parts[0].colour is None:
                    parts[0] = replace(parts[0], colour=string_of(clause.parts[0]),
                                       colour_span=reading.span(clause.parts[0].first("string")))
                else:
                    reading.say("E411", f"'{reading.quote(clause)}' is said beside another colour",
                                "write each hair's colour right after its name", clause)
            elif clause.kind == "shade":
                stitch = reading.whole(clause.parts[1], "stitches", 1, 2000)
                if stitch is not None and shades and stitch <= shades[-1][1]:
                    reading.say("E409", f"'{reading.quote(clause)}' comes before the shade above it",
                                "write the shades from root to end", clause)
                elif stitch is not None:
                    shades.append((string_of(clause.parts[0]), stitch, reading.span(clause.parts[0].first("string"))))
        if any(role.role == name for role in self.roles):
            reading.say("E403", f"the hair '{name}' is said twice", "give the second another name")
            return
        if shades and len(parts) > 1:
            reading.say("E120", "a blend that changes colour along the strand is not built yet",
                        "shade a single hair, or blend without 'then colour'")
        self.roles.append(RoleSaid(name, tuple(parts), cut, fold, pulled, blunt, tuple(shades), reading.origin(),
                                   reading.span(), text=reading.statement.quote(), name_span=reading.span(node.parts[0])))

    def _choices(self, reading: Reading, node: Node) -> None:
        name = words_of(node.parts[0])
        options: list[tuple[str, list[Setting]]] = []
        before = len(self.problems)
        default = ""
        default_node = node
        for part in node.parts[1:]:
            if part.kind == "option":
                options.append((words_of(part.parts[0]), []))
            if part.kind == "default":
                default, default_node = words_of(part.parts[0]), part.parts[0]
                continue
            if not options:
                reading.say("E405", f"'{reading.quote(part)}' stands before the first option",
                            "begin with the option's name: small is grid ½ in", part)
                continue
            setting = self._setting(reading, part.parts[-1])
            if setting is not None:
                options[-1][1].append(setting)
        names = [option for option, _ in options]
        for option in {o for o in names if names.count(o) > 1}:
            reading.say("E403", f"the option '{option}' is said twice", "give the second another name")
        if not default and names:
            default = names[0]
        if not names:
            if len(self.problems) == before:
                reading.say("E405", f"the choice '{name}' has no options", "write its options: small is grid ½ in; default small")
            return
        if default not in names:
            from ..syntax.suggest import did_you_mean

            reading.say("E406", f"'{default}' is not one of the options of '{name}'",
                        did_you_mean(default, names), default_node)
            return
        if any(choice.name == name for choice in self.choices):
            reading.say("E403", f"the choice '{name}' is said twice", "put all its options in one line")
            return
        self.choices.append(Choice(name, tuple((o, tuple(s)) for o, s in options), default, reading.origin(),
                                   reading.span(), text=reading.statement.quote(), name_span=reading.span(node.parts[0])))

    def _when(self, reading: Reading, node: Node) -> None:
        condition = node.parts[0]
        settings = tuple(
            s for part in node.parts[1:] if (s := self._setting(reading, part)) is not None
        )
        for setting in settings:
            if setting.slot == "bare":
                reading.say("E407", f"'{setting.text}' doesn't say what it sets",
                            f"write what it is for: width {setting.text}, or wearing {setting.text}",
                            node.parts[1])
        self.whens.append(When(condition, reading.statement, settings,
                               reading.plain(condition), reading.origin()))

    _adapt = _when

    def _setting(self, reading: Reading, node: Node) -> Setting | None:
        slot = node.kind.removeprefix("set_")
        zones = _zones(node)
        value: Any = None
        if slot == "grid":
            value = self._grid_value(reading, node)
        elif slot == "hairline":
            value = reading.measure(node.parts[0], "length", 1, 300, "a section")
        elif slot == "width":
            value = _wish(reading, node.parts[0], "length", 0.5, 80, "a strand's width")
        elif slot in ("pieces", "first_piece", "accent_piece"):
            value = _wish(reading, node.parts[0], "length", 0.2, 40, "a piece's width")
        elif slot == "wearing":
            first = node.parts[0]
            value = (_landmark(node) if first.kind not in ("measure", "range")
                     else reading.measure(first, "length", 10, 2000, "a wearing length"))
        elif slot == "every":
            value = reading.whole(node.parts[0], "stitches", 1, 1000)
        elif slot == "tightness":
            value = node.parts[0].kind
        elif slot == "own":
            value = reading.measure(node.parts[0], "length", 0, 500, "own hair first")
        elif slot == "cut":
            measure = reading.measure(node.parts[1], "length", 20, 3000, "a cut length")
            value = None if measure is None else (words_of(node.parts[0]), measure)
        elif slot == "hair":
            value = (words_of(node.parts[0]), string_of(node), _colour(node), reading.span(node.first("string")))
        elif slot == "leave_out":
            value, zones = True, tuple(ZONE_WORDS[z.parts[0].text] for z in node.all("zone"))
        elif slot == "bare":
            value = reading.measure(node.parts[0], "length", 1, 2000, "this choice")
        if value is None:
            return None
        named = slot in ("cut", "hair")
        colour = node.first("colour")
        return Setting(slot, zones, value, reading.plain(node), reading.span(node),
                       reading.span(node.parts[0]) if named else None,
                       reading.span(colour.first("string")) if colour is not None else None)

    # --- sections

    def _sections(self, reading: Reading, node: Node) -> None:
        if node.kind == "grid":
            value = self._grid_value(reading, node)
            if value is not None:
                self._add("grid", reading, node, value)
        elif node.kind == "hairline_size":
            shape = node.first("square", "brick", "rectangle", "triangle", "diamond", "rows")
            size = _wish(reading, node.parts[-1], "length", 1, 300, "a section")
            if size is not None:
                self._add("hairline", reading, node, (shape.kind if shape else None, size))
        elif node.kind == "parting":
            self._parting(reading, node.parts[0])
        elif node.kind in ("mirrored", "not_mirrored"):
            self._add("mirrored", reading, node, node.kind == "mirrored")
        elif node.kind == "order":
            self._add("order", reading, node, node.parts[0].kind.replace("_", " "))
        elif node.kind == "leave_out":
            zones = tuple(ZONE_WORDS[z.parts[0].text] for z in node.all("zone"))
            self.said.append(self._entry("leave_out", zones, True, reading))

    def _grid_value(self, reading: Reading, node: Node) -> GridSaid | None:
        shape = node.first("square", "brick", "rectangle", "triangle", "diamond", "rows")
        direction = None
        if shape is not None and shape.parts:
            direction = shape.parts[0].kind.replace("_", " ")
        size = node.first("grid_size", "grid_rectangle", "grid_count")
        assert size is not None
        name = shape.kind if shape else None
        if size.kind == "grid_count":
            count = reading.whole(size.parts[0], "sections", 1, MAX_SECTIONS)
            return None if count is None else GridSaid(name, direction, None, None, count)
        wishes = [_wish(reading, part, "length", 1, 300, "a section") for part in size.parts]
        if any(wish is None for wish in wishes):
            return None
        return GridSaid(name, direction, wishes[0], wishes[1] if len(wishes) > 1 else None, None)

    def _parting(self, reading: Reading, node: Node) -> None:
        kind = node.kind.removeprefix("parting_")
        side_node = node.first("left", "right")
        side = side_node.text if side_node else None
        offset = None
        if kind == "off":
            offset = reading.measure(node.parts[0], "length", 1, 120, "an off-centre parting")
            if offset is None:
                return
            kind = "off-centre"
        self._add("parting", reading, node, (kind, side, offset))

    # --- the strand

    def _start(self, reading: Reading, node: Node) -> None:
        head = node.parts[0]
        own = None
        if head.kind == "own_first":
            own = _wish(reading, head.parts[0], "length", 1, 500, "own hair first")
            if own is None:
                return
        pieces_node = node.first("pieces")
        pieces = self._pieces(reading, pieces_node) if pieces_node else None
        if pieces_node is not None and pieces is None:
            return
        if head.kind in ("extension", "knotted") and pieces is None:
            reading.say("E408", f"'{reading.quote(head)}' doesn't say with what",
                        f"write the pieces: {reading.quote(head)}, 1 piece of base ½ pencil", head)
            return
        if head.kind == "own_only" and pieces is not None:
            reading.say("E408", "own hair only takes no pieces", "take the pieces out, or write own hair 1½ in first")
            return
        self._add("start", reading, node, (head.kind, own, pieces))

    def _pieces(self, reading: Reading, node: Node) -> PiecesSaid | None:
        numbers = node.all("number")
        count = reading.whole(numbers[0], "pieces", 1, 50) if numbers else 1
        ref = node.first("hair_ref")
        assert ref is not None
        leaf = ref.parts[0]
        held = _wish(reading, node.parts[-1], "length", 0.2, 40, "a piece's width")
        if count is None or held is None:
            return None
        quoted = leaf.kind == "string"
        name = leaf.text[1:-1].strip() if quoted else leaf.text
        return PiecesSaid(count, name, quoted, held, reading.origin(), reading.span(ref))

    def _feed(self, reading: Reading, node: Node) -> None:
        kind = node.kind.removeprefix("feed_")
        if kind == "none":
            self._add("feed", reading, node, FeedSaid("none"))
            return
        pieces = self._pieces(reading, node.first("pieces", "some_pieces"))  # type: ignore[arg-type]
        if pieces is None:
            return
        if kind in ("hold", "until"):
            width_node = node.first("measure", "by")
            width = _wish(reading, width_node, "length", 0.5, 80, "a strand's width")  # type: ignore[arg-type]
            if width is not None:
                self._add("feed", reading, node, FeedSaid(kind, pieces, width))
            return
        spacing = self._spacing(reading, node.parts[0])
        if spacing is not None:
            self._add("feed", reading, node, FeedSaid(kind, pieces, None, **spacing))

    def _spacing(self, reading: Reading, node: Node) -> dict[str, Any] | None:
        if node.kind == "at_stitches":
            stitches = [reading.whole(n, "stitches", 1, 2000) for n in node.all("number")]
            if any(s is None for s in stitches):
                return None
            return {"stitches": tuple(sorted(set(stitches)))}  # type: ignore[type-var]
        every: int | By | None
        if node.has("by"):
            every = _by(reading, node.first("by"))  # type: ignore[arg-type]
        elif not node.has("number"):
            every = 1
        else:
            every = reading.whole(node.first("number"), "stitches", 1, 1000)  # type: ignore[arg-type]
        if every is None:
            return None
        first, last = 1, None
        span = node.first("from_to")
        if span is not None:
            numbers = span.all("number")
            got = reading.whole(numbers[0], "stitches", 1, 2000)
            if got is None:
                return None
            first = got
            if len(numbers) > 1:
                last = reading.whole(numbers[1], "stitches", 1, 2000)
                if last is None:
                    return None
                if last < first:
                    reading.say("E409", f"'{reading.quote(span)}' runs backwards",
                                "write the earlier stitch first", span)
                    return None
        return {"every": every, "first": first, "last": last}

    def _accents(self, reading: Reading, node: Node) -> None:
        if node.kind == "accents_none":
            self._add("accents", reading, node, AccentSaid("none"))
            return
        spacing = self._spacing(reading, node.parts[0])
        if spacing is None:
            return
        what = node.parts[1]
        self._refuse_twice(reading, node, node.parts[2:], ("alternate", "one_side", "both_sides"), ("stagger",))
        fields: dict[str, Any] = dict(spacing)
        if what.kind == "pieces":
            fields["pieces"] = self._pieces(reading, what)
            if fields["pieces"] is None:
                return
        else:
            ornament = self._ornament(reading, what)
            if ornament is None:
                return
            fields["ornament_count"], fields["ornament"] = ornament
        for clause in node.parts[2:]:
            if clause.kind == "stagger":
                fields["stagger"] = True
            elif clause.kind == "one_side":
                fields["side"] = clause.parts[0].text
            elif clause.kind == "both_sides":
                fields["side"] = "both"
        self._add("accents", reading, node, AccentSaid(node.kind, span=reading.span(what.first("string") or what), **fields))

    def _ornament(self, reading: Reading, node: Node) -> tuple[int, str] | None:
        count = reading.whole(node.parts[0], "ornaments", 1, 100)
        return None if count is None else (count, string_of(node))

    def _end(self, reading: Reading, node: Node) -> None:
        self._refuse_twice(reading, node, node.parts, *((kind,) for kind in (
            "knot", "heat_seal", "dip", "curl_rods", "band", "tuck", "leave_loose", "leave_curls", "trim")))
        for step in node.parts:
            if step.kind == "zones":
                continue
            value = self._end_step(reading, step)
            if value is not None:
                self.said.append(self._entry("end", _zones(node), value, reading))

    def _end_step(self, reading: Reading, node: Node) -> StepSaid | None:
        kinds = {"end_ornaments": "ornaments", "end_none": "none", "leave_curls": "leave curls loose"}
        kind = kinds.get(node.kind, node.kind.replace("_", " "))
        span = reading.span(node)
        if kind == "knot":
            if not node.parts:
                return StepSaid(kind, span=span)
            turns = reading.whole(node.parts[0], "turns", 1, 20)
            return None if turns is None else StepSaid(kind, turns=turns, span=span)
        if kind == "ornaments":
            got = self._ornament(reading, node.parts[0])
            return None if got is None else StepSaid(kind, ornament_count=got[0], ornament=got[1],
                                                   span=reading.span(node.parts[0].first("string")))
        if kind == "heat seal":
            heat = reading.measure(node.parts[0], "temperature", 60, 300, "heat sealing")
            return None if heat is None else StepSaid(kind, temperature=heat, span=span)
        if kind == "dip":
            return self._dip(reading, node, span)
        if kind == "curl rods":
            rod = reading.measure(node.parts[0], "length", 2, 80, "a curl rod")
            long = None
            if len(node.parts) > 1:
                long = reading.measure(node.parts[1], "length", 5, 1000, "the end wound on a rod")
            return None if rod is None else StepSaid(kind, rod=rod, length=long, span=span)
        return StepSaid(kind, span=span)

    def _dip(self, reading: Reading, node: Node, span: Span) -> StepSaid | None:
        heat = reading.measure(node.parts[0], "temperature", 30, 100, "a dip in water")
        if heat is None:
            return None
        seconds = long = None
        for part in node.parts[1:]:
            # Which of the two a part is shows in its unit: a time or a length.
            if reading.dimension(part) == "length":
                long = reading.measure(part, "length", 1, 600, "the end that is dipped")
            else:
                seconds = reading.measure(part, "time", 0, 600, "a dip")
        return StepSaid("dip", temperature=heat, seconds=seconds, length=long, span=span)

    def _expect(self, reading: Reading, node: Node) -> None:
        bounds = node.first("between", "at_most", "at_least")
        assert bounds is not None
        nodes = [bound.parts[0] for bound in bounds.all("bound")]
        found = [self._bound(reading, node, nodes[-1]) for node in nodes]
        if any(each is None for each in found):
            return
        values, dimensions = zip(*found)  # type: ignore[arg-type]
        if len(set(dimensions)) > 1:
            reading.say("E506", f"'{reading.quote(bounds)}' mixes two kinds of measure",
                        "write both ends in the same unit", bounds)
            return
        low: float | None = values[0] if bounds.kind != "at_most" else None
        high = values[-1] if bounds.kind != "at_least" else None
        wearer, house = node.first("for_wearer"), node.first("in_house")
        zone = node.parts[0].first("zone")
        figure = words_of(node.parts[0].parts[0])
        if zone is not None:
            figure += f" in {ZONE_WORDS[zone.parts[0].text]}"
        self.expects.append(ExpectSaid(
            figure, low, high, reading.statement.text,
            string_of(wearer) if wearer else None, string_of(house) if house else None,
            reading.origin(), dimensions[0],
        ))

    def _bound(self, reading: Reading, node: Node, last: Node) -> tuple[float, str] | None:
        """(value, dimension) of one end; a bare first end takes the last one's unit, as in a range."""
        if last.kind == "number":
            value = reading.number(node) if node.kind == "number" else None
            if node.kind != "number":
                reading.say("E105", f"'{reading.quote(last)}' has no unit",
                            "write the unit with both ends", last)
            return None if value is None else (float(value), "")
        unit = last.all("unit")[-1]
        dimension = reading.dimension(last)
        if dimension is None and len(unit_word(unit)) == 3:
            money = reading.money(last if node.kind == "number" else node)
            value = reading.number(node) if node.kind == "number" else None
            if money is None:
                return None
            return (float(money[0]) if value is None else float(value)), f"money {money[1]}"
        if node.kind == "number":
            amount = reading.in_unit(node, unit, dimension or "length", last)
            return None if amount is None else (float(amount), dimension or "")
        own = reading.dimension(node)
        measure = reading.measure(node, own or "length")
        return None if measure is None else (measure.value, own or "")

    # --- keeping

    def _add(self, slot: str, reading: Reading, node: Node, value: Any) -> None:
        self.said.append(self._entry(slot, _zones(node), value, reading))

    def _entry(self, slot: str, zones: tuple[str, ...], value: Any, reading: Reading) -> Said:
        return Said(slot, zones, value, reading.origin(), reading.span(), text=reading.statement.quote())

    def _refuse_twice(self, reading: Reading, node: Node, clauses: tuple[Node, ...], *alike: tuple[str, ...]) -> None:
        """Clauses of one line that say one thing twice, or two things that can't both be."""
        for kinds in alike:
            found = [clause for clause in clauses if clause.kind in kinds]
            if len(found) > 1:
                first, second = reading.quote(found[0]), reading.quote(found[1])
                reading.say("E411", f"'{first}' and '{second}' can't both be", "keep one of them", found[1])

    def _refuse_none_with_more(self) -> None:
        """``none`` beside lines of the same kind in the same zones."""
        for slot in ACCUMULATE:
            by_zones: dict[tuple[str, ...], list[Said]] = {}
            for said in self.said:
                if said.slot == slot:
                    by_zones.setdefault(said.zones, []).append(said)
            for lines in by_zones.values():
                nones = [said for said in lines if said.value.kind == "none"]
                if nones and len(lines) > len(nones):
                    other = next(said for said in lines if said.value.kind != "none")
                    self.problems.append(Problem(
                        "E411", f"'{slot}: none' stands beside another line of '{slot}'",
                        "take the none out, or say in which zones: none in nape",
                        nones[0].span, (("the other line", other.span),)))

    def _refuse_ties(self) -> None:
        """Two statements that set one thing in one zone contradict each other; a second look without a name says much twice."""
        seen: dict[tuple[str, str], Said] = {}
        ties: list[tuple[Said, Said, str]] = []
        for said in self.said:
            if said.slot in (*ACCUMULATE, "note"):
                continue
            tied = [(zone, earlier) for zone in said.zones or ("",)
                    if (earlier := seen.setdefault((said.slot, zone), said)) is not said]
            if tied:
                ties.append((said, tied[0][1], ", ".join(zone for zone, _ in tied)))
        if len(ties) >= MANY:
            said, earlier, _ = ties[0]
            words = spoken_list(dict.fromkeys(f"'{tie[0].slot.replace('_', ' ')}'" for tie in ties), "and")
            self.problems.append(Problem(
                "E410", f"from here {words} are said a second time",
                'if another look begins here, put its first line above: recipe "Name"', said.span,
                (("said first here", earlier.span),)))
            return
        for said, earlier, zones in ties:
            where = f" in {zones}" if zones else ""
            self.problems.append(Problem(
                "E410", f"'{said.slot.replace('_', ' ')}' is said twice{where}",
                "keep one, or say for which zones each is: … in nape, back",
                said.span, (("said first here", earlier.span),),
            ))


def _zones(node: Node) -> tuple[str, ...]:
    zones = node.first("zones", "and_zones")
    return tuple(dict.fromkeys(ZONE_WORDS[z.parts[0].text] for z in zones.all("zone"))) if zones else ()


def _by(reading: Reading, node: Node) -> By:
    return By(words_of(node.parts[0]), reading.span(node.parts[0]))


def _wish(
    reading: Reading, node: Node, dimension: str, low: float, high: float, what: str
) -> Wish | None:
    """A measure, pencils, or ``by NAME``."""
    if node.kind == "by":
        return _by(reading, node)
    if node.kind == "measure" and reading.dimension(node) == "pencil":
        count = reading.amount(node, "pencil")
        if count is None:
            return None
        if not 0 < count <= 6:
            reading.say("E508", f"'{reading.quote(node)}' can't be held", "write up to 6 pencils", node)
            return None
        return Pencils(count, reading.plain(node), reading.origin())
    return reading.measure(node, dimension, low, high, what)


def _landmark(node: Node) -> tuple[str, str] | None:
    for part in node.parts:
        if part.kind in ("chin", "shoulder", "armpit", "mid_back", "waist", "hip"):
            return ("level", part.kind.replace("_", " "))
        if part.kind == "landmark":
            return _landmark(part)
    return None


def _part(reading: Reading, node: Node, parts: int) -> PartSaid:
    """The hair of a ``one_hair`` or ``blend_part`` node, with the places of its name and colour."""
    colour = node.first("colour")
    return PartSaid(string_of(node), _colour(node), parts, reading.span(node.first("string")),
                    reading.span(colour.first("string")) if colour is not None else None)


def _colour(node: Node) -> str | None:
    colour = node.first("colour")
    return string_of(colour) if colour else None
