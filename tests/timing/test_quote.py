"""Money: decimals from end to end, lines that add up to the total, rounding shown."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from plaitbook.passes import quote as quote_module
from plaitbook.passes.currencies import DIGITS, smallest_unit
from plaitbook.passes.quote import NO_PRICE, ROUNDING, exact, half_up, money, percent, price_service
from plaitbook.passes.timing import clock_service
from plaitbook.plan.explain import recompute
from plaitbook.rules import Scene
from scenes import HOUSE, scene


def priced(a_scene: Scene):
    recipe, wearer, house, parts = a_scene
    return price_service(recipe, wearer, house, parts.material, parts.timing)


def figures(a_scene: Scene) -> dict:
    recipe, wearer, house, parts = a_scene
    clock = clock_service(recipe, wearer, house, parts.sections, parts.kinds, parts.material)
    return {figure.key: figure for figure in (*clock.figures, *priced(a_scene).figures)}


def line(a_scene: Scene, label: str):
    return next((line for line in priced(a_scene).part.lines if line.label == label), None)


SHARES = some.decimals(0, Decimal("0.5"), places=4)
HOUSES = some.fixed_dictionaries({
    "currency": some.sampled_from(("USD", "EUR", "JPY", "KWD", "CLF")),
    "labour_per_hour": some.decimals(0, 500, places=3),
    "overhead": SHARES, "tax": SHARES, "discount": SHARES, "tax_included": some.booleans(),
    "consumables": some.decimals(0, 50, places=4),
    "deposit": some.none() | SHARES,
    "round_to": some.none() | some.sampled_from([Decimal(step) for step in ("0", "0.05", "0.5", "1", "5", "10", "0.003")]),
    "hair_by": some.sampled_from(("pack", "gram")),
    "braiders": some.integers(1, 5),
})


@given(HOUSES, some.floats(0.01, 30), some.booleans())
@settings(max_examples=60, deadline=None)
def test_the_lines_sum_to_the_total_and_every_figure_recomputes(house: dict, packs: float, beads: bool) -> None:
    a_scene = scene(house=house, packs=packs, accent_ornament=beads)
    quote, unit = priced(a_scene).part, smallest_unit(house["currency"])
    assert sum(line.amount for line in quote.lines) == quote.total
    for amount in (*(line.amount for line in quote.lines), quote.tax, quote.total, quote.deposit or Decimal(0)):
        assert isinstance(amount, Decimal) and amount == amount.quantize(unit)
    found = figures(a_scene)
    for key, figure in found.items():
        if key.startswith("quote."):
            assert recompute(found, key) == pytest.approx(float(figure.value), rel=1e-9, abs=1e-12), key
    assert found["quote.total"].value == quote.total
    assert {key for key in found if key == "quote.deposit"} == ({"quote.deposit"} if quote.deposit is not None else set())


def test_no_float_touches_money() -> None:
    """The source holds no float literal, and no conversion but :func:`exact`."""
    import ast

    tree = ast.parse(Path(quote_module.__file__).read_text(encoding="utf-8"))
    assert not [node for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, float)]
    assert not [node for node in ast.walk(tree) if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "float"]


def test_hair_by_pack_and_by_gram() -> None:
    by_pack, by_gram = scene(packs=1.3), scene(packs=1.3, house={"hair_by": "gram"})
    assert line(by_pack, "Dune").amount == Decimal("13.00")  # 2 packs of 6.50
    assert line(by_gram, "Dune").amount == Decimal("8.45")  # 214.5 g of 165 g at 6.50
    assert "g" in line(by_gram, "Dune").note


def test_labour_is_the_hours_of_all_braiders_and_preparation_of_one() -> None:
    for braiders in (1, 2):
        a_scene = scene(house={"braiders": braiders})
        timing = a_scene.parts.timing
        assert (timing.crew_minutes == timing.median_minutes) == (braiders == 1)
        assert timing.median_minutes <= timing.crew_minutes < braiders * timing.median_minutes + 1
        assert line(a_scene, "labour").amount == money(exact(timing.crew_minutes / 60) * 32, "USD")
        assert line(a_scene, "preparation").amount == money(exact(timing.ahead_minutes / 60) * 32, "USD")


def test_tax_on_top_and_tax_inside() -> None:
    outside = priced(scene(house={"tax": Decimal("0.19")})).part
    net = sum(l.amount for l in outside.lines if l.label != "tax")
    assert outside.tax == money(net * Decimal("0.19"), "USD") == outside.total - net
    inside = priced(scene(house={"tax": Decimal("0.19"), "tax_included": True})).part
    assert inside.total == net
    assert inside.tax == money(net - net / Decimal("1.19"), "USD")
    assert all(l.label != "tax" for l in inside.lines)


def test_discount_comes_off_before_tax() -> None:
    plain, less = scene(), scene(house={"discount": Decimal("0.1"), "tax": Decimal("0.2")})
    before = priced(plain).part.total
    assert line(less, "discount").amount == -money(before / 10, "USD")
    assert line(less, "tax").amount == money((before - money(before / 10, "USD")) * Decimal("0.2"), "USD")


@pytest.mark.parametrize("amount, step, rounded", [
    ("272.49", "5", "270"), ("272.50", "5", "275"), ("1.025", "0.05", "1.05"), ("-2.5", "5", "0"), ("7", "10", "10")])
def test_a_half_goes_up(amount: str, step: str, rounded: str) -> None:
    assert half_up(Decimal(amount), Decimal(step)) == Decimal(rounded)


def test_rounding_is_a_line_of_its_own() -> None:
    a_scene = scene(house={"round_to": Decimal(5)})
    quote = priced(a_scene).part
    assert quote.total % 5 == 0 and quote.total == quote.total.quantize(Decimal("0.01"))
    assert line(a_scene, ROUNDING).amount == quote.total - priced(scene()).part.total
    assert line(scene(), ROUNDING) is None


def test_deposit_is_a_share_of_the_total() -> None:
    quote = priced(scene(house={"deposit": Decimal("0.25")})).part
    assert quote.deposit == money(quote.total / 4, "USD")


def test_the_front_refresh_is_charged_apart_and_not_in_the_total() -> None:
    plain = scene(house={"overhead": Decimal("0.1"), "tax": Decimal("0.2"), "round_to": Decimal(5)})
    quote = priced(plain).part
    refresh, = quote.later
    timing, material = plain.parts.timing, plain.parts.material
    hours = exact(timing.later_minutes / 60)
    hair = sum(plain.recipe.hair(item.name).price * exact(item.packs_used) * exact(share)
               for item, share in zip(material.hair, timing.later_hair))
    assert refresh.amount == half_up((hours * 32 + hair) * Decimal("1.1") * Decimal("1.2"), Decimal(5)) > 0 < hair
    assert sum(l.amount for l in quote.lines) == quote.total
    assert priced(scene(zones=("nape", "back"))).part.later == ()


def test_a_short_front_refresh_is_charged_half_an_hour_at_the_least() -> None:
    recipe, wearer, house, parts = scene()
    short = parts.timing.model_copy(update={"later_minutes": 12.0, "later_hair": ()})
    refresh, = price_service(recipe, wearer, house, parts.material, short).part.later
    assert refresh.amount == money(house.labour_per_hour / 2, house.currency)


def test_a_deposit_is_rounded_as_the_house_rounds_and_may_be_flat() -> None:
    rounding = priced(scene(house={"deposit": Decimal("0.2"), "round_to": Decimal(5)})).part
    assert rounding.deposit % 5 == 0 and rounding.deposit == half_up(rounding.total / 5, Decimal(5)) > 0
    small = priced(scene(house={"deposit": Decimal("0.001"), "round_to": Decimal(50)})).part
    assert small.deposit == money(small.total / 1000, "USD") > 0
    assert priced(scene(house={"deposit_amount": Decimal(20), "deposit": Decimal("0.2")})).part.deposit == Decimal("20.00")


def test_what_has_no_price_is_named_as_left_out_of_the_total() -> None:
    assert priced(scene()).part.unpriced == ()
    recipe, wearer, house, parts = scene()
    for update, note in (({"price": None}, NO_PRICE), ({"currency": "GBP"}, "priced in GBP, not USD")):
        foreign = recipe.model_copy(update={"catalogue": tuple(hair.model_copy(update=update) for hair in recipe.catalogue)})
        quote = price_service(foreign, wearer, house, parts.material, parts.timing).part
        assert quote.unpriced == tuple(item.name for item in parts.material.hair) != ()
        assert {l.note for l in quote.lines if l.label in quote.unpriced} == {note} and quote.total > 0


def test_a_float_that_meets_money_is_an_error() -> None:
    """The whole quote is priced under a context in which a float made a Decimal, or compared with one, raises."""
    from decimal import FloatOperation, localcontext

    class Money(Decimal):
        def __float__(self) -> float:
            raise AssertionError("money was made a float")

    for house in ({}, {"hair_by": "gram", "tax": Money("0.19"), "tax_included": True, "deposit": Money("0.2")}):
        a_scene = scene(house=house | {"labour_per_hour": Money("32.10"), "consumables": Money("9.5"),
                                       "round_to": Money("0.05")}, hair={"price": Money("6.50")})
        with localcontext() as context:
            context.traps[FloatOperation] = True
            assert priced(a_scene).part.total > 0


def test_hair_without_a_price_is_a_line_of_nought_that_says_so() -> None:
    assert line(scene(hair={"price": None}), "Dune") == quote_module.QuoteLine(
        label="Dune", amount=Decimal("0.00"), note=NO_PRICE)
    assert line(scene(hair={"currency": "EUR"}), "Dune").note == "priced in EUR, not USD"
    assert line(scene(accent_ornament=True, bead={"price": None}), "Pip").note == NO_PRICE


@pytest.mark.parametrize("currency, digits", [("USD", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3), ("CLF", 4), ("XOF", 0), ("NGN", 2)])
def test_digits_are_those_of_iso_4217(currency: str, digits: int) -> None:
    assert DIGITS[currency] == digits
    assert money(Decimal("1.23455"), currency).as_tuple().exponent == -digits


def test_the_currency_table_holds_three_letter_codes() -> None:
    assert all(len(code) == 3 and code.isascii() and code.isupper() for code in DIGITS)
    assert len(DIGITS) > 150


def test_a_wrong_currency_or_share_is_a_problem_and_no_quote() -> None:
    a_scene = scene()
    house = a_scene.house.model_copy(update={"currency": "USS", "discount": Decimal("1.5")})
    outcome = priced(a_scene._replace(house=house))
    assert outcome.part is None
    assert [problem.code for problem in outcome.problems] == ["E007", "E008"]
    assert "USD" in outcome.problems[0].help and outcome.problems[0].span.line == HOUSE.line


def test_shares_are_spoken() -> None:
    assert percent(Decimal("0.075")) == "7.5 %"
    assert percent(Decimal("0.20")) == "20 %"
    assert percent(Decimal("1")) == "100 %"
