"""Rows that begin on the wearer's right: the mirror image of those that begin on her left.

A left-handed braider works each row from the wearer's right. What is told from a row's beginning
(which brick is the wider, which triangle the first) is then told from there: the grid is laid as
for the other side, with the look's own left and right exchanged, and reflected.
"""

from __future__ import annotations

from math import pi

from ...meaning.model import Grid, Parting
from .cell import OTHER, Cell
from .laid import Asked, Laid, Mark
from .lay import lay_zones
from .order import WHOLE_HEAD, first_side
from .scalp import TURN, Scalp

TURNED = {"to left": "to right", "to right": "to left"}
"""Directions of scalp rows, exchanged."""


def lay_from_first(scalp: Scalp, asked: Asked, most: int) -> Laid:
    """:func:`lay_zones`, every row beginning on the side that the work begins on."""
    if first_side(asked.order, asked.left_handed) == "left":
        return lay_zones(scalp, asked, most)
    zones = tuple([(zone, left_out, exchanged(grid)) for zone, left_out, grid in asked.zones])
    laid = lay_zones(scalp, asked._replace(zones=zones, parting=across(asked.parting)), most)
    reflect(laid.cells)
    marks = {key: turned(mark) if mark.note else mark for key, mark in laid.marks.items()}
    return laid._replace(marks=marks, parting=tuple([(-p, t) for p, t in laid.parting]))


def exchanged(grid: Grid) -> Grid:
    """A grid whose rows run to the other side."""
    other = TURNED.get(grid.direction)
    return grid.model_copy(update={"direction": other}) if other else grid


def across(parting: Parting) -> Parting:
    """A parting on the other side; one that names no side lies on the wearer's right."""
    return parting.model_copy(update={"side": "right" if parting.side == "left" else "left"})


def turned(mark: Mark) -> Mark:
    """A row's mark with its direction as the recipe gives it."""
    for ours, theirs in TURNED.items():
        if mark.note.startswith(ours):
            return mark._replace(note=theirs + mark.note[len(ours):])
    return mark


def reflect(cells: list[Cell]) -> None:
    """Exchange left and right. Strips over the back keep their azimuths about half a turn."""
    backs = {
        cell.strip for cell in cells
        if cell.strip >= WHOLE_HEAD and max([p for p, _ in cell.outline]) > pi + 1e-9
    }
    for cell in cells:
        turn = TURN if cell.strip in backs else 0.0
        x, y, z = cell.centre
        cell.centre = (-x, y, z)
        cell.phi = turn - cell.phi
        cell.side = OTHER[cell.side]
        cell.outline = tuple([(turn - p, t) for p, t in reversed(cell.outline)])
