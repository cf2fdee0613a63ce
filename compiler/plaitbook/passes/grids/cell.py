"""One section while it is being laid."""

from __future__ import annotations

from typing import NamedTuple

Corner = tuple[float, float]


class Edge(NamedTuple):
    """A stretch of a strip's border: along ``line`` from ``low`` to ``high``.

    ``down`` is whether the line runs down the head (azimuth fixed) or round it (depth fixed);
    ``after`` whether the section lies below the line, or beyond it in azimuth.
    """

    down: bool
    line: float
    low: float
    high: float
    after: bool


class Cell:
    """A polygon on the head with what was measured on it. Lengths mm, area mm2."""

    __slots__ = (
        "zone", "side", "strip", "row", "first_row", "column", "outline", "area", "width", "height",
        "phi", "centre", "links", "rim", "number",
    )

    def __init__(
        self, zone: str, side: str, strip: int, row: int, outline: tuple[Corner, ...], area: float,
        width: float, height: float, phi: float, centre: tuple[float, float, float],
    ) -> None:
        self.zone, self.side, self.strip = zone, side, strip
        self.row = self.first_row = row
        """``first_row``: as it was laid, crown side first, from 0; ``row`` becomes the worked row."""
        self.column = self.number = 0
        self.outline, self.area = outline, area
        self.width, self.height = width, height
        self.phi, self.centre = phi, centre
        """The middle: its azimuth, and the point in mm."""
        self.links: list[Cell] = []
        self.rim: list[Edge] = []

    def link(self, other: Cell) -> None:
        """The two share an edge."""
        self.links.append(other)
        other.links.append(self)


OTHER = {"left": "right", "right": "left", "middle": "middle"}


def mirror(cells: list[Cell], strip: int) -> list[Cell]:
    """The same sections on the other side of the head, joined in the same way."""
    out = []
    twins: dict[int, Cell] = {}
    for cell in cells:
        x, y, z = cell.centre
        twin = Cell(
            cell.zone, OTHER[cell.side], strip, cell.row,
            tuple([(-p, t) for p, t in reversed(cell.outline)]),
            cell.area, cell.width, cell.height, -cell.phi, (-x, y, z),
        )
        twin.rim = [
            Edge(True, -e.line, e.low, e.high, not e.after) if e.down
            else Edge(False, e.line, -e.high, -e.low, e.after)
            for e in cell.rim
        ]
        twins[id(cell)] = twin
        out.append(twin)
    for cell, twin in zip(cells, out):
        twin.links = [twins[id(other)] for other in cell.links]
    return out
