"""What a pass hands on: its part of the plan, the figures behind it, and what it had to refuse."""

from __future__ import annotations

from typing import Generic, NamedTuple, TypeVar

from ..syntax.problem import Problem
from .model import Figure

Part = TypeVar("Part")


class Outcome(NamedTuple, Generic[Part]):
    """``part`` is None when a problem made it impossible to compute."""

    part: Part | None
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()
