"""Values of the plan made of what a pass has just computed, without checking that again.

Pydantic checks what comes from outside. A pass's own sums have their types already, and checking the
thousand values of a plan took a quarter of a compile. ``tests/strands/test_computed.py`` holds what is made
here to what checking would have made, field by field: give floats for floats and tuples for tuples.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any, TypeVar

from pydantic import BaseModel

Made = TypeVar("Made", bound=BaseModel)

_fill, _name_given, _set_extra, _set_private = (
    vars(BaseModel)[slot].__set__
    for slot in ("__dict__", "__pydantic_fields_set__", "__pydantic_extra__", "__pydantic_private__"))
"""How a frozen model's own parts are filled, as pydantic's ``model_construct`` does, which takes longer than checking."""


def computed(kind: type[Made], **values: Any) -> Made:
    """A value of this kind; fields that aren't given hold their defaults."""
    made = kind.__new__(kind)
    _fill(made, {**_usual(kind), **values})
    _name_given(made, set(values))
    _set_extra(made, None)
    _set_private(made, None)
    return made


def changed(value: Made, **values: Any) -> Made:
    """The same value with some fields computed anew."""
    made = value.__new__(type(value))
    _fill(made, {**vars(value), **values})
    _name_given(made, value.model_fields_set | values.keys())
    _set_extra(made, None)
    _set_private(made, None)
    return made


def computed_all(kind: type[Made], rows: Iterable[dict[str, Any]]) -> tuple[Made, ...]:
    """Many values of one kind, each of a dictionary of all its fields in their order, which it takes for its own."""
    new, given = kind.__new__, set(kind.model_fields)
    found = []
    for values in rows:
        made = new(kind)
        _fill(made, values)
        _name_given(made, given)
        _set_extra(made, None)
        _set_private(made, None)
        found.append(made)
    return tuple(found)


@lru_cache(maxsize=None)
def _usual(kind: type[BaseModel]) -> dict[str, Any]:
    """Every field of a kind in its order, at its default where it has one."""
    return {name: None if field.is_required() else field.get_default(call_default_factory=True)
            for name, field in kind.model_fields.items()}
