"""Whether a name that nothing declares is right, and the line that should declare it has the slip."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields, is_dataclass
from typing import Iterator

from ..syntax.suggest import nearest
from .look import By, Choice, Look, PiecesSaid, RoleSaid, Setting


def misnamed(look: Look, name: str) -> "RoleSaid | Choice | None":
    """The hair or choice of this look that nobody uses and that is most like ``name``, where ``name`` is used again and again."""
    own = {each.role if isinstance(each, RoleSaid) else each.name: each for each in (*look.roles, *look.choices) if not each.depth}
    near = nearest(name, own, 1)
    if not near:
        return None
    uses = Counter(used for part in (look.said, look.roles, look.choices, look.whens) for used in _names(part))
    return own[near[0]] if uses[name] > 1 and not uses[near[0]] else None


def _names(item: object) -> Iterator[str]:
    """The names of hairs and choices that a part of a look speaks of."""
    if isinstance(item, By):
        yield item.name
    elif isinstance(item, PiecesSaid) and not item.quoted:
        yield item.hair
    elif isinstance(item, Setting) and item.slot in ("cut", "hair"):
        yield item.value[0]
    if isinstance(item, tuple):
        for part in item:
            yield from _names(part)
    elif is_dataclass(item):
        for field in fields(item):
            yield from _names(getattr(item, field.name))
