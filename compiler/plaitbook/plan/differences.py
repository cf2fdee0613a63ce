"""What differs between two things written down by meaning, in words: which hair, which rule, which statement."""

from __future__ import annotations

from typing import Iterator, Mapping, NamedTuple

from .canonical import Plain

_UNITS = {"g": "g", "mm": "mm", "c": "°C", "s": "s", "cm2": "a cm²", "mn": "mN", "um": "µm", "weeks": "weeks", "years": "years"}
_SI = {"height": "mm", "width": "mm", "cut": "mm", "pulled": "mm", "length": "mm", "rod": "mm", "temperature": "°C",
       "seconds": "s", "pack_g": "g", "hairline": "mm", "wearing": "mm", "finish": "g"}
"""Units of a statement's own fields, which don't carry them in their names."""
_SILENT = ("is", "quoted")
_NAMELESS = ("kind", "name", "slot")
"""Fields whose value says what they are."""
_GONE = object()
LONG = "…"
"""Stands for a whole ingredient too long to tell."""


class Difference(NamedTuple):
    """One thing that isn't as it was. Where only hashes were kept, ``before`` and ``after`` are empty."""

    what: str
    """Such as ``hair "Dune"`` or ``feed in nape``."""
    where: str = ""
    """Within it: ``pack``."""
    before: str = ""
    after: str = ""

    def sentence(self) -> str:
        """In words, without a full stop."""
        name = f"{self.what}: {self.where}" if self.where else self.what
        if self.before and self.after:
            return f"{name} was {self.before}, is {self.after}"
        if self.before:
            return f"{name} is gone" + (f"; it was {self.before}" if self.before != LONG else "")
        if self.after:
            return f"{name} is new" + (f": {self.after}" if self.after != LONG else "")
        return f"{name} is not the same"


def differences(before: Mapping[str, Plain], after: Mapping[str, Plain]) -> tuple[Difference, ...]:
    """Every difference between two sets of ingredients, in the order of their names."""
    found: list[Difference] = []
    for what in sorted({*before, *after}):
        old, new = before.get(what, _GONE), after.get(what, _GONE)
        if old == new:
            continue
        if old is _GONE or new is _GONE:
            found.append(Difference(what, "", "" if old is _GONE else _whole(what, old), "" if new is _GONE else _whole(what, new)))
        else:
            found += _within(what, (), old, new)
    return tuple(found)


def _whole(what: str, value: Plain) -> str:
    """A whole ingredient in a few words: long ones only say that they are there."""
    said = _said(what.split(" ")[0], value)
    return said if len(said) <= 60 else LONG


def _within(what: str, path: tuple[str, ...], old: Plain, new: Plain) -> Iterator[Difference]:
    """The leaves that differ; a list whose length changed is one difference."""
    if isinstance(old, dict) and isinstance(new, dict) and old.get("kind") == new.get("kind"):
        for key in sorted({*old, *new}):
            if key not in _SILENT and old.get(key) != new.get(key):
                yield from _within(what, (*path, key), old.get(key), new.get(key))
        return
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for before, after in zip(old, new):
            if before != after:
                yield from _within(what, path, before, after)
        return
    last = path[-1] if path else what.split(" ")[0]
    yield Difference(what, _place(path), _said(last, old) or "not said", _said(last, new) or "not said")


def _place(path: tuple[str, ...]) -> str:
    return ", ".join(_words(name) for name in path)


def _words(field: str) -> str:
    """A field's name without its unit, its underscores as spaces."""
    stem, _, unit = field.rpartition("_")
    return (stem if stem and unit in _UNITS else field).replace("_", " ")


def _said(field: str, value: Plain) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        inner = [_said(key, item).replace("_", " ") if key in _NAMELESS else f"{_words(key)} {_said(key, item)}"
                 for key, item in value.items() if key not in _SILENT and item not in (None, [], False)]
        return ", ".join(inner)
    if isinstance(value, list):
        return ", ".join(said for item in value if (said := _said(field, item))) or "nothing"
    text = str(value)
    unit = _SI.get(field) or _UNITS.get(field.rpartition("_")[2], "")
    if unit and text.replace(".", "", 1).lstrip("-").isdigit():
        return f"{float(text):.4g} {unit}"
    plain_words = text.endswith(" pencil") or text.startswith("by ") or " " not in text
    return text if plain_words else f'"{text}"'
