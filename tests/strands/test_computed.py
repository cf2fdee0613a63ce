"""What passes and rules make without checking is what checking would have made."""

from __future__ import annotations

import pytest
from shipped_book import compile_in_book, shipped_looks, shipped_text

from plaitbook.plan.computed import changed, computed, computed_all
from plaitbook.plan.model import AccentAt, Figure, Plan, WidthAt

RICH = '''edition 1
recipe "Rich"
technique plait
technique scalp rows in top, hairline
wearing level at waist
wearing 12 in in nape
hair:
base: "Dune", cut 40 in
sections:
grid square 1½ in
grid rows straight back 1 in in top, hairline
start: own hair ½ in first, 1 piece of base ½ pencil
feed: pieces of base ½ pencil, hold width 8 mm
accents: every 9 stitches from stitch 3 to end: 1 piece of base ¼ pencil, alternate sides, stagger
end: knot 5 turns, heat seal 180 °C
'''


def same_when_checked(plan: Plan) -> bool:
    again = Plan.model_validate(plan.model_dump())
    return again == plan and again.model_dump_json() == plan.model_dump_json()


@pytest.mark.parametrize("look", shipped_looks())
@pytest.mark.parametrize("wearer", ["Ilse", "Adaeze"])
def test_every_value_of_a_plan(look: str, wearer: str) -> None:
    done = compile_in_book(shipped_text(look), look, wearer=wearer)
    assert done.plan is not None, done.problems
    assert same_when_checked(done.plan)


def test_a_plan_of_rows_and_levels() -> None:
    done = compile_in_book(RICH, wearer="Noor")
    assert done.plan is not None, done.problems
    assert same_when_checked(done.plan)


def test_fields_not_given_hold_their_defaults() -> None:
    given = {"key": "a", "label": "b", "value": 1, "formula": "c"}
    figure, checked = computed(Figure, **given), Figure(**given)
    assert figure == checked and hash(computed(AccentAt, stitch=1, at_mm=2.0)) == hash(AccentAt(stitch=1, at_mm=2.0))
    assert list(vars(figure)) == list(vars(checked)) and figure.model_fields_set == checked.model_fields_set
    assert figure.model_copy(update={"unit": "mm"}).unit == "mm"


def test_many_and_changed() -> None:
    rows = [{"stitch": k, "at_mm": 1.0 * k, "width_mm": 5.0, "own_share": 0.5} for k in range(3)]
    checked = tuple(WidthAt(**row) for row in rows)
    made = computed_all(WidthAt, rows)
    assert made == checked and all(one.model_fields_set == two.model_fields_set for one, two in zip(made, checked))
    accent = changed(AccentAt(stitch=1, at_mm=2.0), role="base", count=3)
    assert accent == AccentAt(stitch=1, at_mm=2.0, role="base", count=3)
    assert accent.model_fields_set == {"stitch", "at_mm", "role", "count"}
