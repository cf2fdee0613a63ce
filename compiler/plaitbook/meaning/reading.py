"""Read numbers and words out of statement nodes, with the author's words in every message.

Numbers are exact fractions until they become a :class:`Measure`; factors come
from the generated unit table.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from ..syntax.problem import Problem, Span
from ..syntax.suggest import did_you_mean, nearest, spoken_list
from ..syntax.tree import Node, Statement, number_value
from .unit_table import UNITS
from .values import Measure, Origin, OriginKind

WANTED = {
    "length": "a length, such as 18 in, 45 cm or 7 mm",
    "width": "a width, such as 7 mm, ½ in or ½ pencil",
    "mass": "a weight, such as 80 g or 3 oz",
    "time": "a time, such as 20 min or 1 h 30 min",
    "temperature": "a temperature, such as 180 °C or 350 °F",
    "density": "hairs on an area, such as 180 hairs/cm²",
    "linear mass": "a weight a length, such as 12 g/m",
    "area": "an area, such as 4 cm² or 1 in²",
    "force": "a force a hair, such as 5 mN",
    "share": "a share, such as 10 %",
    "packs": "packs, such as 1⅓ packs",
    "age": "an age, such as 34 years or 18 months",
    "ratio": "hair over braid in hundredths, such as 130 %",
}
SUCH_AS = {
    "length": ("in", "cm", "mm"), "width": ("mm", "in", "pencils"), "mass": ("g", "oz"), "time": ("s", "min", "h"),
    "temperature": ("°C", "°F"), "density": ("hairs/cm²",), "linear mass": ("g/m",), "area": ("cm²", "in²"), "force": ("mN",),
    "share": ("%",), "packs": ("packs",), "age": ("years", "months"), "ratio": ("%",), "since": ("weeks", "months"), "thickness": ("µm", "mm"),
}
"""The units that a number without one may have meant, by what is asked for."""
CURRENCY = "USD"
"""Where a house says none. Our own estimate."""
_LONGEST_NUMBER = 18


@dataclass
class Reading:
    """One statement being read: who wrote it, and what was wrong with it."""

    statement: Statement
    kind: OriginKind
    whose: str
    """Such as ``recipe "Saltmarsh"``."""
    problems: list[Problem] = field(default_factory=list)
    currency: str = CURRENCY
    """The house's, for examples; the default one where nobody says."""

    def origin(self) -> Origin:
        """Where this statement stands."""
        line = self.statement.line
        return Origin(
            kind=self.kind, where=f"{self.whose} line {line}", file=self.statement.file, line=line
        )

    def span(self, node: Node | None = None) -> Span:
        return self.statement.span(node)

    def say(self, code: str, message: str, help: str, node: Node | None = None) -> None:
        """Note one mistake at a node (or at the whole statement)."""
        self.problems.append(Problem(code, message, help, self.span(node)))

    # --- numbers

    def number(self, node: Node) -> Fraction | None:
        """The exact value of a ``number`` node."""
        text = node.parts[0].text if node.parts else node.text
        if len(text) > _LONGEST_NUMBER:
            self.say("E501", f"'{text[:20]}…' is longer than any number a recipe needs",
                     "write it with fewer digits", node)
            return None
        try:
            return number_value(text)
        except ZeroDivisionError:
            self.say("E501", f"'{text}' divides by nothing", "write a fraction such as ½ or 1/3", node)
            return None

    def whole(self, node: Node, what: str, low: int, high: int) -> int | None:
        """A whole count between two bounds; ``what`` names it in the plural."""
        value = self.number(node)
        if value is None:
            return None
        quoted = self.quote(node)
        if value.denominator != 1:
            self.say("E502", f"'{quoted}' is not a whole number of {what}",
                     f"write a whole number from {low} to {high}", node)
            return None
        if not low <= value <= high:
            more = "at least" if value < low else "at most"
            bound = low if value < low else high
            self.say("E503", f"{quoted} {what} can't be worked",
                     f"write {more} {bound:,}", node)
            return None
        return int(value)

    def measure(
        self, node: Node, dimension: str, low: float | None = None, high: float | None = None,
        what: str = "this",
    ) -> Measure | None:
        """A ``measure`` or ``range`` node as a Measure in the dimension's inside unit.

        A range stands for its middle. ``low`` and ``high`` bound the plausible
        values, in the inside unit.
        """
        if node.kind == "range":
            ends = self.range_ends(node, dimension, low, high, what)
            if ends is None:
                return None
            return Measure(value=(ends[0] + ends[1]) / 2, text=self.plain(node), origin=self.origin())
        value = self.amount(node, dimension)
        if value is None or not self._bounded(value, node, dimension, low, high, what):
            return None
        return Measure(value=float(value), text=self.plain(node), origin=self.origin())

    def range_ends(
        self, node: Node, dimension: str, low: float | None = None, high: float | None = None,
        what: str = "this",
    ) -> tuple[float, float] | None:
        """Both ends of a ``range`` node, lower first."""
        numbers = node.all("number")
        units = node.all("unit")
        first = self.in_unit(numbers[0], units[0], dimension, node)
        second = self.in_unit(numbers[1], units[-1], dimension, node)
        if first is None or second is None:
            return None
        if first > second:
            self.say("E504", f"'{self.quote(node)}' runs backwards",
                     "write the smaller end first", node)
            return None
        for end in (first, second):
            if not self._bounded(end, node, dimension, low, high, what):
                return None
        return float(first), float(second)

    def amount(self, node: Node, dimension: str) -> Fraction | None:
        """The exact value of a ``measure`` node (``4 h 30 min`` adds up)."""
        total = Fraction(0)
        for number, unit in zip(node.all("number"), node.all("unit")):
            one = self.in_unit(number, unit, dimension, node)
            if one is None:
                return None
            total += one
        return total

    def dimension(self, node: Node) -> str | None:
        """The dimension of a measure's unit, or None for a word that is no unit."""
        row = UNITS.get(unit_word(node.all("unit")[0]))
        return row[0] if row else None

    def in_unit(self, number: Node, unit: Node, dimension: str, whole: Node) -> Fraction | None:
        """The exact value of a number in a unit, inside the dimension; ``whole`` is what messages quote."""
        value = self.number(number)
        if value is None:
            return None
        word = unit_word(unit)
        wanted = WANTED.get(dimension, dimension)
        row = UNITS.get(word)
        if row is None:
            if word == "by" or (word[0] == "x" and not word[1:2].isalpha()):
                between = "by" if word == "by" else "x"
                self.say("E505", f"'{self.quote(number)}' before '{between}' has no unit",
                         f"write the unit after both numbers: {self.quote(number)} in {between} …", whole)
                return None
            fitting = [u for u, r in UNITS.items() if r[0] == dimension]
            self.say("E505", f"'{self.quote(unit)}' is not a unit", did_you_mean(word, fitting) if nearest(word, fitting) else did_you_mean(word, UNITS) if nearest(word, UNITS)
                     else f"write {wanted}", unit)
            return None
        if row[0] != dimension:
            self.say("E506", f"'{self.quote(whole)}' is {_article(row[0])}, not {_article(dimension)}",
                     f"write {wanted}", whole)
            return None
        return value * row[1] + row[2]

    def _bounded(
        self, value: Fraction, node: Node, dimension: str, low: float | None, high: float | None,
        what: str,
    ) -> bool:
        quoted = self.quote(node)
        if value < 0 and dimension != "temperature":
            self.say("E507", f"'{quoted}' is less than nothing",
                     f"take the minus sign away: {quoted.lstrip('-').strip()}", node)
            return False
        if low is not None and value < Fraction(low) or high is not None and value > Fraction(high):
            self.say("E508", f"'{quoted}' can't be right for {what}",
                     f"write {_between(low, high, dimension)}", node)
            return False
        return True

    # --- money and words

    def money(self, node: Node) -> tuple[Decimal, str] | None:
        """An amount of money with its ISO 4217 code, from ``4.50 USD``."""
        unit = unit_word(node.all("unit")[0])
        if len(unit) != 3 or len(node.all("unit")) != 1 or unit in UNITS:
            self.say("E509", f"'{self.quote(node)}' is not an amount of money",
                     f"write the amount and the currency's three letters, such as {self.amount_like(node)}", node)
            return None
        text = node.all("number")[0].parts[0].text
        value = self.number(node.all("number")[0])
        if value is None:
            return None
        if value < 0:
            self.say("E507", f"'{text}' is less than nothing", "write an amount from 0 upwards", node)
            return None
        scaled = value * 10**6
        if scaled.denominator != 1:
            self.say("E509", f"'{text}' can't be paid exactly", "write the amount as 4.50", node)
            return None
        return Decimal(int(scaled)).scaleb(-6).normalize() + Decimal(0), unit.upper()

    def amount_like(self, node: Node) -> str:
        """The first number at a node, as an amount of money; an example where there is none."""
        number = _number_in(node)
        return f"{self.quote(number) if number is not None else '4.50'} {self.currency}"

    def quote(self, node: Node) -> str:
        """The author's words at a node, exactly as she wrote them: for messages."""
        return self.statement.echo(node)

    def plain(self, node: Node) -> str:
        """The words at a node as the grammar reads them: to compare, and for what is kept."""
        return self.statement.quote(node)


