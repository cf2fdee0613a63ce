"""Where the section pass's numbers came from."""

from __future__ import annotations

from functools import lru_cache

from ..meaning.values import Origin
from ..plan.model import Figure, Given, Sections
from . import anthropometry as table
from .grids.laid import Laid
from .head import HeadShape, Measurable

SURFACE = (
    "area element of an ellipsoid; the polar integral in closed form, the azimuth by cubics through points 2.5 degrees apart"
)
GRID = Origin(kind="recipe", where="section grid")
MEASURE_FIELDS = {
    "circumference": "circumference_mm", "length": "head_length_mm", "breadth": "head_breadth_mm",
}


def figures_of(plan: Sections, wearer: Measurable, head: HeadShape, laid: Laid) -> tuple[Figure, ...]:
    """Every figure of the section pass."""
    figures = list(head_figures(wearer, head, plan.head.hairline_to_nape_mm, plan.head.scalp_cm2))
    worked = [zone for zone in plan.zones if not zone.left_out]
    for zone in plan.zones:
        figures.append(
            Figure(
                key=f"sections.zone.{zone.zone}.area_cm2", label=f"area of the {zone.zone}",
                value=zone.area_cm2, unit="cm2", how="words",
                formula="surface integral over the zone", inputs=axes_inputs(), source=SURFACE,
            )
        )
    area = sum(zone.area_cm2 for zone in worked)
    figures.append(
        Figure(
            key="sections.worked_cm2", label="scalp that is worked", value=area, unit="cm2",
            formula=" + ".join(zone.zone for zone in worked) or "0",
            inputs={zone.zone: f"sections.zone.{zone.zone}.area_cm2" for zone in worked},
            source="zones not left out",
        )
    )
    figures.append(
        Figure(
            key="sections.count", label="sections", value=plan.count, how="words",
            formula="sections laid row by row, counted; by size, a row has as many as its arc holds",
            inputs=size_inputs(laid), source="the grid as the recipe gives it",
        )
    )
    spread = {
        "count": "sections.count",
        "spread": Given(value=head.log_area_sd, origin=Origin(kind="source", where=head.source)),
        "reach": Given(value=table.SPREAD_SDS, origin=Origin(kind="source", where="90 % of a normal distribution")),
    }
    if plan.count_low != plan.count or plan.count_high != plan.count:
        for key, label, sign, value in (
            ("sections.count_low", "fewest sections on an unmeasured head", "-", plan.count_low),
            ("sections.count_high", "most sections on an unmeasured head", "", plan.count_high),
        ):
            figures.append(
                Figure(
                    key=key, label=label, value=value, inputs=dict(spread),
                    formula=f"round(count * exp({sign}reach * spread))", source=head.source,
                )
            )
    if plan.count:
        figures.append(
            Figure(
                key="sections.mean_area_cm2", label="mean area of a section", value=area / plan.count,
                unit="cm2", formula="worked / count",
                inputs={"worked": "sections.worked_cm2", "count": "sections.count"},
            )
        )
    return tuple(figures)


def axes_inputs() -> dict[str, Given | str]:
    """The half axes and the hairline arc, as references."""
    return {
        "a": "head.semi_axis_a_mm", "b": "head.semi_axis_b_mm", "c": "head.semi_axis_c_mm",
        "front_to_nape": "head.hairline_to_nape_mm",
    }


def size_inputs(laid: Laid) -> dict[str, Given | str]:
    """The sizes the zones were laid at."""
    out: dict[str, Given | str] = {}
    for zone, (height, width) in laid.sizes.items():
        for name, value in ((f"{zone}_height", height), (f"{zone}_width", width)):
            out[name] = Given(value=value, unit="mm", origin=GRID)
    return out


