"""The section pass and its map, timed: ``python tests/benchmarks/sections.py``.

Prints a Markdown table for docs/validation.md: least of several runs, processor time, the
head's tables warm and nothing of any grid remembered, as if it were the first of its kind. Nothing
is asserted; the machine is named in the document.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Callable

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from sections.builders import grid, house, recipe, wearer  # noqa: E402

from plaitbook.cards.diagrams import section_map as drawing  # noqa: E402
from plaitbook.meaning.model import Recipe  # noqa: E402
from plaitbook.passes.grids.bands import length_between, rows_of_band  # noqa: E402
from plaitbook.passes.grids.rows import equal_rows  # noqa: E402
from plaitbook.passes.grids.scalp import level_at, row_line  # noqa: E402
from plaitbook.passes.sections import lay, lay_sections, on_head  # noqa: E402
from plaitbook.plan.model import Sections  # noqa: E402

RUNS = 40
PATIENCE = 3.0
"""Seconds after which a slow line is content with fewer runs."""
LOOKS: tuple[tuple[str, Recipe], ...] = (
    *((f"brick {size} mm", recipe(grid("brick", size))) for size in (19.7, 13.8, 10.2, 6.4, 4.4)),
    *((f"{shape} by count, {count}", recipe(grid(shape, count=count)))
      for count in (150, 300) for shape in ("square", "brick", "triangle", "diamond")),
    ("scalp rows, 8 through three zones", recipe(grid("brick", 25), {
        zone: grid("rows", count=8, group=9) for zone in ("hairline", "temples", "top")})),
    *((f"scalp rows over the head, {count}", recipe(grid("rows", count=count))) for count in (12, 150, 3000)),
)
FORGOTTEN = (lay, on_head, level_at, row_line, equal_rows, length_between, rows_of_band)
"""What keeps anything of a grid from one laying to the next."""


def least(work: Callable[[], object], before: Callable[[], object]) -> float:
    """Milliseconds of processor time; ``before`` is not counted."""
    best = float("inf")
    begun = time.process_time()
    for run in range(RUNS):
        if run > 1 and time.process_time() - begun > PATIENCE:
            break
        kept = before()
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
        del kept
    return best * 1000


def forget() -> None:
    """A fresh grid: only what belongs to the head stays."""
    for each in FORGOTTEN:
        each.cache_clear()


def draw(plan: Sections) -> None:
    """Four views at the size they have on a card."""
    for view in ("top", "back", "left", "right"):
        drawing.draw_map(plan, view, 90.0, "auto", view)


def main() -> None:
    """One line a look."""
    head, salon = wearer(sex="female"), house()
    print("| grid | sections | laid, ms | mapped, ms |\n|---|---|---|---|")
    for name, look in LOOKS:
        plan = lay_sections(look, head, salon).part
        assert plan is not None
        laid = least(lambda: lay_sections(look, head, salon), forget)
        mapped = least(lambda: draw(plan), drawing._borders.clear)
        print(f"| {name} | {plan.count:,} | {laid:.1f} | {mapped:.1f} |")


if __name__ == "__main__":
    main()