def _number_in(node: Node) -> Node | None:
    """The first number at a node or inside it."""
    if node.kind == "number":
        return node
    return next((found for part in node.parts if (found := _number_in(part)) is not None), None)


def units_for(number: str, dimension: str) -> str:
    """Help for a number without a unit, where what it measures is known."""
    units = SUCH_AS.get(dimension, ())
    return f"write what it is measured in, such as {spoken_list(f'{number} {unit}' for unit in units)}"


def unit_word(node: Node) -> str:
    """The spelling of a ``unit`` node."""
    text = node.parts[0].text if node.parts else node.text
    return text.split()[-1] if text.startswith("degree") else text  # "degrees C" is "°C" spelled out


def words_of(node: Node) -> str:
    """The words of a ``words`` or ``name`` node, joined; a quoted name without its quotes."""
    return " ".join(part.text.strip('"').strip() for part in node.parts)


def string_of(node: Node) -> str:
    """The text of a STRING leaf, or of the first one in a node."""
    leaf = node if node.kind == "string" else node.first("string")
    assert leaf is not None
    return leaf.text[1:-1].strip()


def _article(dimension: str) -> str:
    said = {"share": "a share", "pencil": "a width in pencils", "density": "hairs on an area",
            "packs": "packs", "stitches": "stitches", "pieces": "pieces", "sections": "sections",
            "turns": "turns", "mass": "a weight", "linear mass": "a weight a length"}
    return said.get(dimension, f"a {dimension}")


def _between(low: float | None, high: float | None, dimension: str) -> str:
    inside = {"length": "mm", "mass": "g", "time": "s", "temperature": "°C", "density": "hairs/cm²",
              "share": "%", "force": "mN", "linear mass": "g/m", "packs": "packs"}.get(dimension, "")

    def say(value: float) -> str:
        if dimension == "length" and value >= 10:
            return f"{value / 10:g} cm ({value / 25.4:.3g} in)"
        if dimension == "time" and value >= 86400 * 365:
            return f"{value / 31556952:g} years"
        if dimension == "time" and value >= 86400 * 7:
            return f"{value / 604800:.3g} weeks"
        if dimension == "time" and value >= 3600:
            return f"{value / 3600:g} h"
        if dimension == "time" and value >= 60:
            return f"{value / 60:g} min"
        if dimension == "temperature":
            return f"{value:g} °C ({value * 9 / 5 + 32:.0f} °F)"
        return f"{value:g} {inside}"

    if low is not None and high is not None:
        return f"between {say(low)} and {say(high)}"
    return f"at least {say(low)}" if low is not None else f"at most {say(high or 0)}"
