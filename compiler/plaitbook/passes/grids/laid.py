"""What the laying of a grid is asked, what it answers, and how it refuses."""

from __future__ import annotations

from math import sqrt
from typing import Literal, NamedTuple

from ...meaning.model import Grid, Parting
from ...syntax.problem import Problem, whole_line
from .cell import Cell, Corner


class Asked(NamedTuple):
    """What the section pass reads of a recipe and a house; hashable."""

    zones: tuple[tuple[str, bool, Grid], ...]
    """(zone, left out, grid)."""
    parting: Parting
    mirrored: bool
    order: str
    left_handed: bool


class Mark(NamedTuple):
    """One row's parting guide, mm."""

    height: float
    from_hairline: float
    offset: Literal["none", "half"]
    note: str
    ear: float = 0.0
    """The row's height at its end nearest the ear; the height itself where 0."""


class Laid(NamedTuple):
    """What :func:`lay_zones` found; areas in mm2 by zone, left-out zones included."""

    cells: list[Cell]
    areas: dict[str, float]
    marks: dict[tuple[int, int], Mark]
    sizes: dict[str, tuple[float, float]]
    """(height, width) in mm used in each worked zone."""
    problems: tuple[Problem, ...]
    parting: tuple[Corner, ...] = ()
    """From the vertex to the hairline."""


def refusal(code: str, message: str, advice: str, grid: Grid) -> Laid:
    """Nothing laid, and why."""
    span = whole_line(grid.origin.file, grid.origin.line)
    return Laid([], {}, {}, {}, (Problem(code, message, advice, span),))


def too_many(grid: Grid, area_mm2: float, most: int) -> Laid:
    """More sections than can be laid, with a size that gives fewer."""
    share = 0.5 if grid.shape in ("triangle", "diamond") else 1.0  # of the square of its size
    least = sqrt(area_mm2 / most / share)
    return refusal(
        "E003", f"this grid gives more than {most} sections",
        f"ask for larger sections: {max(least * 1.2, least + 1.0):.0f} mm or more, or a count such as 300 sections", grid,
    )
