"""Every figure with a formula recomputes from its inputs."""

from __future__ import annotations

import math

import pytest

from plaitbook.passes.sections import lay_sections

from .builders import grid, house, recipe, wearer

NAMES = {"sqrt": math.sqrt, "pi": math.pi, "exp": math.exp, "round": round, "ceil": math.ceil, "floor": math.floor, "min": min, "max": max}


@pytest.mark.parametrize(
    "known",
    [
        {}, dict(sex="male"), dict(circumference_mm=555), dict(head_length_mm=185, head_breadth_mm=146),
        dict(head_length_mm=185), dict(circumference_mm=560, head_breadth_mm=150, ear_to_ear_mm=342, hairline_to_nape_mm=340),
        dict(age_years=4, sex="female"), dict(age_years=9), dict(age_years=13, circumference_mm=545),
    ],
)
def test_formulas(known):
    outcome = lay_sections(recipe(left_out=("nape",)), wearer(**known), house())
    assert outcome.part is not None, outcome.problems
    figures = {f.key: f for f in outcome.figures}
    for figure in figures.values():
        values = {}
        for name, given in figure.inputs.items():
            assert name.isidentifier()
            values[name] = figures[given].value if isinstance(given, str) else given.value
        if figure.how == "formula":
            assert eval(figure.formula, {"__builtins__": {}}, {**NAMES, **values}) == pytest.approx(figure.value, rel=1e-9), figure.key
    plan = outcome.part
    assert figures["sections.count"].value == plan.count
    assert figures["head.circumference_mm"].value == plan.head.circumference_mm
    assert figures["sections.mean_area_cm2"].value == pytest.approx(sum(s.area_cm2 for s in plan.items) / plan.count)


def test_a_line_of_the_wearer_is_quoted():
    outcome = lay_sections(recipe(grid()), wearer(circumference_mm=555), house())
    figure = next(f for f in outcome.figures if f.key == "head.circumference_mm")
    assert figure.inputs["measured"].origin.where == 'wearer "Ines" line 4'


def test_published_sections_are_what_validation_would_have_made():
    """They are built from computed values without it."""
    plan = lay_sections(recipe(grid("diamond", 25)), wearer(), house()).part
    for section in plan.items:
        again = type(section).model_validate(section.model_dump())
        assert again == section and again.model_fields_set == section.model_fields_set
        assert section.model_copy(update={"row": 9}).row == 9 and hash(section) == hash(again)
