"""The small frozen values that everything above the syntax speaks in.

Inside the program a number is a plain float in one fixed unit for its
dimension, and the unit stands in the field's name:

=============  ==========================  =============
dimension      unit inside                 field suffix
=============  ==========================  =============
length         millimetre                  ``_mm``
area           square centimetre           ``_cm2``
mass           gram                        ``_g``
time           second                      ``_s``
temperature    degree Celsius              ``_c``
hair density   hairs per square centimetre ``_cm2`` (``density_cm2``)
linear mass    gram per metre              ``_g_m``
force          millinewton                 ``_mn``
money          ``decimal.Decimal``         the house's currency
share          1.0 is the whole            none
=============  ==========================  =============
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

OriginKind = Literal[
    "recipe", "choice", "when", "pick", "wearer", "house", "catalogue", "default", "source"
]


class Frozen(BaseModel):
    """Base of every value that flows: immutable, and closed to unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Origin(Frozen):
    """Where a value came from, in words a stylist can follow back."""

    kind: OriginKind
    where: str
    """Such as ``recipe line 12``, ``wearer "Ines" line 4`` or the title of a source."""
    file: str = ""
    line: int = 0


class Measure(Frozen):
    """A number in the fixed unit of its dimension, as its author wrote it, and its origin."""

    value: float
    text: str
    origin: Origin


def default(value: float, text: str, where: str) -> Measure:
    """A value nobody wrote down: ``where`` names the table or the rule of thumb it stands in."""
    return Measure(value=value, text=text, origin=Origin(kind="default", where=where))
