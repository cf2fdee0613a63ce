"""Snapshots of the drawings and of the plan as data, brought to what they mean: a moved hundredth changes nothing,
a lost mark, a changed word or a figure gone elsewhere does.

``python -m pytest --snapshot-update`` writes them anew; read the diff.
"""

from __future__ import annotations

import json
from collections import Counter
from typing import Any
from xml.etree import ElementTree

import pytest
from sample import sample
from shipped_book import compile_in_book, shipped_text

from plaitbook.cards.build import write_card

DRAWN = ("map", "strip", "cut", "clock", "look")
"""Parts of the card whose drawings are kept."""
GRID_MM = 2.0
"""Places on paper are told to this."""


def meaning_of_svg(svg: str) -> list[str]:
    """Words and where they stand, and between them how many marks of each kind."""
    seen: list[str] = []
    marks: Counter[str] = Counter()
    for element in ElementTree.fromstring(svg).iter():
        tag = element.tag.rpartition("}")[2]
        words = " ".join((element.text or "").split())
        if not words:
            marks[tag] += 1
            continue
        if marks:
            seen.append(", ".join(f"{count} {kind}" for kind, count in sorted(marks.items())))
            marks.clear()
        at = "".join(f" {GRID_MM * round(float(element.get(axis, 0)) / GRID_MM):g}" for axis in ("x", "y")) if tag == "text" else ""
        seen.append(f"{tag}{at}: {words}")
    return [*seen, *([", ".join(f"{count} {kind}" for kind, count in sorted(marks.items()))] if marks else [])]


def meaning_of_data(value: Any) -> Any:
    """Numbers to four digits; where a thing was written is told without the line."""
    if isinstance(value, float):
        return float(f"{value:.4g}")
    if isinstance(value, dict):
        return {key: meaning_of_data(item) for key, item in sorted(value.items()) if key not in ("line", "compiler")}
    if isinstance(value, list):
        return [meaning_of_data(item) for item in value]
    return value


@pytest.mark.parametrize("key", DRAWN)
def test_what_the_drawings_show(key: str, snapshot: Any) -> None:
    card = write_card(*sample(ornaments=True), with_look=True)
    parts = [part for part in card.parts if part.key == key]
    drawn = {f"{block.caption} {picture.label}".strip(): meaning_of_svg(picture.svg)
             for part in parts for block in part.blocks if block.block == "figure" for picture in block.pictures}
    assert drawn, f"part {key} draws nothing"
    assert drawn == snapshot


@pytest.mark.parametrize("file", ["saltmarsh", "ebb-and-flow"])
def test_what_a_plan_holds(file: str, snapshot: Any) -> None:
    done = compile_in_book(shipped_text(f"looks/{file}.plait"), f"looks/{file}.plait", wearer="Noor")
    assert done.plan is not None
    plan = json.loads(done.plan.model_dump_json())
    # Sections and strands are many and alike: the first of each, and the totals that the rest add up to.
    plan["sections"]["items"] = plan["sections"]["items"][:2]
    plan["strands"] = plan["strands"][:1]
    plan["strand_kinds"] = plan["strand_kinds"][:1]
    for kind in plan["strand_kinds"]:
        kind["profile"] = kind["profile"][:: max(1, len(kind["profile"]) // 4)]
    plan["load"]["worst"] = plan["load"]["worst"][:2]
    plan["figures"] = {key: [figure["value"], figure.get("unit")] for key, figure in plan["figures"].items()}
    assert json.dumps(meaning_of_data(plan), ensure_ascii=False, indent=1) == snapshot


def test_a_moved_hundredth_is_no_change_and_a_lost_mark_is_one() -> None:
    drawing = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M1 1"/><path d="M2 2"/><text x="4.1" y="9.9">7</text></svg>'
    assert meaning_of_svg(drawing) == ["2 path, 1 svg", "text 4 10: 7"]
    assert meaning_of_svg(drawing.replace("4.1", "4.11").replace("M2 2", "M2.001 2")) == meaning_of_svg(drawing)
    assert meaning_of_svg(drawing.replace('<path d="M2 2"/>', "")) != meaning_of_svg(drawing)
    assert meaning_of_svg(drawing.replace(">7<", ">8<")) != meaning_of_svg(drawing)
    assert meaning_of_data({"a": 1.00004, "line": 3, "b": [2]}) == {"a": 1.0, "b": [2]}