@lru_cache(maxsize=64)
def head_figures(wearer: Measurable, head: HeadShape, arc: float, scalp_cm2: float) -> tuple[Figure, ...]:
    """The head's measures, measured or inferred, and its axes."""
    inferred = {name: (formula, inputs) for name, formula, inputs in head.formulas}
    values = dict(zip(table.MEASURES, (head.circumference, head.length, head.breadth, head.tragion_height)))
    out = []
    for name, value in values.items():
        key, label = f"head.{name}_mm", f"head {name.replace('_', ' ')}"
        if name in inferred:
            formula, inputs = inferred[name]
            given: dict[str, Given | str] = {
                k: (f"head.{k}_mm" if not source else Given(value=v, origin=Origin(kind="source", where=source)))
                for k, v, source in inputs
            }
            out.append(Figure(key=key, label=label, value=value, unit="mm", formula=formula, inputs=given, source=head.source))
        else:
            measure = getattr(wearer, MEASURE_FIELDS[name])
            out.append(
                Figure(
                    key=key, label=label, value=value, unit="mm", formula="measured",
                    inputs={"measured": Given(value=measure.value, unit="mm", origin=measure.origin)},
                )
            )
    ellipse = (
        "pi * (length + breadth) / 2 * (1 + 3 * ((length - breadth) / (length + breadth)) ** 2"
        " / (10 + sqrt(4 - 3 * ((length - breadth) / (length + breadth)) ** 2)))"
    )
    ref: dict[str, Given | str] = {
        "circumference": "head.circumference_mm", "length": "head.length_mm", "breadth": "head.breadth_mm",
    }
    a, b, c = head.axes
    for key, side, value in (("a", "breadth", a), ("b", "length", b)):
        out.append(
            Figure(
                key=f"head.semi_axis_{key}_mm", label=f"half {side} of the head's ellipsoid", value=value, unit="mm",
                formula=f"{side} / 2 * circumference / ({ellipse})", inputs=dict(ref),
                source="ellipse of the head's proportions, enlarged to the circumference; perimeter: Ramanujan 1914",
            )
        )
    if wearer.ear_to_ear_mm is not None:
        out.append(
            Figure(
                key="head.ear_to_ear_mm", label="ear to ear over the crown", value=head.ear_to_ear, unit="mm",
                formula="measured",
                inputs={"measured": Given(value=head.ear_to_ear, unit="mm", origin=wearer.ear_to_ear_mm.origin)},
            )
        )
    else:
        half = ellipse.replace("length", "(2 * height)")
        out.append(
            Figure(
                key="head.ear_to_ear_mm", label="ear to ear over the crown", value=head.ear_to_ear, unit="mm",
                formula=f"fullness * ({half}) / 2",
                inputs={
                    "fullness": Given(value=table.CROWN_FULLNESS, origin=Origin(kind="source", where=table.OWN)),
                    "height": "head.tragion_height_mm", "breadth": "head.breadth_mm",
                },
                source="half ellipse on breadth and tragion height, enlarged by a stated fullness (our own estimate)",
            )
        )
    out.append(
        Figure(
            key="head.semi_axis_c_mm", label="height of the head's ellipsoid above the ear notches", value=c, unit="mm",
            how="words", formula="the height whose half ellipse with a is as long as the ear-to-ear arc",
            inputs={"a": "head.semi_axis_a_mm", "arc": "head.ear_to_ear_mm"}, source="bisection on Ramanujan's perimeter",
        )
    )
    if wearer.hairline_to_nape_mm is not None:
        measured = wearer.hairline_to_nape_mm
        out.append(
            Figure(
                key="head.hairline_to_nape_mm", label="hairline to nape", value=measured.value, unit="mm", formula="measured",
                inputs={"measured": Given(value=measured.value, unit="mm", origin=measured.origin)},
            )
        )
    else:
        out.append(
            Figure(
                key="head.hairline_to_nape_mm", label="hairline to nape", value=arc, unit="mm",
                how="words", formula="arc over the midline between front and nape of the usual hairline",
                inputs={"c": "head.semi_axis_c_mm", "b": "head.semi_axis_b_mm"}, source="hairline: our own estimate",
            )
        )
    out.append(
        Figure(
            key="sections.scalp_cm2", label="hair-bearing scalp", value=scalp_cm2, unit="cm2", how="words",
            formula="surface integral over the ellipsoid above the hairline", inputs=axes_inputs(), source=SURFACE,
        )
    )
    return tuple(out)
