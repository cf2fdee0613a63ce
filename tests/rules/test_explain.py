"""The explanation of a figure, and the evaluator that recomputes it on its own."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from plaitbook.meaning.values import Origin
from plaitbook.plan.explain import ExplainError, evaluate, explain, explain_text, recompute
from plaitbook.plan.model import Figure, Given

LINE = Origin(kind="recipe", where="recipe line 12", file="look.plait", line=12)


def number(value: float | int | Decimal | str, unit: str = "") -> Given:
    return Given(value=value, unit=unit, origin=LINE)


def figure(key: str, formula: str, value: float | int | Decimal | str = 0.0, how: str = "formula", **inputs) -> Figure:
    return Figure(key=key, label=f"the {key}", value=value, unit="g", formula=formula, inputs=inputs, how=how,
                  source="our own estimate")


def book(*many: Figure) -> dict[str, Figure]:
    return {one.key: one for one in many}


# --- arithmetic --------------------------------------------------------------


@pytest.mark.parametrize("formula, value", [
    ("1 + 2 * 3", 7), ("2 ** 3 ** 2", 512), ("-(4 - 6) / 4", 0.5), ("sqrt(16) + exp(0)", 5), ("ceil(2.1) + floor(-2.1)", 0),
    ("round(2.5)", 2), ("round(2.675, 2)", round(2.675, 2)), ("min(3, 1, 2) + max(3, 1)", 4), ("sum(1, 2, 3)", 6),
    ("sum([1, 2])", 3), ("sum()", 0), ("pi", math.pi), ("+3", 3), ("2 ** -1", 0.5), ("4 ** (1 / 2)", 2), ("a * 2", 6),
    ("floor(10 / 3 + 1/2)", 3), ("0 ** 0", 1),
])
def test_arithmetic(formula: str, value: float) -> None:
    assert float(evaluate(formula, {"a": Fraction(3)})) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize("formula", [
    "__import__('os')", "a.real", "a[0]", "lambda: 1", "[a]", "a if a else 1", "a and 1", "a < 1", "1 // 2", "5 % 2", "~1",
    "'text'", "True", "None", "open('x')", "round(1, digits=2)", "sqrt()", "sqrt(1, 2)", "min(*a)", "(a := 1)", "{1: 2}",
    "1 +", "", "a b", "1j", "\x00", "sqrt(-1)", "1 / 0", "1 / (a - 3)", "9 ** 9 ** 9", "exp(1000)", "(-8) ** 0.5", "unknown",
    "0.0 ** -1", "(" * 300 + "1" + ")" * 300,
])
def test_anything_else_is_a_clear_error(formula: str) -> None:
    with pytest.raises(ExplainError) as caught:
        evaluate(formula, {"a": Fraction(3)}, "the load")
    assert str(caught.value)


def test_an_unknown_name_is_named_with_what_there_is() -> None:
    with pytest.raises(ExplainError, match='uses "grams", which is none of its inputs \\(gram, packs\\)'):
        recompute(book(figure("mass", "grams * packs", gram=number(2), packs=number(3))), "mass")


@given(some.text(max_size=30))
def test_no_text_does_anything_but_work_or_refuse(formula: str) -> None:
    try:
        evaluate(formula, {"a": 1.5})
    except ExplainError:
        pass


@given(some.decimals(-10**6, 10**6, places=4), some.decimals(Decimal("0.01"), 100, places=2))
def test_decimals_are_worked_exactly(base: Decimal, step: Decimal) -> None:
    """A rounded amount of money comes out to the last digit, where floats would slip at a half."""
    expected = math.floor(Fraction(base) / Fraction(step) + Fraction(1, 2)) * Fraction(step)
    assert evaluate("floor(base / step + 1/2) * step", {"base": Fraction(base), "step": Fraction(step)}) == expected


# --- figures -----------------------------------------------------------------


def test_recompute_goes_to_the_bottom_and_trusts_no_stored_value_on_the_way() -> None:
    figures = book(figure("top", "a + b", a="middle", b=number(1.5)), figure("middle", "x * 2", value=999.0, x="leaf"),
                   figure("leaf", "searched for", value=4.0, how="words"))
    assert recompute(figures, "top") == 9.5


def test_circles_missing_figures_and_texts_are_errors() -> None:
    with pytest.raises(ExplainError, match="rests on itself: a > b > a"):
        recompute(book(figure("a", "x", x="b"), figure("b", "x", x="a")), "a")
    with pytest.raises(ExplainError, match="rests on itself"):
        explain(book(figure("a", "x", x="a")), "a")
    with pytest.raises(ExplainError, match='no figure is called "masss"; did you mean mass'):
        recompute(book(figure("mass", "1")), "masss")
    with pytest.raises(ExplainError, match="where a number is needed"):
        recompute(book(figure("a", "x", x=number("many"))), "a")


def test_a_figure_used_many_times_is_worked_once() -> None:
    """A ladder of doublings has 2^60 paths; it must not have 2^60 steps."""
    figures = book(figure("f0", "1"), *(figure(f"f{n}", "a + b", a=f"f{n - 1}", b=f"f{n - 1}") for n in range(1, 61)))
    assert recompute(figures, "f60") == 2.0**60


# --- the tree -----------------------------------------------------------------


def a_book() -> dict[str, Figure]:
    return book(
        figure("material.base.grams", "pieces * mass", value=214.5, pieces="material.base.pieces", mass=number(0.65, "g")),
        figure("material.base.pieces", "sections * each", value=330, sections=number(60), each=number(5.5)))


def test_the_tree_has_values_units_formulas_and_origins() -> None:
    tree = explain(a_book(), "material.base.grams")
    assert (tree.value, tree.unit, tree.formula) == (214.5, "g", "pieces * mass")
    pieces, mass = tree.children
    assert pieces.key == "material.base.pieces" and [child.name for child in pieces.children] == ["sections", "each"]
    assert mass.origin == LINE and mass.children == ()


def test_the_text_reads() -> None:
    assert explain_text(explain(a_book(), "material.base.grams")) == """\
material.base.grams = 214.5 g  (the material.base.grams)
│ = pieces * mass
│ source: our own estimate
├ pieces = 330 g  (the material.base.pieces)
│ │ = sections * each
│ ├ sections = 60  (recipe line 12, look.plait:12)
│ └ each = 5.5  (recipe line 12, look.plait:12)
└ mass = 0.65 g  (recipe line 12, look.plait:12)
"""


def test_the_text_keeps_to_its_width_and_explains_a_figure_once() -> None:
    long = figure("top", " + ".join(f"part_number_{n}" for n in range(20)),
                  **{f"part_number_{n}": "leaf" for n in range(20)})
    text = explain_text(explain(book(long, figure("leaf", "a very long search " * 9, how="words")), "top"))
    assert max(map(len, text.splitlines())) <= 80
    assert text.count("a very long") <= 10 and text.count("see above") == 19


def test_the_ladder_is_drawn_without_its_paths() -> None:
    figures = book(figure("f0", "1"), *(figure(f"f{n}", "a + b", a=f"f{n - 1}", b=f"f{n - 1}") for n in range(1, 41)))
    assert len(explain_text(explain(figures, "f40")).splitlines()) < 400
